package plot

import (
	"fmt"
	"math"

	"cagewise/sim"
)

// countLabel is a count written over its column, or beside its middle where it
// would leave the columns.
type countLabel struct {
	column int
	at     float64 // of its middle, mm
}

// labelled are the counts that are written: the marked ones and as many others
// as there is room for, at even distances.
func (y *windowLayout) labelled() []countLabel {
	width := y.labelWidth()
	need := width + 0.6*y.size
	var list []countLabel
	add := func(c int) {
		at := max(y.plot.x0+width/2, min(y.middle(c), y.plot.x1-width/2))
		for _, o := range list {
			if math.Abs(o.at-at) < need {
				return
			}
		}
		list = append(list, countLabel{c, at})
	}
	for _, c := range []int{y.chosen, y.advised} {
		if c >= 0 {
			add(c)
		}
	}
	step := 1
	for step < len(y.counts) && float64(step)*y.columnW < need {
		step++
	}
	for c := 0; c < len(y.counts); c += step {
		add(c)
	}
	return list
}

// labelWidth is the width of the widest count, mm.
func (y *windowLayout) labelWidth() float64 {
	st, w := y.axisText(), 0.0
	st.bold = true
	for _, c := range y.counts {
		w = max(w, y.s.textWidth(fmt.Sprint(c.pitches), st), y.s.textWidth(plain(float64(c.pitches)/2), st))
	}
	return w
}

// drawMarked frames the chosen and the recommended count over all rows.
func (y *windowLayout) drawMarked() {
	z := y.size
	frame := func(c int, st stroke) {
		r := y.cells(c, c)
		r.y0, r.y1 = r.y0-0.1*z, r.y1+(countLine+0.65)*z
		y.s.polygon(r.corners(), nil, st)
	}
	if y.advised >= 0 && y.advised != y.chosen {
		st := stroke{color: y.s.theme.Ink, width: 0.1 * z, dash: []float64{0.5 * z, 0.3 * z}}
		y.s.part("recommended", func() { frame(y.advised, st) })
	}
	if y.chosen >= 0 {
		y.s.part("chosen", func() { frame(y.chosen, stroke{color: y.s.theme.Ink, width: 0.16 * z}) })
	}
	y.nameMarked()
}

// nameMarked writes what the frames say, away from each other.
func (y *windowLayout) nameMarked() {
	const chosen, advised = "chosen", "recommended"
	switch {
	case y.chosen >= 0 && y.chosen == y.advised:
		y.nameAt(y.chosen, "chosen, recommended", alignMiddle)
	case y.chosen < 0 && y.advised >= 0:
		y.nameAt(y.advised, advised, alignMiddle)
	case y.chosen >= 0 && y.advised < 0:
		y.nameAt(y.chosen, chosen, alignMiddle)
	case y.chosen >= 0 && y.chosen < y.advised:
		y.nameAt(y.chosen, chosen, alignRight)
		y.nameAt(y.advised, advised, alignLeft)
	case y.chosen >= 0:
		y.nameAt(y.advised, advised, alignRight)
		y.nameAt(y.chosen, chosen, alignLeft)
	}
}

// nameAt writes a word over a column: over its middle, or away from its right
// or left edge.
func (y *windowLayout) nameAt(c int, word string, a align) {
	st := textStyle{size: y.size, bold: true, color: y.s.theme.Ink, align: a, middle: true}
	margin, r := chartMargin*y.size, y.cells(c, c)
	edge := 0.2 * y.size
	room, x := y.s.w-2*margin, y.middle(c)
	switch a {
	case alignRight:
		x, room = r.x1-edge, r.x1-edge-margin
	case alignLeft:
		x, room = r.x0+edge, y.s.w-margin-r.x0-edge
	}
	word = y.s.fit(word, st, room)
	if half := y.s.textWidth(word, st) / 2; a == alignMiddle {
		x = min(max(x, margin+half), y.s.w-margin-half)
	}
	y.s.text(point{x, y.plot.y1 + labelLine*y.size}, word, st)
}

// explain is the legend: the states that occur.
func (y *windowLayout) explain() legend {
	l := legend{size: 0.9 * y.size, sample: 2.6 * y.size}
	words := map[sim.State]string{sim.Slack: "slack, noisy", sim.Fouls: "fouls: guide pulley in the cog", sim.Far: "far: runs, slow shifts", sim.Clear: "clear: runs"}
	seen, allRun := map[sim.State]bool{}, false
	for c := range y.counts {
		allRun = allRun || y.counts[c].counts().Worst().Runs()
		for _, st := range y.counts[c].states {
			seen[st] = true
		}
	}
	add := func(text string, draw func(x0, x1, at float64)) {
		l.entries = append(l.entries, entry{func(_ *sheet, at point, w float64) { draw(at.x, at.x+w, at.y) }, text})
	}
	for st := sim.Locks; st >= sim.Clear; st-- {
		if !seen[st] {
			continue
		}
		word, ok := words[st]
		if !ok {
			word = st.String()
		}
		add(word, func(x0, x1, at float64) {
			y.drawBar(rect{x0, at - 0.55*y.size, x1, at + 0.55*y.size}, st)
			y.drawMark(point{(x0 + x1) / 2, at}, x1-x0, st)
		})
	}
	if allRun {
		add("every gear runs", y.drawRunsBar)
	}
	return l
}
