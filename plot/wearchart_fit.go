package plot

import (
	"fmt"
	"math"

	"cagewise/sim/wear"
)

// conePoint is the forecast at a distance, percent. Ahead of the last reading
// mid is as likely passed as not, before it the mean.
type conePoint struct{ km, mid, low, high float64 }

// wearFit is the forecast read at the distances that a chart shows.
type wearFit struct {
	from, end float64     // what the distance axis shows, km
	past      []conePoint // of the fit up to the last reading; low and high are 0
	ahead     []conePoint // from there to the end
}

// Reading the cone: it is read exactly at a few nodes and drawn through them by
// the polynomial they fix, which is within 0.005 % of it (TestWearCone).
const (
	coneNodes  = 6
	conePoints = 24
)

func newWearFit(c *wear.ChainWear, km float64) wearFit {
	if len(c.Points) == 0 {
		return wearFit{}
	}
	f := wearFit{from: chartFrom(c)}
	f.end = chartEnd(c, f.from, km)
	if c.Forecast == nil || len(c.Forecast.Limits) == 0 {
		return f
	}
	f.ahead = readAhead(c, f.end)
	f.past = readPast(c, f.ahead[0].mid)
	return f
}

// leastSpan is the least distance a chart shows before and after a single
// reading, km.
const leastSpan = 100.0

// chartFrom is where the distance axis starts: where the chain was fitted, or a
// little before its first reading.
func chartFrom(c *wear.ChainWear) float64 {
	first, last := c.Points[0].KM, c.Points[len(c.Points)-1].KM
	if c.Part.FittedKM >= 0 && c.Part.FittedKM <= first {
		return c.Part.FittedKM
	}
	return max(0, first-max(0.06*(last-first), 0.1*first, leastSpan))
}

// How far ahead a chart looks, in multiples of the distance so far.
const (
	aheadLeast = 0.25 // at least
	aheadNext  = 10.0 // to the next limit
	aheadRest  = 3.0  // to the limits after it
)

// chartEnd is where the distance axis ends; the odometer now, km, is on it.
func chartEnd(c *wear.ChainWear, from, km float64) float64 {
	now, f := c.Points[len(c.Points)-1].KM, c.Forecast
	span := max(now-from, leastSpan)
	end := now + aheadLeast*span
	if f == nil {
		return end
	}
	end = max(end, f.NextReadingKM+0.1*span, min(km+0.1*span, now+aheadNext*span))
	within := aheadNext
	for _, l := range f.Limits {
		if l.Passed {
			continue
		}
		if !l.OpenKM && l.KM-now <= within*span {
			end = max(end, l.KM+0.12*(l.KM-from))
		}
		within = aheadRest
	}
	return end
}

// readCone reads the forecast from the last reading to the end.
func readCone(f *wear.Forecast, end float64) []conePoint {
	var nodes [coneNodes]conePoint
	for i := range nodes {
		// Chebyshev's nodes of the second kind, both ends included.
		share := (1 - math.Cos(math.Pi*float64(i)/(coneNodes-1))) / 2
		km := f.NowKM + share*(end-f.NowKM)
		mean, low, high := f.At(km)
		nodes[i] = conePoint{km, float64(mean), float64(low), float64(high)}
	}
	list := make([]conePoint, conePoints+1)
	for i := range list {
		list[i] = through(nodes[:], f.NowKM+float64(i)/conePoints*(end-f.NowKM))
	}
	toMedian(list, func(km float64) float64 { return through(nodes[:], km).mid }, f)
	return list
}

// through is the polynomial through points at a distance (Lagrange's formula).
func through(nodes []conePoint, km float64) conePoint {
	out := conePoint{km: km}
	for i, p := range nodes {
		share := 1.0
		for j, q := range nodes {
			if i != j {
				share *= (km - q.km) / (p.km - q.km)
			}
		}
		out.mid += share * p.mid
		out.low += share * p.low
		out.high += share * p.high
	}
	return out
}

// toMedian moves the middle of the cone from the forecast's mean to where it is
// as likely passed as not. A forecast tells that where each limit is met; in
// between it is taken to move evenly, from the mean at the last reading on.
func toMedian(ahead []conePoint, mean func(km float64) float64, f *wear.Forecast) {
	kms, moves := []float64{f.NowKM}, []float64{0}
	for _, l := range f.Limits {
		if l.Passed || l.OpenKM || l.KM <= kms[len(kms)-1] {
			continue
		}
		kms, moves = append(kms, l.KM), append(moves, float64(l.Limit)-mean(l.KM))
	}
	if len(kms) < 2 {
		return
	}
	for i := range ahead {
		ahead[i].mid += between(kms, moves, min(ahead[i].km, kms[len(kms)-1]))
	}
}

func readAhead(c *wear.ChainWear, end float64) []conePoint {
	if c.TakesTurns() {
		return readTurns(c.Forecast, end)
	}
	return readCone(c.Forecast, end)
}

// readTurns reads the cone of a chain that takes turns where it is drawn: it
// rests and runs by spells, which no polynomial follows.
func readTurns(f *wear.Forecast, end float64) []conePoint {
	list := make([]conePoint, conePoints+1)
	for i := range list {
		km := f.NowKM + float64(i)/conePoints*(end-f.NowKM)
		mean, low, high := f.At(km)
		list[i] = conePoint{km, float64(mean), float64(low), float64(high)}
	}
	toMedian(list, func(km float64) float64 { mean, _, _ := f.At(km); return float64(mean) }, f)
	return list
}

// readPast reads the fit up to the last reading, now percent there. A chain
// that ran every kilometre follows its shape; one that took turns is looked up,
// as it rests and runs by spells.
func readPast(c *wear.ChainWear, now float64) []conePoint {
	f := c.Forecast
	shape := f.WearShape()
	var list []conePoint
	for i := range conePoints {
		x := float64(i) / conePoints * (f.NowKM - f.FromKM)
		p := conePoint{km: f.FromKM + x, mid: float64(shape.At(x))}
		if c.TakesTurns() {
			mean, _, _ := f.At(p.km)
			p.mid = float64(mean)
		}
		list = append(list, p)
	}
	return append(list, conePoint{km: f.NowKM, mid: now})
}

func (f wearFit) check() error {
	for _, list := range [][]conePoint{f.past, f.ahead} {
		for _, p := range list {
			for _, v := range []float64{p.mid, p.low, p.high} {
				if !finite(v) {
					return fmt.Errorf("wear chart: a forecast of %v %% at %v km", v, p.km)
				}
			}
		}
	}
	return nil
}
