package plot

import "fmt"

func (y *wearLayout) draw() {
	y.head.draw(y.s)
	y.drawAxes()
	y.s.part("cone", y.drawCone)
	y.drawLimits()
	if y.dense {
		y.drawReadings()
	}
	y.s.part("fit", y.drawFit)
	if !y.dense {
		y.drawReadings()
	}
	y.drawOdds()
	y.drawMeets()
	y.drawNext()
	y.drawLabels()
	margin := chartMargin * y.size
	top := margin + y.notesHeight() + y.legend.height(y.s, y.s.w-2*margin)
	y.legend.draw(y.s, margin, top, y.s.w-2*margin)
	y.drawNotes()
}

func (y *wearLayout) drawAxes() {
	s, z, p := y.s, y.size, y.plot
	grid := stroke{color: s.theme.Grid, width: 0.05 * z}
	edge := stroke{color: s.theme.Muted, width: 0.06 * z}
	st := y.axisText()
	st.align = alignRight
	for _, t := range y.percent {
		at := y.e.at(t.value)
		s.line(point{p.x0, at}, point{p.x1, at}, grid)
		s.text(point{p.x0 - 0.4*z, at}, t.label, st)
	}
	st.align = alignMiddle
	for _, t := range y.distance {
		at := y.x.at(t.value)
		s.line(point{at, p.y0 - 0.3*z}, point{at, p.y0}, edge)
		s.text(point{at, p.y0 - 0.95*z}, t.label, st)
	}
	s.line(point{p.x0, p.y0}, point{p.x1, p.y0}, edge)
	s.line(point{p.x0, p.y0}, point{p.x0, p.y1}, edge)
	st.color = s.theme.Muted
	s.text(point{(p.x0 + p.x1) / 2, p.y0 - 2.2*z}, s.fit("odometer, "+y.unit(), st, p.width()), st)
	st.angle = 90
	s.text(point{(chartMargin + 0.5) * z, (p.y0 + p.y1) / 2}, s.fit("elongation, %", st, p.height()), st)
}

// coneEdges are the lower and the upper edge of the cone on the plot.
func (y *wearLayout) coneEdges() [][]point {
	var low, high []point
	for _, p := range y.fit.ahead {
		low, high = append(low, y.on(p.km, p.low)), append(high, y.on(p.km, p.high))
	}
	return append(y.onPlot(low), y.onPlot(high)...)
}

// fitLines is the fit so far and ahead, on the plot.
func (y *wearLayout) fitLines() [][]point {
	var lines [][]point
	for _, list := range [][]conePoint{y.fit.past, y.fit.ahead} {
		var line []point
		for _, p := range list {
			line = append(line, y.on(p.km, p.mid))
		}
		lines = append(lines, y.onPlot(line)...)
	}
	return lines
}

// onPlot is the part of a rising line that lies on the plot; none or one.
func (y *wearLayout) onPlot(line []point) [][]point {
	var kept []point
	for i := 1; i < len(line); i++ {
		a, b, ok := y.plot.grown(1e-9).clipped(line[i-1], line[i])
		if !ok {
			continue
		}
		if len(kept) == 0 {
			kept = append(kept, a)
		}
		kept = append(kept, b)
	}
	if len(kept) == 0 {
		return nil
	}
	return [][]point{kept}
}

// drawFit draws the fit, on a ground of its own where marks are many.
func (y *wearLayout) drawFit() {
	for i, line := range y.fitLines() {
		if y.dense && i == 0 {
			y.s.polyline(line, stroke{color: y.s.theme.Background, width: 0.42 * y.size})
		}
		y.s.polyline(line, y.fitStroke(i > 0))
	}
}

func (y *wearLayout) fitStroke(ahead bool) stroke {
	w := 0.17 * y.size
	st := stroke{color: y.s.theme.Ink, width: w}
	if ahead {
		st.dash = []float64{4 * w, 2.5 * w}
	}
	return st
}

func (y *wearLayout) coneStroke() stroke {
	return stroke{color: y.s.theme.Muted, width: 0.07 * y.size, dash: []float64{0.3 * y.size, 0.2 * y.size}}
}

// drawCone fills the cone as far as it lies on the plot.
func (y *wearLayout) drawCone() {
	if len(y.fit.ahead) == 0 {
		return
	}
	var shape []point
	for _, p := range y.fit.ahead {
		shape = append(shape, y.on(p.km, p.high))
	}
	for i := len(y.fit.ahead) - 1; i >= 0; i-- {
		shape = append(shape, y.on(y.fit.ahead[i].km, y.fit.ahead[i].low))
	}
	shape = cutOff(cutOff(shape, y.plot.y1, 1), y.plot.y0, -1)
	y.s.polygon(shape, glassy(y.s.theme.Muted, 0.16), stroke{})
	for _, line := range y.coneEdges() {
		y.s.polyline(line, y.coneStroke())
	}
}

// cutOff is the part of a shape that lies under a height, or over it where way
// is -1 (Sutherland and Hodgman 1974).
func cutOff(shape []point, height, way float64) []point {
	var kept []point
	for i, b := range shape {
		a := shape[(i+len(shape)-1)%len(shape)]
		out := func(p point) bool { return way*(p.y-height) > 0 }
		if out(a) != out(b) {
			kept = append(kept, point{a.x + (b.x-a.x)*(height-a.y)/(b.y-a.y), height})
		}
		if !out(b) {
			kept = append(kept, b)
		}
	}
	return kept
}

// drawLabels writes the labels on a thin ground: the cone's edges and the day of
// the next reading may lie under them.
func (y *wearLayout) drawLabels() {
	ground := glassy(y.s.theme.Background, 0.8)
	for _, n := range y.names {
		st := y.nameText()
		y.s.backed(point{n.box.x0, (n.box.y0+n.box.y1)/2 + 0.02*y.size}, n.text, st, ground)
	}
	for i := range y.callouts {
		c := &y.callouts[i]
		st := c.style(0.9 * y.size)
		st.color, st.align, st.middle = y.s.theme.Ink, alignMiddle, true
		if from, to, ok := c.leader(c.box, 0.9*y.size); ok {
			y.s.line(from, to, stroke{color: y.s.theme.Muted, width: 0.06 * y.size})
		}
		y.s.backed(point{(c.box.x0 + c.box.x1) / 2, (c.box.y0 + c.box.y1) / 2}, c.text, st, ground)
	}
}

func (y *wearLayout) drawNotes() {
	z := y.size
	at := point{chartMargin * z, chartMargin*z + y.notesHeight() - (0.3+0.5*wearNote)*z}
	for _, n := range y.notes {
		st := y.noteText()
		if n.number > 0 {
			st.bold = true
			y.s.text(at, fmt.Sprint(n.number), st)
			st.bold = false
		}
		y.s.text(point{at.x + wearIndent*z, at.y}, n.text, st)
		at.y -= wearNote * z
	}
}
