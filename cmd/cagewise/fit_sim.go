package main

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"cagewise/gearing"
	"cagewise/sim"
)

// simulate adds the simulated answer where the derailleur's geometry is known.
// A geometry that cannot be is an error.
func (r *fitReport) simulate(in input) error {
	rig, err := sim.NewRig(in.build.Build)
	if errors.Is(err, sim.ErrNoGeometry) {
		r.SimulationMissing = "needs the distance between the two pulley bolts: rear_derailleur.pulley_centres or --pulley-centres"
		return nil
	}
	if err != nil {
		return fmt.Errorf("%s: %w", in.name(), err)
	}
	a, err := rig.Answer()
	if err != nil {
		return fmt.Errorf("%s: %w", in.name(), err)
	}
	r.Simulation, r.Verdict, r.Lowered = &a, a.Verdict, rig.Derailleur.Lowered
	return r.turnScrew(in.build.Build)
}

// turnScrew judges a build that fails with the B-screw as it stood when readings
// were taken once more with the screw at its usual gap.
func (r *fitReport) turnScrew(b gearing.Build) error {
	if !r.Verdict.Fails() || b.Rear.Geometry.TargetGap == 0 || len(r.inState(sim.Fouls)) == 0 {
		return nil
	}
	b.Rear.Geometry.TargetGap = 0
	rig, err := sim.NewRig(b)
	if err != nil {
		return fmt.Errorf("with the B-screw at its usual gap: %w", err)
	}
	a, err := rig.Answer()
	if err != nil {
		return fmt.Errorf("with the B-screw at its usual gap: %w", err)
	}
	if !a.Verdict.Fails() && float64(a.Fit.Target) > float64(r.Simulation.Fit.Target) {
		r.turned = &a
	}
	return nil
}

// turnWords tell what the B-screw would mend.
func (r fitReport) turnWords() string {
	if r.turned == nil {
		return ""
	}
	reach := "if the screw reaches it"
	if r.turned.Fit.Screw {
		reach = "which the screw reaches by its range"
	}
	return fmt.Sprintf(" First turn the B-screw: with a gap of %s mm on the smallest ring and largest cog, %s, a chain of %s %s.",
		num(float64(r.turned.Fit.Target), 1), reach, r.chain(r.turned.Pitches), r.turned.Verdict)
}

// simSentence is the simulated verdict in plain words.
func (r fitReport) simSentence() string {
	a := r.Simulation
	chain := r.chain(a.Pitches)
	switch {
	case a.Verdict.Fails():
		return r.simFailure()
	case a.Verdict == gearing.CannotTell:
		return fmt.Sprintf("With %s nothing but the pulley gap stands against it: %s. The cage pivot that decides it is invented here. Measure yours on the largest cog (rear_derailleur.geometry), or see the maker's largest cog.",
			chain, r.foulWords())
	case a.Verdict == gearing.WorksWithout:
		s := fmt.Sprintf("With %s the cage takes up every gear but %s: there the chain hangs slack, it is noisy and may drop, nothing breaks.",
			chain, gearList(r.inState(sim.Slack)))
		return s + " " + r.simChain()
	}
	return fmt.Sprintf("With %s the cage takes up every gear. %s", chain, r.simChain())
}

// simChain says which chain to cut, or what to do with the one owned; where
// the margins leave a danger it names the longer chain first.
func (r fitReport) simChain() string {
	a := r.Simulation
	if a.Safer.Pitches > 0 {
		return r.saferSentence()
	}
	if a.Risk.Chance >= sim.DoubtfulChance {
		return fmt.Sprintf("But within the margins %s may be dangerous, a chance of about %s %%: measure more before you trust it.", a.Risk.GearID, num(100*a.Risk.Chance, 0))
	}
	switch {
	case !a.Owned && a.Pitches > a.Window.Shortest:
		return fmt.Sprintf("Cut the chain to that length. %d pitches is the shortest without a dangerous gear, but leaves a chance of about %s %% that %s is dangerous, too short or with the pulley in the cog.",
			a.Window.Shortest, num(100*a.Doubt.Chance, 0), a.Doubt.GearID)
	case !a.Owned && a.Window.ClearTo > a.Pitches:
		return fmt.Sprintf("Cut the chain to that length, the shortest without a dangerous gear, or in doubt longer: up to %d pitches every gear runs.", a.Window.ClearTo)
	case !a.Owned:
		return "Cut the chain to that length; it is the shortest without a dangerous gear."
	case a.Recommended > 0 && a.Pitches > a.Recommended:
		return fmt.Sprintf("Your chain is long enough; %d pitches would do.", a.Recommended)
	}
	return "Your chain can stay."
}

func (r fitReport) saferSentence() string {
	a := r.Simulation
	with := "then every gear still runs"
	if len(a.Safer.Slack) > 0 {
		with = fmt.Sprintf("then %s %s slack, noisy but not dangerous", gearList(a.Safer.Slack), hangOrHangs(len(a.Safer.Slack)))
	}
	do := "In doubt cut"
	if a.Owned {
		do = "Safer is a chain of"
	}
	return fmt.Sprintf("But %s. %s %d pitches: %s, and that chance is %s %%.", doubtWords(a.Risk), do, a.Safer.Pitches, with, num(100*a.Safer.Chance, 0))
}

// doubtWords tell how likely a chain is dangerous after all.
func doubtWords(k sim.Risk) string {
	return fmt.Sprintf("a chance of about %s %% is left that %s is dangerous, too short or with the pulley in the cog", num(100*k.Chance, 0), k.GearID)
}

func hangOrHangs(n int) string {
	if n == 1 {
		return "hangs"
	}
	return "hang"
}

// simFailure says what fails, and what chain would mend it.
func (r fitReport) simFailure() string {
	a := r.Simulation
	var parts []string
	for _, s := range []struct {
		state sim.State
		words string
	}{
		{sim.Locks, "too short, it locks the pedals"},
		{sim.Overstretched, "overstretched"},
	} {
		if gears := r.inState(s.state); len(gears) > 0 {
			parts = append(parts, fmt.Sprintf("%s in %s", s.words, gearList(gears)))
		}
	}
	if words := r.foulWords(); words != "" {
		parts = append(parts, "no help: "+words)
	}
	if len(parts) == 0 {
		return fmt.Sprintf("A chain of %s hangs slack in every gear.", r.chain(a.Pitches))
	}
	s := fmt.Sprintf("A chain of %s is %s. Never ride it so, not even with a promise to keep out of those gears.", r.chain(a.Pitches), strings.Join(parts, "; "))
	if n := a.Recommended; n > 0 && n != a.Pitches {
		return s + fmt.Sprintf(" %s would do.", r.chain(n))
	}
	if a.Recommended == 0 {
		s += " No chain length mends it."
	}
	return s + r.turnWords()
}

// foulWords names the gears in which the guide pulley meets the cog.
func (r fitReport) foulWords() string {
	var words []string
	if gears := r.inState(sim.Fouls); len(gears) > 0 {
		words = append(words, "the guide pulley runs into the cog in "+gearList(gears))
	}
	if gears := r.withoutPath(); len(gears) > 0 {
		words = append(words, "it lies in the cog from the start in "+gearList(gears))
	}
	return strings.Join(words, "; ")
}

func (r fitReport) withoutPath() []gearing.GearID {
	var list []gearing.GearID
	for i := range r.Simulation.Fit.Gears {
		if g := &r.Simulation.Fit.Gears[i]; g.NoPath {
			list = append(list, g.GearID)
		}
	}
	return list
}

// inState lists the gears in a state that have a chain path.
func (r fitReport) inState(s sim.State) []gearing.GearID {
	var list []gearing.GearID
	for i := range r.Simulation.Fit.Gears {
		if g := &r.Simulation.Fit.Gears[i]; g.State == s && !g.NoPath {
			list = append(list, g.GearID)
		}
	}
	return list
}

func (r fitReport) writeSimulation(p *page) {
	a := r.Simulation
	if a == nil {
		p.section("Not simulated")
		p.para("This is the makers' ratings alone, with no margin of their own. What the cage does in every gear: %s.", r.SimulationMissing)
		return
	}
	r.writeSureness(p)
	r.writeWindow(p)
	p.section(fmt.Sprintf("Every gear with %d pitches", a.Pitches))
	p.grid(r.stateTable())
	p.para("Reserves before the cage is pulled forward to its limit and before it swings back to it; both want to stay over their bounds, %s and 0. Gap: between the teeth of cog and guide pulley. Figures behind +- are standard errors%s. Ring and cog: how many of their teeth the chain lies on. Tension: the pull of the cage's spring on the lower run, newtons. B-screw: %s.",
		num(sim.LeastReserve, 0), r.unknownWords(), r.screwWords())
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

// writeSureness says what the answer rests on and how soon it would turn.
func (r fitReport) writeSureness(p *page) {
	a, w := r.Simulation, r.Simulation.Weakest
	p.section("How sure")
	basis := a.Knowledge.String()
	if a.Knowledge == sim.Typical {
		basis += ", invented to stand for derailleurs of this cage length, not measured on yours: wide margins"
	}
	p.item("", "Rests on %s.", basis)
	if a.Knowledge == sim.Typical && r.Lowered > 0 {
		p.item("", "The invented cage pivot on the largest cog was lowered by %s mm so that the B-screw reaches its gap, as on a derailleur made for such a cassette. Whether yours is, its rated largest cog or a ruler on its pivot tells.", num(float64(r.Lowered), 1))
	}
	if !r.Build.stops {
		p.item("", "Cage stops not given: taken as out of the cage's way.")
	}
	if w.Known() {
		p.item("", "Weakest figure: %s in %s, %s %s off its bound, +- %s: chance that the verdict turns there about %s %%.",
			w.Figure, w.GearID, num(math.Abs(w.Value), 2), w.Unit, num(w.Error, 2), num(100*w.Chance, 0))
		if w.ChangeUnit != "" {
			p.item("", "Soonest turned by: %s, off by %s %s.", w.Soonest, signed(w.Change, 1), w.Soonest.Unit())
		}
	}
	if a.Gain.Helps {
		p.item("", "One more measurement that helps most: %s; it would bring the +- %s down to %s.", a.Gain.Input, num(w.Error, 2), num(a.Gain.Error, 2))
	}
}

// stateTable is one row a gear.
func (r fitReport) stateTable() *table {
	t := &table{cols: []column{
		{head: "gear", left: true}, {head: "state", left: true},
		{head: "forward", unit: "pitches"}, {head: "+-", left: true},
		{head: "rearward", unit: "pitches"}, {head: "+-", left: true},
		{head: "gap", unit: "mm"}, {head: "+-", left: true},
		{head: "ring", unit: "teeth"}, {head: "cog", unit: "teeth"}, {head: "tension", unit: "N"},
	}}
	a := r.Simulation
	for i := range a.Fit.Gears {
		g, m := &a.Fit.Gears[i], &a.Margins[i]
		if i > 0 && g.Ring != a.Fit.Gears[i-1].Ring {
			t.breakHere()
		}
		if g.NoPath {
			t.add(g.GearID.String(), g.State.String(), "", "", "", "", "", "", "", "", "")
			continue
		}
		t.add(g.GearID.String(), g.State.String(),
			num(float64(g.Forward), 1), plusMinus(float64(m.Forward)), num(float64(g.Rearward), 1), plusMinus(float64(m.Rearward)),
			num(float64(g.Gap), 1), plusMinus(float64(m.Gap)),
			num(g.OnRing.Teeth, 1), num(g.OnCog.Teeth, 1), num(g.LowerTension, 0))
	}
	return t
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
	a := r.Simulation
	for i := range a.Margins {
		m := &a.Margins[i]
		for _, e := range []float64{float64(m.Forward), float64(m.Rearward), float64(m.Gap)} {
			if !a.Fit.Gears[i].NoPath && plusMinus(e) == ">9" {
				return "; >9 is so large that the figure before it says nothing"
			}
		}
	}
	return ""
}

// addStates adds the simulated figures to the machine's table.
func (r fitReport) addStates(t *table) {
	a := r.Simulation
	if a == nil {
		return
	}
	for _, key := range []string{
		"state", "reserve_forward_pitches", "reserve_forward_error_pitches", "reserve_rearward_pitches", "reserve_rearward_error_pitches",
		"pulley_gap_mm", "pulley_gap_error_mm", "cage_angle_deg", "wrap_ring_teeth", "wrap_cog_teeth", "lower_run_tension_n", "over_ground_mm",
	} {
		t.cols = append(t.cols, column{key: key})
	}
	for i := range a.Fit.Gears {
		g, m := &a.Fit.Gears[i], &a.Margins[i]
		t.rows[i] = append(t.rows[i], g.State.String(),
			num(float64(g.Forward), 3), num(float64(m.Forward), 3), num(float64(g.Rearward), 3), num(float64(m.Rearward), 3),
			num(float64(g.Gap), 2), num(float64(m.Gap), 2), num(float64(g.CageAngle), 2),
			num(g.OnRing.Teeth, 2), num(g.OnCog.Teeth, 2), num(g.LowerTension, 1), num(float64(g.GroundRoom), 1))
	}
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
	a := r.Simulation
	p.section("Against the rated capacity")
	rated := "not given"
	if a.Cap.Rated > 0 {
		rated = whole(a.Cap.Rated)
	}
	if !a.Cap.Known {
		p.para("Capacity in teeth: needed %d, rated %s; not simulated, as no chain path closes on %s.", a.Cap.Needed, rated, r.bigBig())
		return
	}
	p.para("Capacity in teeth: needed %d, rated %s, simulated %s +- %s; margin %s teeth, decided by %s. Simulated means: chain sized at %s with %s pitch in reserve and not a fraction more; whole links cost up to 4 teeth of it.",
		a.Cap.Needed, rated, num(a.Cap.Simulated, 1), num(a.Cap.Error, 1), signed(a.Cap.Margin, 1), a.Cap.Gear, r.bigBig(), num(sim.LeastReserve, 0))
	slack := r.inState(sim.Slack)
	switch {
	case a.Cap.Rated == 0:
	case gearList(slack) == gearList(r.Lost):
		p.para("Rating and simulation agree on the gears lost.")
	default:
		p.para("The rating loses %s, the simulation %s: a rating is one number for every bike, with the maker's reserve in it; here the chainstay, the real path round the pulleys and the whole links of the chain are computed.",
			listOrNone(r.Lost), listOrNone(slack))
	}
	if n := r.Lengths.Recommended; a.Recommended > 0 && n != a.Recommended {
		p.para("The shop method says %d pitches, the simulation %d: the shop keeps 2 pitches over the bare loop, the simulation %s pitch over the shortest way round the derailleur.",
			n, a.Recommended, num(sim.LeastReserve, 0))
	}
}

func (r fitReport) bigBig() string {
	return gearing.GearName(r.Build.Rings[len(r.Build.Rings)-1], r.Build.Cogs[len(r.Build.Cogs)-1])
}

func listOrNone(gears []gearing.GearID) string {
	if len(gears) == 0 {
		return "none"
	}
	return gearList(gears)
}
