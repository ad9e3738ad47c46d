package plot

import (
	"slices"

	"cagewise/gearing"
	"cagewise/sim/wear"
)

// explain is the legend: what occurs in this chart.
func (y *wearLayout) explain() legend {
	l := legend{size: 0.9 * y.size, sample: 2.2 * y.size}
	add := func(text string, draw func(at point, w float64)) {
		l.entries = append(l.entries, entry{func(_ *sheet, at point, w float64) { draw(at, w) }, text})
	}
	y.explainReadings(add)
	if y.anyPoint(func(k int) bool { return len(y.Wear.Points[k].From) > 1 }) {
		words := "one distance: readings side by side, and together"
		if y.dense {
			words = "readings of one distance together"
		}
		add(words, func(at point, w float64) { y.drawTogether(point{at.x + w/2, at.y}) })
	}
	if f := y.Wear.Forecast; f != nil {
		add("fit, and ahead with its 90 % cone", y.drawFitSample)
		if slices.ContainsFunc(f.Limits, func(l wear.LimitForecast) bool { return y.meets(&l) }) {
			add("where it meets a limit, 90 %", func(at point, w float64) {
				y.drawRange(at.x+0.1*w, at.x+0.9*w, at.y, true, true)
				y.drawRing(point{at.x + w/2, at.y})
			})
		}
	}
	if len(y.Wear.Contradictions) > 0 {
		add("readings at odds", func(at point, w float64) {
			y.drawPair(point{at.x + wearRing*y.size, at.y}, point{at.x + w - wearRing*y.size, at.y})
		})
	}
	return l
}

// explainReadings explains the methods and brackets that occur.
func (y *wearLayout) explainReadings(add func(string, func(point, float64))) {
	bars := false
	for kind, m := range gearing.ReadingMethods() {
		if !y.anyReading(func(i int) bool { return y.Wear.Estimates[i].Reading.Method == m }) {
			continue
		}
		_, hollow := kindOf(m)
		words := m.Words()
		valued := y.anyReading(func(i int) bool {
			e := &y.Wear.Estimates[i]
			return e.Reading.Method == m && !e.Interval
		})
		if !bars && !y.dense && valued {
			words, bars = words+", bars of 90 %", true
		}
		hollow = hollow || !valued
		add(words, func(at point, w float64) {
			y.s.mark(point{at.x + w/2, at.y}, wearMark*y.size, kind, y.s.theme.series(kind), hollow)
		})
	}
	for _, b := range []struct {
		way  int
		text string
	}{{1, "gauge falls in: at least that"}, {-1, "does not fall in: less"}} {
		if y.anyReading(func(i int) bool { return wayOf(&y.Wear.Estimates[i]) == b.way }) {
			add(b.text, func(at point, w float64) { y.drawBoundSample(point{at.x + w/2, at.y}, b.way) })
		}
	}
}

func (y *wearLayout) anyReading(is func(i int) bool) bool {
	for i := range y.Wear.Estimates {
		if is(i) {
			return true
		}
	}
	return false
}

func (y *wearLayout) anyPoint(is func(k int) bool) bool {
	for k := range y.Wear.Points {
		if is(k) {
			return true
		}
	}
	return false
}

// drawTogether is the sample of a beam, or of its dash.
func (y *wearLayout) drawTogether(at point) {
	if len(y.Wear.Points) > mostBars {
		y.s.line(point{at.x - 0.25*y.size, at.y}, point{at.x + 0.25*y.size, at.y}, stroke{color: y.s.theme.Ink, width: 0.1 * y.size})
		return
	}
	y.drawBeam(point{at.x, at.y - 0.6*y.size}, point{at.x, at.y + 0.6*y.size}, at)
}

func (y *wearLayout) drawFitSample(at point, w float64) {
	half, mid := 0.55*y.size, at.x+0.4*w
	y.s.polygon([]point{{mid, at.y - 0.3*half}, {at.x + w, at.y - half}, {at.x + w, at.y + half}, {mid, at.y + 0.3*half}}, glassy(y.s.theme.Muted, 0.16), stroke{})
	for _, way := range []float64{-1, 1} {
		y.s.line(point{mid, at.y + way*0.3*half}, point{at.x + w, at.y + way*half}, y.coneStroke())
	}
	y.s.line(at, point{mid, at.y}, y.fitStroke(false))
	y.s.line(point{mid, at.y}, point{at.x + w, at.y}, y.fitStroke(true))
}

// drawBoundSample is the sample of a bracket.
func (y *wearLayout) drawBoundSample(at point, way int) {
	z, ink := y.size, y.s.theme.Ink
	if y.dense {
		y.s.segments(ticksOn([]point{at}, 0.8*wearSmall*z, float64(way)*0.6*wearSmall*z), stroke{color: ink, width: 0.08 * z})
		return
	}
	up := float64(way) * z
	foot := at.y - 0.35*up
	line := stroke{color: ink, width: 0.13 * z}
	y.s.polyline([]point{{at.x - 0.5*z, foot + 0.3*up}, {at.x - 0.5*z, foot}, {at.x + 0.5*z, foot}, {at.x + 0.5*z, foot + 0.3*up}}, line)
	line.width = 0.08 * z
	y.s.line(point{at.x, foot}, point{at.x, foot + 0.85*up}, line)
	y.s.polyline([]point{{at.x - 0.2*z, foot + 0.6*up}, {at.x, foot + 0.88*up}, {at.x + 0.2*z, foot + 0.6*up}}, line)
}
