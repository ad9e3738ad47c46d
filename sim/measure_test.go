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

// A stop that was read is the build's, as if it had been given; pivots and cage
// stay as they were where no gear was read, and no pulley centres are needed.
func TestStopReadings(t *testing.T) {
	typical, rated := marginBuilds()["typical"], marginBuilds()["typical"]
	rated.Rear = gearing.RearDerailleur{RatedCapacity: 37}
	given := typical
	given.Rear.Geometry.CageStopForward = 20
	for _, c := range []struct {
		name          string
		build         gearing.Build
		list          []Reading
		rear, forward gearing.Degrees
	}{
		{"rear", typical, []Reading{{Stop: RearStop, CageAngle: -190}}, -190, 0},
		{"forward", rated, []Reading{{Stop: ForwardStop, CageAngle: 12}}, 0, 12},
		{"both", typical, []Reading{{Stop: ForwardStop, CageAngle: -8, GearID: id(46, 36)}, {Stop: RearStop, CageAngle: -201}}, -201, -8},
		{"over a stop given", given, []Reading{{Stop: ForwardStop, CageAngle: 12}}, 0, 12},
		{"beside a stop given", given, []Reading{{Stop: RearStop, CageAngle: -190}}, -190, 20},
	} {
		f, err := FitReadings(c.build, c.list)
		want := c.build.Rear
		want.Geometry.CageStopRear, want.Geometry.CageStopForward = c.rear, c.forward
		if err != nil || f.Rear != want {
			t.Errorf("%s: %+v, %v", c.name, f.Rear, err)
		}
		if f.Chance != 1 || f.Parameters == nil || f.Residuals == nil || len(f.Parameters)+len(f.Residuals) != 0 {
			t.Errorf("%s: %+v", c.name, f)
		}
	}
}

func TestStopReadingsRefused(t *testing.T) {
	given := marginBuilds()["typical"]
	given.Rear.Geometry.CageStopForward = -100
	for name, c := range map[string]struct {
		build gearing.Build
		list  []Reading
	}{
		"no angle":     {given, []Reading{{Stop: RearStop}}},
		"not a number": {given, []Reading{{Stop: RearStop, CageAngle: gearing.Degrees(math.NaN())}}},
		"twice":        {given, []Reading{{Stop: RearStop, CageAngle: -190}, {Stop: RearStop, CageAngle: -191}}},
		"no such stop": {given, []Reading{{Stop: 7, CageAngle: -190}}},
		"crossed":      {marginBuilds()["typical"], []Reading{{Stop: RearStop, CageAngle: -20}, {Stop: ForwardStop, CageAngle: -190}}},
		"as far":       {given, []Reading{{Stop: RearStop, CageAngle: -100}}},
	} {
		if f, err := FitReadings(c.build, c.list); !errors.Is(err, ErrReadings) {
			t.Errorf("%s: %+v, %v", name, f, err)
		}
	}
}

// A stop read beside gears changes nothing that the gears say, and ends the cage's
// swing with a ruler's error; one that nobody read does not hold a cage back that
// was seen beyond where it is assumed.
func TestStopsBesideGears(t *testing.T) {
	r, _ := truth(t)
	b := marginBuilds()["typical"]
	readings := readOff(t, r.asRead(), 0, rand.New(rand.NewPCG(1, 1)))
	alone, err1 := FitReadings(b, readings)
	both, err2 := FitReadings(b, append([]Reading{{Stop: RearStop, CageAngle: -195}}, readings...))
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	for k := range alone.Parameters { // the cloud round the typical geometry is another, by a little
		if a, c := alone.Parameters[k], both.Parameters[k]; math.Abs(a.Value-c.Value) > 0.3 || math.Abs(a.After-c.After) > 0.1 {
			t.Errorf("%s: %.2f +- %.2f, with a stop %.2f +- %.2f", a.Input, a.Value, a.After, c.Value, c.After)
		}
	}
	if both.Rear.Geometry.CageStopRear != -195 || alone.Rear.Geometry.CageStopRear != 0 || both.Rear.PulleyCentres != b.Rear.PulleyCentres {
		t.Errorf("%+v", both.Rear)
	}
	b.Rear = both.Rear
	if e := inputErrors(b, mustRig(t, b).Derailleur); e[InputStopRear] != 2 || e[InputStopForward] != frontError {
		t.Errorf("stops +- %v and %v", e[InputStopRear], e[InputStopForward])
	}
	far := mustRig(t, marginBuilds()["typical"])
	if n := far.asRead(); !math.IsInf(n.stopRear, -1) || !math.IsInf(n.stopFront, 1) || math.IsInf(far.stopRear, -1) {
		t.Errorf("stops from %v to %v", n.stopRear, n.stopFront)
	}
}
