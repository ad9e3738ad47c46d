package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"cagewise/gearing"
	"cagewise/sim"
)

func (r fitReport) writeLengths(p *page) {
	p.section("Chain length")
	p.para("Loop round %s without a derailleur at %s mm: %s.",
		gearing.GearName(r.Build.Rings[len(r.Build.Rings)-1], r.Build.Cogs[len(r.Build.Cogs)-1]),
		num(float64(r.Lengths.LongestChainstay), 1), r.units.Chain(r.Lengths.Loop))
	p.grid(r.methodTable())
	if r.PulleyMethodsMissing != "" {
		p.para("The two methods that need the pulleys, pulleys vertical and small-small clear: %s.", r.PulleyMethodsMissing)
	} else {
		p.para("The two pulley methods use %s, at a chainstay of %s mm.", r.PulleyKnowledge, num(float64(r.Build.Chainstay), 1))
	}
	if r.Simulation != nil {
		p.para("%s", r.simulatedCounts())
	}
	p.para("%s", r.whyTheyDiffer())
	if more := r.Lengths.LongestChainstay - r.Lengths.ShortestChainstay; more > 0 {
		slack := float64(2 * more.Pitches())
		p.para("Sized for the axle's farthest place from the crank; at its nearest the chain is %s pitches looser, which uses up %s teeth of capacity.", num(slack, 1), num(2*slack, 0))
	}
}

func (r fitReport) methodTable() *table {
	t := &table{cols: []column{
		{key: "method", head: "method", left: true},
		{key: "raw_pitches", head: "exact", unit: "pitches"},
		{key: "pitches", head: "cut to", unit: "pitches"},
		{key: "link_pairs", head: "link", unit: "pairs"},
		{key: "length_mm", head: "length", unit: "mm"},
		{key: "length_in", head: "or", unit: "in"},
		{key: "to_edge_pitches", head: "to edge", unit: "pitches"},
		{key: "chainstay_to_edge_mm", head: "chainstay", unit: "mm"},
	}}
	for _, m := range r.allMethods() {
		n := gearing.Pitches(m.Pitches)
		edge := min(m.ToLonger, m.ToShorter)
		t.add(string(m.Method), num(float64(m.Raw), 2), whole(m.Pitches), num(n.LinkPairs(), 1),
			num(float64(n.MM()), 1), num(float64(n.MM().Inches()), 1), num(float64(edge), 2), signed(float64(m.Chainstay), 1))
	}
	return t
}

// simulatedCounts says what the simulation does with each count of a method.
func (r fitReport) simulatedCounts() string {
	var counts []int
	for _, m := range r.allMethods() {
		if !slices.Contains(counts, m.Pitches) {
			counts = append(counts, m.Pitches)
		}
	}
	slices.Sort(counts)
	words := make([]string, len(counts))
	for i, n := range counts {
		words[i] = fmt.Sprintf("%d %s", n, r.worstAt(n))
	}
	return "In the simulation, by the worst gear: " + strings.Join(words, ", ") + "."
}

// worstAt is the worst state of any gear with a count of the window.
func (r fitReport) worstAt(pitches int) string {
	w := r.Simulation.Window
	c, ok := w.Find(pitches)
	switch {
	case ok && c.Worst().Runs():
		return "runs in every gear"
	case ok:
		return c.Worst().String()
	case len(w.Counts) > 0 && pitches < w.Counts[0].Pitches:
		return sim.Locks.String()
	}
	return "too long"
}

func (r fitReport) allMethods() []gearing.MethodLength {
	return append(r.Lengths.Methods[:len(r.Lengths.Methods):len(r.Lengths.Methods)], r.PulleyMethods...)
}

// whyTheyDiffer explains the spread and the rounding edge from the numbers.
func (r fitReport) whyTheyDiffer() string {
	m := r.Lengths.Methods[0]
	s := "Why they differ: big-big + 2 pitches is the trade's shortest safe chain. The quick formula leaves out the unequal wheels and rounds to whole inches. "
	switch {
	case len(r.PulleyMethods) == 2 && r.Simulation != nil:
		s += "The pulley methods look at one gear each and know nothing of stops, travel or the other end. "
	case len(r.PulleyMethods) == 2:
		s += r.pulleyWords(m)
	}
	s += "The last column is the change of the chainstay reading that would change the count: 3 mm on the chainstay are 6 mm or 0.47 pitch of chain."
	if math.Abs(float64(m.Chainstay)) < 3 {
		longer := "longer"
		if m.Chainstay < 0 {
			longer = "shorter"
		}
		s += fmt.Sprintf(" For the first row a chainstay %s mm %s would do, within the error of a tape measure: measure again, and take the longer chain if in doubt.",
			num(math.Abs(float64(m.Chainstay)), 1), longer)
	}
	return s
}

// pulleyWords compares the methods that look at the pulleys with big-big.
func (r fitReport) pulleyWords(m gearing.MethodLength) string {
	vertical, small := r.PulleyMethods[0], r.PulleyMethods[1]
	s := fmt.Sprintf("Pulleys vertical knows nothing of big-big: %d pitches here. ", vertical.Pitches)
	if small.Pitches < m.Pitches {
		return s + fmt.Sprintf("Small-small clear is the longest that takes up every gear, and %d is under %d: by these rules no length does both. ", small.Pitches, m.Pitches)
	}
	return s + fmt.Sprintf("Small-small clear is the longest that takes up every gear: %d to %d pitches serve all. ", m.Pitches, small.Pitches)
}

func (r fitReport) writeOwned(p *page) {
	o := r.Owned
	if o == nil {
		return
	}
	p.section("The chain you have")
	if r.Simulation != nil {
		r.writeOwnedSimulated(p)
		return
	}
	p.para("%s", r.ownedSentence())
	if len(o.Locked) > 0 {
		p.item("locks", "%s: the chain is shorter than the way round", gearList(o.Locked))
	}
	if len(o.Overstretched) > 0 {
		p.item("tight", "%s: overstretched, less than 2 pitches over the bare loop", gearList(o.Overstretched))
	}
}

// writeOwnedSimulated says what the shop rule thinks of a chain that the
// simulation has judged.
func (r fitReport) writeOwnedSimulated(p *page) {
	o, a := r.Owned, r.Simulation
	p.para("The verdict at the top is the simulation's. The shop rule looks at the bare loop alone: %s", r.ownedSentence())
	switch {
	case !a.Verdict.Fails() && o.State != gearing.OwnedLongEnough:
		p.para("They disagree: round the derailleur %s pitches are left in %s before the cage is at its limit, over the bare loop %s. The shop rule keeps more in hand; follow it unless you have tried the gear by hand on the stand.",
			num(float64(a.Fit.Gears[r.bigBigIndex()].Forward), 2), r.bigBig(), signed(float64(o.Surplus), 2))
	case a.Verdict.Fails() && o.State == gearing.OwnedLongEnough:
		p.para("They disagree: the bare loop knows nothing of the cage. Believe the simulation.")
	}
}

func (r fitReport) bigBigIndex() int { return len(r.Simulation.Fit.Gears) - len(r.Build.Cogs) }

func (r fitReport) ownedSentence() string {
	o := r.Owned
	have := fmt.Sprintf("Your chain of %s", r.chain(o.Pitches))
	if r.Build.elongation > 0 {
		have += fmt.Sprintf(", %s %% worn,", num(float64(r.Build.elongation), 2))
	}
	reserve := fmt.Sprintf("%s pitches over the bare loop on the largest ring and cog", signed(float64(o.Surplus), 2))
	switch {
	case o.State == gearing.OwnedLocks:
		return fmt.Sprintf("%s is too short (%s): it locks the pedals. Add %s.", have, reserve, pitches(o.Add))
	case o.State == gearing.OwnedOverstretched:
		return fmt.Sprintf("%s is overstretched (%s). Add %s.", have, reserve, pitches(o.Add))
	case o.Add < 0:
		return fmt.Sprintf("%s can stay (%s); it is %s longer than needed.", have, reserve, pitches(-o.Add))
	}
	return fmt.Sprintf("%s can stay (%s).", have, reserve)
}
