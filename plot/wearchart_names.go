package plot

import (
	"fmt"
	"math"

	"cagewise/sim/wear"
)

// placeLabels gives every limit its name and every meeting point its distance.
func (y *wearLayout) placeLabels() {
	f := newFinder(y.plot, y.size)
	y.weigh(f)
	f.sum()
	y.named = y.placeNames(f)
	f.sum()
	y.callouts = y.labels()
	spots := make([][]spot, len(y.callouts))
	for i := range y.callouts {
		c := &y.callouts[i]
		size := 0.9 * y.size
		spots[i] = f.spots(c, y.s.textWidth(c.text, c.style(size)), (ascentShare+descentShare)*size, size, false)
	}
	y.callouts, y.placed = f.arrange(y.callouts, y.size, spots)
	y.placed = y.placed && len(y.names) == len(wear.Limits())
}

// Weights of what is drawn, for the finder.
const (
	overCone  = 0.04
	overEdge  = 3   // of the cone
	overLimit = 1.5 // the limits' lines
	overGuide = 10  // other thin lines
	overBar   = 20  // an error bar
	overMark  = 40  // a reading
)

// weigh tells the finder what is drawn.
func (y *wearLayout) weigh(f *finder) {
	z := y.size
	for _, p := range y.fit.ahead {
		at := y.on(p.km, p.mid)
		step := (y.plot.x1 - at.x) / conePoints
		f.addBox(rect{at.x, y.on(p.km, p.low).y, at.x + step, y.on(p.km, p.high).y}, overCone)
	}
	for _, line := range y.coneEdges() {
		for i := 1; i < len(line); i++ {
			f.addLine(line[i-1], line[i], 0, overEdge)
		}
	}
	for _, l := range wear.Limits() {
		at := y.e.at(float64(l))
		f.addLine(point{y.plot.x0, at}, point{y.plot.x1, at}, 0, overLimit)
	}
	for _, line := range y.fitLines() {
		f.addBars(line, 0.2*z)
	}
	y.weighReadings(f)
	for _, d := range y.Wear.Contradictions {
		a, b := y.at[d.A], y.at[d.B]
		f.addLine(a, b, 0, overGuide)
		f.addOutline(turned(a, wearRing*z, 0, 12), 0, overGuide)
		f.addOutline(turned(b, wearRing*z, 0, 12), 0, overGuide)
	}
	if x, ok := y.nextAt(); ok {
		f.addLine(point{x, y.plot.y0}, point{x, y.plot.y1}, 0, overGuide)
	}
}

func (y *wearLayout) weighReadings(f *finder) {
	half := 0.5 * y.markSize()
	for i, p := range y.at {
		if y.dense {
			f.add(p, overMark)
			continue
		}
		f.addBox(rect{p.x - half, p.y - half, p.x + half, p.y + half}, overMark)
		if lo, hi, ok := y.bar(i); ok {
			f.addLine(lo, hi, 0, overBar)
		}
	}
	for k := range y.Wear.Points {
		if lo, hi, ok := y.beam(k); ok {
			f.addLine(lo, hi, 0.3*y.size, overMark)
		}
	}
}

// placeNames gives every limit's line its name. ok is false when one lies on a
// reading or finds no place.
func (y *wearLayout) placeNames(f *finder) (ok bool) {
	ok = true
	for _, l := range wear.Limits() {
		n := wearName{text: limitName(l)}
		cost := y.placeName(f, &n, y.e.at(float64(l)))
		ok = ok && cost < 1
		if cost >= 100 {
			continue // it would lie on another name
		}
		f.addBox(n.box, taken)
		f.sum()
		y.names = append(y.names, n)
	}
	return ok
}

// placeName finds the best place for a name along a line: over it before under
// it, to the left before to the right. cost is what lies there.
func (y *wearLayout) placeName(f *finder, n *wearName, line float64) (cost float64) {
	st, z := y.nameText(), y.size
	wide, high := y.s.textWidth(n.text, st), (ascentShare+descentShare)*st.size
	cost = taken
	for k, low := range []float64{line + 0.2*z, line - 0.2*z - high} {
		for x := y.plot.x0 + 0.4*z; x+wide < y.plot.x1; x += 1.5 * z {
			box := rect{x, low, x + wide, low + high}
			c := f.over(box.grown(0.1*z)) + 0.002*(x-y.plot.x0)/z + 0.02*float64(k)
			if c < cost && box.y0 > y.plot.y0 && box.y1 < y.plot.y1 && !f.touched(box.grown(0.1*z)) {
				cost, n.box = c, box
			}
		}
	}
	return cost
}

func (y *wearLayout) nameText() textStyle {
	return textStyle{size: 0.9 * y.size, bold: true, color: y.s.theme.Ink, middle: true}
}

// labels are the distances where the fit meets the limits, and the numbers of
// readings at odds.
func (y *wearLayout) labels() []callout {
	var list []callout
	if f := y.Wear.Forecast; f != nil {
		for i := range f.Limits {
			l := &f.Limits[i]
			c := callout{text: y.meetsLabel(l), inks: true, at: point{y.plot.x1, y.e.at(float64(l.Limit))}, r: 0.2 * y.size}
			if y.meets(l) {
				c.at, c.r = y.on(l.KM, float64(l.Limit)), wearMeets*y.size
			}
			list = append(list, c)
		}
	}
	for k := range min(len(y.Wear.Contradictions), mostNoted) {
		list = append(list, y.oddsLabel(k))
	}
	return list
}

// oddsLabel is the number of a pair at odds: beside its tie, or beside the
// second reading where the tie is short.
func (y *wearLayout) oddsLabel(k int) callout {
	a, b := y.at[y.Wear.Contradictions[k].A], y.at[y.Wear.Contradictions[k].B]
	c := callout{text: fmt.Sprint(k + 1), bold: true, inks: true, at: b, r: wearRing * y.size}
	if math.Hypot(b.x-a.x, b.y-a.y) > 5*y.size {
		c.at, c.r = point{(a.x + b.x) / 2, (a.y + b.y) / 2}, 0.1*y.size
	}
	return c
}

// meets tells whether the fit meets a limit on the chart.
func (y *wearLayout) meets(l *wear.LimitForecast) bool {
	return !l.OpenKM && l.KM >= y.fit.from && l.KM <= y.fit.end
}

// nextAt is where the chain is to be read again.
func (y *wearLayout) nextAt() (x float64, ok bool) {
	f := y.Wear.Forecast
	if f == nil || f.NextReadingKM <= 0 || f.NextReadingKM > y.fit.end {
		return 0, false
	}
	return y.x.at(f.NextReadingKM / y.unitKM()), true
}
