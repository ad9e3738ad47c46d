package sim

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distmv"
	"gonum.org/v1/gonum/stat/distuv"
	"gonum.org/v1/gonum/stat/samplemv"

	"cagewise/gearing"
)

// marginBuilds are the depths of knowledge and the special cases that the
// derivatives are checked on (invented).
func marginBuilds() map[string]gearing.Build {
	cogs := []gearing.Teeth{11, 13, 15, 17, 19, 21, 24, 28, 32, 36}
	typical := classBuild("", 432, 72, []gearing.Teeth{30, 46}, cogs)
	typical.Rear.PulleyCentres = 76
	measured := typical
	measured.Rear.Geometry = gearing.Geometry{
		HangerBehind: 9, HangerBelow: 28, PivotSmallX: 14, PivotSmallY: -72, PivotLargeX: 28, PivotLargeY: -111,
		PivotToGuide: 11, PivotToTension: 71, PivotSide: "ahead",
	}
	stops := measured
	stops.Rear.Geometry.CageStopRear, stops.Rear.Geometry.CageStopForward = -175, -20
	moving := measured
	moving.Frame.Suspension = gearing.Suspension{PivotAhead: 10, PivotAbove: 60, Travel: 100}
	worn := measured
	worn.Chain = gearing.Chain{Pitches: 112, Elongation: 0.6}
	return map[string]gearing.Build{"typical": typical, "measured": measured, "stops": stops, "moving": moving, "worn": worn}
}

// figuresAt solves one gear anew with the body held.
func figuresAt(r *Rig, i int, pitches, body float64) [figures]float64 {
	var g GearFit
	r.fitGear(&r.gears[i], pitches, body, &course{start: middleAngle}, &g, nil)
	return [figures]float64{float64(g.Forward), float64(g.Rearward), float64(g.Gap)}
}

// limitBuilds stop the cage by other things than usual on the largest cog: the
// guide pulley reaching the cog ahead or behind, the end of the take-up; and one
// with a chain worn far beyond use (invented).
func limitBuilds() map[string]gearing.Build {
	at := func(x, y, guide gearing.MM) gearing.Build {
		b := marginBuilds()["measured"]
		b.Rear.Geometry.PivotLargeX, b.Rear.Geometry.PivotLargeY, b.Rear.Geometry.PivotToGuide = x, y, guide
		return b
	}
	worn := marginBuilds()["measured"]
	worn.Chain = gearing.Chain{Pitches: 112, Elongation: 8}
	return map[string]gearing.Build{"cog on both sides": at(-20, -80, 20), "cog behind": at(-20, -85, 20), "taken up": at(-20, -95, 5), "far worn": worn}
}

// Every derivative against a difference of two complete solutions.
func TestDerivativesAgainstDifferences(t *testing.T) {
	for name, b := range marginBuilds() {
		checkDerivatives(t, name, mustRig(t, b))
	}
}

func TestDerivativesAtOtherLimits(t *testing.T) {
	seen := map[Limit]bool{}
	for name, b := range limitBuilds() {
		r := mustRig(t, b)
		g := fixedBody(r, r.reference, 112)
		seen[g.ForwardLimit], seen[g.RearLimit] = true, true
		checkDerivatives(t, name, r)
	}
	for _, l := range []Limit{LimitCog, LimitTakenUp, LimitStraight, LimitTouches} {
		if !seen[l] {
			t.Errorf("no cage is stopped by %s", l)
		}
	}
}

func checkDerivatives(t *testing.T, name string, r *Rig) {
	t.Helper()
	const pitches = 112
	f := Fit{Gears: make([]GearFit, len(r.gears))}
	tr := trace{gears: make([]gearTrace, len(r.gears))}
	r.fit(pitches, &tr, &f)
	m := r.margins(&tr)
	checked := 0
	for in := Input(0); in < inputs; in++ {
		if m.errors[in] == 0 || in == InputGap {
			continue
		}
		const h = 1e-3
		up, down := r.nudged(in, h), r.nudged(in, -h)
		for i := range r.gears {
			bodyUp, bodyDown := tr.body.angleOf(i), tr.body.angleOf(i)
			if in == inputBody {
				bodyUp, bodyDown = bodyUp+h*math.Pi/180, bodyDown-h*math.Pi/180
			}
			a, z := figuresAt(&up, i, pitches, bodyUp), figuresAt(&down, i, pitches, bodyDown)
			for k := range a {
				got, want := m.by[i][k][in], (a[k]-z[k])/(2*h)
				if !(math.Abs(got-want) < 2e-3*(1+math.Abs(want))) {
					t.Errorf("%s %s: %s by %s is %.5f, differences give %.5f", name, r.gears[i].id, figureWords[k], in, got, want)
				}
				checked++
			}
		}
	}
	if checked < 500 {
		t.Errorf("%s: only %d derivatives", name, checked)
	}
}

// haltonSeed scrambles the Halton sequence.
const haltonSeed = 7

// sampled draws the inputs' errors quasi-randomly (Halton, scrambled after Owen
// 2017), solves every gear anew with each, and weighs each by how likely the
// gap it leaves is to be the gap that was set. It gives the
// weighted spread of every figure.
func sampled(r *Rig, tr *trace, m *Margins, n int, pitches float64) [][figures]float64 {
	batch := mat.NewDense(n, int(inputs), nil)
	src := rand.NewPCG(haltonSeed, haltonSeed)
	samplemv.Halton{Kind: samplemv.Owen, Q: distmv.NewUnitUniform(int(inputs), src), Src: src}.Sample(batch)
	all := make([][][figures]float64, n)
	weights := make([]float64, n)
	for s := range n {
		rig, turn := *r, 0.0
		for in := Input(0); in < inputs; in++ {
			e := m.errors[in] * distuv.UnitNormal.Quantile(batch.At(s, int(in)))
			switch {
			case e == 0 || in == InputGap:
			case in == inputBody:
				turn = e * math.Pi / 180
			default:
				rig = rig.nudged(in, e)
			}
		}
		all[s] = make([][figures]float64, len(r.gears))
		for i := range r.gears {
			all[s][i] = figuresAt(&rig, i, pitches, tr.body.angleOf(i)+turn)
		}
		off := (all[s][r.reference][figGap] - r.target) / m.errors[InputGap]
		weights[s] = math.Exp(-off * off / 2)
	}
	return weightedSpread(all, weights)
}

// weightedSpread is half the width of the middle 68.27 %, the standard
// deviation of a normal distribution. It bears a few samples in which something
// else stops the cage.
func weightedSpread(all [][][figures]float64, weights []float64) [][figures]float64 {
	out := make([][figures]float64, len(all[0]))
	order, whole := make([]int, len(all)), total(weights)
	for i := range out {
		for k := range out[i] {
			for s := range order {
				order[s] = s
			}
			slices.SortFunc(order, func(a, b int) int { return cmp.Compare(all[a][i][k], all[b][i][k]) })
			quantile := func(q float64) float64 {
				sum := 0.0
				for _, s := range order {
					if sum += weights[s]; sum >= q*whole {
						return all[s][i][k]
					}
				}
				return math.NaN()
			}
			out[i][k] = (quantile(0.84134) - quantile(0.15866)) / 2
		}
	}
	return out
}

func total(list []float64) float64 {
	sum := 0.0
	for _, v := range list {
		sum += v
	}
	return sum
}

// Margins from derivatives against quasi-random sampling with the true, bent
// model.
func TestMarginsAgainstSampling(t *testing.T) {
	t.Logf("seed %d", haltonSeed)
	b := marginBuilds()["measured"]
	r := mustRig(t, b)
	const pitches = 112
	f := Fit{Gears: make([]GearFit, len(r.gears))}
	tr := trace{gears: make([]gearTrace, len(r.gears))}
	r.fit(pitches, &tr, &f)
	m := r.margins(&tr)
	got := sampled(r, &tr, &m, 6000, pitches)
	worst := 0.0
	for i := range r.gears {
		if f.Gears[i].Rearward < 1 || f.Gears[i].Forward < 1 {
			continue // the gap has a kink where the cage meets its limit
		}
		want := [figures]float64{float64(m.Gears[i].Forward), float64(m.Gears[i].Rearward), float64(m.Gears[i].Gap)}
		for k := range want {
			if figure(k) == figRearward && r.gears[i].id.Cog == b.LargestCog() {
				// Two limits compete there: in some samples the guide pulley
				// reaches the cog before the lower run touches it. Far from
				// any verdict: the reserve is many pitches.
				t.Logf("%s: rearward sampled %.2f, derivatives %.2f, reserve %.1f", r.gears[i].id, got[i][k], want[k], float64(f.Gears[i].Rearward))
				continue
			}
			worst = max(worst, math.Abs(got[i][k]/want[k]-1))
			if math.Abs(got[i][k]/want[k]-1) > 0.15 {
				t.Errorf("%s %s: sampled error %.4f, derivatives %.4f", r.gears[i].id, figureWords[k], got[i][k], want[k])
			}
		}
	}
	t.Logf("derivatives and sampling agree within %.1f %%", 100*worst)
}
