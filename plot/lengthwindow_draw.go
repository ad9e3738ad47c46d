package plot

import (
	"fmt"
	"math"

	"cagewise/sim"
)

func (l LengthWindow) draw(s *sheet) { l.place(s).draw() }

func (y *windowLayout) draw() {
	y.head.draw(y.s)
	y.drawBand()
	y.drawAxes()
	for i := range y.Fit.Gears {
		y.s.part("gear "+y.Fit.Gears[i].String(), func() { y.drawRow(i) })
	}
	y.drawChosen()
	margin := chartMargin * y.size
	y.legend.draw(y.s, margin, margin+y.legend.height(y.s, y.s.w-2*margin), y.s.w-2*margin)
}

// drawBand shades the counts with which every gear runs.
func (y *windowLayout) drawBand() {
	w := y.Window
	if w.ClearFrom == 0 {
		return
	}
	r := rect{y.onPlot(float64(w.ClearFrom) - 0.4), y.plot.y0, y.onPlot(float64(w.ClearTo) + 0.4), y.plot.y1}
	y.s.part("all-clear band", func() {
		y.s.polygon(r.corners(), y.s.theme.tint(y.s.theme.series(2), 0.16), stroke{color: y.s.theme.series(2), width: 0.06 * y.size})
	})
}

func (y *windowLayout) drawAxes() {
	s, z, p := y.s, y.size, y.plot
	grid := stroke{color: s.theme.Grid, width: 0.05 * z}
	edge := stroke{color: s.theme.Muted, width: 0.06 * z}
	label := y.axisText()
	for _, t := range y.ticks {
		at := y.x.at(t.value)
		if math.Abs(t.value-float64(y.Chosen)) > 1e-9 {
			s.line(point{at, p.y0}, point{at, p.y1}, grid)
		}
		s.line(point{at, p.y0 - 0.3*z}, point{at, p.y0}, edge)
		s.line(point{at, p.y1}, point{at, p.y1 + 0.3*z}, edge)
		s.text(point{at, p.y0 - 0.9*z}, t.label, label)
		if pairs := plain(t.value / 2); !y.nearChosen(at, s.textWidth(pairs, label)) {
			s.text(point{at, p.y1 + 0.9*z}, pairs, label)
		}
	}
	for _, h := range []float64{p.y0, p.y1} {
		s.line(point{p.x0, h}, point{p.x1, h}, edge)
	}
	label.color = s.theme.Muted
	s.text(point{(p.x0 + p.x1) / 2, p.y0 - 2.1*z}, s.fit("chain count, pitches", label, p.width()), label)
	y.drawPairs(label)
}

// chosenShown tells whether there is a chosen count, on the axis.
func (y *windowLayout) chosenShown() bool {
	return y.Chosen > 0 && float64(y.Chosen) >= y.x.lo && float64(y.Chosen) <= y.x.hi
}

// nearChosen tells whether a text of a width would touch the line of the chosen
// count.
func (y *windowLayout) nearChosen(at, width float64) bool {
	return y.chosenShown() && math.Abs(at-y.x.at(float64(y.Chosen))) < width/2+0.4*y.size
}

func (y *windowLayout) chosenText() textStyle {
	return textStyle{size: y.size, bold: true, color: y.s.theme.Ink, align: alignMiddle, middle: true}
}

// chosenLabel is the label of the chosen count and the ends of it along x, mm.
func (y *windowLayout) chosenLabel() (text string, x0, x1 float64) {
	text = fmt.Sprintf("chosen %d", y.Chosen)
	half := y.s.textWidth(text, y.chosenText()) / 2
	mid := min(max(y.x.at(float64(y.Chosen)), y.plot.x0+half), y.plot.x1-half)
	return text, mid - half, mid + half
}

// drawPairs names the second axis at the end that the chosen count leaves free.
func (y *windowLayout) drawPairs(st textStyle) {
	left, right := y.plot.x0, y.plot.x1
	st.align = alignLeft
	if y.chosenShown() {
		_, x0, x1 := y.chosenLabel()
		if x0-left > right-x1 {
			right = x0 - y.size
		} else {
			left, st.align = x1+y.size, alignRight
		}
	}
	at := point{left, y.plot.y1 + 2.2*y.size}
	if st.align == alignRight {
		at.x = right
	}
	y.s.text(at, y.s.fit("link pairs", st, right-left), st)
}

// drawChosen marks the chosen count over all rows.
func (y *windowLayout) drawChosen() {
	if !y.chosenShown() {
		return
	}
	at, z := y.x.at(float64(y.Chosen)), y.size
	y.s.part("chosen", func() {
		y.s.line(point{at, y.plot.y0}, point{at, y.plot.y1 + 1.6*z}, stroke{color: y.s.theme.Ink, width: 0.16 * z})
	})
	text, x0, x1 := y.chosenLabel()
	y.s.text(point{(x0 + x1) / 2, y.plot.y1 + 2.2*z}, text, y.chosenText())
}

// drawRow draws one gear: locks, overstretched, runs, slack, from the left.
func (y *windowLayout) drawRow(i int) {
	g, at, t := &y.Fit.Gears[i], y.rowAt(i), y.rowText
	ring := i / ContactSheet{Fits: y.Fit.Gears}.columns()
	name := y.rowStyle()
	name.align = alignRight
	right := y.plot.x0 - 0.5*y.size
	y.s.text(point{right, at}, g.String(), name)
	y.s.mark(point{chartMargin*y.size + 0.4*t, at}, 0.7*t, ring, y.s.theme.series(ring), false)
	left := y.plot.x1 + 0.5*y.size
	y.s.stateMark(point{left + 0.45*t, at}, 0.85*t, g.State)
	y.s.text(point{left + 1.2*t, at}, looks[g.State].short, y.rowStyle())
	from, to, ok := y.ends(g)
	if !ok {
		y.drawLocks(y.plot.x0, y.plot.x1, at)
		return
	}
	locks := y.onPlot(from - sim.LeastReserve)
	y.drawLocks(y.plot.x0, locks, at)
	y.drawTight(locks, y.onPlot(from), at)
	y.drawSlack(y.onPlot(max(to, from)), y.plot.x1, at)
	y.drawRuns(y.onPlot(from), y.onPlot(to), at, ring)
}

// onPlot is the place of a count, or the end of the axis before it.
func (y *windowLayout) onPlot(v float64) float64 { return min(max(y.x.at(v), y.plot.x0), y.plot.x1) }

// half is half the height of a row's bar, mm.
func (y *windowLayout) half() float64 { return min(0.33*y.row, 0.5*y.size) }

// drawLocks is a solid dark bar, lower than the rest so that many of them do
// not outweigh the gears that run.
func (y *windowLayout) drawLocks(x0, x1, at float64) {
	if x1 > x0 {
		h := 0.5 * y.half()
		y.s.fillRect(rect{x0, at - h, x1, at + h}, y.s.theme.tint(y.s.theme.Ink, 0.75))
	}
}

// drawTight hatches the last pitch before a gear locks.
func (y *windowLayout) drawTight(x0, x1, at float64) {
	if x1 <= x0 {
		return
	}
	r := rect{x0, at - y.half(), x1, at + y.half()}
	ink := y.s.theme.series(1)
	y.s.polygon(r.corners(), y.s.theme.Background, stroke{})
	y.s.hatch(r, 0.32*y.size, stroke{color: ink, width: 0.09 * y.size})
	y.s.polygon(r.corners(), nil, stroke{color: ink, width: 0.06 * y.size})
}

// drawRuns is the bar of counts with which the gear runs.
func (y *windowLayout) drawRuns(x0, x1, at float64, ring int) {
	if x1 <= x0 {
		return
	}
	col := y.s.theme.series(ring)
	r := rect{x0, at - y.half(), x1, at + y.half()}
	y.s.part("runs", func() {
		y.s.polygon(r.corners(), y.s.theme.tint(col, 0.45), stroke{color: col, width: 0.07 * y.size})
	})
}

// drawSlack is an open dotted line.
func (y *windowLayout) drawSlack(x0, x1, at float64) {
	if x1 > x0 {
		w := 0.14 * y.size
		y.s.line(point{x0 + w, at}, point{x1, at}, stroke{color: y.s.theme.Muted, width: w, dash: []float64{w, 1.6 * w}})
	}
}

// explain is the legend: what occurs in any such chart.
func (y *windowLayout) explain() legend {
	l := legend{size: 0.9 * y.size, sample: 2.6 * y.size}
	y.row = 1.5 * y.size // for the samples; placeAll sets it next
	add := func(text string, draw func(x0, x1, at float64)) {
		l.entries = append(l.entries, entry{func(_ *sheet, at point, w float64) { draw(at.x, at.x+w, at.y) }, text})
	}
	add("locks", y.drawLocks)
	add("overstretched: the last pitch", y.drawTight)
	add("runs", func(x0, x1, at float64) { y.drawRuns(x0, x1, at, 0) })
	add("slack, noisy", y.drawSlack)
	if y.Window.ClearFrom > 0 {
		add("every gear runs", func(x0, x1, at float64) {
			r := rect{x0, at - 0.5*y.size, x1, at + 0.5*y.size}
			y.s.polygon(r.corners(), y.s.theme.tint(y.s.theme.series(2), 0.16), stroke{color: y.s.theme.series(2), width: 0.06 * y.size})
		})
	}
	l.entries = append(l.entries, entry{func(s *sheet, at point, w float64) {
		for i := range 3 {
			s.stateMark(point{at.x + w*(0.2+0.3*float64(i)), at.y}, 0.8*y.size, []sim.State{sim.Clear, sim.Slack, sim.Overstretched}[i])
		}
	}, fmt.Sprintf("state with %d pitches", y.Fit.Pitches)})
	return l
}
