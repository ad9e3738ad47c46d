package sim

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"cagewise/gearing"
)

// One quantity alone is a reading; a pulley's place is two numbers.
func TestSingleReadings(t *testing.T) {
	gear := id(30, 36)
	for what, c := range map[string]struct {
		rd   Reading
		want int
	}{
		"angle":   {Reading{CageAngle: -80}, 1},
		"guide":   {Reading{Guide: Point{20, -106}}, 2},
		"tension": {Reading{Tension: Point{30, -180}}, 2},
		"gap":     {Reading{Gap: 6}, 1},
		"all":     {Reading{CageAngle: -80, Guide: Point{20, -106}, Tension: Point{30, -180}, Gap: 6}, 6},
	} {
		c.rd.GearID, c.rd.Pitches = gear, 112
		f, err := FitReadings(marginBuilds()["typical"], []Reading{c.rd})
		if err != nil || len(f.Residuals) != c.want {
			t.Errorf("%s: %d residuals, want %d (%v)", what, len(f.Residuals), c.want, err)
		}
	}
	for n, ok := range map[int]bool{2: false, 3: true, 10000: true, 10001: false} {
		_, err := FitReadings(marginBuilds()["typical"], []Reading{{GearID: gear, Pitches: n, Gap: 6}})
		if (err == nil) != ok || err != nil && !errors.Is(err, ErrReadings) {
			t.Errorf("%d pitches: %v", n, err)
		}
	}
}

// 3 read as 1 by +- 0.5 is 4 errors off, 2 mm of a prior of 4 mm half an error:
// half of 16 + 0.25.
func TestFitCost(t *testing.T) {
	p := &problem{before: [inputs]float64{}}
	for _, in := range fittedInputs {
		p.before[in] = 4
	}
	if got := p.cost([unknowns]float64{2}, []Residual{{Read: 3, Model: 1, Error: 0.5}}); math.Abs(got-8.125) > 1e-12 {
		t.Errorf("cost %v", got)
	}
}

// At the end no small change of any measure lowers the cost, and what the fit
// says of residuals and changes is their sum.
func TestFitIsAMinimum(t *testing.T) {
	r, _ := truth(t)
	readings := readOff(t, r, 1, rand.New(rand.NewPCG(5, 5)))
	b := marginBuilds()["typical"]
	rig := mustRig(t, b).asRead()
	p := &problem{rig: rig, readings: readings, before: inputErrors(b, rig.Derailleur)}
	x, _, err := p.solve()
	if err != nil {
		t.Fatal(err)
	}
	least := p.cost(x, p.residuals(x))
	for k := range x {
		for _, by := range []float64{-0.05, 0.05} {
			y := x
			y[k] += by
			if c := p.cost(y, p.residuals(y)); c < least {
				t.Errorf("%s moved by %v: cost %.6f, %.6f before", fittedInputs[k], by, c, least)
			}
		}
	}
	f, err := FitReadings(b, readings)
	if err != nil {
		t.Fatal(err)
	}
	for k, p := range f.Parameters[4:] { // the pivot's place along and across the pulley line, from the guide pulley
		if want := -[2]float64{rig.toGuide.x, rig.toGuide.y}[k]; math.Abs(p.Start-want) > 1e-9 || math.Abs(p.Value-want-x[4+k]) > 1e-9 {
			t.Errorf("%s: %.4f from %.4f, want %.4f more than %.4f", p.Input, p.Value, p.Start, x[4+k], want)
		}
	}
	sum := 0.0
	for _, res := range f.Residuals {
		z := (res.Read - res.Model) / res.Error
		sum += z * z
	}
	for _, par := range f.Parameters {
		sum += par.Moved() * par.Moved()
	}
	if math.Abs(f.ChiSquare-sum) > 1e-9 || len(f.Residuals) == 0 {
		t.Errorf("chi square %.6f, residuals and what is moved make %.6f", f.ChiSquare, sum)
	}
	// At K = 2 degrees of freedom the chance of more than x is exp(-x/2).
	if got := chanceOf(2*math.Ln2, 2); math.Abs(got-0.5) > 1e-12 {
		t.Errorf("a chance of %v, want 0.5", got)
	}
}

// One gap read as the model has it moves nothing and narrows every measure by
// the update of one observation: P - P g g' P / (g' P g + e^2), g from
// differences; what the gap on the largest cog does not see stays as it was.
func TestOneGapNarrows(t *testing.T) {
	b := marginBuilds()["typical"]
	r := mustRig(t, b).asRead()
	i := r.reference
	gap := func(rig *Rig) float64 { return float64(fixedBody(rig, i, 112).Gap) }
	f, err := FitReadings(b, []Reading{{GearID: r.gears[i].id, Pitches: 112, Gap: gearing.MM(gap(r))}})
	if err != nil {
		t.Fatal(err)
	}
	var g, before [unknowns]float64
	total := gapError * gapError
	for k, in := range fittedInputs {
		up, down := r.nudged(in, 1e-3), r.nudged(in, -1e-3)
		g[k], before[k] = (gap(&up)-gap(&down))/2e-3, f.Parameters[k].Before
		total += g[k] * g[k] * before[k] * before[k]
	}
	for k, p := range f.Parameters {
		v := before[k] * before[k]
		want := math.Sqrt(v - v*g[k]*g[k]*v/total)
		if math.Abs(p.After-want) > 1e-3 || math.Abs(p.Value-p.Start) > 1e-6 {
			t.Errorf("%s: %.4f +- %.4f from %.4f, want +- %.4f", p.Input, p.Value, p.After, p.Start, want)
		}
	}
	if f.Parameters[0].After != before[0] || f.Parameters[3].After > before[3]/2 {
		t.Errorf("%+v", f.Parameters)
	}
}

// The gap the screw left is the next target between 1 and 40 mm, ends included.
func TestFittedTarget(t *testing.T) {
	base := *mustRig(t, marginBuilds()["measured"])
	low, high := 0.0, 0.0 // of the shift that opens the gap
	lowered := func(mm float64) (Rig, float64) {
		r := base
		r.Derailleur.PivotLarge.Y -= gearing.MM(mm)
		return r, float64(fixedBody(&r, r.reference, 112).Gap)
	}
	for _, c := range []struct {
		gap  float64
		kept bool
	}{{0.9, false}, {1, true}, {6.2, true}, {40, true}, {40.1, false}} {
		low, high = -30, 60
		for range 50 {
			if mid := (low + high) / 2; second(lowered(mid)) < c.gap {
				low = mid
			} else {
				high = mid
			}
		}
		r, _ := lowered(high)
		var f Fitted
		if f.setTarget(&r, 112); (f.Rear.Geometry.TargetGap != 0) != c.kept || c.kept && math.Abs(float64(f.Rear.Geometry.TargetGap)-c.gap) > 1e-9 {
			t.Errorf("gap %v: target %v", c.gap, f.Rear.Geometry.TargetGap)
		}
	}
}

func second(_ Rig, gap float64) float64 { return gap }

// The third side of a triangle lies between the difference and the sum of the
// other two, after rounding too.
func TestClosingSide(t *testing.T) {
	for _, c := range [][4]gearing.MM{ // side, guide, centres, want
		{70, 11, 76, 70}, {65, 11, 76, 65}, {64.99, 11, 76, 65}, {87, 11, 76, 87}, {87.01, 11, 76, 87},
		{60, 11.004, 76, 65}, {90, 11.004, 76, 87}, {1, 80, 76, 4},
	} {
		if got := closing(c[0], c[1], c[2]); math.Abs(float64(got-c[3])) > 1e-9 {
			t.Errorf("%v, %v and %v: %v, want %v", c[0], c[1], c[2], got, c[3])
		}
	}
	if got := rms([]Parameter{{After: 3}, {After: 4}}); math.Abs(got-math.Sqrt(12.5)) > 1e-12 {
		t.Errorf("3 and 4: %v", got)
	}
}
