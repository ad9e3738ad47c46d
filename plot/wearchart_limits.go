package plot

import "cagewise/sim/wear"

func (y *wearLayout) drawLimits() {
	for _, l := range wear.Limits() {
		at := y.e.at(float64(l))
		y.s.part("limit "+plain(float64(l)), func() {
			y.s.line(point{y.plot.x0, at}, point{y.plot.x1, at}, stroke{color: y.s.theme.Ink, width: 0.08 * y.size})
		})
	}
}

// drawMeets marks where the fit meets the limits, with the 90 % of it.
func (y *wearLayout) drawMeets() {
	f := y.Wear.Forecast
	if f == nil {
		return
	}
	for i := range f.Limits {
		l := &f.Limits[i]
		y.s.part("meets "+plain(float64(l.Limit)), func() { y.drawMeet(l) })
	}
}

func (y *wearLayout) drawMeet(l *wear.LimitForecast) {
	at := y.e.at(float64(l.Limit))
	if x0, x1 := y.x.at(max(l.LowKM, y.fit.from)/y.unitKM()), y.x.at(min(l.HighKM, y.fit.end)/y.unitKM()); x1 > x0 {
		y.drawRange(x0, x1, at, l.LowKM >= y.fit.from, l.HighKM <= y.fit.end)
	}
	if y.meets(l) {
		y.drawRing(y.on(l.KM, float64(l.Limit)))
	} else if l.OpenKM || l.KM > y.fit.end {
		y.s.polygon(turned(point{y.plot.x1 + 0.3*y.size, at}, 0.42*y.size, 0, 3), y.s.theme.Ink, stroke{})
	}
}

// drawRange is a thick part of a limit's line, with an end where it does end.
func (y *wearLayout) drawRange(x0, x1, at float64, starts, ends bool) {
	ink := y.s.theme.Ink
	y.s.line(point{x0, at}, point{x1, at}, stroke{color: ink, width: 0.22 * y.size})
	for _, e := range []struct {
		x    float64
		ends bool
	}{{x0, starts}, {x1, ends}} {
		if e.ends {
			y.s.line(point{e.x, at - 0.32*y.size}, point{e.x, at + 0.32*y.size}, stroke{color: ink, width: 0.12 * y.size})
		}
	}
}

func (y *wearLayout) drawRing(at point) {
	y.s.circle(at, wearMeets*y.size, y.s.theme.Background, stroke{color: y.s.theme.Ink, width: 0.15 * y.size})
}

func (y *wearLayout) nextStroke() stroke {
	w := 0.12 * y.size
	return stroke{color: y.s.theme.Ink, width: w, dash: []float64{w, 1.5 * w}}
}

// drawNext marks when to read again.
func (y *wearLayout) drawNext() {
	at, ok := y.nextAt()
	if !ok {
		return
	}
	s, z := y.s, y.size
	s.part("next reading", func() {
		s.line(point{at, y.plot.y0}, point{at, y.plot.y1 + 0.2*z}, y.nextStroke())
		y.drawFlag(point{at, y.plot.y1 + 0.45*z})
	})
	st := textStyle{size: z, bold: true, color: s.theme.Ink, align: alignMiddle, middle: true}
	text := s.fit(y.nextWords(), st, s.w-2*chartMargin*z)
	half := s.textWidth(text, st) / 2
	s.text(point{min(max(at, chartMargin*z+half), s.w-chartMargin*z-half), y.plot.y1 + 1.4*z}, text, st)
}

// drawFlag points down at a distance.
func (y *wearLayout) drawFlag(at point) {
	y.s.polygon(turned(at, 0.4*y.size, -90, 3), y.s.theme.Ink, stroke{})
}
