package gearing

import (
	"math"
	"testing"
)

// table is a table of plain numbers: one wheel turn is 2 m.
func table(t *testing.T, rings, cogs []Teeth, o TableOptions) Table {
	t.Helper()
	return must[Table](t)(NewTable(Build{Wheel: Wheel{MeasuredRollOut: 2000}, Rings: rings, Cogs: cogs}, o))
}

// 15/13 is 15.385 %, 13/11 18.182 %; 90 rpm become 90 x 15/13 = 103.85 and
// 90 x 13/11 = 106.36 (by hand).
func TestCogSteps(t *testing.T) {
	tab := table(t, []Teeth{30, 46}, []Teeth{11, 13, 15}, TableOptions{})
	want := []CogStep{{15, 13, 15.385, 103.846}, {13, 11, 18.182, 106.364}}
	if len(tab.Steps) != len(want) {
		t.Fatalf("%+v", tab.Steps)
	}
	for i, w := range want {
		s := tab.Steps[i]
		if s.From != w.From || s.To != w.To || !near(float64(s.Size), float64(w.Size), 0.001) || !near(s.CadenceRPM, w.CadenceRPM, 0.001) {
			t.Errorf("step %+v, want %+v", s, w)
		}
	}
	for cog, w := range map[Teeth][2]Percent{15: {0, 15.385}, 13: {15.385, 18.182}, 11: {18.182, 0}} { // to the larger, to the smaller
		g, _ := tab.Gear(46, cog)
		if !near(float64(g.StepToLargerCog), float64(w[0]), 0.001) || !near(float64(g.StepToSmallerCog), float64(w[1]), 0.001) {
			t.Errorf("%s: steps %.3f and %.3f, want %v", g.Name(), g.StepToLargerCog, g.StepToSmallerCog, w)
		}
	}
	if equal := table(t, []Teeth{30}, []Teeth{9, 12, 16}, TableOptions{}); equal.LargestStep.From != 16 {
		t.Errorf("of two equal steps %+v, want the lower gear's", equal.LargestStep)
	}
}

func TestGearByTeeth(t *testing.T) {
	tab := table(t, []Teeth{30, 46}, []Teeth{11, 13, 15}, TableOptions{})
	for _, ring := range tab.Rings {
		for _, cog := range tab.Cogs {
			if g, ok := tab.Gear(ring, cog); !ok || g.Ring != ring || g.Cog != cog {
				t.Errorf("%s: found %s, %v", GearName(ring, cog), g.Name(), ok)
			}
		}
	}
	for _, missing := range [][2]Teeth{{30, 12}, {38, 13}} {
		if g, ok := tab.Gear(missing[0], missing[1]); ok {
			t.Errorf("%v: found %s", missing, g.Name())
		}
	}
}

// A gear exactly the tolerance over the lowest of its group still belongs to
// it: 45x30 is 50 % over 30x30.
func TestGroupsEndIncluded(t *testing.T) {
	for tolerance, want := range map[Percent]int{50: 1, 49.9: 2} {
		tab := table(t, []Teeth{30, 45}, []Teeth{30}, TableOptions{Tolerance: tolerance})
		if tab.Groups != want || tab.Gears[0].Group != 0 || tab.Gears[1].Group != want-1 {
			t.Errorf("%v %%: %d groups, gears in %d and %d", tolerance, tab.Groups, tab.Gears[0].Group, tab.Gears[1].Group)
		}
	}
}

func TestTableOptionLimits(t *testing.T) {
	tests := []struct {
		o  TableOptions
		ok bool
	}{
		{TableOptions{Cadences: []float64{300}}, true},
		{TableOptions{Cadences: []float64{300.1}}, false},
		{TableOptions{Cadences: []float64{0}}, false},
		{TableOptions{Cadences: []float64{1, 2, 3, 4, 5, 6, 7, 8}}, true},
		{TableOptions{Tolerance: 50, WideTolerance: 50}, true},
		{TableOptions{Tolerance: 50.1}, false},
		{TableOptions{WideTolerance: -1}, false},
	}
	for _, tt := range tests {
		if _, err := NewTable(double(), tt.o); (err == nil) != tt.ok {
			t.Errorf("%+v: %v", tt.o, err)
		}
	}
}

func TestRadians(t *testing.T) {
	if got := Degrees(180).Radians(); got != math.Pi {
		t.Errorf("180 degrees are %v rad", got)
	}
	if got := DegreesOf(Degrees(30).Radians()); !near(float64(got), 30, 1e-12) {
		t.Errorf("30 degrees come back as %v", got)
	}
}
