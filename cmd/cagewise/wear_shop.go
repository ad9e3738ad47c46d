package main

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/gearing"
	"cagewise/sim/wear"
)

func (r wearReport) writeShopping(p *page) {
	if len(r.Shopping) == 0 {
		return
	}
	p.section("Shopping list, the first first")
	p.grid(r.shoppingTable())
	p.para("%s", r.moneyWords())
}

func (r wearReport) shoppingTable() *table {
	t := &table{cols: []column{{head: "part", left: true}, {head: "kind", left: true}, {head: "needed", left: true}, {head: "price", unit: r.Money}}}
	budget := r.Budget > 0
	if budget {
		t.cols = append(t.cols, column{head: "budget", left: true})
	}
	for _, b := range r.Shopping {
		cost, within := "not given", "too dear"
		if b.HasPrice {
			cost = price(b.Price)
		}
		switch {
		case b.Need == wear.NeedOnHand, b.Need == wear.NeedWait:
			within = "-"
		case b.Within:
			within = "within it"
		case !b.HasPrice:
			within = "price?"
		}
		row := []string{shortName(b.ID, 20), string(b.Kind), string(b.Need), cost, within}
		t.add(row[:len(t.cols)]...)
	}
	return t
}

func (r wearReport) moneyWords() string {
	text := fmt.Sprintf("To be bought now: %s %s", price(r.Total), r.Money)
	if len(r.Missing) > 0 {
		text += ", without " + strings.Join(r.Missing, ", ") + ", whose price is not given"
	}
	if r.Budget > 0 {
		return text + fmt.Sprintf(". Budget %s, %s left of it.", price(r.Budget), price(r.Left))
	}
	return text + ". No budget was stated."
}

// writeNotToBeHad tells how long parts that cannot be had may stay.
func (r wearReport) writeNotToBeHad(p *page) {
	first := true
	for _, d := range r.Decisions {
		if d.Off || d.Source != gearing.SourceNone {
			continue
		}
		if first {
			p.section("Not to be had")
			first = false
		}
		p.item("", "%s", r.keepWords(d))
	}
}

func (r wearReport) keepWords(d wear.Decision) string {
	name := fmt.Sprintf("%s (%s)", d.ID, d.Kind)
	switch {
	case d.Danger:
		return fmt.Sprintf("%s: due, and it can throw you: %s. As long as it is on, look at it before every ride.", name, d.Instead)
	case d.NotToBeHad:
		return fmt.Sprintf("%s: due: %s.%s", name, d.Instead, r.lookWords(d))
	}
	text := name + ": not due yet; keep it." + r.lookWords(d)
	if singles := r.singles(d); singles != "" {
		text += " Of its cogs the " + singles + " can be had singly."
	}
	return text + " Start looking for one now; " + d.Instead + "."
}

// lookWords say how often to look and how far it goes.
func (r wearReport) lookWords(d wear.Decision) string {
	w := d.Watch
	switch {
	case w == nil:
		return ""
	case w.EveryRide:
		return " Look at it before every ride."
	}
	text := fmt.Sprintf(" Look at it every %s", r.distance(w.LookEvery))
	if w.HasKM {
		text += fmt.Sprintf("; %s +- %s are left to %s %%", r.bare(w.KM), r.distance(w.Error), num(float64(w.Limit), 2))
	}
	return text + "."
}

// singles names the cogs of a cassette that the log lists by themselves and
// that can be had.
func (r wearReport) singles(cassette wear.Decision) string {
	var list []string
	for _, d := range r.Decisions {
		if cassette.Kind == gearing.PartCassette && d.Kind == gearing.PartCog && !d.Off && d.Source != gearing.SourceNone &&
			len(d.Part.Teeth) > 0 && slices.Contains(cassette.Part.Teeth, d.Part.Teeth[0]) {
			list = append(list, whole(d.Part.Teeth[0]))
		}
	}
	return strings.Join(list, ", ")
}
