package sim

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"cagewise/gearing"
)

// trueBike is a bike whose derailleur is unlike the typical one; what it shows
// is read off it in a few gears.
func trueBike() gearing.Build {
	b := marginBuilds()["typical"]
	b.Rear.Geometry = gearing.Geometry{
		PivotSmallX: 17, PivotSmallY: -76, PivotLargeX: 24, PivotLargeY: -116, PivotToGuide: 12, PivotToTension: 70.6, PivotSide: "ahead",
		ScrewRange: 1e-6, // it stands as it stands
	}
	return b
}

// readOff reads cage angle, pulleys and gap in four gears, with noise of the
// stated errors times size.
func readOff(t *testing.T, r *Rig, size float64, rng *rand.Rand) []Reading {
	t.Helper()
	var list []Reading
	for _, id := range []gearing.GearID{{Ring: 30, Cog: 36}, {Ring: 46, Cog: 36}, {Ring: 46, Cog: 11}, {Ring: 30, Cog: 13}} {
		i, ok := r.Index(id)
		if !ok {
			t.Fatal(id)
		}
		g := fixedBody(r, i, 114)
		off := func(e float64) float64 { return size * e * rng.NormFloat64() }
		moved := func(p Point) Point { return Point{p.X + gearing.MM(off(2)), p.Y + gearing.MM(off(2))} }
		list = append(list, Reading{
			GearID: id, Pitches: 114, CageAngle: g.CageAngle + gearing.Degrees(off(2)),
			Guide: moved(g.Guide), Tension: moved(g.Tension), Gap: g.Gap + gearing.MM(off(0.5)),
		})
	}
	return list
}

func truth(t *testing.T) (*Rig, [unknowns]float64) {
	r := mustRig(t, trueBike())
	return r, (&problem{}).values(r)
}

// Readings without error bring the geometry near the true one: what is left
// is the pull of the prior.
func TestFitReadingsRecovers(t *testing.T) {
	r, want := truth(t)
	f, err := FitReadings(marginBuilds()["typical"], readOff(t, r, 0, rand.New(rand.NewPCG(1, 1))))
	if err != nil {
		t.Fatal(err)
	}
	for k, p := range f.Parameters {
		before, after := math.Abs(p.Start-want[k]), math.Abs(p.Value-want[k])
		if after > 1 || p.After >= p.Before {
			t.Errorf("%s: true %.2f, fitted %.2f +- %.2f, started from %.2f +- %.2f", p.Input, want[k], p.Value, p.After, p.Start, p.Before)
		}
		t.Logf("%s: off by %.2f, then %.2f mm", p.Input, before, after)
	}
	left := 0.0
	for _, r := range f.Residuals {
		left += math.Pow((r.Read-r.Model)/r.Error, 2)
	}
	if left > 1 || f.ChiSquare < left || f.Chance < 0.5 {
		t.Errorf("%.2f left of readings without error, chi square %.2f, a chance of %.2f", left, f.ChiSquare, f.Chance)
	}
}

// The errors that the fit states are those it makes: over many noisy sets of
// readings the misses are as large as said.
func TestFitReadingsStatesItsError(t *testing.T) {
	const seed, sets = 3, 60
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, seed))
	r, want := truth(t)
	sum := 0.0
	for range sets {
		f, err := FitReadings(marginBuilds()["typical"], readOff(t, r, 1, rng))
		if err != nil {
			t.Fatal(err)
		}
		for k, p := range f.Parameters {
			sum += math.Pow((p.Value-want[k])/p.After, 2)
		}
	}
	if mean := sum / float64(sets*unknowns); mean < 0.5 || mean > 1.6 {
		t.Errorf("misses are %.2f of the stated errors, squared; want about 1", mean)
	}
}

// The geometry written back predicts what was read.
func TestFittedGeometryPredicts(t *testing.T) {
	r, _ := truth(t)
	b := marginBuilds()["typical"]
	readings := readOff(t, r, 0, rand.New(rand.NewPCG(1, 1)))
	f, err := FitReadings(b, readings)
	if err != nil {
		t.Fatal(err)
	}
	b.Rear = f.Rear
	again := mustRig(t, b)
	if again.Derailleur.Knowledge != FromReadings {
		t.Errorf("knowledge %s", again.Derailleur.Knowledge)
	}
	for _, rd := range readings {
		i, _ := again.Index(rd.GearID)
		if g := fixedBody(again, i, 114); math.Abs(float64(g.CageAngle-rd.CageAngle)) > 1 || math.Abs(float64(g.Gap-rd.Gap)) > 0.5 {
			t.Errorf("%s: cage %.2f, gap %.2f; read %.2f, %.2f", rd.GearID, float64(g.CageAngle), float64(g.Gap), float64(rd.CageAngle), float64(rd.Gap))
		}
	}
}

// More readings never widen what is left.
func TestMoreReadingsNarrow(t *testing.T) {
	r, _ := truth(t)
	all := readOff(t, r, 0, rand.New(rand.NewPCG(1, 1)))
	before := math.Inf(1)
	for n := 1; n <= len(all); n++ {
		f, err := FitReadings(marginBuilds()["typical"], all[:n])
		if err != nil {
			t.Fatal(err)
		}
		if now := rms(f.Parameters); now > before {
			t.Errorf("%d readings leave %.3f mm, one less %.3f", n, now, before)
		} else {
			before = now
		}
	}
}

func TestFitReadingsRefuses(t *testing.T) {
	id := gearing.GearID{Ring: 46, Cog: 36}
	for name, list := range map[string][]Reading{
		"none":     nil,
		"no gear":  {{GearID: gearing.GearID{Ring: 46, Cog: 99}, Pitches: 112, Gap: 6}},
		"no chain": {{GearID: id, Gap: 6}},
		"nothing":  {{GearID: id, Pitches: 112}},
	} {
		if _, err := FitReadings(marginBuilds()["typical"], list); !errors.Is(err, ErrReadings) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := FitReadings(gearing.Build{}, nil); err == nil {
		t.Error("a build without anything was taken")
	}
}
