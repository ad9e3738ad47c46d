package gearing

import "testing"

// 0.5, then 1 and 2 on either ring, then 4: three ways cost the same; the
// smaller ring is kept as long as it goes.
func TestSequenceTie(t *testing.T) {
	tab := table(t, []Teeth{20, 40}, []Teeth{10, 20, 40}, TableOptions{})
	want := []struct {
		to          string
		front, rear int
		both        bool
	}{{"20x20", 0, 1, false}, {"20x10", 0, 1, false}, {"40x10", 1, 0, false}}
	got := tab.Sequence()
	if len(got) != len(want) {
		t.Fatalf("%+v", got)
	}
	for i, w := range want {
		if g := tab.Gears[got[i].To]; g.Name() != w.to || got[i].FrontShifts != w.front || got[i].RearShifts != w.rear || got[i].Double() != w.both {
			t.Errorf("change %d goes to %s: %+v, want %+v", i, g.Name(), got[i], w)
		}
	}
}

// One ring counts as three cogs, whichever way either goes.
func TestShiftCost(t *testing.T) {
	tab := table(t, []Teeth{20, 40}, []Teeth{10, 20, 40}, TableOptions{})
	tests := []struct {
		from, to [2]Teeth
		cost     int
		both     bool
	}{
		{[2]Teeth{40, 40}, [2]Teeth{20, 10}, 5, true}, // a ring down, two cogs on
		{[2]Teeth{20, 10}, [2]Teeth{40, 40}, 5, true},
		{[2]Teeth{20, 10}, [2]Teeth{20, 20}, 1, false},
		{[2]Teeth{40, 20}, [2]Teeth{20, 20}, 3, false},
	}
	for _, tt := range tests {
		a, b := tab.index(index(tab.Rings, tt.from[0]), index(tab.Cogs, tt.from[1])), tab.index(index(tab.Rings, tt.to[0]), index(tab.Cogs, tt.to[1]))
		if got := tab.shiftCost(a, b); got != tt.cost || tab.change(a, b).Double() != tt.both {
			t.Errorf("%v to %v: cost %d, both levers %v", tt.from, tt.to, got, !tt.both)
		}
	}
}

func index(teeth []Teeth, n Teeth) int {
	for i, t := range teeth {
		if t == n {
			return i
		}
	}
	return -1
}

// Two rings and three cogs are enough. By hand: 2.25, 2.45, 2.647, 2.882,
// 3.214, 3.5; the mean cog step is sqrt(20/14).
func TestLeastHalfStep(t *testing.T) {
	h, ok := table(t, []Teeth{45, 49}, []Teeth{14, 17, 20}, TableOptions{}).HalfStep()
	if !ok || h.Granny || h.Rings != [2]Teeth{45, 49} {
		t.Fatalf("%+v, %v", h, ok)
	}
	for _, c := range []struct {
		name      string
		got, want Percent
	}{{"ring", h.RingStep, 8.889}, {"mean cog", h.MeanCogStep, 19.523}, {"smallest", h.Smallest, 8.043}, {"largest", h.Largest, 11.516}} {
		if !near(float64(c.got), float64(c.want), 0.001) {
			t.Errorf("%s step %.3f %%, want %.3f", c.name, c.got, c.want)
		}
	}
	for _, rings := range [][]Teeth{{30, 46}, {22, 32, 44}, {44}} {
		if h, ok := table(t, rings, []Teeth{14, 17, 20}, TableOptions{}).HalfStep(); ok {
			t.Errorf("%v: %+v", rings, h)
		}
	}
	if h, ok := table(t, []Teeth{45, 49}, []Teeth{14, 17}, TableOptions{}).HalfStep(); ok {
		t.Errorf("two cogs: %+v", h)
	}
}
