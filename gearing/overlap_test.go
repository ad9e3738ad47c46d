package gearing

import (
	"slices"
	"testing"
)

// 20 and 40 teeth with 10-20-40: 0.5, 1, 2 on the small ring, 1, 2, 4 on the
// large one. They share 1 to 2, a span of 100 %, two gears each, ends included.
func TestOverlaps(t *testing.T) {
	got := table(t, []Teeth{20, 40}, []Teeth{10, 20, 40}, TableOptions{}).Overlaps()
	want := []Overlap{{Smaller: 20, Larger: 40, GearsSmaller: 2, GearsLarger: 2, Band: 100}}
	if !slices.Equal(got, want) {
		t.Errorf("got %+v, want %+v", got, want)
	}
	three := table(t, []Teeth{20, 40, 80}, []Teeth{10, 15}, TableOptions{}).Overlaps() // 1.33, 2; 2.67, 4; 5.33, 8
	if len(three) != 2 || three[1].Smaller != 40 || three[1].GearsSmaller+three[1].GearsLarger != 0 || !near(float64(three[1].Band), -25, 1e-9) {
		t.Errorf("a hole of 25 %% came out as %+v", three)
	}
	if one := table(t, []Teeth{40}, []Teeth{10, 20}, TableOptions{}).Overlaps(); len(one) != 0 {
		t.Errorf("one ring overlaps: %+v", one)
	}
}

// Worked by hand: a front shift by k asks for the cog divided by k.
func TestRecoveries(t *testing.T) {
	tests := []struct {
		name        string
		rings, cogs []Teeth
		want        Recovery
	}{
		// From 40 to 20 and from 20 to 10; from 10 nothing wins back half.
		{"one cog each", []Teeth{20, 40}, []Teeth{10, 20, 40}, Recovery{From: 40, To: 20, Drop: 50, CadenceRPM: 180,
			Shifts: []RecoveryShift{{40, 20, 1, 0}, {20, 10, 1, 0}}, Usual: 1, Fewest: 1, Most: 1}},
		// From 20 the 10 wins back exactly half of the drop of two octaves,
		// which still counts; of one and two cogs the lower is the usual.
		{"half won back", []Teeth{10, 40}, []Teeth{10, 20, 40}, Recovery{From: 40, To: 10, Drop: 75, CadenceRPM: 360,
			Shifts: []RecoveryShift{{40, 10, 2, 0}, {20, 10, 1, -50}}, Usual: 1, Fewest: 1, Most: 2}},
		// 20 is wanted, 10 and 40 are equally far: the smaller cog is taken.
		{"between two cogs", []Teeth{20, 40}, []Teeth{10, 40}, Recovery{From: 40, To: 20, Drop: 50, CadenceRPM: 180,
			Shifts: []RecoveryShift{{40, 10, 1, 100}}, Usual: 1, Fewest: 1, Most: 1}},
		// 46/30: three cogs down once, two cogs down three times.
		{"two cogs usual", []Teeth{30, 46}, []Teeth{12, 15, 18, 22, 27}, Recovery{From: 46, To: 30, Drop: 34.783, CadenceRPM: 138,
			Shifts: []RecoveryShift{{27, 18, 2, -2.174}, {22, 15, 2, -4.348}, {18, 12, 2, -2.174}, {15, 12, 1, -18.478}}, Usual: 2, Fewest: 1, Most: 2}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			all := table(t, tt.rings, tt.cogs, TableOptions{}).Recoveries()
			if len(all) != 1 {
				t.Fatalf("%+v", all)
			}
			got, w := all[0], tt.want
			if got.From != w.From || got.To != w.To || !near(float64(got.Drop), float64(w.Drop), 0.001) || !near(got.CadenceRPM, w.CadenceRPM, 1e-9) ||
				got.Usual != w.Usual || got.Fewest != w.Fewest || got.Most != w.Most || !slices.EqualFunc(got.Shifts, w.Shifts, sameShift) {
				t.Errorf("got  %+v\nwant %+v", got, w)
			}
		})
	}
	// The most cogs there are, from one end to the other: 80/10 is the 8.
	widest := table(t, []Teeth{8, 80}, []Teeth{8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 80}, TableOptions{}).Recoveries()
	if s := widest[0].Shifts[0]; s.Cog != 80 || s.ToCog != 8 || s.Cogs != 13 || widest[0].Most != 13 {
		t.Errorf("%+v", widest)
	}
	if one := table(t, []Teeth{40}, []Teeth{10, 20}, TableOptions{}).Recoveries(); len(one) != 0 {
		t.Errorf("one ring: %+v", one)
	}
}

func sameShift(a, b RecoveryShift) bool {
	return a.Cog == b.Cog && a.ToCog == b.ToCog && a.Cogs == b.Cogs && near(float64(a.Residual), float64(b.Residual), 0.001)
}
