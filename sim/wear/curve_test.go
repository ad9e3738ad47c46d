package wear

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

func drawCurve(t *rapid.T) curve {
	draw := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	c := curve{
		length: draw("length", 500, 8000), bend: draw("bend", 0, 5), a: draw("a", -0.05, 0.3), b: draw("b", 0.02, 0.8),
		vaa: draw("vaa", 0.0004, 0.01), vbb: draw("vbb", 0.0004, 0.02), freedom: draw("freedom", 10, 30), weight: 1,
	}
	c.vab = draw("correlation", -0.9, 0.9) * math.Sqrt(c.vaa*c.vbb)
	return c
}

// The variance of a + b u is A + 2 B u + C u^2, and 0.03^2 that all readings
// share: 0.01 + 2 2 (-0.002) + 4 0.004 + 0.0009 = 0.0189 at u = 2 (by hand).
func TestLawByHand(t *testing.T) {
	c := curve{length: 1000, bend: 0.5, a: 0.1, b: 0.2, vaa: 0.01, vab: -0.002, vbb: 0.004, freedom: 12}
	if l := c.lawAt(2); math.Abs(l.Mu-0.5) > 1e-12 || math.Abs(l.Sigma-math.Sqrt(0.0189)) > 1e-12 || l.Nu != 12 {
		t.Errorf("%+v", l)
	}
	// After 1000 km x is 1 and the rise 1 + 0.5; the rate b (1 + 2 0.5 x)/1000.
	if l := c.law(1000); math.Abs(l.Mu-(0.1+0.2*1.5)) > 1e-12 {
		t.Errorf("%+v", l)
	}
	if rate, v := c.slope(2000); math.Abs(rate-0.2*3/1000) > 1e-12 || math.Abs(v-0.004*9e-6) > 1e-15 {
		t.Errorf("rate %v, variance %v", rate, v)
	}
}

// The chance to have passed a limit anywhere up to a distance, against a walk
// along the curve in small steps.
func TestReachedAgainstWalk(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		c := drawCurve(rt)
		e := rapid.Float64Range(-0.1, 2).Draw(rt, "limit")
		x := rapid.Float64Range(0, 3).Draw(rt, "x") * c.length
		end := base(x/c.length, c.bend)
		want := 0.0
		const steps = 4000
		for k := 0; k <= steps; k++ {
			l := c.lawAt(end * float64(k) / steps)
			want = max(want, l.Survival(e))
		}
		if got := c.reached(x, e); math.Abs(got-want) > 2e-4 {
			rt.Fatalf("%+v: chance to have passed %v by %v km %.6f, a walk finds %.6f", c, e, x, got, want)
		}
	})
}

// Conditioned on a rate of 0 or more the curve has the moments of the normal law
// cut there, found here by summing over it.
func TestRiseOnlyAgainstSum(t *testing.T) {
	for _, z := range []float64{-1, -0.3, 0, 0.5, 1, 2, 4} {
		c := curve{a: 0.1, vaa: 0.01, vab: -0.004, vbb: 0.0025}
		sd := math.Sqrt(c.vbb)
		c.b = z * sd
		k := c.vab / c.vbb
		var s0, s1, s2 float64
		for b := 0.00001; b < c.b+9*sd+0.5; b += 0.00002 {
			w := math.Exp(-(b - c.b) * (b - c.b) / (2 * c.vbb))
			s0, s1, s2 = s0+w, s1+w*b, s2+w*b*b
		}
		mean := s1 / s0
		variance := s2/s0 - mean*mean
		a, vaa := c.a+k*(mean-c.b), c.vaa-k*k*(c.vbb-variance) // a goes along by regression
		c.riseOnly()
		if math.Abs(c.b-mean) > 1e-5 || math.Abs(c.vbb-variance) > 1e-6 || math.Abs(c.a-a) > 1e-5 || math.Abs(c.vaa-vaa) > 1e-6 || math.Abs(c.vab-k*variance) > 1e-6 {
			t.Errorf("rate %v errors over 0: %+v; summed rate %.6f, %.8f, start %.6f, %.8f", z, c, mean, variance, a, vaa)
		}
	}
}

// A quantile is where the mixed law has the probability, whatever the curves.
func TestQuantileIsOne(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		a, b := drawCurve(rt), drawCurve(rt)
		b.length = a.length
		a.weight = rapid.Float64Range(0, 1).Draw(rt, "weight")
		b.weight = 1 - a.weight
		f := &Forecast{curves: []curve{a, b}, track: track{km: []float64{0}, own: []float64{0}, share: 1}}
		km := rapid.Float64Range(0, 10000).Draw(rt, "km")
		p := rapid.Float64Range(0.01, 0.99).Draw(rt, "p")
		q, x := f.quantile(km, p), f.track.at(km)
		below := 0.0
		for _, c := range f.curves {
			l := c.law(x)
			below += c.weight * distuv.StudentsT{Mu: l.Mu, Sigma: l.Sigma, Nu: l.Nu}.CDF(q)
		}
		if math.Abs(below-p) > 1e-4 {
			rt.Fatalf("at %.6f lies %.6f, not %.6f", q, below, p)
		}
		la, lb := a.law(x), b.law(x)
		if got, want := f.mean(km), a.weight*la.Mu+b.weight*lb.Mu; math.Abs(got-want) > 1e-12 {
			rt.Fatalf("mean %v, want %v", got, want)
		}
	})
}

// Two curves of half the weight: rates 0.2 and 0.4 a 1000 km, each +- 0.1; the
// mean is 0.3, its variance 0.01 and the spread's 0.01 (by hand).
func TestMeanRateByHand(t *testing.T) {
	one := curve{length: 1000, b: 0.2, vbb: 0.01, weight: 0.5, freedom: 10}
	two := one
	two.b = 0.4
	f := &Forecast{curves: []curve{one, two}, track: track{km: []float64{0}, own: []float64{0}, share: 1}}
	f.rate()
	if math.Abs(float64(f.RatePer1000KM)-0.3) > 1e-12 || math.Abs(float64(f.RateError)-math.Sqrt(0.02)) > 1e-12 {
		t.Errorf("%v +- %v", f.RatePer1000KM, f.RateError)
	}
}

// Far ahead is further past the last reading than all of them reach.
func TestFarBeyondByHand(t *testing.T) {
	for seen, want := range map[float64]bool{1000: false, 1800: false, 1801: true} {
		if got := (&Forecast{FromKM: 200, NowKM: 1000, SeenKM: seen}).FarBeyond(); got != want {
			t.Errorf("%v km: %v", seen, got)
		}
	}
}

// Far out the normal law's logarithm is -804.60844 at -40 (from memory, to two
// decimals by -z^2/2 - ln(-z sqrt(2 pi))); both ways agree where they meet.
func TestLogPhi(t *testing.T) {
	for z, want := range map[float64]float64{-40: -804.608, 0: math.Log(0.5), 1: math.Log(0.8413447), -5: math.Log(2.866516e-7)} {
		if got := logPhi(z); math.Abs(got-want) > 0.001 {
			t.Errorf("%v: %.6f, want %.6f", z, got, want)
		}
	}
	if near, far := logPhi(-30+1e-9), logPhi(-30-1e-9); math.Abs(near-far) > 0.002 {
		t.Errorf("%v and %v on either side of -30", near, far)
	}
}

// 6 values count for 6 - 2 + 10 = 14, a chi-square of 3 and 2 within the groups
// and 10 of trust for (10 + 3 + 2)/14; errors never get smaller than stated.
// AICc: 5 + 2 2 + 2 2 3/(6 + 10 - 2 - 1) = 9.9231 (by hand).
func TestScatterByHand(t *testing.T) {
	p := &problem{values: 6, scatter: 2}
	if p.freedom() != 14 || math.Abs(p.variance(3)-15.0/14) > 1e-12 || p.variance(0) != 1 || (&problem{values: 1}).freedom() != 10 {
		t.Errorf("freedom %v, variance %v", p.freedom(), p.variance(3))
	}
	if got := p.aicc(5, 2); math.Abs(got-9.923077) > 1e-6 {
		t.Errorf("AICc %v", got)
	}
	if base(2, 0.5) != 4 {
		t.Error("2 + 0.5 2^2 is 4")
	}
}

// An unknown held leaves the others' equations and solves to no step.
func TestHold(t *testing.T) {
	var n [unknowns * unknowns]float64
	var c [unknowns]float64
	for i := range n {
		n[i] = float64(i + 1)
	}
	c = [unknowns]float64{1, 2, 3, 4}
	hold(&n, &c, 2)
	want := [unknowns * unknowns]float64{1, 2, 0, 4, 5, 6, 0, 8, 0, 0, 1, 0, 13, 14, 0, 16}
	if n != want || c != [unknowns]float64{1, 2, 0, 4} {
		t.Errorf("%v, %v", n, c)
	}
}
