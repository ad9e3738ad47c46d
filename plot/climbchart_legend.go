package plot

import "fmt"

// explain is the legend: what occurs in this chart.
func (y *climbLayout) explain() legend {
	l := legend{size: 0.9 * y.size, sample: 3 * y.size}
	add := func(text string, draw func(at point, w float64)) {
		l.entries = append(l.entries, entry{func(_ *sheet, at point, w float64) { draw(at, w) }, text})
	}
	for ring, teeth := range y.rings() {
		add(ringWords(teeth), func(at point, w float64) {
			y.s.line(at, point{at.x + w, at.y}, y.curveStroke(ring))
		})
	}
	if rings := y.ringsWhere(y.held); len(rings) > 0 {
		add(fmt.Sprintf("steepest grade held at %s rpm", plain(y.Climb.LeastCadence)), func(at point, w float64) { inRow(rings, at, w, y.drawMark) })
	}
	if rings := y.ringsWhere(y.never); len(rings) > 0 {
		add(fmt.Sprintf("under %s rpm on every grade here", plain(y.Climb.LeastCadence)), func(at point, w float64) { inRow(rings, at, w, y.drawNever) })
	}
	box := func(at point, w float64) rect { return rect{at.x, at.y - 0.5*y.size, at.x + w, at.y + 0.5*y.size} }
	add(fmt.Sprintf("comfortable cadence, %s to %s rpm", plain(y.CadenceLow), plain(y.CadenceHigh)), func(at point, w float64) { y.fillBand(box(at, w)) })
	y.explainRest(add, box)
	return l
}

// inRow shows the marks of rings side by side.
func inRow(rings []int, at point, w float64, draw func(point, int)) {
	for i, ring := range rings {
		draw(point{at.x + w*(float64(i)+0.5)/float64(len(rings)), at.y}, ring)
	}
}

// explainRest explains what not every chart has.
func (y *climbLayout) explainRest(add func(string, func(point, float64)), box func(point, float64) rect) {
	if y.leastApart() {
		add("least cadence", func(at point, w float64) { y.s.line(at, point{at.x + w, at.y}, y.leastStroke()) })
	}
	for _, g := range y.BalanceGrades {
		if g < y.Climb.Grades[len(y.Climb.Grades)-1] {
			add(y.balanceWords()+": hard to balance in any gear", func(at point, w float64) { y.drawFloor(box(at, w), true) })
			return
		}
	}
}
