package plot

import (
	"fmt"

	"cagewise/sim"
)

func (l LengthWindow) draw(s *sheet) { l.place(s).draw() }

func (y *windowLayout) draw() {
	y.head.draw(y.s)
	y.drawCounts()
	for i := range y.Answer.Gears {
		y.s.part("gear "+y.Answer.Gears[i].String(), func() { y.drawRow(i) })
	}
	y.drawAllRun()
	y.drawMarked()
	margin := chartMargin * y.size
	y.legend.draw(y.s, margin, margin+y.legend.height(y.s, y.s.w-2*margin), y.s.w-2*margin)
}

// withJudged is over the states with the chain judged.
func (y *windowLayout) withJudged() string { return fmt.Sprintf("with %d", y.Answer.Pitches) }

// Middles of the lines of counts over the rows, in text sizes.
const pairsLine, countLine, labelLine = 0.85, 2.1, 3.5

// drawCounts writes the counts over the columns, in pitches and in link pairs.
func (y *windowLayout) drawCounts() {
	s, z, label := y.s, y.size, y.axisText()
	pairs, name := label, label
	pairs.color, name.color, name.align = s.theme.Muted, s.theme.Muted, alignRight
	up := func(x, lines float64) point { return point{x, y.plot.y1 + lines*z} }
	s.text(up(y.plot.x0-0.5*z, countLine), countName, name)
	s.text(up(y.plot.x0-0.5*z, pairsLine), pairsName, name)
	for _, c := range y.labelled() {
		st := label
		st.bold = c.column == y.judged || c.column == y.length
		n := y.counts[c.column].pitches
		s.text(up(c.at, countLine), fmt.Sprint(n), st)
		s.text(up(c.at, pairsLine), plain(float64(n)/2), pairs)
	}
	if y.judged >= 0 {
		name.align = alignLeft
		s.text(up(y.plot.x1+0.6*z, countLine), y.withJudged(), name)
	}
}

// drawRow draws the bars of one gear, its name and what it does with the chain
// judged.
func (y *windowLayout) drawRow(i int) {
	s, at, t := y.s, y.rowAt(i), y.rowText
	name := y.rowStyle()
	name.align = alignRight
	s.text(point{y.plot.x0 - 0.5*y.size, at}, y.Answer.Gears[i].String(), name)
	if y.judged >= 0 {
		is, left := y.judgement().tell(i), y.plot.x1+0.6*y.size
		s.stateMark(point{left + 0.45*t, at}, 0.85*t, is.state)
		s.text(point{left + 1.3*t, at}, is.short(), y.rowStyle())
	}
	y.bars(i, func(from, to int, st sim.State) {
		r := y.cells(from, to)
		gap := min(0.07*y.size, 0.1*y.columnW)
		s.part(fmt.Sprintf("%s %d to %d", st, y.counts[from].pitches, y.counts[to].pitches), func() {
			y.drawBar(rect{r.x0 + gap, at - y.half(), r.x1 - gap, at + y.half()}, st)
			y.drawMark(point{y.middle((from + to) / 2), at}, y.columnW-2*gap, st)
		})
	})
}

// drawMark puts a state's mark on its bar where it has the room.
func (y *windowLayout) drawMark(at point, room float64, st sim.State) {
	size := min(1.6*y.half(), 0.8*y.size)
	switch {
	case room < 1.3*size:
	case st >= sim.Tight:
		y.s.platedMark(at, 0.88*size, st)
	default:
		y.s.stateMark(at, size, st)
	}
}

// drawBar draws counts of one state: solid, hatched, crossed, lined, tinted or
// open.
func (y *windowLayout) drawBar(r rect, st sim.State) {
	s, t, z := y.s, y.s.theme, y.size
	col := t.stateColor(st)
	edge := stroke{color: col, width: 0.06 * z}
	thin := stroke{color: col, width: 0.07 * z}
	switch st {
	case sim.Locks:
		s.polygon(r.corners(), col, edge)
	case sim.TooShort:
		s.polygon(r.corners(), t.Background, edge)
		s.hatch(r, 0.36*z, thin)
	case sim.Hits:
		s.polygon(r.corners(), t.Background, edge)
		s.hatch(r, 0.45*z, thin)
		s.backHatch(r, 0.45*z, thin)
	case sim.Tight:
		s.polygon(r.corners(), t.Background, edge)
		third := r.height() / 3
		s.segments([][2]point{{{r.x0, r.y0 + third}, {r.x1, r.y0 + third}}, {{r.x0, r.y1 - third}, {r.x1, r.y1 - third}}}, thin)
	case sim.Slack:
		edge.dash = []float64{0.25 * z, 0.25 * z}
		s.polygon(r.corners(), nil, edge)
	default:
		s.polygon(r.corners(), t.tint(t.series(2), 0.3), stroke{color: t.series(2), width: 0.06 * z})
	}
}

// drawAllRun puts a bar under the counts with which every gear runs.
func (y *windowLayout) drawAllRun() {
	for c := range y.counts {
		if y.counts[c].counts().Worst().Runs() {
			r := y.cells(c, c)
			y.s.part("every gear runs", func() { y.drawRunsBar(r.x0, r.x1, y.plot.y0-0.55*y.size) })
		}
	}
}

func (y *windowLayout) drawRunsBar(x0, x1, at float64) {
	h := 0.2 * y.size
	y.s.fillRect(rect{x0, at - h, x1, at + h}, y.s.theme.series(2))
}
