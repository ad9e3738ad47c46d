package plot

import (
	"fmt"
)

// bandsLayout is where everything of one chart of speeds stands.
type bandsLayout struct {
	SpeedBands
	s       *sheet
	size    float64 // of the text, mm
	rowText float64 // of the rows' names, mm
	row     float64 // height of a row, mm
	head    heading
	legend  legend
	plot    rect
	x       scale // km/h or mph
	ticks   []tick
	cadence float64 // right edge of the column of cadences, mm
}

func (b SpeedBands) draw(s *sheet) { b.place(s).draw() }

// place takes the largest text with which everything has its room.
func (b SpeedBands) place(s *sheet) *bandsLayout {
	first := chartText(s)
	var y *bandsLayout
	shrunk(first, func(size float64) bool {
		y = &bandsLayout{SpeedBands: b, s: s, size: size}
		y.placeAll()
		return y.fits(size > 0.75*first)
	})
	return y
}

func (y *bandsLayout) placeAll() {
	s, z := y.s, y.size
	margin := chartMargin * z
	y.head = s.heading(y.Title(), y.facts(), z)
	y.legend = y.explain()
	y.plot.y1 = s.h - y.head.height() - y.above()
	y.plot.y0 = margin + y.legend.height(s, s.w-2*margin) + 3.3*z
	rings := len(y.Table.Rings)
	y.row = max(0, y.plot.height()/(float64(len(y.Table.Gears))+0.6*float64(rings-1)))
	y.rowText = min(z, 0.98*y.row)
	name, same := y.widest(func(i int) string { return bandName(&y.Table.Gears[i]) }), y.widest(y.same)
	y.plot.x0 = margin + name + 1.1*y.rowText + 0.5*z
	y.plot.x1 = s.w - margin
	if same > 0 {
		y.plot.x1 -= same + 0.6*z
	}
	y.cadence = y.plot.x1
	if y.CruiseKmH > 0 {
		y.plot.x1 -= max(y.widest(y.cruiseWords), s.textWidth("rpm", y.rowStyle())) + 0.6*z
	}
	y.placeScale()
}

// above is the room of the cruising speed's name.
func (y *bandsLayout) above() float64 {
	if y.CruiseKmH == 0 {
		return 0.6 * y.size
	}
	return 2.1 * y.size
}

func (y *bandsLayout) placeScale() {
	_, top := y.band(len(y.Table.Gears) - 1)
	y.x = scale{lo: 0, hi: 1.02 * max(top, y.cruise()), a: y.plot.x0, b: y.plot.x1}
	y.ticks = y.x.roomyTicks(y.s.textWidth("88", y.axisText()) + 1.3*y.size)
}

// widest is the width of the widest of the rows' words.
func (y *bandsLayout) widest(words func(int) string) float64 {
	w := 0.0
	for i := range y.Table.Gears {
		w = max(w, y.s.textWidth(words(i), y.rowStyle()))
	}
	return w
}

// fits tells whether the words have their room; comfortable asks for rows that
// are written as large as all else, nearly.
func (y *bandsLayout) fits(comfortable bool) bool {
	if y.plot.height() < 0.4*y.s.h || y.plot.width() < 0.4*y.s.w || y.plot.width() < 12*y.size {
		return false
	}
	if comfortable && y.rowText < 0.8*y.size {
		return false
	}
	return y.head.fits(y.s) && y.legend.fits(y.s, y.s.w-2*chartMargin*y.size)
}

func (y *bandsLayout) rowStyle() textStyle {
	return textStyle{size: y.rowText, color: y.s.theme.Ink, middle: true}
}

func (y *bandsLayout) axisText() textStyle {
	return textStyle{size: 0.9 * y.size, color: y.s.theme.Ink, align: alignMiddle, middle: true}
}

// rowAt is the middle of a gear's row: the highest gear of the largest ring on
// top.
func (y *bandsLayout) rowAt(i int) float64 {
	ring := float64(i / len(y.Table.Cogs))
	return y.plot.y0 + (float64(i)+0.6*ring+0.5)*y.row
}

func (y *bandsLayout) draw() {
	y.head.draw(y.s)
	y.drawAxes()
	for i := range y.Table.Gears {
		y.s.part("gear "+y.Table.Gears[i].Name(), func() { y.drawRow(i) })
	}
	y.drawCruise()
	margin := chartMargin * y.size
	y.legend.draw(y.s, margin, margin+y.legend.height(y.s, y.s.w-2*margin), y.s.w-2*margin)
}

func (y *bandsLayout) drawAxes() {
	s, z, p := y.s, y.size, y.plot
	edge := stroke{color: s.theme.Muted, width: 0.06 * z}
	label := y.axisText()
	for _, t := range y.ticks {
		at := y.x.at(t.value)
		s.line(point{at, p.y0}, point{at, p.y1}, stroke{color: s.theme.Grid, width: 0.05 * z})
		s.line(point{at, p.y0 - 0.3*z}, point{at, p.y0}, edge)
		s.text(point{at, p.y0 - 0.95*z}, t.label, label)
	}
	s.line(point{p.x0, p.y0}, point{p.x1, p.y0}, edge)
	label.color = s.theme.Muted
	s.text(point{(p.x0 + p.x1) / 2, p.y0 - 2.2*z}, s.fit("speed, "+y.Units.SpeedUnit(), label, p.width()), label)
}

// drawRow draws one gear: its name, its bar and its notes.
func (y *bandsLayout) drawRow(i int) {
	g, at, t := &y.Table.Gears[i], y.rowAt(i), y.rowText
	ring := i / len(y.Table.Cogs)
	st := y.rowStyle()
	st.align = alignRight
	y.s.text(point{y.plot.x0 - 0.5*y.size, at}, bandName(g), st)
	y.s.mark(point{chartMargin*y.size + 0.4*t, at}, 0.7*t, ring, y.s.theme.series(ring), g.Lost)
	y.s.text(point{y.cadence, at}, y.cruiseWords(i), st)
	st.align, st.color = alignLeft, y.s.theme.Muted
	y.s.text(point{y.cadence + 0.6*y.size, at}, y.same(i), st)
	low, high := y.band(i)
	y.s.part("band", func() { y.drawBar(y.x.at(low), y.x.at(high), at, ring, g.Lost) })
}

// drawBar draws a band of speeds, hollow for a lost gear.
func (y *bandsLayout) drawBar(x0, x1, at float64, ring int, lost bool) {
	half := min(0.33*y.row, 0.5*y.size)
	col, fill := y.s.theme.series(ring), y.s.theme.Background
	edge := stroke{color: col, width: 0.07 * y.size}
	if lost {
		edge.dash = []float64{0.35 * y.size, 0.25 * y.size}
	} else {
		fill = y.s.theme.tint(col, 0.5)
	}
	y.s.polygon(rect{x0, at - half, x1, at + half}.corners(), fill, edge)
}

// drawCruise marks the cruising speed over all rows and heads the cadences.
func (y *bandsLayout) drawCruise() {
	if y.CruiseKmH == 0 {
		return
	}
	at, z := y.x.at(y.cruise()), y.size
	y.s.part("cruise", func() {
		y.s.line(point{at, y.plot.y0}, point{at, y.plot.y1 + 0.5*z}, stroke{color: y.s.theme.Ink, width: 0.14 * z})
	})
	head := y.rowStyle()
	head.align, head.color = alignRight, y.s.theme.Muted
	y.s.text(point{y.cadence, y.plot.y1 + 1.15*z}, "rpm", head)
	st := textStyle{size: z, bold: true, color: y.s.theme.Ink, align: alignMiddle, middle: true}
	text := y.cruiseSpeed()
	half := y.s.textWidth(text, st) / 2
	right := y.cadence - y.s.textWidth("rpm", head) - 0.6*z
	y.s.text(point{min(max(at, chartMargin*z+half), right-half), y.plot.y1 + 1.15*z}, text, st)
}

// explain is the legend: what occurs in this chart.
func (y *bandsLayout) explain() legend {
	l := legend{size: 0.9 * y.size, sample: 2.6 * y.size}
	y.row = 1.5 * y.size // for the samples; placeAll sets it next
	add := func(text string, draw func(at point, w float64)) {
		l.entries = append(l.entries, entry{func(_ *sheet, at point, w float64) { draw(at, w) }, text})
	}
	low, high := y.cadences()
	if i := y.first(false); i >= 0 {
		add(fmt.Sprintf("%s to %s rpm", plain(low), plain(high)), func(at point, w float64) { y.drawBar(at.x, at.x+w, at.y, i/len(y.Table.Cogs), false) })
	}
	if i := y.first(true); i >= 0 {
		add("(gear) lost to "+y.lostTo(), func(at point, w float64) { y.drawBar(at.x, at.x+w, at.y, i/len(y.Table.Cogs), true) })
	}
	word := func(text, means string) {
		st := textStyle{size: 0.9 * y.size, color: y.s.theme.Muted, align: alignMiddle, middle: true}
		add(means, func(at point, w float64) { y.s.text(point{at.x + w/2, at.y}, text, st) })
	}
	if y.CruiseKmH > 0 {
		word("rpm", "cadence at "+y.cruiseSpeed())
	}
	if y.anySame() {
		word("=", fmt.Sprintf("duplicate within %s %%", plain(float64(y.Table.Tolerance))))
	}
	return l
}

// first is the first gear that is lost or is not; -1 when there is none.
func (y *bandsLayout) first(lost bool) int {
	for i, g := range y.Table.Gears {
		if g.Lost == lost {
			return i
		}
	}
	return -1
}

func (y *bandsLayout) anySame() bool {
	for i := range y.Table.Gears {
		if y.same(i) != "" {
			return true
		}
	}
	return false
}
