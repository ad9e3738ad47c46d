package sim

import (
	"math"
	"slices"
	"testing"

	"cagewise/gearing"
)

// Every unknown of a Latin hypercube meets each of its n equal parts once
// (McKay, Beckman and Conover 1979), and two samples are the same.
func TestLatinHypercube(t *testing.T) {
	const n = 64
	list, again := uniforms(n), uniforms(n)
	for k := range dims {
		met := make([]bool, n)
		for i := range list {
			u := list[i].u[k]
			if u < 0 || u >= 1 || met[int(u*n)] || u != again[i].u[k] {
				t.Fatalf("unknown %d of draw %d: %v", k, i, u)
			}
			met[int(u*n)] = true
		}
	}
}

// Quantiles of the normal distribution and of Student's t with 4 degrees of
// freedom, the latter scaled to a standard deviation of 1: 1.9600, and 2.7764 and
// 0.7407 over the square root of 2 (tables, from memory).
func TestQuantiles(t *testing.T) {
	for _, c := range [][3]float64{{0.5, 0, 0}, {0.975, 1.9600, 2.7764 / math.Sqrt2}, {0.75, 0.6745, 0.7407 / math.Sqrt2}, {0.025, -1.9600, -2.7764 / math.Sqrt2}} {
		if got := normal(c[0]); math.Abs(got-c[1]) > 1e-4 {
			t.Errorf("normal(%v) = %.4f, want %.4f", c[0], got, c[1])
		}
		if got := heavy(c[0]); math.Abs(got-c[2]) > 1e-4 {
			t.Errorf("heavy(%v) = %.4f, want %.4f", c[0], got, c[2])
		}
	}
	// heavyLog is the logarithm of heavy's density: that of steps of its quantile.
	density := func(x float64) float64 {
		const h = 1e-5
		low, high := 0.0, 1.0
		for range 60 {
			if mid := (low + high) / 2; heavy(mid) < x {
				low = mid
			} else {
				high = mid
			}
		}
		return 2 * h / (heavy(low+h) - heavy(low-h))
	}
	for _, x := range []float64{0.5, 1, 2, 3} {
		if got, want := heavyLog(x)-heavyLog(0), math.Log(density(x)/density(0)); math.Abs(got-want) > 1e-4 {
			t.Errorf("heavyLog(%v) is %.5f over its middle, the quantiles say %.5f", x, got, want)
		}
	}
}

// What makers leave over their ratings (shared/design/MODEL.md section 5, common
// practice, no source): capacity median 3 teeth, nine in ten within 0.4 and 7.5;
// cog mode 2.5, median about 3.4, nine in ten within 0.7 and 8; under 2 % of
// either below 0.
func TestMakersReserves(t *testing.T) {
	below := func(q reserve, teeth float64) float64 { return phi(math.Log((teeth+q.shift)/q.middle) / q.spread) }
	for _, c := range []struct {
		name              string
		q                 reserve
		median, low, high float64
	}{{"capacity", capacityReserve, 3, 0.4, 7.5}, {"cog", cogReserve, 3.4, 0.7, 8}} {
		if m := c.q.at(0.5); math.Abs(m-c.median) > 0.02 {
			t.Errorf("%s: median %.2f teeth, want %.1f", c.name, m, c.median)
		}
		if in := below(c.q, c.high) - below(c.q, c.low); math.Abs(in-0.9) > 0.005 {
			t.Errorf("%s: %.3f within %.1f and %.1f, want 0.9", c.name, in, c.low, c.high)
		}
		if p := belowNothing(c.q); p >= 0.02 {
			t.Errorf("%s: %.4f leave less than nothing", c.name, p)
		}
		// The density is that of the quantiles.
		const h = 1e-5
		for _, u := range []float64{0.1, 0.5, 0.9} {
			step := func(u float64) float64 { return math.Log(2 * h / (c.q.at(u+h) - c.q.at(u-h))) }
			if got, want := c.q.log(c.q.at(u))-c.q.log(c.q.at(0.3)), step(u)-step(0.3); math.Abs(got-want) > 1e-4 {
				t.Errorf("%s: density at %v is %.5f, the quantiles say %.5f", c.name, u, got, want)
			}
		}
	}
	mode, most := 0.0, math.Inf(-1)
	for x := 0.0; x < 6; x += 0.01 {
		if l := cogReserve.log(x); l > most {
			mode, most = x, l
		}
	}
	if math.Abs(mode-2.5) > 0.3 {
		t.Errorf("the likeliest reserve over the cog is %.2f teeth, want 2.5", mode)
	}
	if !math.IsInf(capacityReserve.log(-4), -1) {
		t.Error("a reserve of -4 teeth is possible")
	}
}

// belowNothing is the share that leaves less than nothing: of capacity those
// count less besides (keptError).
func belowNothing(q reserve) float64 {
	const n = 20000
	under, all := 0.0, 0.0
	for i := range n {
		x, w := q.at((float64(i)+0.5)/n), 1.0
		if q == capacityReserve {
			w = phi(x / TeethPerPitch / keptError)
		}
		all += w
		if x < 0 {
			under += w
		}
	}
	return under / all
}

func TestWeightedMedian(t *testing.T) {
	for _, c := range []struct {
		list []weighted
		want float64
	}{
		{nil, 0}, {[]weighted{{3, 1}}, 3}, {[]weighted{{3, 1}, {1, 1}, {2, 1}}, 2}, {[]weighted{{3, 5}, {1, 1}, {2, 1}}, 3}, {[]weighted{{3, 1}, {1, 5}, {2, 1}}, 1},
	} {
		if got := median(slices.Clone(c.list)); got != c.want {
			t.Errorf("%v: %v", c.list, got)
		}
	}
}

// Weights are shares of one; where no draw keeps a promise all stay.
func TestCloudWeights(t *testing.T) {
	for name, b := range map[string]gearing.Build{
		"rated": rated(75, 37, 34), "unrated": rated(75, 0, 0), "rating only": rated(0, 37, 34), "absurd": rated(75, 80, 41), "wide": rated(98, 41, 51),
	} {
		r, err := NewRig(b)
		if err != nil {
			t.Fatal(name, err)
		}
		sum, most := 0.0, 0.0
		for _, d := range r.cloud.draws {
			sum, most = sum+d.weight, max(most, d.weight)
		}
		if math.Abs(sum-1) > 1e-9 || most > 0.2 || len(r.cloud.draws) < 30 {
			t.Errorf("%s: %d draws, weights add up to %v, the largest %v", name, len(r.cloud.draws), sum, most)
		}
	}
	c := cloud{draws: make([]draw, 3)}
	for i := range c.draws {
		c.draws[i].weight = 1.0 / 3
	}
	c.weighBy([]float64{math.Inf(-1), math.Inf(-1), math.Inf(-1)})
	if len(c.draws) != 3 || c.draws[1].weight != 1.0/3 {
		t.Errorf("an empty cloud: %+v", c.draws)
	}
	c.weighBy([]float64{0, math.Log(3), -100})
	if len(c.draws) != 2 || math.Abs(c.draws[0].weight-0.25) > 1e-12 || math.Abs(c.draws[1].weight-0.75) > 1e-12 {
		t.Errorf("weights of 1 to 3: %+v", c.draws)
	}
}

// rated is a double with a derailleur of so many millimetres, rated so (invented).
func rated(centres gearing.MM, capacity, cog gearing.Teeth) gearing.Build {
	b := classBuild("", 430, 70, []gearing.Teeth{30, 46}, []gearing.Teeth{11, 13, 15, 17, 19, 21, 24, 28, 32, 36})
	b.Rear.PulleyCentres, b.Rear.RatedCapacity, b.Rear.LargestCog = centres, capacity, cog
	return b
}
