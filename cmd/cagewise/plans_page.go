package main

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/gearing"
	"cagewise/sim/wear"
)

// Verdicts on plans in a word.
const (
	wordCheapest = "CHEAPEST"
	wordSafe     = "CHEAPEST SAFE PLAN"
	wordPrices   = "PRICES MISSING"
)

// verdictWords name the cheapest plan that costs no safety, and those that are
// cheaper at a risk.
func (r plansReport) verdictWords() (word, sentence string) {
	word, sentence = r.cheapestWords()
	return word, sentence + r.warningWords()
}

func (r plansReport) cheapestWords() (word, sentence string) {
	if !r.Priced {
		text := "Not given: " + strings.Join(r.Missing, ", ") + "."
		if s, ok := r.mine(r.Safer); ok {
			return wordPrices, fmt.Sprintf("%s By the ratio of prices alone, with a cassette at %s chains, %s is the cheapest that runs no part past all limits.", text, num(r.Ratio, 1), s.Plan)
		}
		return wordPrices, text + " Which plan is the cheapest depends on what a cassette costs in chains, see below."
	}
	safe := slices.IndexFunc(r.Plans, func(p wear.PlanCost) bool { return p.Safety == "" })
	switch {
	case safe == 0:
		return wordCheapest, r.costWords(r.Plans[0]) + "."
	case safe < 0:
		return wordCheapest, r.costWords(r.Plans[0]) + ". But " + r.Plans[0].Safety + "."
	}
	text := r.costWords(r.Plans[safe]) + "."
	for _, p := range r.Plans[:safe] {
		text += fmt.Sprintf(" Cheaper, at a risk: %s; %s.", r.costWords(p), p.Safety)
	}
	return wordSafe, text
}

func (r plansReport) costWords(p wear.PlanCost) string {
	text := fmt.Sprintf("%s, %s %s a 1000 %s", p.Name, num(r.units.PerDistance(p.Cost), 1), r.Log.Money, r.units.DistanceUnit())
	if p.PerYear > 0 {
		text += fmt.Sprintf(", %s a year", num(p.PerYear, 0))
	}
	return text
}

// mine is the range of price ratios that the owner's lies in.
func (r plansReport) mine(spans []wear.Span) (wear.Span, bool) {
	if !r.HasRatio {
		return wear.Span{}, false
	}
	for _, s := range spans {
		if r.Ratio >= s.From && (s.To == 0 || r.Ratio < s.To) {
			return s, true
		}
	}
	return wear.Span{}, false
}

func (r plansReport) titleText() string { return r.Log.heading() + ": plans and what they cost" }

func (r plansReport) write(p *page) {
	p.headline(yellow, r.word, r.Verdict)
	p.section("Plans")
	p.grid(r.plansTable())
	p.para("Prices in %s: %s. Lives of chains from %s: %s.", r.Log.Money, r.priceWords(), r.ShapeFrom, r.wearWords())
	if r.Log.KMPerYear == 0 {
		p.para("No cost a year: distance a year %s.", r.Log.KMFrom)
	}
	for _, x := range r.Plans {
		p.item("", "%s: %s.", x.Name, planWords(x))
	}
	r.writeFlips(p)
	r.writeRotation(p)
	p.section("Notes")
	for _, n := range r.Notes {
		p.item("", "%s", sentence(n))
	}
	p.section("Caution")
	for _, c := range r.Cautions {
		p.item("", "%s", c)
	}
}

func (r plansReport) plansTable() *table {
	u := r.units
	unit := u.DistanceUnit()
	t := &table{cols: []column{
		{head: "plan", left: true}, {head: "cost per", unit: "1000 " + unit}, {head: "+-"}, {head: "cost per", unit: "year"},
		{head: "chain", unit: unit}, {head: "cassette", unit: unit}, {head: "ring", unit: unit},
	}}
	for _, x := range r.Plans {
		cost, err, year := "-", "-", "-"
		if x.HasCost {
			cost = num(u.PerDistance(x.Cost), 1)
			if x.Error > 0 {
				err = num(u.PerDistance(x.Error), 1)
			}
			if x.PerYear > 0 {
				year = num(x.PerYear, 0)
			}
		}
		t.add(x.Name, cost, err, year, num(u.Distance(x.ChainKM), 0), num(u.Distance(x.CassetteKM), 0), num(u.Distance(x.RingKM), 0))
	}
	return t
}

func (r plansReport) priceWords() string {
	word := func(name string, v float64) string {
		if v < 0 {
			return name + " not given"
		}
		return name + " " + price(v)
	}
	return word("chain", r.Prices.Chain) + ", " + word("cassette", r.Prices.Cassette) + ", ring " + strings.TrimPrefix(word("ring", r.Prices.Ring), "ring ")
}

func (r plansReport) wearWords() string {
	km := 1000 * r.units.PerDistance(1)
	text := fmt.Sprintf("%s %% in the first 1000 %s", perThousand(float64(r.Shape.At(km)-r.Shape.Start)), r.units.DistanceUnit())
	if r.Shape.Accel > 0 {
		text += fmt.Sprintf(", %s %% in the second", perThousand(float64(r.Shape.At(2*km)-r.Shape.At(km))))
	}
	return text
}

func planWords(x wear.PlanCost) string {
	text := x.Assumes
	if x.Safety != "" {
		text += "; " + x.Safety
	}
	return text
}

// writeFlips tells where the ranking turns over.
func (r plansReport) writeFlips(p *page) {
	p.section("Where the ranking flips")
	p.grid(r.spansTable(r.Spans))
	if len(r.Safer) > 0 {
		p.para("Without the plans that run parts past all limits:")
		p.grid(r.spansTable(r.Safer))
	}
	if r.HasRatio {
		p.para("Your cassette costs %s chains.", num(r.Ratio, 2))
	} else {
		p.para("The prices of chain and cassette tell where you are in it.")
	}
	if len(r.Even) > 0 {
		p.para("Two plans cost the same when a cassette costs so many chains:")
	}
	for _, e := range r.Even {
		p.item(num(e.Ratio, 2), "%s and %s; dearer than that, %s is the cheaper.", e.A, e.B, e.Above)
	}
	if len(r.Lives) > 0 {
		p.para("Late against early, by how long the chains last:")
	}
	for _, l := range r.Lives {
		p.item("", "%s beats %s once its chains last over %s times as long; by your wear they last %s times.", l.Late, l.Early, num(l.Needs, 2), num(l.Has, 2))
	}
}

func (r plansReport) spansTable(spans []wear.Span) *table {
	t := &table{cols: []column{{head: "cassette from", unit: "chains"}, {head: "to", unit: "chains"}, {head: "cheapest plan", left: true}, {head: "", left: true}}}
	mine, has := r.mine(spans)
	for _, s := range spans {
		to, mark := "any price", ""
		if s.To > 0 {
			to = num(s.To, 2)
		}
		if has && s == mine {
			mark = "yours"
		}
		t.add(num(s.From, 2), to, s.Plan, mark)
	}
	return t
}

// mostTurnsShown is how many turns of a rotation are printed.
const mostTurnsShown = 15

func (r plansReport) writeRotation(p *page) {
	s, u := r.Rotation, r.units
	p.section("Rotation, the least worn always next")
	out := r.leftOutWords()
	if len(s.Turns) == 0 {
		p.para("%s", strings.TrimSpace("Every chain is at its end already. "+out))
		return
	}
	t := &table{cols: []column{{head: "from now", unit: u.DistanceUnit()}, {head: "chain", left: true}, {head: "for", unit: u.DistanceUnit()}, {head: "then at", unit: "%"}, {head: "spread", unit: "%"}}}
	for _, x := range s.Turns[:min(len(s.Turns), mostTurnsShown)] {
		t.add(num(u.Distance(x.From), 0), shortName(x.ID, 24), num(u.Distance(x.KM), 0), num(float64(x.Elongation), 2), num(float64(x.Spread), 2))
	}
	p.grid(t)
	if hidden := len(s.Turns) - mostTurnsShown; hidden > 0 || s.Cut {
		p.para("And so on, %s more; --format json lists them.", plural(max(hidden, 0), "turn"))
	}
	if out != "" {
		p.para("%s", out)
	}
	words := []string{togetherWords(s), fmt.Sprintf("The end comes after %s %s.", num(u.Distance(s.KM), 0), u.DistanceUnit()), sentence(strings.Join(r.Assumed, "; ")), sentence(s.Note)}
	p.para("%s", strings.TrimSpace(strings.Join(slices.DeleteFunc(words, func(w string) bool { return w == "" }), " ")))
}

// csvTable is one row a plan.
func (r plansReport) csvTable() *table {
	t := keys("plan", "cost_per_1000_km", "cost_error_per_1000_km", "cost_per_year", "limit_percent", "chain_life_km", "cassette_life_km", "ring_life_km", "chains_per_1000_km", "cassettes_per_1000_km", "rings_per_1000_km", "chains_in_turn", "assumes", "safety")
	for _, x := range r.Plans {
		t.add(x.Name, figure(x.Cost, 2, x.HasCost), figure(x.Error, 2, x.HasCost && x.Error > 0), figure(x.PerYear, 2, x.PerYear > 0), figure(float64(x.Limit), 2, x.Limit > gearing.Percent(0)),
			num(x.ChainKM, 0), num(x.CassetteKM, 0), num(x.RingKM, 0), num(x.Chains, 4), num(x.Cassettes, 4), num(x.Rings, 4), figure(float64(x.Turns), 0, x.Turns > 0), x.Assumes, x.Safety)
	}
	return t
}
