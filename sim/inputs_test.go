package sim

import (
	"math"
	"testing"

	"cagewise/gearing"
)

// Errors by hand. A ruler's 0.7 mm on a pivot 11 mm from the guide and 71 from
// the tension pulley, 76 apart: along 0.7 hypot(11, 71)/76 = 0.6618; the pivot
// lies at x = (11^2 + 76^2 - 71^2)/152 = 5.632 and y = 9.449, across
// hypot(11 x 0.7, 5.632 x 0.6618)/9.449 = 0.9053.
func TestInputErrors(t *testing.T) {
	measured := marginBuilds()["measured"]
	tests := []struct {
		name   string
		change func(*gearing.Build)
		want   map[Input]float64
	}{
		{"measured", func(*gearing.Build) {}, map[Input]float64{
			InputChainstay: 2, InputDrop: 3, InputPulleyCentres: 0.7, InputPivotSmallX: 2, InputPivotLargeY: 2,
			InputPivotAlong: 0.6618, InputPivotAcross: 0.9053, InputHangerX: 2, InputHangerY: 2, InputGap: 0.5, InputPlate: 1, InputStopRear: 14, InputStopForward: 15, // stops that nobody read
		}},
		{"class", func(b *gearing.Build) { b.Rear = gearing.RearDerailleur{Geometry: gearing.Geometry{Class: "medium"}} }, map[Input]float64{
			InputPivotSmallX: 6, InputPivotSmallY: 6, InputPivotLargeX: 9, InputPivotLargeY: 9, InputPivotAlong: 4, InputPivotAcross: 4, InputHangerX: 3, InputHangerY: 4,
		}},
		{"half a triangle", func(b *gearing.Build) { b.Rear.Geometry.PivotToTension = 0 }, map[Input]float64{InputPivotAlong: 4, InputPivotAcross: 4, InputPivotSmallX: 2}},
		{"the other half", func(b *gearing.Build) { b.Rear.Geometry.PivotToGuide = 0 }, map[Input]float64{InputPivotAlong: 4, InputPivotAcross: 4}},
		{"one stop", func(b *gearing.Build) { b.Rear.Geometry.CageStopRear = -175 }, map[Input]float64{InputStopRear: 2, InputStopForward: 15}},
		{"the other stop", func(b *gearing.Build) { b.Rear.Geometry.CageStopForward = -20 }, map[Input]float64{InputStopRear: 14, InputStopForward: 2}},
		{"fitted", func(b *gearing.Build) { b.Rear.Geometry.PivotError, b.Rear.Geometry.CageError = 0.8, 0.3 }, map[Input]float64{
			InputPulleyCentres: 0.7, InputPivotSmallX: 0.8, InputPivotSmallY: 0.8, InputPivotLargeX: 0.8, InputPivotLargeY: 0.8, InputPivotAlong: 0.3, InputPivotAcross: 0.3, InputHangerX: 2,
		}},
		{"pivot on the pulley line", func(b *gearing.Build) { b.Rear.Geometry.PivotToTension = 65 }, map[Input]float64{InputPivotAcross: 11}},
		{"pivot next to it", func(b *gearing.Build) { b.Rear.Geometry.PivotToTension = 65.01 }, map[Input]float64{InputPivotAcross: 11}},
		{"pivot straight off the guide pulley", func(b *gearing.Build) { b.Rear.Geometry.PivotToTension = gearing.MM(math.Hypot(76, 11)) }, map[Input]float64{InputPivotAcross: 0.7}},
	}
	for _, tt := range tests {
		b := measured
		tt.change(&b)
		d, err := NewDerailleur(b)
		if err != nil {
			t.Fatal(tt.name, err)
		}
		e := inputErrors(b, d)
		for in, want := range tt.want {
			if math.Abs(e[in]-want) > 0.0001 {
				t.Errorf("%s: %s +- %.4f, want %.4f", tt.name, in, e[in], want)
			}
		}
	}
}

// A nudged rig is the rig of a build that was measured otherwise.
func TestNudgedIsRebuilt(t *testing.T) {
	const h = 0.4 // mm or degrees
	cage := func(along, across float64) func(*gearing.Build) {
		return func(b *gearing.Build) { // 11 and 71 mm from pulleys 76 apart: x 5.6316, y 9.4490
			x, y := 5.6315789+along, math.Sqrt(121-5.6315789*5.6315789)+across
			b.Rear.Geometry.PivotToGuide, b.Rear.Geometry.PivotToTension = gearing.MM(math.Hypot(x, y)), gearing.MM(math.Hypot(76-x, y))
		}
	}
	changes := map[Input]func(*gearing.Build){
		InputChainstay: func(b *gearing.Build) {
			b.Frame.Chainstay += h
			b.Frame.Suspension.Chainstays = []gearing.MM{436 + h, 442 + h}
		},
		InputDrop: func(b *gearing.Build) { b.Frame.BottomBracketDrop += h },
		InputPulleyCentres: func(b *gearing.Build) {
			b.Rear.PulleyCentres += h
			b.Rear.Geometry.PivotToTension = gearing.MM(math.Hypot(76+h-5.6315789, math.Sqrt(121-5.6315789*5.6315789)))
		},
		InputPivotSmallX: func(b *gearing.Build) { b.Rear.Geometry.PivotSmallX += h },
		InputPivotSmallY: func(b *gearing.Build) { b.Rear.Geometry.PivotSmallY += h },
		InputPivotLargeX: func(b *gearing.Build) { b.Rear.Geometry.PivotLargeX += h },
		InputPivotLargeY: func(b *gearing.Build) { b.Rear.Geometry.PivotLargeY += h },
		InputPivotAlong:  cage(h, 0), InputPivotAcross: cage(0, h),
		InputHangerX:     func(b *gearing.Build) { b.Rear.Geometry.HangerBehind -= h },
		InputHangerY:     func(b *gearing.Build) { b.Rear.Geometry.HangerBelow -= h },
		InputPlate:       func(b *gearing.Build) { b.Rear.Geometry.PlateHeight = 8.6 + h },
		InputStopRear:    func(b *gearing.Build) { b.Rear.Geometry.CageStopRear += h },
		InputStopForward: func(b *gearing.Build) { b.Rear.Geometry.CageStopForward += h },
	}
	for _, stops := range []bool{false, true} {
		base := marginBuilds()["measured"]
		base.Frame.Suspension.Chainstays = []gearing.MM{436, 442}
		if stops {
			base.Rear.Geometry.CageStopRear, base.Rear.Geometry.CageStopForward = -150, -40
		}
		for in, change := range changes {
			if !stops && in >= InputStopRear {
				continue
			}
			b := base
			change(&b)
			r, moved := mustRig(t, b), mustRig(t, base).nudged(in, h)
			differs := false
			for i := range r.gears {
				got, want := threeFigures(&moved, i), threeFigures(r, i)
				for k := range got {
					if math.Abs(got[k]-want[k]) > 1e-5 {
						t.Errorf("%s, %s: figure %d is %.6f nudged, %.6f rebuilt", in, r.gears[i].id, k, got[k], want[k])
					}
				}
				differs = differs || got != threeFigures(mustRig(t, base), i)
			}
			if !differs && stops == (in >= InputStopRear) { // a stop comes before the lower run touches
				t.Errorf("%s changes nothing", in)
			}
		}
	}
	r := mustRig(t, marginBuilds()["measured"])
	if n := r.nudged(InputGap, h); n.target != r.target+h {
		t.Errorf("target gap %v after %v", n.target, r.target)
	}
}

// threeFigures are the reserves and the gap of a gear with the body turned a bit.
func threeFigures(r *Rig, i int) [3]float64 {
	g := heldBody(r, i, 112, 0.05)
	return [3]float64{float64(g.Forward), float64(g.Rearward), float64(g.Gap)}
}
