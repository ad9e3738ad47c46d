package main

import (
	"fmt"
	"strings"

	"cagewise/gearing"
	"cagewise/sim"
	"cagewise/sim/search"
)

// searchReport is what `cagewise search` says.
type searchReport struct {
	Build  buildSummary  `json:"build"`
	Wishes wishesSummary `json:"wishes"`
	search.Result
	// Parts names the parts of each of the best, in their order.
	Parts    []partNames `json:"parts"`
	Cautions []string    `json:"cautions"`

	money string
	top   int
}

// wishesSummary is what was asked; 0 and false ask nothing, -1 any number.
type wishesSummary struct {
	Lowest       gearing.Metres  `json:"lowest_development_m"`
	Highest      gearing.Metres  `json:"highest_development_m"`
	LargestStep  gearing.Percent `json:"largest_step_percent"`
	LostGears    int             `json:"lost_gears"`
	Budget       float64         `json:"budget"`
	HasBudget    bool            `json:"has_budget"`
	OverCapacity gearing.Teeth   `json:"over_capacity_teeth"`
	OverCog      gearing.Teeth   `json:"over_cog_teeth"`
	OnHandOnly   bool            `json:"on_hand_only"`
}

// partNames are the parts of a choice; "" where none is taken.
type partNames struct {
	Rings      string `json:"rings"`
	Cassette   string `json:"cassette"`
	Derailleur string `json:"rear_derailleur"`
	Extender   string `json:"extender"`
	Chain      string `json:"chain"`
	Wheel      string `json:"wheel"`
}

func newSearchReport(in input, r search.Result, w search.Wishes, top int) searchReport {
	report := searchReport{
		Build: summarise(in.build.Build), Result: r, Parts: []partNames{}, Cautions: cautions, money: r.Bin.Money, top: top,
		Wishes: wishesSummary{w.Lowest, w.Highest, w.LargestStep, w.LostGears, max(0, w.Budget), w.HasBudget, w.OverCapacity, w.OverCog, w.OnHandOnly},
	}
	if report.money == "" {
		report.money = "money units"
	}
	for _, f := range r.Best {
		report.Parts = append(report.Parts, namesOf(r.Bin, f.Choice))
	}
	return report
}

func namesOf(b gearing.PartsBin, c search.Choice) partNames {
	n := partNames{Rings: b.RingSets[c.Rings].Name, Cassette: b.Cassettes[c.Cassette].Name, Derailleur: b.Derailleurs[c.Derailleur].Name}
	if c.Extender >= 0 {
		n.Extender = b.Extenders[c.Extender].Name
	}
	if c.Chain >= 0 {
		n.Chain = b.Chains[c.Chain].Name
	}
	if c.Wheel >= 0 {
		n.Wheel = b.Wheels[c.Wheel].Name
	}
	return n
}

// words lists the parts that are taken.
func (n partNames) words() string {
	var list []string
	for _, p := range []struct{ kind, name string }{
		{"rings", n.Rings}, {"cassette", n.Cassette}, {"derailleur", n.Derailleur}, {"extender", n.Extender}, {"chain", n.Chain}, {"wheel", n.Wheel},
	} {
		if p.name != "" {
			list = append(list, p.kind+" "+p.name)
		}
	}
	return strings.Join(list, "; ")
}

func (r searchReport) titleText() string {
	if r.Combinations == 1 {
		return "1 combination of parts"
	}
	return fmt.Sprintf("%s combinations of parts", count(r.Combinations))
}

// count writes a large number so that one can read it.
func count(n float64) string {
	switch {
	case n >= 1e9:
		return num(n/1e9, 1) + " thousand million"
	case n >= 1e6:
		return num(n/1e6, 1) + " million"
	}
	return num(n, 0)
}

func (r searchReport) write(p *page) {
	p.para("%s", r.sentence())
	if r.Partial {
		p.para("PARTIAL: stopped after %s %% of the combinations. There may be better ones among the rest.", num(100*r.Done/r.Combinations, 1))
	}
	if len(r.Best) > 0 {
		r.writeBest(p)
		r.writeRunners(p)
	}
	r.writeFellOut(p)
	r.writeNearest(p)
	p.section("Caution")
	for _, c := range r.Cautions {
		p.item("", "%s", c)
	}
}

func (r searchReport) sentence() string {
	switch n := len(r.Best); {
	case n == 0 && r.Partial:
		return "Nothing that meets the wishes was found before the search was stopped."
	case n == 0:
		return "Nothing in the bin meets the wishes."
	default:
		return fmt.Sprintf("%s: no other is as good in range, largest step, margin and price at once. %s of %s combinations were decided, %d fits simulated.",
			plural(n, "best combination"), count(r.Done), count(r.Combinations), r.Simulated)
	}
}

func (r searchReport) shown() int {
	if r.top == 0 {
		return len(r.Best)
	}
	return min(r.top, len(r.Best))
}

func (r searchReport) writeBest(p *page) {
	p.section("Best, the widest range first")
	t := &table{cols: []column{
		{head: ""}, {head: "range", unit: "%"}, {head: "largest", unit: "step %"}, {head: "margin", unit: "pitches"}, {head: "price", unit: shortMoney(r.money)},
		{head: "low", unit: p.units.DevelopmentUnit()}, {head: "top", unit: p.units.DevelopmentUnit()}, {head: "chain", unit: "pitches"}, {head: "lost"}, {head: "chance", unit: "%"}, {head: "danger", unit: "%"},
	}}
	for i, f := range r.Best[:r.shown()] {
		t.add(whole(i+1), num(float64(f.Range), 0), num(float64(f.LargestStep), 1), num(float64(f.Margin), 2), num(f.Price, 2),
			develops(p.units, f.Lowest), develops(p.units, f.Highest), whole(f.Chain), whole(len(f.Lost)), percentOf(f.Chance), percentOf(f.Danger.Any))
	}
	p.grid(t)
	if n := len(r.Best) - r.shown(); n > 0 {
		p.para("%s more; --top 0 shows all.", whole(n))
	}
	p.para("Margin: the least that any gear kept has left with that chain, chain beyond 1 pitch or take-up. Chain: the length that `cagewise fit` names. Chance: that every gear but those lost runs with it; danger: that some gear is dangerous. Price: of what is not on hand. Run `cagewise fit` on what you mean to buy: it says what to measure first.")
	if r.Unsure > 0 {
		p.para("%s looked as good at first glance; a closer look did not bear it out.", plural(r.Unsure, "other combination"))
	}
	if len(r.Best) > 0 && r.Best[0].Choice.Chain < 0 {
		p.para("No chain is known of, in the bin or on the bike: one of the pitches given is needed besides, at a price not counted.")
	}
	p.section("Their parts")
	for i := range r.Best[:r.shown()] {
		p.item(whole(i+1), "%s.", r.partWords(i))
	}
	p.para("In brackets: the verdict, and what it rests on. NEVER and RISKY: the gear is or may be dangerous, keep out; SLACK: the chain hangs slack in it, or may.")
}

// partWords are the parts of one of the best, its verdict, the gears to keep out
// of with their chances, and what not to do with its chain.
func (r searchReport) partWords(i int) string {
	f := &r.Best[i]
	list := []string{fmt.Sprintf("%s (%s, %s)", r.Parts[i].words(), f.Verdict, f.Knowledge)}
	for _, k := range keepOut(&f.Advice) {
		list = append(list, k.mark+" "+k.list(&f.Advice))
	}
	if f.Order == sim.Hang {
		list = append(list, fmt.Sprintf("Leave its chain uncut, closed at %s, until more is known", pitches(f.Chain)))
	} else if own := r.ownChain(f); own > f.Chain {
		list = append(list, fmt.Sprintf("Try your chain of %s uncut first", pitches(own)))
	}
	return strings.Join(list, ". ")
}

// ownChain is the count of the chain on the bike where that is the one taken, else
// 0.
func (r searchReport) ownChain(f *search.Found) int {
	if i := f.Choice.Chain; i >= 0 && r.Bin.Chains[i].Name == search.OwnChain {
		return r.Bin.Chains[i].Pitches
	}
	return 0
}

// shortMoney fits a column.
func shortMoney(money string) string {
	if len(money) > 8 {
		return "money"
	}
	return money
}

// writeRunners tells why the next best fell out.
func (r searchReport) writeRunners(p *page) {
	if len(r.RunnersUp) == 0 {
		return
	}
	p.section("Next best, and why not")
	for _, u := range r.RunnersUp {
		p.item("", "%s: %s.", namesOf(r.Bin, u.Choice).words(), r.beatenBy(u))
	}
}

func (r searchReport) beatenBy(u search.RunnerUp) string {
	for i := range r.Best {
		b := &r.Best[i]
		if b.Choice != u.Better {
			continue
		}
		var than []string
		say := func(better bool, format string, args ...any) {
			if better {
				than = append(than, fmt.Sprintf(format, args...))
			}
		}
		say(b.Range > u.Range, "range %s against %s %%", num(float64(b.Range), 0), num(float64(u.Range), 0))
		say(b.LargestStep < u.LargestStep, "largest step %s against %s %%", num(float64(b.LargestStep), 1), num(float64(u.LargestStep), 1))
		say(b.Margin > u.Margin, "margin %s against %s pitches", num(float64(b.Margin), 2), num(float64(u.Margin), 2))
		say(b.Price < u.Price, "price %s against %s", num(b.Price, 2), num(u.Price, 2))
		if len(than) == 0 {
			return fmt.Sprintf("the same as %d, which stands earlier in the bin", i+1)
		}
		return fmt.Sprintf("%d is as good in everything and better in %s", i+1, strings.Join(than, ", "))
	}
	return "beaten"
}

func (r searchReport) writeFellOut(p *page) {
	if len(r.FellOut) == 0 {
		return
	}
	p.section("Why combinations fell out, by the first wish they broke")
	t := &table{cols: []column{{head: "reason", left: true}, {head: "combinations"}, {head: "share", unit: "%"}}}
	for _, f := range r.FellOut {
		t.add(f.Reason.String(), num(f.Combinations, 0), num(100*f.Combinations/r.Combinations, 1))
	}
	p.grid(t)
}

func (r searchReport) writeNearest(p *page) {
	m := r.Nearest
	if r.NearestPartial {
		p.para("PARTIAL: the search for the nearest miss was stopped.")
	}
	if m == nil {
		return
	}
	p.section("The nearest miss")
	broken := make([]string, len(m.Broken))
	for i, b := range m.Broken {
		broken[i] = b.String()
	}
	p.para("%s: %s.", namesOf(r.Bin, m.Choice).words(), strings.Join(broken, ", "))
	if m.Works {
		p.para("It has developments from %s to %s %s, a largest step of %s %%, costs %s %s and works with a chain of %s%s.",
			develops(p.units, m.Lowest), develops(p.units, m.Highest), p.units.DevelopmentUnit(), num(float64(m.LargestStep), 1), num(m.Price, 2), r.money, p.units.Chain(gearing.Pitches(m.Chain)), lostWords(m.Lost))
		if m.Danger.Any >= sim.LostChance {
			p.para("With that chain the chance that some gear is dangerous is %s.", causes(m.Danger))
		}
		return
	}
	p.para("%s", verdictSentence(&m.Advice))
}

func lostWords(lost []gearing.GearID) string {
	if len(lost) == 0 {
		return ""
	}
	return ", without " + gearList(lost)
}

// csvTable is one row a combination of the set.
func (r searchReport) csvTable() *table {
	t := &table{cols: []column{
		{key: "range_percent"}, {key: "largest_step_percent"}, {key: "margin_pitches"}, {key: "price"}, {key: "lowest_development_m"}, {key: "highest_development_m"},
		{key: "chain_pitches"}, {key: "lost_gears"}, {key: "doubtful_gears"}, {key: "verdict"}, {key: "chance"}, {key: "chance_of_danger"}, {key: "rests_on"}, {key: "rings"}, {key: "cassette"}, {key: "rear_derailleur"}, {key: "extender"}, {key: "chain"}, {key: "wheel"}, {key: "partial"},
	}}
	for i, f := range r.Best {
		n := r.Parts[i]
		t.add(num(float64(f.Range), 2), num(float64(f.LargestStep), 2), num(float64(f.Margin), 3), num(f.Price, 2), num(float64(f.Lowest), 3), num(float64(f.Highest), 3),
			whole(f.Chain), gearList(f.Lost), gearList(f.Doubtful), f.Verdict.String(), num(f.Chance, 4), num(f.Danger.Any, 4), knowledgeShort(f.Knowledge), n.Rings, n.Cassette, n.Derailleur, n.Extender, n.Chain, n.Wheel, fmt.Sprint(r.Partial))
	}
	return t
}
