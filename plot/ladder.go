package plot

import (
	"errors"
	"fmt"
	"math"

	"cagewise/gearing"
)

// Ladder is the gear ladder: every gear a rung at its development, one column
// a ring. Gears of one duplicate group are tied, lost gears are hollow.
type Ladder struct {
	Table gearing.Table
	Name  string // heading; empty: "Gear ladder"
}

// Title is the heading.
func (l Ladder) Title() string {
	if l.Name == "" {
		return "Gear ladder"
	}
	return l.Name
}

// Describe says what the ladder shows.
func (l Ladder) Describe() string {
	t := l.Table
	return fmt.Sprintf("Gear ladder: developments of %d gears on a logarithmic axis, one column for each of %d rings. %s %s",
		len(t.Gears), len(t.Rings), l.rangeWords(), l.stepWords())
}

// Size is the default page.
func (l Ladder) Size() (wMM, hMM float64) { return 160, 140 }

func (l Ladder) check() error {
	if len(l.Table.Gears) == 0 || len(l.Table.Rings) == 0 {
		return errors.New("gear ladder: no gears; make the table with gearing.NewTable")
	}
	for _, g := range l.Table.Gears {
		if d := float64(g.Development); !(d > 0) || math.IsInf(d, 0) || !(g.GearInches > 0) {
			return fmt.Errorf("gear ladder: %s has a development of %v m", g.Name(), d)
		}
	}
	return nil
}

func (l Ladder) rangeWords() string {
	t := l.Table
	return fmt.Sprintf("Range %s %%: %s to %s m. %d different gears.",
		fixed(float64(t.Range), 0), fixed(float64(t.Lowest().Development), 2), fixed(float64(t.Highest().Development), 2), t.Groups)
}

func (l Ladder) stepWords() string {
	s := l.Table.LargestStep
	if s.From == 0 {
		return "One cog, no steps."
	}
	return fmt.Sprintf("Largest step %s %% (cogs %d to %d).", fixed(float64(s.Size), 1), s.From, s.To)
}

// Shares of the text size that lay the ladder out.
const (
	ladderText  = 0.026 // text size as a share of the page's width
	leastText   = 2.6   // mm
	mostText    = 6.0   // mm
	ladderTicks = 5
)

// ladderLayout is where everything of one ladder stands.
type ladderLayout struct {
	Ladder
	s        *sheet
	size     float64 // text size, mm
	plot     rect    // the columns
	dev      scale   // development, m
	inch     scale   // gear inches
	legend   legend
	colWidth float64
	label    float64 // width of a rung's label
}

func (l Ladder) draw(s *sheet) {
	y := ladderLayout{Ladder: l, s: s, size: min(max(ladderText*s.w, leastText), mostText)}
	y.legend = y.explain()
	y.place()
	y.head()
	y.axes()
	y.ties()
	for i := range l.Table.Rings {
		y.column(i)
	}
	y.legend.draw(s, y.plot.x0, y.plot.y0-0.6*y.size, y.plot.width())
}

func (y *ladderLayout) place() {
	s, z := y.s, y.size
	side := 4.2 * z
	foot := 1.6*z + y.legend.height(s, s.w-2*side)
	y.plot = rect{side, foot, s.w - side, s.h - 8.4*z}
	if y.plot.height() < 4*z { // a flat page keeps a strip for the rungs
		y.plot.y0, y.plot.y1 = 0.25*s.h, 0.6*s.h
	}
	y.colWidth = y.plot.width() / float64(len(y.Table.Rings))
	y.label = s.textWidth("(88)", y.text(z)) + 0.3*z
	y.scales()
}

// scales leave the height of a label free at either end, and never less than a
// tenth of the range.
func (y *ladderLayout) scales() {
	low, high := y.Table.Lowest(), y.Table.Highest()
	lo, hi := float64(low.Development), float64(high.Development)
	pad := math.Max(math.Pow(hi/lo, 0.05), 1.04)
	if hi/lo < 1.01 {
		pad = 1.25
	}
	perMetre := float64(low.GearInches) / lo
	y.dev = scale{lo: lo / pad, hi: hi * pad, a: y.plot.y0, b: y.plot.y1, log: true}
	y.inch = y.dev
	y.inch.lo, y.inch.hi = y.dev.lo*perMetre, y.dev.hi*perMetre
}

func (y *ladderLayout) text(size float64) textStyle {
	return textStyle{size: size, color: y.s.theme.Ink, middle: true}
}

func (y *ladderLayout) head() {
	s, z := y.s, y.size
	title := textStyle{size: 1.35 * z, bold: true, color: s.theme.Ink, middle: true}
	x, room := y.plot.x0, s.w-y.plot.x0-z
	s.text(point{x, s.h - 1.5*z}, s.fit(y.Title(), title, room), title)
	sub := textStyle{size: z, color: s.theme.Muted, middle: true}
	s.text(point{x, s.h - 3.4*z}, s.fit(y.rangeWords(), sub, room), sub)
	s.text(point{x, s.h - 4.9*z}, s.fit(y.stepWords(), sub, room), sub)
}

func (y *ladderLayout) axes() {
	s, z := y.s, y.size
	small := y.text(0.9 * z)
	small.align = alignRight
	for _, t := range y.dev.ticks(ladderTicks) {
		at := y.dev.at(t.value)
		s.line(point{y.plot.x0, at}, point{y.plot.x1, at}, stroke{color: s.theme.Grid, width: 0.2})
		s.text(point{y.plot.x0 - 0.5*z, at}, t.label, small)
	}
	small.align = alignLeft
	for _, t := range y.inch.ticks(ladderTicks) {
		at := y.inch.at(t.value)
		s.line(point{y.plot.x1, at}, point{y.plot.x1 + 0.3*z, at}, stroke{color: s.theme.Muted, width: 0.25})
		s.text(point{y.plot.x1 + 0.6*z, at}, t.label, small)
	}
	unit := textStyle{size: 0.9 * z, color: s.theme.Muted, middle: true, align: alignRight}
	top := y.plot.y1 + 0.9*z
	s.text(point{y.plot.x0 - 0.5*z, top}, "m a turn", unit)
	unit.align = alignLeft
	s.text(point{y.plot.x1 + 0.3*z, top}, "inches", unit)
}

// rung is the bar of a gear in column i: its ends.
func (y *ladderLayout) rung(i int) (x0, x1 float64) {
	width := min(0.34*y.colWidth, 9*y.size)
	mid := y.plot.x0 + (float64(i)+0.5)*y.colWidth + 0.5*y.label
	return mid - width/2, mid + width/2
}

// ties join the gears of one group from column to column.
func (y *ladderLayout) ties() {
	st := stroke{color: y.s.theme.Muted, width: 0.25, dash: []float64{1, 0.8}}
	last := map[int]int{} // group to index of its last gear
	for i, g := range y.Table.Gears {
		if j, ok := last[g.Group]; ok && y.Table.Gears[j].RingIndex != g.RingIndex {
			from := y.Table.Gears[j]
			_, x0 := y.rung(from.RingIndex)
			x1, _ := y.rung(g.RingIndex)
			y.s.line(point{x0, y.dev.at(float64(from.Development))}, point{x1, y.dev.at(float64(g.Development))}, st)
		}
		last[g.Group] = i
	}
}

func (y *ladderLayout) column(i int) {
	s, z := y.s, y.size
	x0, x1 := y.rung(i)
	head := textStyle{size: z, bold: true, color: s.theme.series(i), align: alignMiddle, middle: true}
	s.text(point{(x0 + x1) / 2, y.plot.y1 + 0.9*z}, fmt.Sprintf("ring %d", y.Table.Rings[i]), head)
	gears := y.gearsOf(i)
	wanted := make([]float64, len(gears))
	for k, g := range gears {
		wanted[k] = y.dev.at(float64(g.Development))
	}
	height := 1.08 * z
	places := spread(wanted, height, y.plot.y0+0.3*z, y.plot.y1-0.3*z)
	shrink := 1.0
	if n := len(gears); n > 1 {
		shrink = min(1, (y.plot.height()-0.6*z)/float64(n-1)/height)
	}
	for k, g := range gears {
		y.drawRung(i, g, x0, x1, places[k], shrink)
	}
}

func (y *ladderLayout) gearsOf(i int) []gearing.Gear {
	n := len(y.Table.Cogs)
	return y.Table.Gears[i*n : (i+1)*n]
}

// drawRung draws bar, mark and label; the label stands left of the bar, with a
// leader when it had to move.
func (y *ladderLayout) drawRung(i int, g gearing.Gear, x0, x1, place, shrink float64) {
	s, z := y.s, y.size
	at := y.dev.at(float64(g.Development))
	y.bar(i, x0, x1, at, g.Lost)
	text := fmt.Sprint(g.Cog)
	if g.Lost {
		text = "(" + text + ")"
	}
	style := textStyle{size: shrink * z, color: s.theme.Ink, align: alignRight, middle: true}
	edge := x0 - 1.1*z
	if math.Abs(place-at) > 0.1*z {
		s.line(point{x0 - 0.1*z, at}, point{edge + 0.15*z, place}, stroke{color: s.theme.Muted, width: 0.2})
	}
	w := s.textWidth(text, style)
	s.fillRect(rect{edge - w - 0.1*z, place - 0.45*style.size, edge + 0.05*z, place + 0.45*style.size}, s.theme.Background)
	s.text(point{edge, place}, text, style)
}

// bar is the rung itself: solid, or hollow for a lost gear.
func (y *ladderLayout) bar(i int, x0, x1, at float64, lost bool) {
	s, col := y.s, y.s.theme.series(i)
	h := 0.11 * y.size
	r := rect{x0, at - h, x1, at + h}
	if lost {
		s.polygon(r.corners(), s.theme.Background, stroke{color: col, width: 0.25})
	} else {
		s.fillRect(r, col)
	}
	s.mark(point{(x0 + x1) / 2, at}, 0.75*y.size, i, col, lost)
}

// explain lists what occurs in this ladder.
func (y *ladderLayout) explain() legend {
	l := legend{size: 0.9 * y.size, sample: 3 * y.size}
	sample := func(lost bool) func(*sheet, point, float64) {
		return func(_ *sheet, at point, w float64) { y.bar(0, at.x, at.x+w, at.y, lost) }
	}
	l.entries = []entry{{sample(false), "gear, named by its cog"}}
	groups, lost := map[int]bool{}, false
	for _, g := range y.Table.Gears {
		groups[g.Group], lost = true, lost || g.Lost
	}
	if len(groups) < len(y.Table.Gears) {
		tie := func(s *sheet, at point, w float64) {
			s.line(at, point{at.x + w, at.y}, stroke{color: s.theme.Muted, width: 0.25, dash: []float64{1, 0.8}})
		}
		l.entries = append(l.entries, entry{tie, fmt.Sprintf("same gear within %s %%", plain(float64(y.Table.Tolerance)))})
	}
	if lost {
		l.entries = append(l.entries, entry{sample(true), "(cog): lost to the rated capacity"})
	}
	return l
}
