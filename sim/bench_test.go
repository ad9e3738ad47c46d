package sim

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/optimize"

	"cagewise/gearing"
)

// benchBuild is a 2x12 build with measured geometry (invented).
func benchBuild() gearing.Build {
	b := marginBuilds()["measured"]
	b.Cogs = []gearing.Teeth{11, 12, 13, 15, 17, 19, 21, 24, 27, 30, 33, 36}
	return b
}

// One gear solved for its cage angle from a neighbour's: at most 2 us, no
// allocation.
func BenchmarkOneGear(b *testing.B) {
	r := mustRig(b, benchBuild())
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
	r := mustRig(b, benchBuild())
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
	r := mustRig(b, benchBuild())
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
// 120 us.
func BenchmarkFit2x12(b *testing.B) {
	r := mustRig(b, benchBuild())
	f := Fit{Gears: make([]GearFit, len(r.gears))}
	b.ReportAllocs()
	for b.Loop() {
		r.fit(112, nil, &f)
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
		r := mustRig(b, build)
		f := Fit{Gears: make([]GearFit, len(r.gears))}
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				r.fit(112, nil, &f)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(r.gears)), "ns/gear")
		})
	}
}

// The whole window with the states at every even length: at most 600 us.
func BenchmarkWindow2x12(b *testing.B) {
	r := mustRig(b, benchBuild())
	b.ReportAllocs()
	for b.Loop() {
		r.Window()
	}
}

// Margins by derivatives, fit included: at most 10 fits.
func BenchmarkMargins2x12(b *testing.B) {
	r := mustRig(b, benchBuild())
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := r.Margins(112); err != nil {
			b.Fatal(err)
		}
	}
}

// The whole answer.
func BenchmarkJudge2x12(b *testing.B) {
	build := benchBuild()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Judge(build); err != nil {
			b.Fatal(err)
		}
	}
}
