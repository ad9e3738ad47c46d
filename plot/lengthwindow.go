package plot

import (
	"fmt"
	"math"
	"strings"

	"cagewise/sim"
)

// LengthWindow shows for every gear with which chain counts it runs: a bar
// from the dangerous end, too little chain, to the noisy end, too much. The
// ends are those of Fit: the B-screw and the pulleys as with its chain.
type LengthWindow struct {
	Fit    sim.Fit    // its Gears are drawn, ring by ring from the smallest
	Window sim.Window // names the counts with which every gear is clear
	Chosen int        // the chain in question, pitches; 0: none is marked
	Name   string     // heading; empty: "Chain length window"
}

// Title is the heading.
func (l LengthWindow) Title() string {
	if strings.TrimSpace(l.Name) == "" {
		return "Chain length window"
	}
	return l.Name
}

// Describe says what the chart shows.
func (l LengthWindow) Describe() string {
	return fmt.Sprintf("Chain counts with which each of %s runs, in pitches. %s.",
		count(len(l.Fit.Gears), "gear"), strings.Join(l.facts(), "; "))
}

// facts are what the chart says in words.
func (l LengthWindow) facts() []string {
	w := l.Window
	list := []string{"No chain keeps every gear clear"}
	switch {
	case w.ClearFrom > 0 && w.ClearFrom == w.ClearTo:
		list[0] = fmt.Sprintf("Every gear runs with %d pitches alone", w.ClearFrom)
	case w.ClearFrom > 0:
		list[0] = fmt.Sprintf("Every gear runs with %d to %d pitches", w.ClearFrom, w.ClearTo)
	}
	if w.Recommended > 0 {
		list = append(list, fmt.Sprintf("shortest without danger %d", w.Recommended))
	}
	if l.Chosen > 0 {
		list = append(list, fmt.Sprintf("chosen %d", l.Chosen))
	}
	return append(list, fmt.Sprintf("ends as found with %d pitches", l.Fit.Pitches))
}

// Size is the default page in mm.
func (l LengthWindow) Size() (wMM, hMM float64) {
	return 160, min(58+4.9*float64(len(l.Fit.Gears)), MaxSizeMM)
}

func (l LengthWindow) check() error {
	if err := checkGears("length window", l.Fit.Gears); err != nil {
		return err
	}
	for i := range l.Fit.Gears {
		g := &l.Fit.Gears[i]
		if !finite(float64(g.Forward), float64(g.Rearward)) {
			return fmt.Errorf("length window: %s has no finite reserves", g.GearID)
		}
	}
	for _, n := range []int{l.Fit.Pitches, l.Chosen, l.Window.ClearFrom, l.Window.ClearTo} {
		if n < 0 || n > mostPitches {
			return fmt.Errorf("length window: a chain of %d pitches; allowed up to %d", n, mostPitches)
		}
	}
	return nil
}

const mostPitches = 10000

// ends are the counts between which a gear runs, in pitches: under from it is
// overstretched, a pitch lower still it locks, over to it is slack. ok is
// false when it has no path.
func (l LengthWindow) ends(g *sim.GearFit) (from, to float64, ok bool) {
	n := float64(l.Fit.Pitches)
	return n - float64(g.Forward) + sim.LeastReserve, n + float64(g.Rearward), !g.NoPath
}

// mostShown is how far from the fit's count the axis goes, in pitches.
const mostShown = 60.0

// span is the range of the axis: every end, the chosen count and the all-clear
// band, with a little beyond.
func (l LengthWindow) span() (lo, hi float64) {
	n := float64(l.Fit.Pitches)
	lo, hi = n, n
	reach := func(v float64) { lo, hi = min(lo, v), max(hi, v) }
	for i := range l.Fit.Gears {
		if from, to, ok := l.ends(&l.Fit.Gears[i]); ok {
			reach(from - sim.LeastReserve)
			reach(to)
		}
	}
	for _, v := range []int{l.Chosen, l.Window.ClearFrom, l.Window.ClearTo} {
		if v > 0 {
			reach(float64(v))
		}
	}
	return math.Floor(max(lo, n-mostShown)) - 1.5, math.Ceil(min(hi, n+mostShown)) + 1.5
}

// countTicks are the ticks of an axis of counts, gap mm apart or more: a chain is
// cut in steps of two pitches.
func (s scale) countTicks(gap float64) []tick {
	for _, step := range []float64{2, 4, 10, 20, 50, 100} {
		t := evenTicks(math.Ceil(s.lo/step), math.Floor(s.hi/step), step)
		if len(t) < 2 || math.Abs(s.at(t[1].value)-s.at(t[0].value)) >= gap || step == 100 {
			return t
		}
	}
	return nil
}

// windowLayout is where everything of one length window stands.
type windowLayout struct {
	LengthWindow
	s       *sheet
	size    float64 // of the text, mm
	rowText float64 // of the rows' names, mm
	row     float64 // height of a row, mm
	head    heading
	legend  legend
	plot    rect
	x       scale
	ticks   []tick
}

// place takes the largest text with which everything has its room.
func (l LengthWindow) place(s *sheet) *windowLayout {
	first := chartText(s)
	var y *windowLayout
	shrunk(first, func(size float64) bool {
		y = &windowLayout{LengthWindow: l, s: s, size: size}
		y.placeAll()
		return y.fits(size > 0.75*first)
	})
	return y
}

func (y *windowLayout) placeAll() {
	s, z := y.s, y.size
	margin := chartMargin * z
	y.head = s.heading(y.Title(), y.facts(), z)
	y.legend = y.explain()
	y.plot.y1 = s.h - y.head.height() - 3.2*z
	y.plot.y0 = margin + y.legend.height(s, s.w-2*margin) + 3.4*z
	rings := ContactSheet{Fits: y.Fit.Gears}.rings()
	y.row = max(0, y.plot.height()/(float64(len(y.Fit.Gears))+0.6*float64(rings-1)))
	y.rowText = min(z, 0.98*y.row)
	y.plot.x0 = margin + y.nameWidth() + 0.5*z
	y.plot.x1 = s.w - margin - y.stateWidth() - 0.5*z
	lo, hi := y.span()
	y.x = scale{lo: lo, hi: hi, a: y.plot.x0, b: y.plot.x1}
	y.ticks = y.x.countTicks(s.textWidth("888", y.axisText()) + 0.9*z)
}

// fits tells whether the words have their room; comfortable asks for rows that
// are written as large as all else, nearly.
func (y *windowLayout) fits(comfortable bool) bool {
	if y.plot.height() < 0.4*y.s.h || y.plot.width() < 0.4*y.s.w || y.plot.width() < 12*y.size {
		return false
	}
	if comfortable && y.rowText < 0.8*y.size {
		return false
	}
	return y.head.fits(y.s) && y.legend.fits(y.s, y.s.w-2*chartMargin*y.size)
}

func (y *windowLayout) rowStyle() textStyle {
	return textStyle{size: y.rowText, color: y.s.theme.Ink, middle: true}
}

func (y *windowLayout) axisText() textStyle {
	return textStyle{size: 0.9 * y.size, color: y.s.theme.Ink, align: alignMiddle, middle: true}
}

// nameWidth is the room of the gears' marks and names.
func (y *windowLayout) nameWidth() float64 {
	w := 0.0
	for i := range y.Fit.Gears {
		w = max(w, y.s.textWidth(y.Fit.Gears[i].String(), y.rowStyle()))
	}
	return w + 1.1*y.rowText
}

// stateWidth is the room of the states' marks and names.
func (y *windowLayout) stateWidth() float64 {
	w := 0.0
	for i := range y.Fit.Gears {
		w = max(w, y.s.textWidth(looks[y.Fit.Gears[i].State].short, y.rowStyle()))
	}
	return w + 1.2*y.rowText
}

// rowAt is the middle of a gear's row: the largest ring's on top, each from the
// largest cog.
func (y *windowLayout) rowAt(i int) float64 {
	n := ContactSheet{Fits: y.Fit.Gears}.columns()
	rings := len(y.Fit.Gears) / n
	ring := rings - 1 - i/n
	line := float64(ring*n+i%n) + 0.6*float64(ring)
	return y.plot.y1 - (line+0.5)*y.row
}
