package plot

import (
	"image/color"

	"cagewise/sim"
)

// look is how the mark of a state is drawn.
type look struct {
	kind   int
	hollow bool
	struck bool   // with a cross in it
	short  string // the state's name where there is little room
}

// Shapes tell the states apart; filled shapes are the dangerous ones.
var looks = map[sim.State]look{
	sim.Clear:         {kind: 0, hollow: true, short: "clear"},
	sim.Far:           {kind: 3, hollow: true, short: "far"},
	sim.Slack:         {kind: 4, hollow: true, short: "slack"},
	sim.Fouls:         {kind: 3, short: "fouls"},
	sim.Overstretched: {kind: 2, short: "overstr."},
	sim.Locks:         {kind: 1, struck: true, short: "locks"},
}

// stateColor goes with the mark and the word, and never stands for them.
func (t Theme) stateColor(st sim.State) color.NRGBA {
	switch {
	case st.Dangerous():
		return t.series(1)
	case st.Runs():
		return t.Muted
	}
	return t.series(0)
}

// stateMark draws the mark of a state; size as for mark, in mm.
func (s *sheet) stateMark(at point, size float64, st sim.State) {
	l, col := looks[st], s.theme.stateColor(st)
	s.mark(at, size, l.kind, col, l.hollow)
	if l.struck {
		r := 0.3 * size
		s.segments([][2]point{
			{{at.x - r, at.y - r}, {at.x + r, at.y + r}},
			{{at.x - r, at.y + r}, {at.x + r, at.y - r}},
		}, stroke{color: s.theme.Background, width: 0.14 * size})
	}
}
