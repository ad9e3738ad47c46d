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
	for _, c := range []int{y.judged, y.length} {
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

// drawMarked frames the chain judged and the length to have over all rows.
func (y *windowLayout) drawMarked() {
	z, up := y.size, 0.1
	if y.columnW > y.labelWidth()+0.4*z { // else the frame would cross the counts
		up = countLine + 0.65
	}
	frame := func(c int, st stroke) {
		r := y.cells(c, c)
		r.y0, r.y1 = r.y0-0.1*z, r.y1+up*z
		y.s.polygon(r.corners(), nil, st)
	}
	if y.length >= 0 && y.length != y.judged {
		st := stroke{color: y.s.theme.Ink, width: 0.1 * z, dash: []float64{0.5 * z, 0.3 * z}}
		y.s.part("length", func() { frame(y.length, st) })
	}
	if y.judged >= 0 {
		y.s.part("judged", func() { frame(y.judged, stroke{color: y.s.theme.Ink, width: 0.16 * z}) })
	}
	y.nameMarked()
}

// judgedWord is over the chain judged.
const judgedWord = "judged"

// orderWord is over the length to have.
func orderWord(o sim.Order) string {
	switch o {
	case sim.Cut:
		return "cut to this"
	case sim.Replace:
		return "replace by this"
	}
	return o.String()
}

// nameMarked writes what the frames say, away from each other.
func (y *windowLayout) nameMarked() {
	order := orderWord(y.Answer.Order)
	switch {
	case y.judged < 0 && y.length < 0:
	case y.judged == y.length:
		y.nameAt(y.judged, judgedWord+", "+order, alignMiddle)
	case y.judged < 0:
		y.nameAt(y.length, order, alignMiddle)
	case y.length < 0:
		y.nameAt(y.judged, judgedWord, alignMiddle)
	case y.judged < y.length:
		y.nameAt(y.judged, judgedWord, alignRight)
		y.nameAt(y.length, order, alignLeft)
	default:
		y.nameAt(y.length, order, alignRight)
		y.nameAt(y.judged, judgedWord, alignLeft)
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
		add(legendWords(st), func(x0, x1, at float64) {
			y.drawBar(rect{x0, at - 0.55*y.size, x1, at + 0.55*y.size}, st)
			y.drawMark(point{(x0 + x1) / 2, at}, x1-x0, st)
		})
	}
	if allRun {
		add("every gear runs", y.drawRunsBar)
	}
	l.addDoubt(y.judgement())
	return l
}

// legendWords are a state in words with what that means.
func legendWords(st sim.State) string {
	switch st {
	case sim.Clear:
		return "clear: runs"
	case sim.Far:
		return "far: runs, slow shifts"
	case sim.Slack:
		return "hangs slack: noisy"
	case sim.Tight:
		return "tight: turns, keep out"
	case sim.Hits:
		return "hits the cog"
	}
	return st.String()
}
