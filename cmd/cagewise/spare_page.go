package main

import (
	"fmt"
	"strings"

	"cagewise/gearing"
	"cagewise/sim/wear"
)

// Verdicts on gears in a word.
const (
	wordSpares = "SPARES THE CHAIN"
	wordAlike  = "ALIKE"
	wordLarger = "LARGER WHEELS"
)

// verdictWords name the gear in which a chain lasts longest.
func (r spareReport) verdictWords() (word, sentence string) {
	first := r.Gears[0]
	if len(r.Gears) == 1 {
		return r.sizeWords(first)
	}
	best := first
	for _, g := range r.Gears[1:] {
		if g.Spares && g.ChainLife > best.ChainLife {
			best = g
		}
	}
	if best.GearID != first.GearID {
		return wordSpares, fmt.Sprintf("%s: by the model a chain lasts about %s times as long in it as in %s.%s", best.GearID, num(best.ChainLife, 1), first.GearID, r.apartWords())
	}
	worst := first
	for _, g := range r.Gears[1:] {
		if g.Wears && g.ChainLife < worst.ChainLife {
			worst = g
		}
	}
	if worst.GearID != first.GearID {
		return wordSpares, fmt.Sprintf("%s: by the model a chain lasts about %s times as long in it as in %s.%s", first.GearID, num(1/worst.ChainLife, 1), worst.GearID, r.apartWords())
	}
	return wordAlike, "These gears wear a chain alike by the model, within 3 %: take the one with the straighter chain." + r.apartWords()
}

// apartWords warn when two are not the same gear.
func (r spareReport) apartWords() string {
	for _, g := range r.Gears[1:] {
		if g.Step > wear.SameGear {
			return fmt.Sprintf(" But %s is %s %% from %s: not the same gear.", g.GearID, num(float64(g.Step), 0), r.Gears[0].GearID)
		}
	}
	return ""
}

func (r spareReport) sizeWords(first sparedGear) (word, sentence string) {
	if len(r.Sizes) < 2 {
		return wordLarger, fmt.Sprintf("No other wheels that are made come near the ratio of %s.", first.GearID)
	}
	small, large := r.Sizes[0], r.Sizes[len(r.Sizes)-1]
	var words []string
	for _, g := range []sparedGear{large, small} {
		if g.GearID != first.GearID {
			words = append(words, fmt.Sprintf("%s times as long with %s", num(g.ChainLife, 1), g.GearID))
		}
	}
	return wordLarger, fmt.Sprintf("By the model a chain lasts, against %s, about %s.", first.GearID, strings.Join(words, " and "))
}

func (r spareReport) titleText() string { return r.Build.heading() + ": which gear spares the chain" }

func (r spareReport) write(p *page) {
	p.headline(green, r.word, r.Verdict)
	if r.Pitches > 0 {
		p.para("Chain of %s, %s. %s N of push at the wheel.", p.units.Chain(gearing.Pitches(r.Pitches)), r.From, num(r.Push, -1))
	}
	if len(r.Gears) > 1 {
		p.section(fmt.Sprintf("The gears against %s", r.Gears[0].GearID))
		p.grid(r.gearTable(r.Gears, p.units))
		if r.Pitches > 0 {
			p.para("Each with the bike's own chain.")
		}
		for _, g := range r.Gears[1:] {
			p.reasons(g.GearID.String(), g.Why)
		}
	}
	if len(r.Sizes) > 1 {
		p.section(fmt.Sprintf("About the ratio of %s with smaller and larger wheels", r.Gears[0].GearID))
		p.grid(r.gearTable(r.Sizes, p.units))
		p.para("%s", r.sizesWords())
	}
	p.para("pull: of the upper run, the lower run's in it; what a torque alone puts on it comes without. joint turns: how far a joint turns under load. Lives are those in %s times the figure; * is not on the bike.", r.Gears[0].GearID)
	for _, n := range r.Notes {
		p.item("", "%s", sentence(n))
	}
	p.section("Caution")
	for _, c := range r.Cautions {
		p.item("", "%s", c)
	}
}

// sizesWords tell why a gear in both tables has two lives.
func (r spareReport) sizesWords() string {
	if r.Pitches == 0 {
		return "All with a chain of the same length."
	}
	return "Each with the chain it would need, longer or shorter by half the teeth: a shorter one has fewer joints to share the work, so that a life here can differ from the one with the bike's own chain."
}

// pitchCell is the length of the chain a life is told for.
func (r spareReport) pitchCell(g sparedGear) string {
	if r.Pitches == 0 {
		return "-"
	}
	return whole(g.Pitches)
}

func (r spareReport) gearTable(list []sparedGear, u gearing.Units) *table {
	t := &table{cols: []column{
		{head: "gear", left: true}, developColumn(u), {head: "pull", unit: "N"}, {head: "joint turns", unit: "deg"}, {head: "slant", unit: "deg"},
		{head: "chain", unit: "pitches"}, {head: "chain", unit: "life x"}, {head: "cog", unit: "life x"}, {head: "ring", unit: "life x"},
	}}
	if r.Torque > 0 {
		t.cols = append(t.cols, column{head: "pull at " + num(r.Torque, -1) + " N m", unit: "N"})
	}
	if r.Speed > 0 {
		t.cols = append(t.cols, column{head: speedWords(u, r.Speed), unit: "rpm"})
	}
	for _, g := range list {
		name, slant := g.GearID.String(), "-"
		if !g.OnBike {
			name += "*"
		}
		if g.HasLine {
			slant = num(float64(g.Line), 1)
		}
		row := []string{name, develops(u, g.Development), num(g.GearWear.Pull, 0), num(float64(g.Articulation), 0), slant, r.pitchCell(g), num(g.ChainLife, 2), num(g.CogLife, 2), num(g.RingLife, 2)}
		if r.Torque > 0 {
			row = append(row, num(g.Pull, 0))
		}
		if r.Speed > 0 {
			row = append(row, num(g.Cadence, 0))
		}
		t.add(row...)
	}
	return t
}

// csvTable is one row a gear.
func (r spareReport) csvTable() *table {
	t := keys("gear", "list", "on_the_bike", "development_m", "chain_pull_n", "crank_torque_nm", "articulation_deg", "chain_line_deg", "pitches", "joint_work_j_per_km", "cog_tooth_load_n_per_km", "ring_tooth_load_n_per_km",
		"chain_life_over_first", "cog_life_over_first", "ring_life_over_first", "step_percent", "chain_pull_at_torque_n", "cadence_at_speed_rpm")
	for _, l := range []struct {
		name string
		list []sparedGear
	}{{"gears", r.Gears}, {"other_sizes", r.Sizes}} {
		for _, g := range l.list {
			t.add(g.GearID.String(), l.name, fmt.Sprint(g.OnBike), num(float64(g.Development), 3), num(g.GearWear.Pull, 1), num(g.GearWear.Torque, 2), num(float64(g.Articulation), 2),
				figure(float64(g.Line), 2, g.HasLine), whole(g.Pitches), num(g.ChainWork, 4), num(g.CogWork, 0), num(g.RingWork, 0),
				num(g.ChainLife, 3), num(g.CogLife, 3), num(g.RingLife, 3), num(float64(g.Step), 1), figure(g.Pull, 0, r.Torque > 0), figure(g.Cadence, 1, r.Speed > 0))
		}
	}
	return t
}
