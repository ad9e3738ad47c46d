package sim

import (
	"math"
	"math/rand/v2"
	"testing"
)

// marginTruths is the size of the Monte Carlo samples that printed errors are
// held against, marginFactor how far they may lie apart.
const (
	marginTruths = 3000
	marginFactor = 1.5
)

// The error of every reserve and gap against a sample drawn and solved for
// itself, from the errors as reliability_test.go states them: the spread round
// the figure shown. Where another limit takes over in one draw of a hundred its
// few pitches decide a spread of 0.7, and 128 draws do not tell 0.5 from 0.85:
// hence the factor.
func TestMarginsAgainstMonteCarlo(t *testing.T) {
	n, factor := marginTruths, marginFactor
	if raced || testing.Short() {
		factor = 2
		n /= 3
	}
	for name, b := range marginBuilds() {
		r := mustRig(t, b)
		a := r.Answer()
		draws := measuredTruths
		if name == "typical" {
			draws = func(r *Rig) truths { return typicalTruths(r, rand.New(rand.NewPCG(5, 5)), 8*typicalDraws) }
		}
		want := spreadOf(r, draws(r), a.Pitches, n, &a.Fit)
		worst := 1.0
		for i := range a.Margins {
			m := a.Margins[i]
			got := figures{float64(m.Forward), float64(m.Rearward), float64(m.Gap)}
			for k, pair := range [...][2]float64{{got.forward, want[i].forward}, {got.rearward, want[i].rearward}, {got.gap, want[i].gap}} {
				ratio := pair[0] / pair[1]
				worst = max(worst, ratio, 1/ratio)
				if !(ratio < factor && ratio > 1/factor) {
					t.Errorf("%s %s: error %d is %.3f, Monte Carlo %.3f", name, a.Fit.Gears[i].GearID, k, pair[0], pair[1])
				}
			}
		}
		t.Logf("%s: errors and Monte Carlo agree within a factor %.2f", name, worst)
	}
}

// spreadOf is the spread of every gear's figures round those of a fit.
func spreadOf(r *Rig, draws truths, pitches, n int, shown *Fit) []figures {
	rng := rand.New(rand.NewPCG(20261201, 12))
	list, f := make([]figures, len(r.gears)), r.newFit()
	count := make([]float64, len(r.gears))
	for range n {
		d := draws(rng)
		one := r.in(&d)
		one.coarse = false
		one.fit(float64(pitches), &f)
		for i := range f.Gears {
			g, s := &f.Gears[i], &shown.Gears[i]
			if g.NoPath {
				continue
			}
			square := func(a, b float64) float64 { return (a - b) * (a - b) }
			list[i].forward += square(float64(g.Forward), float64(s.Forward))
			list[i].rearward += square(float64(g.Rearward), float64(s.Rearward))
			list[i].gap += square(float64(g.Gap), float64(s.Gap))
			count[i]++
		}
	}
	for i, c := range count {
		list[i] = figures{math.Sqrt(list[i].forward / c), math.Sqrt(list[i].rearward / c), math.Sqrt(list[i].gap / c)}
	}
	return list
}
