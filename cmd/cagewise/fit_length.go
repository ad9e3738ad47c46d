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
	p.section("Chain length by the shop methods")
	p.para("Loop round %s without a derailleur at %s mm: %s.",
		r.bigBig(), num(float64(r.Lengths.LongestChainstay), 1), r.units.Chain(r.Lengths.Loop))
	p.grid(r.methodTable())
	switch r.PulleyMethodsMissing {
	case whatIsMissing:
		p.para("The two methods that look at the pulleys, pulleys vertical and small-small clear, need to know the cage.")
	case "":
		p.para("The two pulley methods use %s, at a chainstay of %s mm.", r.Advice.Knowledge, num(float64(r.Build.Chainstay), 1))
	default:
		p.para("The two methods that look at the pulleys cannot be taken: %s.", r.PulleyMethodsMissing)
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
		{key: "pitches", head: "count", unit: "pitches"},
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
	return "In the simulation, by the figures of the worst gear: " + strings.Join(words, ", ") + "."
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
	return slices.Concat(r.Lengths.Methods, r.PulleyMethods)
}

// whyTheyDiffer explains the spread and the rounding edge from the numbers.
func (r fitReport) whyTheyDiffer() string {
	m := r.Lengths.Methods[0]
	s := "Why they differ: big-big + 2 pitches is the trade's shortest safe chain. The quick formula leaves out the unequal wheels and rounds to whole inches. "
	if len(r.PulleyMethods) > 0 {
		s += "The pulley methods look at one gear each and know nothing of stops, travel or the other end. "
	}
	s += "The last column is the change of the chainstay reading that would change the count: 3 mm on the chainstay are 6 mm or 0.47 pitch of chain."
	if math.Abs(float64(m.Chainstay)) < 3 {
		longer := "longer"
		if m.Chainstay < 0 {
			longer = "shorter"
		}
		s += fmt.Sprintf(" In the first row a chainstay %s mm %s changes it, within the error of a tape measure: measure again.",
			num(math.Abs(float64(m.Chainstay)), 1), longer)
	}
	if n := r.Lengths.Recommended; r.Advice.Judged && !r.Advice.Owned && n != r.Advice.Length {
		s += fmt.Sprintf(" The shop rule comes to %d pitches, the length above is %d: the rule looks at the bare loop alone, here the chance of danger round the derailleur decides.", n, r.Advice.Length)
	}
	return s
}

// writeOwned says what a chain at hand leaves over the bare loop.
func (r fitReport) writeOwned(p *page) {
	o := r.Owned
	if o == nil {
		return
	}
	have := fmt.Sprintf("your chain of %d pitches", o.Pitches)
	if r.Build.elongation > 0 {
		have += fmt.Sprintf(", %s %% worn,", num(float64(r.Build.elongation), 2))
	}
	p.section("The chain you have")
	p.para("Over the bare loop of %s %s has %s pitches. The trade wants %s there, a link pair: with less a gear is tight, with less than %s too short.",
		r.bigBig(), have, signed(float64(o.Surplus), 2), num(float64(gearing.ReservePitches), 0), num(float64(gearing.LeastReserve), 0))
}

func (r fitReport) bigBig() string {
	return gearing.GearName(r.Build.Rings[len(r.Build.Rings)-1], r.Build.Cogs[len(r.Build.Cogs)-1])
}
