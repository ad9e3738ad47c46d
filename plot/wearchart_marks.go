package plot

import (
	"fmt"
	"image/color"
	"math"
	"slices"

	"cagewise/gearing"
)

// kindOf is the mark of a method. The lift, a rough bound at best, is a hollow
// circle.
func kindOf(m gearing.ReadingMethod) (kind int, hollow bool) {
	i := max(0, slices.Index(gearing.ReadingMethods(), m))
	return i, i >= markKinds
}

// placeReadings sets the readings of one distance side by side, as far as
// there is room.
func (y *wearLayout) placeReadings() {
	list := y.Wear.Estimates
	y.at = make([]point, len(list))
	for i := range list {
		y.at[i] = y.on(list[i].Reading.KM, shownAt(&list[i]))
	}
	if y.dense {
		return
	}
	for k := range y.Wear.Points {
		p := &y.Wear.Points[k]
		step := y.apart(k)
		if n := len(p.From); n > 1 && step > 0 {
			mid := y.x.at(p.KM / y.unitKM())
			for j, i := range p.From {
				y.at[i].x = mid + step*besides(j, n)
			}
		}
	}
}

// besides are the places of n things round a middle that stays free.
func besides(j, n int) float64 {
	k := float64(j - n/2)
	if k >= 0 {
		k++
	}
	return k
}

// apart is how far the readings of point k stand from each other, mm; 0 where
// they do not find room.
func (y *wearLayout) apart(k int) float64 {
	list := y.Wear.Points
	at := func(i int) float64 { return y.x.at(list[i].KM / y.unitKM()) }
	room := math.Inf(1)
	if k > 0 {
		room = min(room, at(k)-at(k-1))
	}
	if k+1 < len(list) {
		room = min(room, at(k+1)-at(k))
	}
	room = min(room, 2*(at(k)-y.plot.x0), 2*(y.plot.x1-at(k)))
	step := min(0.95*y.size, room/float64(len(list[k].From)+2))
	if step < 0.3*y.size {
		return 0
	}
	return step
}

func (y *wearLayout) markSize() float64 {
	if y.dense {
		return wearSmall * y.size
	}
	return wearMark * y.size
}

// bar is the error bar of reading i, 90 % of its error, as far as it lies on
// the plot; ok is false where there is none.
func (y *wearLayout) bar(i int) (lo, hi point, ok bool) {
	e := &y.Wear.Estimates[i]
	if y.dense || e.Interval || e.Error <= 0 {
		return lo, hi, false
	}
	return y.upright(y.at[i].x, float64(e.Elongation), barSigmas*float64(e.Error))
}

// upright is a vertical bar round a value, on the plot.
func (y *wearLayout) upright(x, value, half float64) (lo, hi point, ok bool) {
	return y.plot.clipped(point{x, y.e.at(value - half)}, point{x, y.e.at(value + half)})
}

// beam is the bar of point k where several readings come together; ok is false
// where a reading stands for itself.
func (y *wearLayout) beam(k int) (lo, hi point, ok bool) {
	p := &y.Wear.Points[k]
	if len(p.From) < 2 || len(y.Wear.Points) > mostBars {
		return lo, hi, false
	}
	return y.upright(y.x.at(p.KM/y.unitKM()), float64(p.Elongation), barSigmas*float64(p.Error))
}

func (y *wearLayout) drawReadings() {
	if y.dense {
		y.drawMany()
	} else {
		for i := range y.at {
			y.s.part("reading "+fmt.Sprint(i+1), func() { y.drawReading(i) })
		}
	}
	for k := range y.Wear.Points {
		if lo, hi, ok := y.beam(k); ok {
			at := y.on(y.Wear.Points[k].KM, float64(y.Wear.Points[k].Elongation))
			y.s.part("together "+fmt.Sprint(k+1), func() { y.drawBeam(lo, hi, at) })
			if !y.dense {
				y.drawSpan(k)
			}
		}
	}
	y.drawDashes()
}

// drawSpan shows on the axis which distance the readings of point k are of,
// where they stand side by side.
func (y *wearLayout) drawSpan(k int) {
	p, z := &y.Wear.Points[k], y.size
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, i := range p.From {
		lo, hi = min(lo, y.at[i].x), max(hi, y.at[i].x)
	}
	if hi-lo < 0.5*z {
		return
	}
	mid, foot := y.x.at(p.KM/y.unitKM()), y.plot.y0
	st := stroke{color: y.s.theme.Muted, width: 0.08 * z}
	y.s.segments([][2]point{{{lo, foot + 0.55*z}, {lo, foot + 0.35*z}}, {{lo, foot + 0.35*z}, {hi, foot + 0.35*z}}, {{hi, foot + 0.35*z}, {hi, foot + 0.55*z}}, {{mid, foot}, {mid, foot + 0.35*z}}}, st)
}

func (y *wearLayout) drawReading(i int) {
	e := &y.Wear.Estimates[i]
	kind, hollow := kindOf(e.Reading.Method)
	col := y.s.theme.series(kind)
	if e.Interval {
		y.drawBracket(y.at[i], e.Reading.Falls, kind)
		return
	}
	if lo, hi, ok := y.bar(i); ok {
		y.drawBar(lo, hi, col)
	}
	y.s.mark(y.at[i], y.markSize(), kind, col, hollow)
}

func (y *wearLayout) drawBar(lo, hi point, col color.Color) {
	half, w := 0.22*y.size, 0.08*y.size
	lines := [][2]point{{lo, hi}}
	for _, end := range []point{lo, hi} {
		if end.y > y.plot.y0 && end.y < y.plot.y1 { // elsewhere the bar goes on
			lines = append(lines, [2]point{{end.x - half, end.y}, {end.x + half, end.y}})
		}
	}
	y.s.segments(lines, stroke{color: col, width: w})
}

// drawBracket shows a bound: a bracket open to where the elongation is, an
// arrow that way, and the method's mark, hollow, on its stem.
func (y *wearLayout) drawBracket(at point, above bool, kind int) {
	z := y.size
	col, way := y.s.theme.series(kind), 1.0
	if !above {
		way = -1
	}
	to := func(x, up float64) point {
		return point{at.x + x*z, min(max(at.y+way*up*z, y.plot.y0), y.plot.y1)}
	}
	line := stroke{color: col, width: 0.13 * z}
	y.s.polyline([]point{to(-0.5, 0.35), to(-0.5, 0), to(0.5, 0), to(0.5, 0.35)}, line)
	line.width = 0.08 * z
	y.s.line(to(0, 0), to(0, 1.75), line)
	y.s.polyline([]point{to(-0.22, 1.45), to(0, 1.8), to(0.22, 1.45)}, line)
	y.s.mark(to(0, 0.8), 0.6*z, kind, col, true)
}

// drawBeam shows what the readings of one distance come to together.
func (y *wearLayout) drawBeam(lo, hi, at point) {
	z := y.size
	for _, st := range []stroke{{color: y.s.theme.Background, width: 0.42 * z}, {color: y.s.theme.Ink, width: 0.2 * z}} {
		y.s.segments([][2]point{{lo, hi}, {{at.x - 0.48*z, at.y}, {at.x + 0.48*z, at.y}}}, st)
	}
}

// drawOdds rings the readings that are at odds and ties the two.
func (y *wearLayout) drawOdds() {
	for k, d := range y.Wear.Contradictions {
		y.s.part("at odds "+fmt.Sprint(k+1), func() { y.drawPair(y.at[d.A], y.at[d.B]) })
	}
}

func (y *wearLayout) oddsStroke() stroke {
	return stroke{color: y.s.theme.Ink, width: 0.09 * y.size}
}

func (y *wearLayout) drawPair(a, b point) {
	st, r := y.oddsStroke(), wearRing*y.size
	y.s.circle(a, r, nil, st)
	y.s.circle(b, r, nil, st)
	if d := math.Hypot(b.x-a.x, b.y-a.y); d > 2*r {
		toward := func(p, q point) point { return point{p.x + r*(q.x-p.x)/d, p.y + r*(q.y-p.y)/d} }
		st.dash = []float64{0.2 * y.size, 0.18 * y.size}
		y.s.line(toward(a, b), toward(b, a), st)
	}
}
