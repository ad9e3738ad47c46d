package sim

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/optimize"

	"cagewise/gearing"
)

// benchBuild is a 2x12 build with measured geometry, benchTypical the same of
// which only pulley centres and ratings are known (invented).
func benchBuild() gearing.Build {
	b := marginBuilds()["measured"]
	b.Cogs = []gearing.Teeth{11, 12, 13, 15, 17, 19, 21, 24, 27, 30, 33, 36}
	return b
}

func benchTypical() gearing.Build {
	b := marginBuilds()["typical"]
	b.Cogs = []gearing.Teeth{11, 12, 13, 15, 17, 19, 21, 24, 27, 30, 33, 36}
	b.Rear.RatedCapacity, b.Rear.LargestCog = 41, 36
	return b
}

// One gear solved for its cage angle from a neighbour's: at most 2 us, no
// allocation.
func BenchmarkOneGear(b *testing.B) {
	r := plainRig(b, benchBuild())
	g := &r.gears[5]
	l := r.limits(&g.train, nil)
	neighbour, _ := r.gears[4].train.solve(112, middleAngle, &l)
	b.ReportAllocs()
	for b.Loop() {
		g.train.solve(112, neighbour, &l)
	}
}

// One gear with its limits found from nothing.
func BenchmarkOneGearWithLimits(b *testing.B) {
	r := plainRig(b, benchBuild())
	g := &r.gears[5]
	b.ReportAllocs()
	for b.Loop() {
		l := r.limits(&g.train, nil)
		g.train.solve(112, middleAngle, &l)
	}
}

// The same gear through a general-purpose minimiser over the squared miss of
// the path: what the solver is worth.
func BenchmarkOneGearGeneralPurpose(b *testing.B) {
	r := plainRig(b, benchBuild())
	g := &r.gears[5]
	l := r.limits(&g.train, nil)
	want, _ := g.train.solve(112, middleAngle, &l)
	problem := optimize.Problem{Func: func(x []float64) float64 {
		p := g.train.at(math.Min(math.Max(x[0], l.rear), l.front))
		return (p.pitches - 112) * (p.pitches - 112)
	}}
	b.ReportAllocs()
	for b.Loop() {
		res, err := optimize.Minimize(problem, []float64{middleAngle}, nil, &optimize.NelderMead{})
		if err != nil || math.Abs(res.X[0]-want) > 1e-3 {
			b.Fatal(res.X, want, err)
		}
	}
}

// Complete fit of a 2x12 build at one chain length, B-screw included: at most
// 120 us, no allocation.
func BenchmarkFit2x12(b *testing.B) {
	r := plainRig(b, benchBuild())
	f := r.newFit()
	b.ReportAllocs()
	for b.Loop() {
		r.fit(112, &f)
	}
}

// Neither one gear nor a whole fit allocates.
func TestFitAllocatesNothing(t *testing.T) {
	for name, b := range map[string]gearing.Build{"measured": benchBuild(), "typical": benchTypical(), "fouled": fouled(), "travel": marginBuilds()["moving"]} {
		r := mustRig(t, b)
		f := r.newFit()
		if n := testing.AllocsPerRun(20, func() { r.fit(112, &f) }); n > 0 {
			t.Errorf("%s: a fit allocates %v times", name, n)
		}
		g := &r.gears[0]
		if n := testing.AllocsPerRun(20, func() {
			l := r.limits(&g.train, nil)
			g.train.solve(112, middleAngle, &l)
		}); n > 0 {
			t.Errorf("%s: a gear allocates %v times", name, n)
		}
	}
}

// The cost grows with the gears, not faster: 1x3 to 3x12.
func BenchmarkFitByGears(b *testing.B) {
	for _, c := range []struct {
		name        string
		rings, cogs int
	}{{"3", 1, 3}, {"6", 1, 6}, {"12", 1, 12}, {"24", 2, 12}, {"36", 3, 12}} {
		build := benchBuild()
		build.Rings = []gearing.Teeth{30, 38, 46}[:c.rings]
		build.Cogs = build.Cogs[len(build.Cogs)-c.cogs:]
		r := plainRig(b, build)
		f := r.newFit()
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				r.fit(112, &f)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(r.gears)), "ns/gear")
		})
	}
}

// The whole window with the states at every even length.
func BenchmarkWindow2x12(b *testing.B) {
	r := plainRig(b, benchBuild())
	b.ReportAllocs()
	for b.Loop() {
		r.Window()
	}
}

// The whole answer, from the build, by depth of knowledge; one whose cog is out
// of reach looks at every length and at every remedy.
func BenchmarkAnswer(b *testing.B) {
	rating := benchTypical()
	rating.Rear.PulleyCentres = 0
	for _, c := range []struct {
		name  string
		build gearing.Build
	}{{"measured", benchBuild()}, {"typical", benchTypical()}, {"rating only", rating}, {"over its rating", tableCases[3].build(0)}, {"cog out of reach", tableCases[7].build(0)}} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Judge(c.build); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// The same of another build with the same derailleur.
func BenchmarkAnswerLike(b *testing.B) {
	like := mustRig(b, benchTypical())
	b.ReportAllocs()
	for b.Loop() {
		r, err := like.For(benchTypical())
		if err != nil {
			b.Fatal(err)
		}
		r.Answer()
	}
}

// The promise of one rating: the draws of the prior, weighed.
func BenchmarkPromise(b *testing.B) {
	r := plainRig(b, benchTypical())
	b.ReportAllocs()
	for b.Loop() {
		newCloud(r)
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/typicalDraws, "us/draw")
}

// One length judged in every draw by the gears that danger comes to first.
func BenchmarkOneLength(b *testing.B) {
	r := mustRig(b, benchTypical())
	gears := r.critical()
	b.ReportAllocs()
	for b.Loop() {
		r.sampled(r.cloud, 112, gears, false)
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(len(r.cloud.draws)), "us/draw")
}
