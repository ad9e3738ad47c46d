package sim

import (
	"math"
	"slices"
	"testing"

	"cagewise/gearing"
)

// The shortest unbroken run of counts that run counts as clear; the first
// without a tight or dangerous gear is the shortest, slack or not.
func TestWindowAdds(t *testing.T) {
	tests := []struct {
		worst                 []State // from 100 pitches, by 2
		shortest, clear, last int
	}{
		{[]State{Locks, TooShort, Slack, Clear, Far, Hits, Clear}, 104, 106, 108},
		{[]State{Locks, Clear}, 102, 102, 102},
		{[]State{Locks, Tight, Clear}, 104, 104, 104},
		{[]State{Clear, Clear, Clear, Slack}, 100, 100, 104},
		{[]State{Far, Slack, Clear}, 100, 100, 100},
		{[]State{Hits, Slack, Slack}, 102, 0, 0},
		{[]State{Hits, TooShort, Tight}, 0, 0, 0},
	}
	for _, tt := range tests {
		var w Window
		for i, s := range tt.worst {
			w.add(CountStates{Pitches: 100 + 2*i, States: []State{Clear, s, Clear}})
		}
		if w.Shortest != tt.shortest || w.ClearFrom != tt.clear || w.ClearTo != tt.last || len(w.Counts) != len(tt.worst) {
			t.Errorf("%v: shortest %d, clear %d to %d; want %+v", tt.worst, w.Shortest, w.ClearFrom, w.ClearTo, tt)
		}
		for i, s := range tt.worst {
			c, ok := w.Find(100 + 2*i)
			if slack := map[bool]int{true: 1, false: 0}[s == Slack]; !ok || c.Worst() != s || c.Slack() != slack {
				t.Errorf("%d pitches: %v, %v, %d slack", 100+2*i, ok, c.Worst(), c.Slack())
			}
		}
		if c, ok := w.Find(101); ok {
			t.Errorf("101 pitches: %+v", c)
		}
	}
}

// A window begins with a count that locks the largest ring and cog, goes on count
// by count with the states of a fit, over the 8 pitches that a length to cut is
// looked for in, the chain owned and the first count without danger, and beyond
// the last that keeps every gear.
func TestWindowSpan(t *testing.T) {
	for name, b := range windowBuilds() {
		r := plainRig(t, b)
		step := gearing.CountStep(b.Chain)
		w := r.Window()
		if w.Counts[0].Pitches%step != 0 || w.Counts[0].States[r.bigBig()] != Locks {
			t.Errorf("%s: begins with %d, %s", name, w.Counts[0].Pitches, w.Counts[0].States[r.bigBig()])
		}
		want := w.Counts[0].Pitches
		for _, c := range w.Counts {
			f, err := r.Fit(c.Pitches)
			if err != nil || c.Pitches != want || !slices.Equal(c.States, f.states()) {
				t.Errorf("%s: %d pitches, want %d (%v)", name, c.Pitches, want, err)
			}
			want += step
		}
		first, _ := r.candidates()
		last := w.last()
		if last < first+8 || last < b.Chain.Pitches || last < w.Shortest {
			t.Errorf("%s: ends at %d; first %d, owned %d, shortest %d", name, last, first, b.Chain.Pitches, w.Shortest)
		}
		if n := len(w.Counts); n < mostCounts && (w.Counts[n-1].Slack() == 0 || w.Counts[n-2].Slack() == 0) && w.Shortest > 0 {
			t.Errorf("%s: ends at %d, before a gear is slack", name, last)
		}
		if i := slices.IndexFunc(w.Counts, func(c CountStates) bool { return c.Worst() < Tight }); i >= 0 && w.Counts[i].Pitches != w.Shortest || i < 0 && w.Shortest != 0 {
			t.Errorf("%s: shortest %d", name, w.Shortest)
		}
	}
}

// Where no count of the usual span is free of danger the window goes on to the
// first that is, as far as the candidates reach.
func TestWindowGoesOn(t *testing.T) {
	extended := 0
	for _, centres := range []gearing.MM{55, 59, 63, 67} {
		for _, rings := range [][]gearing.Teeth{{32}, {40}, {30, 46}, {22, 32, 44}} {
			b := classBuild("", 432, 65, rings, []gearing.Teeth{10, 12, 14, 16, 18, 21, 24, 28, 33, 39, 45, 51})
			b.Rear.PulleyCentres = centres
			r := plainRig(t, b)
			w := r.Window()
			first, reach := r.candidates()
			want := 0
			for n := first; n <= reach && want == 0; n += 2 {
				if f, err := r.Fit(n); err == nil && f.Worst() < Tight {
					want = n
				}
			}
			if w.Shortest != want || r.Shortest() != want {
				t.Errorf("%v mm, %v: shortest %d and %d, want %d", float64(centres), rings, w.Shortest, r.Shortest(), want)
			}
			if w.last() > first+longestCut+6 {
				extended++
			}
		}
	}
	if extended == 0 {
		t.Error("no window goes on")
	}
}

// The first candidate is the least even count with two pitches over the loop on
// the largest ring and cog; nothing is tight with it, and big-big is with a step
// less.
func TestFirstCandidate(t *testing.T) {
	for name, b := range windowBuilds() {
		r := plainRig(t, b)
		first, last := r.candidates()
		step := gearing.CountStep(b.Chain)
		loop, err := gearing.NewLoop(b.LargestRing(), b.LargestCog(), b.Frame.LongestChainstay())
		if err != nil {
			t.Fatal(err)
		}
		over := float64(loop.Worn(b.Chain.Elongation)) + 2
		if first%step != 0 || float64(first) < over || float64(first-step) >= over || last != first+38 {
			t.Errorf("%s: candidates %d to %d for %.3f pitches", name, first, last, over)
		}
		f, g := r.newFit(), r.newFit()
		r.fit(float64(first), &f)
		r.fit(float64(first-step), &g)
		for i := range f.Gears {
			if f.Gears[i].OverLoop < 2 {
				t.Errorf("%s: %s is tight with %d", name, f.Gears[i].GearID, first)
			}
		}
		if g.Gears[r.bigBig()].OverLoop >= 2 {
			t.Errorf("%s: nothing is tight with %d", name, first-step)
		}
	}
}

// Capacity by hand: what is left rearward in the worst gear, and what the chain
// has on big-big over a pitch before the end and two over the bare loop, two
// teeth a pitch; whatever the chain judged, as with a chain a pitch longer.
func TestCapacityByHand(t *testing.T) {
	b := marginBuilds()["measured"]
	b.Rear.RatedCapacity, b.Rear.Geometry.ScrewRange = 39, 1e-6
	r := mustRig(t, b)
	for _, n := range []int{108, 110, 112, 114} {
		f, err := r.Fit(n)
		if err != nil {
			t.Fatal(err)
		}
		least, gear := math.Inf(1), 0
		for i := range f.Gears {
			if v := float64(f.Gears[i].Rearward); v < least {
				least, gear = v, i
			}
		}
		big := &f.Gears[r.bigBig()]
		over := min(float64(big.Forward)-1, float64(big.OverLoop)-2)
		j := r.judge(n)
		c := r.capacity(&j)
		if !c.Known || c.Rated != 39 || c.Needed != 41 || c.Gear != r.gears[gear].id || math.Abs(c.Margin-2*(least+over)) > 1e-9 || math.Abs(c.Simulated-41-c.Margin) > 1e-9 {
			t.Errorf("%d pitches: %+v; least reserve %.3f in %s, %.3f over on big-big", n, c, least, r.gears[gear].id, over)
		}
	}
	r = mustRig(t, closed())
	a := r.Answer()
	if !a.Fit.Gears[r.bigBig()].NoPath && !a.Cap.Known || a.Fit.Gears[r.bigBig()].NoPath && (a.Cap.Known || a.Cap.Simulated != 0) || a.Cap.Needed != 41 {
		t.Errorf("no path on big-big: %+v", a.Cap)
	}
}

// One chain for two rigs: from the later begin to the later end.
func TestBothSpan(t *testing.T) {
	first, second := marginBuilds()["measured"], marginBuilds()["measured"]
	second.Rings = []gearing.Teeth{26, 40}
	a, b := plainRig(t, first), plainRig(t, second)
	wa, wb, both := a.Window(), b.Window(), Both(a, b)
	if both.Counts[0].Pitches != max(wa.Counts[0].Pitches, wb.Counts[0].Pitches) || both.last() != max(wa.last(), wb.last()) {
		t.Errorf("%d to %d for both, %d to %d and %d to %d alone", both.Counts[0].Pitches, both.last(), wa.Counts[0].Pitches, wa.last(), wb.Counts[0].Pitches, wb.last())
	}
	odd := first
	odd.Chain.OffsetLink = true
	for _, c := range Both(plainRig(t, odd), b).Counts {
		if c.Pitches%2 != 0 {
			t.Errorf("%d pitches for a bike without an offset link", c.Pitches)
		}
	}
}
