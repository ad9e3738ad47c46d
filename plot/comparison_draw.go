package plot

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/gearing"
	"cagewise/sim"
)

func (y *comparisonLayout) draw() {
	y.head.draw(y.s)
	for i := range y.lanes {
		y.drawPanel(i)
	}
	y.drawAxis()
	y.drawGuide()
	for i := range y.lanes {
		y.s.part(fmt.Sprintf("build %d", i+1), func() { y.drawLane(i) })
	}
	margin := chartMargin * y.size
	y.legend.draw(y.s, margin, y.foot()-axisBelow*y.size, y.s.w-2*margin)
}

// drawPanel draws what lies under a lane's marks.
func (y *comparisonLayout) drawPanel(i int) {
	p := y.lanes[i].panel
	y.s.fillRect(p, y.s.theme.ground())
	var grid [][2]point
	for _, t := range y.ticks {
		at := y.x.at(t.value)
		grid = append(grid, [2]point{{at, p.y0}, {at, p.y1}})
	}
	y.s.segments(grid, stroke{color: y.s.theme.Grid, width: 0.06 * y.size})
}

// drawAxis names the developments under the lanes, and over them where they
// are many.
func (y *comparisonLayout) drawAxis() {
	s, z := y.s, y.size
	st := y.rowText()
	st.align = alignMiddle
	foot, top := y.foot(), s.h-y.head.height()-laneGuide*z-0.4*z
	edge := stroke{color: s.theme.Muted, width: 0.06 * z}
	s.line(point{y.left, foot}, point{y.right, foot}, edge)
	for _, t := range y.ticks {
		half := s.textWidth(t.label, st) / 2
		at := y.x.at(t.value)
		s.line(point{at, foot - 0.3*z}, point{at, foot}, edge)
		label := point{min(at, s.w-half-0.2*z), foot - 0.95*z}
		s.text(label, t.label, st)
		if len(y.lanes) > mostOnePic {
			s.text(point{label.x, top}, t.label, st)
		}
	}
	st.color = s.theme.Muted
	s.text(point{(y.left + y.right) / 2, foot - 2.2*z}, s.fit(developmentAxis(y.Units), st, y.right-y.left), st)
}

// drawGuide draws the development of the cruising speed over all lanes: firm
// on the panels, faint behind the words between them.
func (y *comparisonLayout) drawGuide() {
	at, z := y.x.at(y.cruise()), y.size
	top := y.s.h - y.head.height()
	y.s.part("cruise", func() {
		faint := stroke{color: y.s.theme.tint(y.s.theme.Muted, 0.5), width: 0.06 * z}
		y.s.line(point{at, y.foot()}, point{at, top - 1.4*z}, faint)
		for i := range y.lanes {
			p := y.lanes[i].panel
			y.s.line(point{at, p.y0}, point{at, p.y1}, y.guideStroke())
		}
	})
	st := y.nameText()
	st.align, st.size = alignMiddle, laneWords*z
	margin := chartMargin * z
	text := y.s.fit("cruise "+developmentIn(y.Units, y.cruiseMetres()), st, y.s.w-2*margin)
	half := y.s.textWidth(text, st) / 2
	y.s.text(point{min(max(at, margin+half), y.s.w-margin-half), top - 0.8*z}, text, st)
}

func (y *comparisonLayout) guideStroke() stroke {
	return stroke{color: y.s.theme.Ink, width: 0.13 * y.size}
}

func (y *comparisonLayout) drawLane(i int) {
	y.drawWords(i)
	o, z := &y.Compared.Options[i], y.size
	ring := y.rowText()
	ring.align = alignRight
	for r := range o.Table.Rings {
		y.s.text(point{y.left - 0.4*z, y.at(i, r*len(o.Table.Cogs)).y}, ringWords(o.Table.Rings[r]), ring)
	}
	y.drawEnds(i)
	for _, pair := range y.holes(o) {
		from, to := y.at(i, pair[0]), y.at(i, pair[1])
		y.s.part("hole", func() { y.drawHole(from.x, to.x, from.y) })
	}
	tie := y.tieStroke()
	for _, pair := range y.lanes[i].ties {
		y.s.line(y.at(i, pair[0]), y.at(i, pair[1]), tie)
	}
	for k, g := range o.Table.Gears {
		if st := o.Advice.Gears[k].State; st.Dangerous() {
			y.s.stateMark(y.at(i, k), y.mark, st)
			continue
		}
		y.drawGear(y.at(i, k), y.mark, k/len(o.Table.Cogs), g.Lost)
	}
	if k := cruiseGear(o); k >= 0 {
		y.drawCruising(y.at(i, k))
	}
}

// drawWords writes a lane's name and figures.
func (y *comparisonLayout) drawWords(i int) {
	l, s, z := &y.lanes[i], y.s, y.size
	x := chartMargin * z
	used := s.textWidth(l.teeth, y.nameText()) + 0.8*z
	st := y.rowText()
	rest, wide := s.cut(strings.TrimSpace(l.rest), st, s.w-2*x-used)
	s.fillRect(rect{x, l.name - 0.5*laneName*z, x + used + wide, l.name + 0.5*z}, s.theme.Background)
	s.text(point{x, l.name}, l.teeth, y.nameText())
	s.text(point{x + used, l.name}, rest, st)
	for k, line := range l.lines {
		at := l.name - (0.5*laneName+laneFact*(float64(k)+0.42))*z
		y.drawFacts(point{x, at}, line, l.wide[k])
	}
}

// drawFacts writes a line of figures on a ground of its own that meets the
// next line's, so that nothing shows between them.
func (y *comparisonLayout) drawFacts(at point, line string, width float64) {
	half := 0.5 * laneFact * y.size
	y.s.fillRect(rect{at.x, at.y - half, min(at.x+width+0.2*y.size, y.s.w), at.y + half}, y.s.theme.Background)
	y.s.text(at, line, y.factText())
}

// drawEnds writes the lowest and the highest development beside their marks.
func (y *comparisonLayout) drawEnds(i int) {
	t, st := y.Compared.Options[i].Table, y.rowText()
	low, high := y.at(i, 0), y.at(i, len(t.Gears)-1)
	gap := 0.5*y.mark + 0.6*y.size
	y.s.backed(point{high.x + gap, high.y}, developmentIn(y.Units, t.Highest().Development), st, y.s.theme.ground())
	if len(t.Gears) == 1 {
		return
	}
	st.align = alignRight
	y.s.backed(point{low.x - gap, low.y}, developmentIn(y.Units, t.Lowest().Development), st, y.s.theme.ground())
}

// lostSafely tells whether a build has a gear that is drawn as lost.
func (y *comparisonLayout) lostSafely(o *sim.Option) bool {
	return slices.ContainsFunc(o.LostIDs, func(id gearing.GearID) bool { return !slices.Contains(o.Advice.Dangerous(), id) })
}

// explain is the legend: what occurs in this comparison.
func (y *comparisonLayout) explain() legend {
	l := legend{size: 0.9 * y.size, sample: 2.8 * y.size}
	add := func(text string, draw func(at point, w float64)) {
		l.entries = append(l.entries, entry{func(_ *sheet, at point, w float64) { draw(at, w) }, text})
	}
	shapes := "gear"
	if y.mostRings() > 1 {
		shapes = "gear, a shape for each ring from the smallest"
	}
	add(shapes, func(at point, w float64) { y.drawSamples(at, w, false) })
	if y.any(func(o *sim.Option) bool { return y.lostSafely(o) }) {
		add("lost gear", func(at point, w float64) { y.drawSamples(at, w, true) })
	}
	for st := sim.Hits; st <= sim.Locks; st++ {
		if y.any(func(o *sim.Option) bool { return len(o.Advice.In(st)) > 0 }) {
			add(stateWords(st), func(at point, w float64) { y.s.stateMark(point{at.x + w/2, at.y}, 0.8*y.size, st) })
		}
	}
	if slices.ContainsFunc(y.lanes, func(l lane) bool { return len(l.ties) > 0 }) {
		t := y.Compared.Options[0].Table
		add(fmt.Sprintf("duplicates within %s %%", plain(float64(t.Tolerance))), func(at point, w float64) {
			y.s.line(at, point{at.x + w, at.y}, y.tieStroke())
		})
	}
	add("cruising speed", func(at point, w float64) {
		y.s.line(point{at.x + w/2, at.y - 0.6*y.size}, point{at.x + w/2, at.y + 0.6*y.size}, y.guideStroke())
	})
	if y.any(func(o *sim.Option) bool { return cruiseGear(o) >= 0 }) {
		add("gear ridden at it", func(at point, w float64) {
			y.drawSample(point{at.x + w/2, at.y}, 0, false)
			y.drawCruising(point{at.x + w/2, at.y})
		})
	}
	if y.any(func(o *sim.Option) bool { return len(y.holes(o)) > 0 }) {
		add(fmt.Sprintf("hole beside it: a step over %s %%", plain(float64(y.Compared.Hole))), func(at point, w float64) {
			y.drawHole(at.x, at.x+w, at.y)
		})
	}
	return l
}
