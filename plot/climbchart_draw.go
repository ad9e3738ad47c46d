package plot

import (
	"math"

	"cagewise/sim/road"
)

func (y *climbLayout) draw() {
	y.head.draw(y.s)
	for k := range y.panels {
		y.s.part("power "+powerWords(y.Climb.Powers[k]), func() { y.drawPanel(k) })
	}
	margin := chartMargin * y.size
	y.legend.draw(y.s, margin, margin+y.legend.height(y.s, y.s.w-2*margin), y.s.w-2*margin)
}

func (y *climbLayout) drawPanel(k int) {
	y.drawAxes(k)
	y.drawBalance(k)
	y.drawBand(k)
	y.drawHead(k)
	y.drawFoot(k)
	for gear := range y.Climb.Gears {
		y.s.part("gear "+y.Climb.Gears[gear].String(), func() { y.drawCurve(k, gear) })
	}
	y.drawHeld(k)
	y.drawLabels(k)
	y.drawBalanceWords(k)
}

// drawHead writes the power and what the hill asks for.
func (y *climbLayout) drawHead(k int) {
	s, z := y.s, y.size
	at := point{chartMargin * z, y.panels[k].y1 + y.over(k) - 0.5*panelHead*z}
	power := powerWords(y.Climb.Powers[k])
	s.text(at, power, y.powerText())
	st := y.axisText()
	at.x += s.textWidth(power, y.powerText()) + 0.8*z
	s.text(at, s.fit(y.hillWords(k), st, s.w-chartMargin*z-at.x), st)
}

// drawFoot writes grades and speeds under a panel.
func (y *climbLayout) drawFoot(k int) {
	s, z, p := y.s, y.size, y.panels[k]
	grade, speed := y.axisText(), y.axisText()
	grade.align, speed.align, speed.color = alignMiddle, alignMiddle, s.theme.Muted
	for _, t := range y.grades {
		at := y.x.at(t.value)
		s.text(point{at, p.y0 - gradeRow*z}, t.label, grade)
		s.text(point{at, p.y0 - speedRow*z}, speedWords(y.Units.Speed(between(y.Climb.Grades, y.Climb.Speeds[k], t.value/100))), speed)
	}
	head := speed
	head.align = alignRight
	s.text(point{p.x0 - rowLead*z, p.y0 - gradeRow*z}, gradeHead, head)
	s.text(point{p.x0 - rowLead*z, p.y0 - speedRow*z}, y.Units.SpeedUnit(), head)
}

// speedWords are short enough for a row of ticks.
func speedWords(speed float64) string {
	if speed < 9.95 {
		return fixed(speed, 1)
	}
	return fixed(speed, 0)
}

func (y *climbLayout) drawAxes(k int) {
	s, z, p := y.s, y.size, y.panels[k]
	grid := stroke{color: s.theme.Grid, width: 0.05 * z}
	edge := stroke{color: s.theme.Muted, width: 0.06 * z}
	for _, t := range y.grades {
		at := y.x.at(t.value)
		s.segments([][2]point{{{at, p.y0}, {at, p.y1}}}, grid)
		s.segments([][2]point{{{at, p.y0 - 0.3*z}, {at, p.y0}}}, edge)
	}
	for _, t := range y.rpms {
		at := y.at(k, y.x.hi, t.value)
		s.line(point{p.x0, at.y}, at, grid)
		s.text(point{p.x1 + 0.4*z, at.y}, t.label, y.axisText())
	}
	s.polygon(p.corners(), nil, edge)
	y.axisTitle(p)
}

// axisTitle writes the fullest name of the cadence that fits beside a panel.
func (y *climbLayout) axisTitle(p rect) {
	st := textStyle{size: 0.9 * y.size, color: y.s.theme.Muted, align: alignMiddle, middle: true, angle: 90}
	for _, name := range []string{"cadence, rpm", "rpm"} {
		if y.s.textWidth(name, st) <= p.height() {
			y.s.text(point{y.s.w - (chartMargin+0.5)*y.size, (p.y0 + p.y1) / 2}, name, st)
			return
		}
	}
}

// balance is the part of panel k where the speed is under road.BalanceKmH.
func (y *climbLayout) balance(k int) (r rect, ok bool) {
	grade := 100 * y.BalanceGrades[k]
	if !(grade < y.x.hi) {
		return rect{}, false
	}
	p := y.panels[k]
	return rect{y.x.at(max(grade, y.x.lo)), p.y0, p.x1, p.y1}, true
}

func (y *climbLayout) drawBalance(k int) {
	if r, ok := y.balance(k); ok {
		y.s.part("balance floor", func() { y.drawFloor(r, r.x0 > y.panels[k].x0) })
	}
}

// drawFloor hatches grades without balance, with a firm edge where they start.
func (y *climbLayout) drawFloor(r rect, starts bool) {
	t := y.s.theme
	y.s.hatch(r, 0.9*y.size, stroke{color: t.tint(t.Muted, 0.45), width: 0.07 * y.size})
	if starts {
		y.s.line(point{r.x0, r.y0}, point{r.x0, r.y1}, stroke{color: t.Ink, width: 0.12 * y.size})
	}
}

func (c ClimbChart) balanceWords() string { return "under " + speedIn(c.Units, road.BalanceKmH) }

// drawBalanceWords names the hatched grades where the curves leave the room:
// lying where that fits, else standing.
func (y *climbLayout) drawBalanceWords(k int) {
	r, ok := y.balance(k)
	if !ok {
		return
	}
	z := y.size
	st := y.axisText()
	st.align = alignMiddle
	w := y.s.textWidth(y.balanceWords(), st)
	mid := point{(r.x0 + r.x1) / 2, r.y1 - 1.1*z}
	switch {
	case w+1.2*z <= r.width():
		y.s.backed(mid, y.balanceWords(), st, y.s.theme.Background)
	case 1.6*z <= r.width() && w+z <= r.height():
		mid.y = r.y1 - w/2 - 0.6*z
		y.s.fillRect(rect{mid.x - 0.55*z, mid.y - w/2 - 0.2*z, mid.x + 0.55*z, mid.y + w/2 + 0.2*z}, y.s.theme.Background)
		st.angle = 90
		y.s.text(mid, y.balanceWords(), st)
	}
}

func (y *climbLayout) drawBand(k int) {
	p := y.panels[k]
	y.s.part("comfortable band", func() {
		y.fillBand(rect{p.x0, y.at(k, 0, y.CadenceLow).y, p.x1, y.at(k, 0, y.CadenceHigh).y})
	})
	if y.leastApart() {
		at := y.at(k, 0, y.Climb.LeastCadence).y
		y.s.line(point{p.x0, at}, point{p.x1, at}, y.leastStroke())
	}
}

func (y *climbLayout) fillBand(r rect) {
	col := y.s.theme.series(2)
	y.s.polygon(r.corners(), glassy(col, 0.17), stroke{color: col, width: 0.07 * y.size})
}

// leastApart tells whether the least cadence needs a line of its own.
func (y *climbLayout) leastApart() bool {
	return math.Abs(y.Climb.LeastCadence-y.CadenceLow) > 0.5 && y.Climb.LeastCadence < y.top()
}

func (y *climbLayout) leastStroke() stroke {
	w := 0.1 * y.size
	return stroke{color: y.s.theme.Ink, width: w, dash: []float64{4 * w, 3 * w}}
}

func (y *climbLayout) curveStroke(ring int) stroke {
	w := 0.19 * y.size
	return stroke{color: y.s.theme.series(ring), width: w, dash: y.s.theme.dash(ring, w)}
}

func (y *climbLayout) drawCurve(k, gear int) {
	for _, piece := range y.curve(k, gear) {
		y.s.polyline(piece, y.curveStroke(y.ringOf(gear)))
	}
}
