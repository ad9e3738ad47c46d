package plot

import (
	"fmt"
	"strings"
)

func (y *choiceLayout) draw() {
	y.head.draw(y.s)
	if y.Result.Partial {
		y.drawPartial()
	}
	if len(y.marks) == 0 {
		y.drawNothing()
	} else {
		y.drawChoices()
	}
	margin := chartMargin * y.size
	y.legend.draw(y.s, margin, margin+y.legend.height(y.s, y.s.w-2*margin), y.s.w-2*margin)
}

func (y *choiceLayout) drawChoices() {
	y.drawAxes()
	y.s.part("stair", func() { y.s.polyline(y.frontier(), y.stairStroke()) })
	for i := range y.marks {
		y.drawTie(&y.marks[i])
	}
	for i := range y.marks {
		m := &y.marks[i]
		y.s.part(m.partName(), func() { y.drawDisc(m.at, m.r, m.ticks, m.kind) })
	}
	for i := range y.marks {
		y.drawLabel(&y.marks[i])
	}
	y.drawNote()
}

// partName names a disc in the picture.
func (m *choiceMark) partName() string {
	switch m.kind {
	case choiceBest:
		return fmt.Sprintf("choice %d", m.number)
	case choiceNext:
		return fmt.Sprintf("next best, beaten by %d", m.number)
	}
	return "nearest miss"
}

func (y *choiceLayout) leadText() textStyle {
	return textStyle{size: y.size, bold: true, color: y.s.theme.Ink, middle: true}
}

// barWidth is of the sign of a partial search.
const barWidth = 4.0

// leadRoom is the room of the words beside it.
func (y *choiceLayout) leadRoom() float64 {
	return y.s.w - (2*chartMargin+barWidth+0.6)*y.size
}

// drawPartial warns of a search that was stopped, with a bar of how far it came.
func (y *choiceLayout) drawPartial() {
	z, ink := y.size, y.s.theme.Ink
	at := point{chartMargin * z, y.s.h - y.head.height() - 0.5*factLine*z}
	y.s.part("partial", func() {
		y.drawShare(rect{at.x, at.y - 0.36*z, at.x + barWidth*z, at.y + 0.36*z}, y.share())
	})
	st := y.leadText()
	st.color = ink
	y.s.text(point{at.x + (barWidth+0.6)*z, at.y}, y.s.fit(y.partialWords(), st, y.leadRoom()), st)
}

func (y *choiceLayout) drawShare(r rect, share float64) {
	ink := y.s.theme.Ink
	y.s.fillRect(rect{r.x0, r.y0, r.x0 + share*r.width(), r.y1}, ink)
	y.s.hatch(rect{r.x0 + share*r.width(), r.y0, r.x1, r.y1}, 0.32*y.size, stroke{color: ink, width: 0.07 * y.size})
	y.s.polygon(r.corners(), nil, stroke{color: ink, width: 0.08 * y.size})
}

// drawNothing says in the middle of the page that there is nothing to draw.
func (y *choiceLayout) drawNothing() {
	p := y.plot
	y.s.fillRect(rect{chartMargin * y.size, p.y0, y.s.w - chartMargin*y.size, p.y1}, y.s.theme.ground())
	st := y.leadText()
	st.align = alignMiddle
	y.s.text(point{y.s.w / 2, (p.y0 + p.y1) / 2}, y.s.fit("no combination to draw", st, p.width()), st)
}

func (y *choiceLayout) drawAxes() {
	s, z, p := y.s, y.size, y.plot
	grid := stroke{color: s.theme.Grid, width: 0.05 * z}
	edge := stroke{color: s.theme.Muted, width: 0.06 * z}
	st := y.axisText()
	st.align = alignRight
	for _, t := range y.ranges {
		at := y.y.at(t.value)
		s.line(point{p.x0, at}, point{p.x1, at}, grid)
		s.text(point{p.x0 - 0.4*z, at}, t.label, st)
	}
	st.align = alignMiddle
	for _, t := range y.steps {
		at := y.x.at(t.value)
		s.line(point{at, p.y0}, point{at, p.y1}, grid)
		s.line(point{at, p.y0 - 0.3*z}, point{at, p.y0}, edge)
		s.text(point{at, p.y0 - 0.95*z}, t.label, st)
	}
	s.line(point{p.x0, p.y0}, point{p.x1, p.y0}, edge)
	s.line(point{p.x0, p.y0}, point{p.x0, p.y1}, edge)
	st.color = s.theme.Muted
	s.text(point{(p.x0 + p.x1) / 2, p.y0 - 2.2*z}, s.fit("← finer · largest step, %", st, p.width()), st)
	st.angle = 90
	s.text(point{(chartMargin + 0.5) * z, (p.y0 + p.y1) / 2}, s.fit("range, % · wider →", st, p.height()), st)
}

func (y *choiceLayout) stairStroke() stroke {
	return stroke{color: y.s.theme.Muted, width: 0.13 * y.size}
}

func (y *choiceLayout) tieStroke() stroke {
	return stroke{color: y.s.theme.Muted, width: 0.08 * y.size}
}

// drawTie ties a disc that stands aside to its place.
func (y *choiceLayout) drawTie(m *choiceMark) {
	if !m.moved() {
		return
	}
	y.drawAside(m.place, m.at)
}

// drawAside ties a disc at a point to its place.
func (y *choiceLayout) drawAside(place, at point) {
	y.s.line(place, at, y.tieStroke())
	y.s.circle(place, 0.16*y.size, y.s.theme.Muted, stroke{})
}

// drawDisc draws a combination: hollow unless it is one of the best, with a
// tick for every step of its price, clockwise from the top.
func (y *choiceLayout) drawDisc(at point, r float64, ticks int, kind choiceKind) {
	s, t := y.s, y.s.theme
	col := t.series(0)
	edge := stroke{color: col, width: 0.13 * y.size}
	var lines [][2]point
	for k := range ticks {
		way := 90 - 360*float64(k)/mostTicks
		lines = append(lines, [2]point{at.polar(r, way), at.polar(r+y.tick, way)})
	}
	s.segments(lines, stroke{color: col, width: 0.2 * y.size})
	switch kind {
	case choiceBest:
		s.circle(at, r-edge.width/2, t.tint(col, 0.5), edge)
	case choiceNext:
		s.circle(at, r-edge.width/2, t.Background, edge)
	case choiceMiss:
		edge.dash = []float64{0.3 * y.size, 0.2 * y.size}
		s.circle(at, r-edge.width/2, t.Background, edge)
		k := 0.4 * r
		s.segments([][2]point{{{at.x - k, at.y - k}, {at.x + k, at.y + k}}, {{at.x - k, at.y + k}, {at.x + k, at.y - k}}}, stroke{color: col, width: 0.13 * y.size})
	}
}

func (y *choiceLayout) drawLabel(m *choiceMark) {
	l := m.label
	if l == nil {
		return
	}
	if l.leads {
		y.s.line(l.from, l.to, stroke{color: y.s.theme.Muted, width: 0.06 * y.size})
	}
	if l.backed {
		y.s.fillRect(l.box.grown(0.1*y.size), y.s.theme.Background)
	}
	at := point{l.box.x0, (l.box.y0 + l.box.y1) / 2}
	y.s.text(at, l.name, y.labelText(true))
	y.s.text(point{at.x + l.indent, at.y}, l.price, y.labelText(false))
}

// noteWords tell how many labels and prices are not on the chart.
func (y *choiceLayout) noteWords() string {
	var list []string
	if y.leftOut > 0 {
		list = append(list, fmt.Sprintf("%d of %s", y.leftOut, count(len(y.marks), "label")))
	}
	if y.priceOut > 0 {
		list = append(list, count(y.priceOut, "price"))
	}
	return "No room for " + strings.Join(list, " and ") + ": see the list"
}

func (y *choiceLayout) drawNote() {
	if y.leftOut+y.priceOut == 0 || !y.noteLine {
		return
	}
	st := y.axisText()
	margin := chartMargin * y.size
	at := point{margin, y.plot.y0 - (choiceAxis+0.5*choiceNote-0.2)*y.size}
	y.s.text(at, y.s.fit(y.noteWords(), st, y.s.w-2*margin), st)
}
