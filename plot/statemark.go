package plot

import (
	"image/color"

	"cagewise/sim"
)

// stateColor goes with the mark and the word, and never stands for them.
func (t Theme) stateColor(st sim.State) color.NRGBA {
	switch {
	case st.Dangerous():
		return t.Danger
	case st.Runs():
		return t.Muted
	}
	return t.Ink
}

// chainColor is the colour of the chain in a gear.
func (t Theme) chainColor(st sim.State) color.NRGBA {
	if st.Dangerous() {
		return t.Danger
	}
	return t.Ink
}

// unsound tells whether the lower run cannot be as it is computed: the chain
// does not reach round, or hangs.
func unsound(st sim.State) bool { return st == sim.Locks || st == sim.Slack }

// stateMark draws the mark of a state; size as for mark, in mm. No ring has
// such a mark: the dangerous states are signs with eight corners and a figure
// in them, the others lines.
func (s *sheet) stateMark(at point, size float64, st sim.State) {
	line := stroke{color: s.theme.stateColor(st), width: 0.15 * size}
	to := func(x, y float64) point { return point{at.x + x*size, at.y + y*size} }
	switch {
	case st == sim.Clear: // a tick
		s.polyline([]point{to(-0.42, 0.02), to(-0.12, -0.3), to(0.44, 0.36)}, line)
	case st == sim.Far: // a dimension
		s.segments([][2]point{{to(-0.42, 0), to(0.42, 0)}, {to(-0.42, -0.3), to(-0.42, 0.3)}, {to(0.42, -0.3), to(0.42, 0.3)}}, line)
	case st == sim.Tight: // a chain pulled both ways
		s.segments([][2]point{
			{to(-0.46, 0), to(0.46, 0)}, {to(-0.46, 0), to(-0.22, 0.24)}, {to(-0.46, 0), to(-0.22, -0.24)},
			{to(0.46, 0), to(0.22, 0.24)}, {to(0.46, 0), to(0.22, -0.24)},
		}, line)
	case st == sim.Slack: // a chain that sags
		s.polyline(sagging(to(-0.46, 0.28), to(0.46, 0.28), 0.62*size, 8), line)
	default:
		s.polygon(turned(at, 0.56*size, 22.5, 8), line.color, stroke{color: line.color, width: 0.06 * size})
		s.dangerFigure(to, 0.13*size, st)
	}
}

// dangerFigure tells one dangerous state from the other; to gives places as
// shares of the mark's size, from its middle.
func (s *sheet) dangerFigure(to func(x, y float64) point, width float64, st sim.State) {
	line := stroke{color: s.theme.Background, width: width}
	switch st {
	case sim.Locks:
		s.segments([][2]point{{to(-0.23, -0.23), to(0.23, 0.23)}, {to(-0.23, 0.23), to(0.23, -0.23)}}, line)
	case sim.TooShort:
		s.line(to(-0.34, 0), to(0.34, 0), line)
	case sim.Hits:
		s.circle(to(0, 0), 1.5*width, nil, line)
	}
}

// platedMark draws a state's mark on a disc of the background, for places that
// are not bare.
func (s *sheet) platedMark(at point, size float64, st sim.State) {
	s.circle(at, 0.72*size, s.theme.Background, stroke{})
	s.stateMark(at, size, st)
}

// sagging is a line that hangs between two points, its middle so many mm under
// the straight line: a parabola, which a chain with little sag is near to.
func sagging(a, b point, depth float64, steps int) []point {
	pts := make([]point, steps+1)
	for i := range pts {
		t := float64(i) / float64(steps)
		pts[i] = point{a.x + t*(b.x-a.x), a.y + t*(b.y-a.y) - 4*depth*t*(1-t)}
	}
	return pts
}

// typicalWords stand wherever a figure rests on typical geometry.
const typicalWords = "typical geometry, not your derailleur's"

// basis is what a chart rests on, in words; empty when that is not said.
func basis(k sim.Knowledge) []string {
	switch k {
	case sim.TeethOnly:
		return nil
	case sim.FromRating:
		return []string{"typical geometry for the rated capacity, not your derailleur's"}
	case sim.Typical:
		return []string{typicalWords}
	}
	return []string{k.String()}
}
