package sim

import (
	"math"
	"testing"

	"cagewise/gearing"
)

// Errors 2 of A and 1 of B and C; the gap, set to +- 0.5, goes with 0.5 A + 1 B:
// variance 0.25 + 1 + 1 = 2.25. A figure 0.2 A + 0.3 B + 0.3 C has the variance
// 0.16 + 0.09 + 0.09 = 0.34 and the covariance 0.5 0.2 4 + 0.3 = 0.7 with it:
// 0.34 - 0.49/2.25 = 0.12222 is left (the linear Gaussian update, by hand).
func TestSpreadAndPull(t *testing.T) {
	const a, b, c = InputChainstay, InputPivotLargeY, InputPlate
	m := Margins{tieError: 0.5, errors: [inputs]float64{a: 2, b: 1, c: 1}, tie: [inputs]float64{a: 0.5, b: 1}}
	d := [inputs]float64{a: 0.2, b: 0.3, c: 0.3, InputHangerX: 4}
	tests := []struct {
		set    bool
		spread float64
		pulls  map[Input][2]float64 // slope, error left
	}{
		{false, math.Sqrt(0.34), map[Input][2]float64{a: {0.2, 2}, b: {0.3, 1}, c: {0.3, 1}, InputHangerX: {0, 0}}},
		// a: variance 4 - 2^2/2.25 = 2.2222, covariance 0.8 - 0.7 2/2.25 = 0.17778
		// b: variance 1 - 1/2.25 = 0.55556, covariance 0.3 - 0.7/2.25 = -0.011111
		{true, math.Sqrt(0.122222), map[Input][2]float64{a: {0.08, 1.490712}, b: {-0.02, 0.745356}, c: {0.3, 1}, InputHangerX: {0, 0}}},
	}
	for _, tt := range tests {
		m.set = tt.set
		if got := m.spread(&d); math.Abs(got-tt.spread) > 1e-6 {
			t.Errorf("set %v: spread %.6f, want %.6f", tt.set, got, tt.spread)
		}
		for in, want := range tt.pulls {
			if slope, left := m.pull(&d, in); math.Abs(slope-want[0]) > 1e-6 || math.Abs(left-want[1]) > 1e-6 {
				t.Errorf("set %v: %s pulls by %.6f, %.6f left; want %v", tt.set, in, slope, left, want)
			}
		}
	}
}

// The gap counts as set where the screw reaches it, with typical geometry also
// where it comes within 8 mm; never with a sprung body. A screw of 12 degrees
// either way has the standard deviation 12/sqrt 3 = 6.928.
func TestGapCountsAsSet(t *testing.T) {
	typical, measured := marginBuilds()["typical"], marginBuilds()["measured"]
	sprung := measured
	sprung.Rear.Geometry.MountPreload, sprung.Rear.Geometry.MountRate = 1000, 5
	for _, c := range []struct {
		name       string
		b          gearing.Build
		miss       float64
		reaches    bool
		set, known bool
	}{
		{"reached", measured, 0, true, true, false}, {"not reached", measured, 0.5, false, false, false},
		{"typical, near", typical, -7.9, false, true, true}, {"typical, far", typical, 8, false, false, true}, {"typical, reached", typical, 0, true, true, true},
		{"sprung", sprung, 0, true, false, false},
	} {
		r := mustRig(t, c.b)
		tr := trace{gears: make([]gearTrace, len(r.gears))}
		r.fit(112, &tr, &Fit{Gears: make([]GearFit, len(r.gears))})
		tr.body.miss, tr.body.reaches = c.miss, c.reaches
		m := r.margins(&tr)
		body := 0.0
		if c.set {
			body = 6.9282
		}
		if m.set != c.set || m.typical != c.known || math.Abs(m.errors[inputBody]-body) > 0.0001 || m.tieError != 0.5 {
			t.Errorf("%s: set %v, typical %v, screw +- %.4f, gap +- %v", c.name, m.set, m.typical, m.errors[inputBody], m.tieError)
		}
	}
}

// The bounds of a chain count are still answered, by all that take one.
func TestChainCountBounds(t *testing.T) {
	b := marginBuilds()["measured"]
	b.Chain.OffsetLink = true
	r := mustRig(t, b)
	for _, n := range []int{3, 10000} {
		_, _, err1 := r.Margins(n)
		_, err2 := r.Roadside(n, 0)
		_, err3 := r.Risk(n)
		if err1 != nil || err2 != nil || err3 != nil {
			t.Errorf("%d pitches: %v, %v, %v", n, err1, err2, err3)
		}
	}
	if card, err := r.Roadside(112, 5); err != nil || card.Pitches != 107 {
		t.Errorf("112 less 5: %d, %v", card.Pitches, err)
	}
	if _, err := mustRig(t, marginBuilds()["measured"]).Roadside(112, 5); err == nil {
		t.Error("107 pitches close without an offset link")
	}
}

// Every gear stands on the list its state and its chance of danger call for.
func TestCardLists(t *testing.T) {
	filled := map[string]int{}
	for name, b := range marginBuilds() {
		r := mustRig(t, b)
		for missing := 0; missing <= 6; missing += 2 {
			f, m := r.held(float64(114-missing), r.setBody(114))
			card, err := r.Roadside(114, missing)
			if err != nil {
				t.Fatal(err)
			}
			list := map[gearing.GearID]string{}
			for what, ids := range map[string][]gearing.GearID{"never": card.Never, "doubtful": card.Doubtful, "slack": card.Slack, "free": card.Free} {
				for _, g := range ids {
					list[g] = what
				}
				filled[what] += len(ids)
			}
			for i, g := range f.Gears {
				want := "free"
				switch danger := m.Danger(f, i); {
				case g.State == Locks || g.State == Overstretched || g.State == Fouls:
					want = "never"
				case danger >= 0.10:
					want = "doubtful"
				case g.State == Slack:
					want = "slack"
				}
				if list[g.GearID] != want {
					t.Errorf("%s, %d of 114 pitches: %s is %s, want %s", name, 114-missing, g.GearID, list[g.GearID], want)
				}
			}
		}
	}
	for _, what := range []string{"never", "doubtful", "slack", "free"} {
		if filled[what] == 0 {
			t.Errorf("no gear is %s", what)
		}
	}
}
