package sim

import (
	"math"
	"testing"
)

// Bent functions on wide brackets: plain regula falsi would creep from one end
// and not arrive in 60 steps, the Illinois rule does.
func TestRoot(t *testing.T) {
	tests := []struct {
		name     string
		f        func(float64) float64
		from, to float64
		want     float64
	}{
		{"ninth power", func(x float64) float64 { return math.Pow(x, 9) - 1e-3 }, 0, 5, math.Pow(1e-3, 1.0/9)},
		{"falling", func(x float64) float64 { return 1e-3 - math.Pow(x, 9) }, 0, 5, math.Pow(1e-3, 1.0/9)},
		{"bent the other way", func(x float64) float64 { return math.Pow(5-x, 9) - 1e-3 }, 0, 5, 5 - math.Pow(1e-3, 1.0/9)},
		{"exponential", func(x float64) float64 { return math.Exp(5*x) - 2 }, 0, 5, math.Ln2 / 5},
		{"straight", func(x float64) float64 { return 2*x - 3 }, 0, 5, 1.5},
	}
	for _, tt := range tests {
		steps := 0
		got := root(func(x float64) float64 { steps++; return tt.f(x) }, tt.from, tt.f(tt.from), tt.to, tt.f(tt.to), 1e-12)
		if math.Abs(got-tt.want) > 1e-9 || steps > 45 {
			t.Errorf("%s: %.12f after %d steps, want %.12f", tt.name, got, steps, tt.want)
		}
	}
	nowhere := func(float64) float64 { return math.NaN() }
	if got := root(nowhere, 1, -1, 2, 3, 1e-9); got != 1 {
		t.Errorf("without a value: %v, want the end nearer to the root", got)
	}
	if got := root(nowhere, 1, -3, 2, 1, 1e-9); got != 2 {
		t.Errorf("without a value: %v, want the end nearer to the root", got)
	}
}

// settle finds a root between its ends or anywhere in between, or else the least
// miss; f may have gaps.
func TestSettle(t *testing.T) {
	tests := []struct {
		name        string
		f           func(float64) float64
		angle, left float64
	}{
		{"rising", func(x float64) float64 { return x - 0.3 }, 0.3, 0},
		{"falling", func(x float64) float64 { return 0.3 - x }, 0.3, 0},
		{"two roots, the first", func(x float64) float64 { return (x + 0.55) * (x - 0.3) }, -0.55, 0},
		{"two roots, from below", func(x float64) float64 { return -(x + 0.55) * (x - 0.3) }, -0.55, 0},
		{"too high all over", func(x float64) float64 { return 2 + (x-0.5)*(x-0.5) }, 0.5, 2},
		{"too low, least at an end", func(x float64) float64 { return x - 3 }, 1, -2},
		{"too high, least at the other", func(x float64) float64 { return x + 3 }, -1, 2},
		{"only on one side", func(x float64) float64 {
			if x < 0.2 {
				return math.NaN()
			}
			return x + 1
		}, 0.2, 1.2},
		{"too high, least between steps", func(x float64) float64 { return 2 + math.Abs(x-0.1) }, 0.1, 2},
		{"too low, least between steps", func(x float64) float64 { return -2 - math.Abs(x+0.6) }, -0.6, -2},
		{"two roots between steps", func(x float64) float64 { return (x - 0.1) * (x - 0.12) }, 0.1, 0},
		{"flat: the middle", func(x float64) float64 { return 5 + 1e-13*math.Sin(1e6*x) }, 0, 5},
		{"nowhere", func(float64) float64 { return math.NaN() }, 0, noMiss},
		{"a root at the low end", func(x float64) float64 { return x + 1 }, -1, 0},
		{"touching at a step", func(x float64) float64 { return x * x }, 0, 0},
	}
	for _, tt := range tests {
		angle, left := settle(-1, 1, exactTol, tt.f)
		tol := 1e-8
		if tt.left != 0 { // nowhere 0: as near as refined looks
			tol = refineTol
		}
		if math.Abs(angle-tt.angle) > tol || math.Abs(left-tt.left) > tol*(1+math.Abs(tt.left)) {
			t.Errorf("%s: %v left at %v, want %v at %v", tt.name, left, angle, tt.left, tt.angle)
		}
	}
}

// The angle is found again but for whole turns, never under the start.
func TestUpFrom(t *testing.T) {
	for _, c := range [][3]float64{{1, 0, 1}, {1, 1.5, 1 + 2*math.Pi}, {-1, 0, 2*math.Pi - 1}, {20, 1, 20 - 6*math.Pi}, {1, 1, 1}} {
		if got := upFrom(c[0], c[1]); math.Abs(got-c[2]) > 1e-12 {
			t.Errorf("%v from %v: %v, want %v", c[0], c[1], got, c[2])
		}
	}
}

// 11 teeth: phi is the middle of 17 - 64/11 and 35 - 120/11 degrees, 17.636, and
// each tooth leaves sin 17.636 / sin(17.636 + 360/11) = 0.3934 of the tension; 50
// teeth: 24.16 degrees, 0.7865 (by hand).
func TestToothLoadsByHand(t *testing.T) {
	for teeth, ratio := range map[int]float64{11: 0.39341, 50: 0.78645} {
		loads := ToothLoads(1000, 11, 4)
		if teeth == 50 {
			loads = ToothLoads(1000, 50, 4)
		}
		for k, got := range loads {
			if want := 1000 * math.Pow(ratio, float64(k)); math.Abs(got-want) > 0.1 {
				t.Errorf("%d teeth, tooth %d: %.3f N, want %.3f", teeth, k, got, want)
			}
		}
		if len(loads) != 4 || len(ToothLoads(1000, 11, -1)) != 0 {
			t.Errorf("%d loads", len(loads))
		}
	}
}

// The B-screw opens the gap to its target where its range reaches, and says by
// how much it misses where not; near its end it stands at the nearer end.
func TestScrewReaches(t *testing.T) {
	for _, c := range []struct {
		target, screw float64
		reaches, worn bool
	}{{6, 12, true, false}, {9, 12, true, false}, {6, 0.5, false, false}, {30, 12, false, false}, {1, 0.5, false, false}, {6, 12, true, true}} {
		r := plainRig(t, marginBuilds()["measured"])
		if c.worn {
			r = plainRig(t, limitBuilds()["far worn"])
		}
		r.target, r.screw = c.target, c.screw*math.Pi/180
		set := r.setBody(112)
		g := heldBody(r, r.reference, 112, set.angle)
		if set.reaches != c.reaches || math.Abs(set.miss-(float64(g.Gap)-c.target)) > 1e-6 || math.Abs(set.angle) > r.screw+1e-12 {
			t.Errorf("target %v, %v degrees: reached %v, misses by %.4f at %.3f degrees, gap %.3f", c.target, c.screw, set.reaches, set.miss, degrees(set.angle), g.Gap)
		}
		if !c.reaches && math.Abs(math.Abs(set.angle)-r.screw) > 1e-9 {
			t.Errorf("target %v: the screw stands at %.3f of %.3f degrees", c.target, degrees(set.angle), c.screw)
		}
		if c.reaches && math.Abs(set.miss) > 0.01 {
			t.Errorf("target %v: off by %.4f mm", c.target, set.miss)
		}
	}
	r := plainRig(t, closed())
	if set := r.setBody(112); set.reaches || math.IsNaN(set.miss) || math.Abs(set.miss) > 1000 {
		t.Errorf("no path: %+v", set)
	}
}

// Solving from a near start is solving: whatever the start, where the chain fits
// between the limits.
func TestQuickIsSolve(t *testing.T) {
	for name, b := range windowBuilds() {
		r := plainRig(t, b)
		for i := range r.gears {
			for _, body := range []float64{-0.1, 0.1} {
				tr, ok := r.trainAt(&r.gears[i], 0, body)
				tr.contact = 0 // a matter of how the body stands, see gapAt
				l := r.limits(&tr, nil)
				if !ok || !l.ok {
					continue
				}
				for _, share := range []float64{-0.1, 0.05, 0.5, 0.95, 1.1} {
					want := l.atFront.pitches + share*(l.atRear.pitches-l.atFront.pitches)
					angle, _ := tr.solve(want, middleAngle, &l)
					for _, start := range []float64{-2.5, middleAngle, 0} {
						got, p, ok := r.quick(&tr, want, start)
						if !ok || math.Abs(got-angle) > 1e-5 || p != tr.at(got) {
							t.Errorf("%s, %s: %.3f pitches from %.1f: cage at %.6f, %v; solved %.6f", name, r.gears[i].id, want, start, got, ok, angle)
						}
					}
				}
			}
		}
	}
}
