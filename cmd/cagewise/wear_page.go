package main

import (
	"fmt"
	"strings"

	"cagewise/gearing"
	"cagewise/sim/wear"
)

func (r wearReport) titleText() string {
	return fmt.Sprintf("%s: wear at %s", r.Log.heading(), r.distance(r.KM))
}

func (r wearReport) write(p *page) {
	p.headline(wordColour(r.word), r.word, r.Verdict)
	r.writeOdometer(p)
	for _, c := range r.Chains {
		r.writeChain(p, c)
	}
	if len(r.Decisions) > 0 {
		p.section("Every part")
		p.grid(r.partsTable())
		r.writeParts(p)
	}
	r.writeRisks(p)
	r.writeTests(p)
	r.writeShopping(p)
	r.writeNotToBeHad(p)
	r.writeNotes(p)
	p.section("Caution")
	for _, c := range r.Cautions {
		p.item("", "%s", c)
	}
}

func (r wearReport) partsTable() *table {
	t := &table{cols: []column{
		{head: "part", left: true}, {head: "kind", left: true}, {head: "verdict", left: true}, {head: "now", unit: "%"}, {head: "look", unit: "every " + r.unit()}, {head: "left", unit: r.unit()}, {head: "to", unit: "%"},
	}}
	for _, d := range r.Decisions {
		look, left, to := r.watchCells(d.Watch)
		t.add(shortName(d.ID, 14), string(d.Kind), verdictCell(d), nowCell(d), look, left, to)
	}
	return t
}

// nowCell is how worn a chain is.
func nowCell(d wear.Decision) string {
	if !d.HasElongation {
		return "-"
	}
	return strings.TrimSuffix(wornWords(d.Elongation, d.Error, true), " %")
}

func verdictCell(d wear.Decision) string {
	switch {
	case d.Off:
		return "off the bike"
	case d.NotToBeHad: // short, for a narrow page
		return "due, not to be had"
	}
	return verdictOf(d)
}

func verdictOf(d wear.Decision) string {
	switch {
	case d.NotToBeHad:
		return string(d.Verdict) + ", not to be had"
	case d.WornPair:
		return string(d.Verdict) + ", worn pair"
	}
	return string(d.Verdict)
}

func (r wearReport) watchCells(w *wear.Watch) (look, left, to string) {
	switch {
	case w == nil:
		return "-", "-", "-"
	case w.EveryRide:
		return "each ride", "-", "-"
	}
	look, left, to = r.bare(w.LookEvery), "-", "-"
	if w.HasKM {
		left = fmt.Sprintf("%s +- %s", r.bare(w.KM), r.bare(w.Error))
		to = num(float64(w.Limit), 2)
	}
	return look, left, to
}

// writeParts gives every verdict its reasons.
func (r wearReport) writeParts(p *page) {
	p.para("for, not: the evidence for replacing a part, and against it. flips: what would change the verdict. watch: how long it may stay.")
	said := map[string]string{} // by reason, the first part it was given for
	for _, d := range r.Decisions {
		p.gap()
		p.para("%s", partHeading(d))
		p.reasons("for", d.For)
		p.reasons("not", d.Against)
		if d.Changes != "" {
			p.item("flips", "%s.", d.Changes)
		}
		switch {
		case d.Watch == nil:
		case said[d.Watch.Why] != "":
			p.item("watch", "as for %s.", said[d.Watch.Why])
		default:
			said[d.Watch.Why] = d.ID
			p.item("watch", "%s.", d.Watch.Why)
		}
	}
}

func partHeading(d wear.Decision) string {
	text := fmt.Sprintf("%s (%s): %s", d.ID, d.Kind, strings.ToUpper(verdictOf(d)))
	if d.Off {
		text += ", off the bike"
	}
	if d.HasPrice {
		text += ", price of a new one " + price(d.Price)
	}
	if d.Source != gearing.SourceUnknown && !d.NotToBeHad {
		text += ", " + string(d.Source)
	}
	return text
}

// reasons puts several reasons under one mark.
func (p *page) reasons(mark string, reasons []string) {
	for _, reason := range reasons {
		p.item(mark, "%s.", strings.TrimSuffix(reason, "."))
	}
}

// risks are those of the cassette, or of the cogs that are listed alone.
func (r wearReport) risks() []wear.CogRisk {
	var list []wear.CogRisk
	for _, d := range r.Decisions {
		if d.Off || len(d.Risk) == 0 {
			continue
		}
		if d.Kind == gearing.PartCassette {
			return d.Risk
		}
		list = append(list, d.Risk...)
	}
	return list
}

func (r wearReport) writeRisks(p *page) {
	risks := r.risks()
	if len(risks) == 0 {
		return
	}
	p.section("A new chain on the used cogs: the risk that it skips")
	p.grid(riskTable(risks))
	p.para("Share: of the wear of all teeth, from %s. Taken on: the pitch error a cog is thought to have. Short: what a new chain lacks over the teeth that bear, against the play that seats made to ISO 606 leave it. At worst: were the chain two errors more worn.", r.Use.From)
	if r.Use.Estimated > 0 {
		p.para("%s %% of the work on the rides is an estimate, as no power was recorded.", num(float64(r.Use.Estimated), 0))
	}
	for _, risk := range risks {
		if risk.Override != "" {
			p.item("", "%s: decided by what was seen: %s.", whole(risk.Cog), risk.Override)
		}
	}
}

func riskTable(risks []wear.CogRisk) *table {
	t := &table{cols: []column{
		{head: "cog"}, {head: "share", unit: "%"}, {head: "taken on", unit: "%"}, {head: "short", unit: "mm"}, {head: "play", unit: "mm"}, {head: "risk", left: true}, {head: "at worst", left: true},
	}}
	for _, x := range risks {
		taken, short, play := "-", "-", "-"
		if x.HasFigures {
			taken, short = num(float64(x.Taken), 2), num(float64(x.Mismatch), 2)
			play = fmt.Sprintf("%s-%s", num(float64(x.Least), 2), num(float64(x.Most), 2))
		}
		t.add(whole(x.Cog), num(float64(x.Share), 1), taken, short, play, string(x.Class), string(x.Worst))
	}
	return t
}

func (r wearReport) writeTests(p *page) {
	if len(r.Tests) == 0 {
		return
	}
	p.section("Tests, the cheapest first")
	for i, t := range r.Tests {
		text := sentence(t.What) + " Costs " + t.Cost + "; tells about " + strings.Join(t.Parts, ", ") + "."
		if t.Loaded {
			text += " Under load: test safely, as below."
		}
		p.item(fmt.Sprintf("%d.", i+1), "%s", text)
	}
	p.section("How to test safely")
	for _, s := range r.Safety {
		p.item("", "%s", s)
	}
}

func (r wearReport) writeNotes(p *page) {
	if len(r.Notes)+len(r.Use.Warnings) == 0 {
		return
	}
	p.section("Notes")
	for _, w := range r.Use.Warnings {
		p.item("", "%s", sentence(w))
	}
	for _, n := range r.Notes {
		p.item("", "%s", sentence(n))
	}
}
