package main

import (
	"fmt"
	"strings"

	"cagewise/gearing"
	"cagewise/sim"
)

func (r fitReport) writeSimulation(p *page) {
	if r.Simulation == nil {
		p.section("Not simulated")
		p.para("This is the bare loop and the makers' ratings alone; what the cage does in every gear is not known.")
		return
	}
	r.writeSureness(p)
	r.writeWindow(p)
	p.section(fmt.Sprintf("Every gear with %d pitches", r.Simulation.Fit.Pitches))
	p.grid(r.stateTable())
	p.para("Danger, slack: the chance that the gear is dangerous or hangs slack. A ? behind a state: doubtful, with a chance of %s %% or more the gear is otherwise. Reserves before the cage is pulled forward to its limit and before it swings back to it; both want to stay over their bounds, %s and 0. Gap: between the teeth of cog and guide pulley. Figures behind +- are standard errors%s. Tension: the pull of the cage's spring on the lower run, newtons. Ring and cog: how many of their teeth the chain lies on. B-screw: %s.",
		num(100*sim.LostChance, 0), num(sim.LeastReserve, 0), r.unknownWords(), r.screwWords())
	r.writeLimits(p)
	r.writeAgainstRating(p)
}

// writeLimits names the gears whose swing rearward is ended by something other
// than the lower run: their reserves do not follow the rest.
func (r fitReport) writeLimits(p *page) {
	gears := map[sim.Limit][]gearing.GearID{}
	for i := range r.Simulation.Fit.Gears {
		if g := &r.Simulation.Fit.Gears[i]; !g.NoPath && g.RearLimit != sim.LimitTouches {
			gears[g.RearLimit] = append(gears[g.RearLimit], g.GearID)
		}
	}
	for l := sim.LimitNone; l <= sim.LimitTension; l++ {
		if list := gears[l]; len(list) > 0 && len(list) < len(r.Simulation.Fit.Gears) {
			p.para("The rearward reserve of %s ends at another limit: %s.", gearList(list), l)
		}
	}
}

// writeSureness says what the answer rests on.
func (r fitReport) writeSureness(p *page) {
	p.section("How sure")
	p.item("", "Rests on %s.", basisWords(r.Advice.Knowledge))
	if words := r.Build.stopWords(); words != "" {
		p.item("", "%s", words)
	}
}

// basisWords say what a judgement rests on, and what that is worth.
func basisWords(k sim.Knowledge) string {
	switch k {
	case sim.FromRating:
		return k.String() + ": the cage's length is taken from what makers rate so, the rest invented to stand for such derailleurs, not measured on yours: very wide margins"
	case sim.Typical:
		return k.String() + ", invented to stand for derailleurs of this cage length, not measured on yours: wide margins"
	}
	return k.String()
}

// stopWords tell which cage stops are assumed; "" where both were read.
func (s buildSummary) stopWords() string {
	var list []string
	if !s.rearStop {
		list = append(list, "the rear cage stop (cage_stop_rear)")
	}
	if !s.forwardStop {
		list = append(list, "the forward cage stop (cage_stop_forward)")
	}
	switch len(list) {
	case 0:
		return ""
	case 1:
		return "Not given and so assumed, with a wide error of some 15 degrees: " + list[0] + ". It can be read on the bike: push the cage to its end by hand, read its angle."
	}
	return "Not given and so assumed, each with a wide error of some 15 degrees: " + strings.Join(list, " and ") + ". Both can be read on the bike: push the cage to its end by hand, read its angle."
}

// stateTable is one row a gear.
func (r fitReport) stateTable() *table {
	t := &table{cols: []column{
		{head: "gear", left: true}, {head: "state", left: true}, {head: "danger", unit: "%"}, {head: "slack", unit: "%"},
		{head: "forward", unit: "pitches"}, {head: "+-", left: true},
		{head: "rearward", unit: "pitches"}, {head: "+-", left: true},
		{head: "gap", unit: "mm"}, {head: "+-", left: true},
		{head: "tension", unit: "N"}, {head: "ring", unit: "teeth"}, {head: "cog", unit: "teeth"},
	}}
	for i := range r.Simulation.Fit.Gears {
		g, m, a := &r.Simulation.Fit.Gears[i], &r.Simulation.Margins[i], &r.Advice.Gears[i]
		if i > 0 && g.Ring != r.Simulation.Fit.Gears[i-1].Ring {
			t.breakHere()
		}
		row := chanceCells(a)
		if g.NoPath {
			t.add(append(row, "", "", "", "", "", "", "", "", "")...)
			continue
		}
		t.add(append(row,
			num(float64(g.Forward), 1), plusMinus(float64(m.Forward)), num(float64(g.Rearward), 1), plusMinus(float64(m.Rearward)),
			num(float64(g.Gap), 1), plusMinus(float64(m.Gap)),
			num(g.LowerTension, 0), num(g.OnRing.Teeth, 1), num(g.OnCog.Teeth, 1))...)
	}
	return t
}

// chanceCells are a gear, its state and its chances.
func chanceCells(g *sim.GearAdvice) []string {
	state := g.State.String()
	if g.Doubt {
		state += "?"
	}
	return []string{g.GearID.String(), state, percentOf(g.Danger.Any), percentOf(g.Slack)}
}

// plusMinus writes a standard error; beyond 10 it says no more than that the
// figure is not known.
func plusMinus(e float64) string {
	if e >= 9.95 {
		return ">9"
	}
	return num(e, 1)
}

// unknownWords tell what >9 is, where it stands in the table.
func (r fitReport) unknownWords() string {
	s := r.Simulation
	for i := range s.Margins {
		m := &s.Margins[i]
		for _, e := range []float64{float64(m.Forward), float64(m.Rearward), float64(m.Gap)} {
			if !s.Fit.Gears[i].NoPath && plusMinus(e) == ">9" {
				return "; >9 is so large that the figure before it says nothing"
			}
		}
	}
	return ""
}

func (r fitReport) screwWords() string {
	f := r.Simulation.Fit
	if f.Unbalanced > 0 {
		return fmt.Sprintf("none; the two springs find no balance in %s, whose figures stand for the end of the body's swing: check mount_preload and mount_rate", plural(f.Unbalanced, "gear"))
	}
	at := fmt.Sprintf("target gap %s mm on the smallest ring and largest cog", num(float64(f.Target), 1))
	if f.Screw {
		return fmt.Sprintf("%s, reached with the body turned %s degrees", at, signed(float64(f.BodyAngle), 1))
	}
	if f.ScrewMiss == 0 {
		return at + "; no chain path closes in that gear, so nothing can be set"
	}
	return fmt.Sprintf("%s; the screw does not reach it, the gap misses it by %s mm", at, signed(float64(f.ScrewMiss), 1))
}

// writeAgainstRating sets rated and simulated capacity side by side and says
// why they differ.
func (r fitReport) writeAgainstRating(p *page) {
	k := r.Simulation.Cap
	p.section("Against the rated capacity")
	rated := "not given"
	if k.Rated > 0 {
		rated = whole(k.Rated)
	}
	if !k.Known {
		p.para("Capacity in teeth: needed %d, rated %s; not simulated, as no chain path closes on %s.", k.Needed, rated, r.bigBig())
		return
	}
	p.para("Capacity in teeth: needed %d, rated %s, simulated %s +- %s; margin %s teeth, decided by %s. Simulated means: chain sized at %s with the least that must be in hand and not a fraction more; whole links cost up to 4 teeth of it.",
		k.Needed, rated, num(k.Simulated, 1), num(k.Error, 1), signed(k.Margin, 1), k.Gear, r.bigBig())
	lost := gearList(r.Gone)
	switch {
	case k.Rated == 0:
	case lost == gearList(r.RatedLost):
		p.para("Rating and simulation agree on the gears lost.")
	default:
		p.para("The rating loses %s, the simulation %s: a rating is one number for every bike, with the maker's reserve in it; here the chainstay, the path round the pulleys and the whole links of the chain are computed.",
			listOrNone(r.RatedLost), listOrNone(r.Gone))
	}
}

func listOrNone(gears []gearing.GearID) string {
	if len(gears) == 0 {
		return "none"
	}
	return gearList(gears)
}
