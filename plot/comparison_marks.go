package plot

import "math"

// drawGear draws the mark of a gear. One that runs is a single shape without
// an edge, which looks like mark's and is half the drawing where there are
// hundreds.
func (y *comparisonLayout) drawGear(at point, size float64, ring int, lost bool) {
	col := y.s.theme.series(ring)
	if lost {
		y.s.mark(at, size, ring, col, true)
		return
	}
	shape := solidMarks[ring%markKinds]
	if shape.corners == 0 {
		y.s.circle(at, shape.reach*size, col, stroke{})
		return
	}
	y.s.polygon(turned(at, shape.reach*size, shape.from, shape.corners), col, stroke{})
}

// solidMarks are the shapes of mark, edge included, so that the two cover the same
// place.
var solidMarks = [markKinds]struct {
	corners     int     // 0: a circle
	reach, from float64 // of the corners; share of the size, and degrees
}{
	{0, 1.1*markReach + markEdge, 0},
	{4, 1.35*markReach + markEdge*math.Sqrt2, 45},
	{3, 1.45*markReach + markEdge*2, 90},
	{4, 1.45*markReach + markEdge*math.Sqrt2, 0},
	{3, 1.45*markReach + markEdge*2, -90},
}

// What mark makes of its size: half its edge's width, and what is left inside.
const (
	markEdge  = 0.16 / 2
	markReach = (1 - 0.16) / 2
)

func (y *comparisonLayout) tieStroke() stroke {
	return stroke{color: y.s.theme.Muted, width: 0.06 * y.size, dash: []float64{0.22 * y.size, 0.18 * y.size}}
}

// drawHole hatches the step over which the cruising gear's neighbour lies.
func (y *comparisonLayout) drawHole(x0, x1, at float64) {
	half := min(0.34*y.row, 0.4*y.size)
	r := rect{x0, at - half, x1, at + half}
	ink := y.s.theme.Ink
	y.s.polygon(r.corners(), y.s.theme.Background, stroke{})
	y.s.hatch(r, 0.32*y.size, stroke{color: ink, width: 0.09 * y.size})
	y.s.polygon(r.corners(), nil, stroke{color: ink, width: 0.06 * y.size})
}

// drawCruising rings the gear of the cruising speed.
func (y *comparisonLayout) drawCruising(at point) {
	r := 0.5*y.mark + 0.24*y.size
	y.s.circle(at, r, nil, stroke{color: y.s.theme.Background, width: 0.3 * y.size})
	y.s.circle(at, r, nil, stroke{color: y.s.theme.Ink, width: 0.14 * y.size})
}

// drawSamples shows the marks of all rings.
func (y *comparisonLayout) drawSamples(at point, w float64, lost bool) {
	n := y.mostRings()
	step := min(w/float64(n), 1.1*y.size)
	x := at.x + w/2 - step*float64(n-1)/2
	for ring := range n {
		y.drawSample(point{x + step*float64(ring), at.y}, ring, lost)
	}
}

func (y *comparisonLayout) drawSample(at point, ring int, lost bool) {
	y.drawGear(at, math.Min(0.7*y.size, max(y.mark, 0.5*y.size)), ring, lost)
}
