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
		case b.Need == wear.NeedOnHand:
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
	text := fmt.Sprintf("%s (%s): not due yet; keep it", d.ID, d.Kind)
	switch {
	case slices.Contains(r.Dangerous, d.ID):
		text = fmt.Sprintf("%s (%s): due, and it can throw you: do not ride where its failing would hurt", d.ID, d.Kind)
	case slices.Contains(r.NotToBeHad, d.ID):
		text = fmt.Sprintf("%s (%s): due; keep it", d.ID, d.Kind)
	}
	if w := d.Watch; w != nil {
		text += fmt.Sprintf(", and look at it every %s", r.distance(w.LookEvery))
		if w.HasKM {
			text += fmt.Sprintf("; %s +- %s km are left to %s %%", num(w.KM, 0), num(w.Error, 0), num(float64(w.Limit), 2))
		}
	}
	if singles := r.singles(d); singles != "" {
		text += "; of its cogs the " + singles + " can be had singly"
	}
	return text + ". Start looking for one now; a used one, or a whole set with other steps, does too."
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
