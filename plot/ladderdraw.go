package plot

import (
	"fmt"
	"math"

	"cagewise/gearing"
	"cagewise/sim"
)

func (y *ladderLayout) draw() {
	y.head()
	y.axes()
	y.drawTies()
	for i := range y.Table.Rings {
		y.column(i)
	}
	margin := ladderMargin * y.size
	y.legend.draw(y.s, margin, y.plot.y0-0.8*y.size, y.s.w-2*margin)
}

func (y *ladderLayout) text(size float64) textStyle {
	return textStyle{size: size, color: y.s.theme.Ink, middle: true}
}

func (y *ladderLayout) tickText() textStyle { return y.text(0.9 * y.size) }

func (y *ladderLayout) headText(ring int) textStyle {
	return textStyle{size: y.size, bold: true, color: y.s.theme.series(ring), align: alignMiddle, middle: true}
}

func (y *ladderLayout) head() {
	s, z := y.s, y.size
	x := ladderMargin * z
	room := s.w - 2*x
	at := point{x, s.h - x - 0.5*titleSize*z}
	at.y = s.drawTitle(y.title, at, z)
	fact := textStyle{size: z, color: s.theme.Muted, middle: true}
	at.y -= (0.5*titleSize + 0.4 + 0.5*factLine) * z
	for _, line := range y.lines {
		s.text(at, s.fit(line, fact, room), fact)
		at.y -= factLine * z
	}
}

func (y *ladderLayout) axes() {
	s, z, p := y.s, y.size, y.plot
	label := y.tickText()
	label.align = alignRight
	for _, t := range y.devTicks {
		at := y.dev.at(t.value)
		s.line(point{p.x0, at}, point{p.x1, at}, stroke{color: s.theme.Grid, width: 0.05 * z})
		s.text(point{p.x0 - 0.4*z, at}, t.label, label)
	}
	label.align = alignLeft
	edge := stroke{color: s.theme.Muted, width: 0.05 * z}
	for _, t := range y.inchTicks {
		at := y.inch.at(t.value)
		s.line(point{p.x1 - 0.3*z, at}, point{p.x1, at}, edge)
		s.text(point{p.x1 + 0.4*z, at}, t.label, label)
	}
	s.line(point{p.x0, p.y0}, point{p.x0, p.y1}, edge)
	s.line(point{p.x1, p.y0}, point{p.x1, p.y1}, edge)
	y.axisTitle((ladderMargin+0.5)*z, "development, m per crank turn", "development, m", "m")
	y.axisTitle(s.w-(ladderMargin+0.5)*z, "gear inches", "inches", "in")
}

// axisTitle writes the fullest of the names that fits beside the columns.
func (y *ladderLayout) axisTitle(x float64, names ...string) {
	st := textStyle{size: 0.9 * y.size, color: y.s.theme.Muted, align: alignMiddle, middle: true, angle: 90}
	for _, name := range names {
		if y.s.textWidth(name, st) <= y.plot.height() {
			y.s.text(point{x, (y.plot.y0 + y.plot.y1) / 2}, name, st)
			return
		}
	}
}

// rung gives the ends of the bars of a ring. Label, leader and bar together
// stand in the middle of their column.
func (y *ladderLayout) rung(ring int) (x0, x1 float64) {
	taken := y.label + (labelLeader+columnGap)*y.size
	width := min(0.45*y.colWidth, y.colWidth-taken, 9*y.size)
	mid := y.plot.x0 + (float64(ring)+0.5)*y.colWidth + (y.label+labelLeader*y.size)/2
	return mid - width/2, mid + width/2
}

func (y *ladderLayout) rungAt(g gearing.Gear) float64 { return y.dev.at(float64(g.Development)) }

func (y *ladderLayout) tieStroke() stroke {
	return stroke{color: y.s.theme.Muted, width: 0.06 * y.size, dash: []float64{0.25 * y.size, 0.2 * y.size}}
}

func (y *ladderLayout) drawTies() {
	for _, pair := range y.ties() {
		_, x0 := y.rung(y.ringOf(pair[0]))
		x1, _ := y.rung(y.ringOf(pair[1]))
		from, to := y.Table.Gears[pair[0]], y.Table.Gears[pair[1]]
		y.s.line(point{x0, y.rungAt(from)}, point{x1, y.rungAt(to)}, y.tieStroke())
	}
}

func (y *ladderLayout) column(ring int) {
	z := y.size
	x0, x1 := y.rung(ring)
	y.s.text(point{(x0 + x1) / 2, y.plot.y1 + 1.1*z}, y.ringName(ring), y.headText(ring))
	wanted, places := y.labelPlaces(ring)
	for k, g := range y.gearsOf(ring) {
		y.drawBar(ring, x0, x1, wanted[k], g.Lost)
		y.drawLabel(ring*len(y.Table.Cogs)+k, x0, wanted[k], places[k])
	}
}

// drawLabel writes the cog of gear i at its rung's left, after the mark of its
// state where there is one, with a leader when it had to move.
// The label clears the ties and the grid behind it: a line through a number
// reads as struck out.
func (y *ladderLayout) drawLabel(i int, bar, at, place float64) {
	s, z := y.s, y.size
	st := y.text(z)
	st.align = alignRight
	edge := bar - labelLeader*z
	name := y.cogLabel(i)
	w := s.textWidth(name, st)
	t, marked := y.told(i)
	if marked {
		w += ladderMark * z
	}
	s.fillRect(rect{edge - w - 0.3*z, place - 0.46*z, edge + 0.3*z, place + 0.46*z}, s.theme.Background)
	if math.Abs(place-at) > 0.1*z {
		s.line(point{bar - 0.1*z, at}, point{edge + 0.15*z, place}, stroke{color: s.theme.Muted, width: 0.05 * z})
	}
	s.text(point{edge, place}, name, st)
	if marked {
		s.stateMark(point{edge - w + 0.4*z, place}, 0.8*z, t.state)
	}
}

// drawBar draws the rung itself: solid, or hollow for a lost gear.
func (y *ladderLayout) drawBar(ring int, x0, x1, at float64, lost bool) {
	s, col := y.s, y.s.theme.series(ring)
	r := rect{x0, at - y.bar, x1, at + y.bar}
	if lost {
		s.polygon(r.corners(), s.theme.Background, stroke{color: col, width: 0.5 * y.bar})
	} else {
		s.fillRect(r, col)
	}
	s.mark(point{(x0 + x1) / 2, at}, y.markSize, ring, col, lost)
}

// explain lists what occurs in this ladder.
func (y *ladderLayout) explain() legend {
	l := legend{size: 0.9 * y.size, sample: 3 * y.size}
	add := func(lost bool, text string) {
		ring := y.firstRing(lost)
		if ring < 0 {
			return
		}
		bar := func(_ *sheet, at point, w float64) { y.drawBar(ring, at.x, at.x+w, at.y, lost) }
		l.entries = append(l.entries, entry{bar, text})
	}
	add(false, "gear, labelled by cog teeth")
	add(true, "(cog) lost to "+y.lostTo())
	y.explainStates(&l)
	if len(y.ties()) > 0 {
		tie := func(s *sheet, at point, w float64) { s.line(at, point{at.x + w, at.y}, y.tieStroke()) }
		l.entries = append(l.entries, entry{tie, fmt.Sprintf("duplicates within %s %%", plain(float64(y.Table.Tolerance)))})
	}
	return l
}

// explainStates adds the states that are marked, and doubt.
func (y *ladderLayout) explainStates(l *legend) {
	seen := map[sim.State]bool{}
	for i := range y.Table.Gears {
		if t, marked := y.told(i); marked {
			seen[t.state] = true
		}
	}
	for st := sim.Clear; st <= sim.Locks; st++ {
		if seen[st] {
			mark := func(s *sheet, at point, w float64) { s.stateMark(point{at.x + w/2, at.y}, 0.8*y.size, st) }
			l.entries = append(l.entries, entry{mark, stateWords(st)})
		}
	}
	l.addDoubt(judgement{y.Advice})
}
