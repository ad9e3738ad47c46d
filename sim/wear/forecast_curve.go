package wear

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"cagewise/gearing"
)

// curve is one fitted shape, ready to look ahead.
type curve struct {
	length, bend  float64 // km so far; c over b as a part of it
	a, b          float64
	vaa, vab, vbb float64 // covariance, scaled by the scatter
	freedom       float64
	weight        float64
}

// curve keeps start and rate of a solution, the play averaged out, and what a
// rate below zero would say cut away.
func (p *problem) curve(f fitted, weight float64) curve {
	s2 := p.variance(f.chi)
	c := curve{
		length: p.length, bend: f.bend, weight: weight, freedom: p.freedom(),
		a: f.theta[startAt], b: f.theta[riseAt],
		vaa: s2 * f.cov.At(startAt, startAt), vab: s2 * f.cov.At(startAt, riseAt), vbb: s2 * f.cov.At(riseAt, riseAt),
	}
	c.riseOnly()
	return c
}

// riseOnly conditions the curve on b >= 0, by mean and variance of the normal
// law cut at zero.
func (c *curve) riseOnly() {
	sd := math.Sqrt(c.vbb)
	z := c.b / sd
	mills := millsRatio(z)
	shift := sd * mills
	const leastLeft = 0.01 // of the variance: a hundredth, against cancellation
	left := max(1-mills*(z+mills), leastLeft)
	k := c.vab / c.vbb
	c.a, c.b = c.a+k*shift, c.b+shift
	cut := c.vbb * (1 - left)
	c.vaa, c.vab, c.vbb = c.vaa-k*k*cut, c.vab-k*cut, c.vbb-cut
}

// law is the elongation by this curve after x km of the chain's own.
func (c *curve) law(x float64) distuv.StudentsT { return c.lawAt(base(x/c.length, c.bend)) }

// lawAt is law where the curve has risen by u of its rise so far.
func (c *curve) lawAt(u float64) distuv.StudentsT {
	v := c.vaa + 2*u*c.vab + u*u*c.vbb + float64(CommonError*CommonError)
	const least = 1e-12 // rounding can take a variance below zero
	return distuv.StudentsT{Mu: c.a + c.b*u, Sigma: math.Sqrt(max(v, least)), Nu: c.freedom}
}

// reached is the chance that the chain has passed e somewhere up to x: a chain
// does not shrink, while the error ahead grows without end. The margin over its
// error, (a + b u - e) / sqrt(A + 2 B u + C u^2), turns once at most, where its
// derivative is zero (derived here).
func (c *curve) reached(x, e float64) float64 {
	best := c.lawAt(base(x/c.length, c.bend))
	at := func(u float64) {
		if l := c.lawAt(u); (l.Mu-e)*best.Sigma > (best.Mu-e)*l.Sigma {
			best = l
		}
	}
	at(0)
	gap, variance := c.a-e, c.vaa+float64(CommonError*CommonError)
	turn := (gap*c.vab - c.b*variance) / (c.b*c.vab - gap*c.vbb)
	if turn > 0 && turn < base(x/c.length, c.bend) {
		at(turn)
	}
	return best.Survival(e)
}

// slope is the rate in percent a km with its variance.
func (c *curve) slope(x float64) (rate, variance float64) {
	d := (1 + 2*c.bend*x/c.length) / c.length
	return c.b * d, c.vbb * d * d
}

// mean is the average over the curves.
func (f *Forecast) mean(km float64) (e float64) {
	x := f.track.at(km)
	for i := range f.curves {
		e += f.curves[i].weight * f.curves[i].law(x).Mu
	}
	return e
}

// chance is the probability that the chain has reached e at a distance; it never
// falls with distance.
func (f *Forecast) chance(km, e float64) (p float64) {
	x := f.track.at(km)
	for i := range f.curves {
		p += f.curves[i].weight * f.curves[i].reached(x, e)
	}
	return p
}

// tail is the part of the truth that a 90 % interval leaves on either side.
const tail = 0.05

// At gives the elongation expected at an odometer distance, and the interval
// that holds it in 90 % if the chain is ridden on as before. Before the chain's
// start it is that at the start. All three stay from LeastElongation to
// MostElongation, however far ahead. A limit is looked up in this same band, so
// LimitForecast.LowKM is where high reaches the limit.
func (f *Forecast) At(km float64) (mean, low, high gearing.Percent) {
	return gearing.Percent(bounded(f.mean(km))), gearing.Percent(bounded(f.quantile(km, tail))), gearing.Percent(bounded(f.quantile(km, 1-tail)))
}

// errorAt is the standard error at a distance, by the width of the interval; at
// most as wide as elongation can be.
func (f *Forecast) errorAt(km float64) gearing.Percent {
	const widest = MostElongation - LeastElongation
	return min(gearing.Percent(f.quantile(km, 1-tail)-f.quantile(km, tail))/(2*normal90), widest)
}

// FarBeyond tells that the chain has run further from the last reading to SeenKM
// than up to it: what is said of it rests on the shape alone.
func (f *Forecast) FarBeyond() bool { return f.Since() > f.track.at(f.NowKM)-f.track.at(f.FromKM) }

// Since is how far the chain itself has run from the last reading to SeenKM, km.
func (f *Forecast) Since() float64 { return f.track.at(f.SeenKM) - f.track.at(f.NowKM) }

// quantile is the elongation that the chain stays below with probability p, by
// Newton's method kept inside a bracket.
func (f *Forecast) quantile(km, p float64) float64 {
	x := f.track.at(km)
	laws := make([]distuv.StudentsT, len(f.curves))
	e, low, high := 0.0, math.Inf(1), math.Inf(-1)
	const wide = 50 // standard errors; 1 in 20 lies well inside
	for i := range f.curves {
		l := f.curves[i].law(x)
		laws[i] = l
		e += f.curves[i].weight * l.Mu
		low, high = min(low, l.Mu-wide*l.Sigma), max(high, l.Mu+wide*l.Sigma)
	}
	const rounds, settled = 60, 1e-7
	for range rounds {
		below, density := -p, 0.0
		for i := range laws {
			below += f.curves[i].weight * laws[i].CDF(e)
			density += f.curves[i].weight * laws[i].Prob(e)
		}
		if below < 0 {
			low = e
		} else {
			high = e
		}
		next := e - below/density
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if math.Abs(next-e) < settled {
			return next
		}
		e = next
	}
	return e
}

// rate is the mean slope now, with the spread within and between curves.
func (f *Forecast) rate() {
	var mean, square float64
	x := f.track.at(f.NowKM)
	for i := range f.curves {
		r, v := f.curves[i].slope(x)
		mean += f.curves[i].weight * r
		square += f.curves[i].weight * (r*r + v)
	}
	f.RatePer1000KM = gearing.Percent(1000 * mean)
	f.RateError = gearing.Percent(1000 * math.Sqrt(max(square-mean*mean, 0)))
}

// WearShape is the average curve, over the chain's own distance: an average of
// such curves is one again.
func (f *Forecast) WearShape() WearShape {
	var s WearShape
	for i := range f.curves {
		c := &f.curves[i]
		per := 1000 / c.length
		s.Start += gearing.Percent(c.weight * c.a)
		s.Rate += c.weight * c.b * per
		s.Accel += c.weight * c.b * c.bend * per * per
	}
	s.RateError = float64(f.RateError)
	return s
}
