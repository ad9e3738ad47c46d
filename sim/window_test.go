package sim

import (
	"math"
	"slices"
	"testing"

	"cagewise/gearing"
)

// The shortest unbroken run of counts that run counts as clear; the first
// without danger is recommended, slack or not.
func TestWindowAdds(t *testing.T) {
	tests := []struct {
		worst                    []State // from 100 pitches, by 2
		recommended, clear, last int
	}{
		{[]State{Locks, Overstretched, Slack, Clear, Far, Fouls, Clear}, 104, 106, 108},
		{[]State{Locks, Clear}, 102, 102, 102},
		{[]State{Clear, Clear, Clear, Slack}, 100, 100, 104},
		{[]State{Far, Slack, Clear}, 100, 100, 100},
		{[]State{Fouls, Slack, Slack}, 102, 0, 0},
		{[]State{Fouls, Overstretched}, 0, 0, 0},
	}
	for _, tt := range tests {
		var w Window
		for i, s := range tt.worst {
			w.add(CountStates{Pitches: 100 + 2*i, States: []State{Clear, s, Clear}})
		}
		if w.Shortest != tt.recommended || w.ClearFrom != tt.clear || w.ClearTo != tt.last || len(w.Counts) != len(tt.worst) {
			t.Errorf("%v: recommended %d, clear %d to %d; want %+v", tt.worst, w.Shortest, w.ClearFrom, w.ClearTo, tt)
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

// windowBuilds have a wide and a narrow window, wear, travel and odd counts.
func windowBuilds() map[string]gearing.Build {
	list := marginBuilds()
	list["narrow"] = classBuild("short", 430, 70, []gearing.Teeth{22, 50}, []gearing.Teeth{11, 15, 20, 28, 36})
	odd := list["measured"]
	odd.Chain.OffsetLink = true
	list["odd"] = odd
	list["far worn"] = limitBuilds()["far worn"]
	return list
}

// A window begins a pitch before the last count that locks a gear with the body
// at rest, goes on 4 beyond the first that is too long for one, but at least 7
// in all, and, where all of that is dangerous, to the first that is not.
func TestWindowSpan(t *testing.T) {
	for name, b := range windowBuilds() {
		r := mustRig(t, b)
		low, high := 0.0, math.Inf(1)
		for i := range r.gears {
			g := fixedBody(r, i, 112)
			low, high = max(low, 112-float64(g.Forward)), min(high, 112+float64(g.Rearward))
		}
		low, high = low-1, max(high, low+3)+4
		gotLow, gotHigh := r.spread()
		if math.Abs(gotLow-low) > 1e-6 || math.Abs(gotHigh-high) > 1e-6 {
			t.Errorf("%s: %.3f to %.3f, want %.3f to %.3f", name, gotLow, gotHigh, low, high)
		}
		step := gearing.CountStep(b.Chain)
		w := r.Window()
		first, last := int(math.Floor(low)), int(math.Ceil(high))
		first, last = first-first%step, last+last%step
		if w.Shortest > last {
			last = w.Shortest
		}
		want := first
		for _, c := range w.Counts {
			f, err := r.Fit(c.Pitches)
			if err != nil || c.Pitches != want || !slices.Equal(c.States, f.states()) {
				t.Errorf("%s: %d pitches, want %d (%v)", name, c.Pitches, want, err)
			}
			want += step
		}
		if want-step != last {
			t.Errorf("%s: the window ends at %d, want %d", name, want-step, last)
		}
		if i := slices.IndexFunc(w.Counts, func(c CountStates) bool { return c.Worst() < Fouls }); i >= 0 && w.Counts[i].Pitches != w.Shortest || i < 0 && w.Shortest != 0 {
			t.Errorf("%s: recommended %d", name, w.Shortest)
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
			r := mustRig(t, b)
			_, high := r.spread()
			w := r.Window()
			first, reach := r.candidates()
			want := 0
			for n := min(first, w.Counts[0].Pitches); n <= max(reach, int(high)+2) && want == 0; n += 2 {
				if f, err := r.Fit(n); err == nil && !f.Worst().Dangerous() {
					want = n
				}
			}
			if w.Shortest != want {
				t.Errorf("%v mm, %v: recommended %d, want %d", float64(centres), rings, w.Shortest, want)
			}
			if last := w.last(); float64(last) > high+2 {
				extended++
				for k := 1; k < len(w.Counts); k++ {
					if w.Counts[k].Pitches != w.Counts[k-1].Pitches+2 {
						t.Errorf("%v mm, %v: %d pitches after %d", float64(centres), rings, w.Counts[k].Pitches, w.Counts[k-1].Pitches)
					}
				}
				if want != 0 && last != want || want == 0 && last < reach-1 {
					t.Errorf("%v mm, %v: goes on to %d, want %d of %d", float64(centres), rings, last, want, reach)
				}
			}
		}
	}
	if extended == 0 {
		t.Error("no window goes on")
	}
}

// The least chain leaves one pitch on big-big; the candidates begin with the
// next count that can be cut.
func TestLeastChain(t *testing.T) {
	for name, b := range windowBuilds() {
		r := mustRig(t, b)
		n := r.leastChain()
		f := Fit{Gears: make([]GearFit, len(r.gears))}
		r.fit(n, nil, &f)
		if left := float64(f.Gears[r.bigBig()].Forward); math.Abs(left-LeastReserve) > 0.01 { // a stop turns with the body
			t.Errorf("%s: %.3f pitches leave %.4f on big-big", name, n, left)
		}
		first, last := r.candidates()
		step := gearing.CountStep(b.Chain)
		if float64(first) < n || float64(first-step) >= n || first%step != 0 || last != first+19*step {
			t.Errorf("%s: candidates %d to %d for %.3f pitches", name, first, last, n)
		}
	}
}

// Capacity by hand: with the least chain the least rearward reserve is left, two
// teeth a pitch; its error from differences of the two reserves that a chain
// sized by hand depends on. The screw stays, so that no gap ties the inputs.
func TestCapacityByHand(t *testing.T) {
	b := marginBuilds()["measured"]
	b.Rear.RatedCapacity, b.Rear.Geometry.ScrewRange = 39, 1e-6
	r := mustRig(t, b)
	n := r.leastChain()
	least, gear := math.Inf(1), 0
	for i := range r.gears {
		if g := fixedBody(r, i, n); float64(g.Rearward) < least {
			least, gear = float64(g.Rearward), i
		}
	}
	variance := 0.0
	errors, big := inputErrors(b, r.Derailleur), r.bigBig()
	for in := Input(0); in < inputBody; in++ {
		const h = 1e-3
		up, down := r.nudged(in, h), r.nudged(in, -h)
		a, z := figuresAt(&up, gear, n, 0), figuresAt(&down, gear, n, 0)
		p, q := figuresAt(&up, big, n, 0), figuresAt(&down, big, n, 0)
		d := (a[figRearward] - z[figRearward] + p[figForward] - q[figForward]) / (2 * h)
		variance += d * d * errors[in] * errors[in]
	}
	c := r.Capacity()
	if !c.Known || c.Rated != 39 || c.Needed != 41 || c.Gear != r.gears[gear].id || math.Abs(c.Margin-2*least) > 1e-3 || math.Abs(c.Simulated-(41+2*least)) > 1e-3 {
		t.Errorf("%+v; least reserve %.3f in %s", c, least, r.gears[gear].id)
	}
	if want := 2 * math.Sqrt(variance); math.Abs(c.Error-want) > 0.01*want {
		t.Errorf("error %.4f teeth, differences give %.4f", c.Error, want)
	}
	if c := mustRig(t, closed()).Capacity(); c.Known || c.Simulated != 0 || c.Needed != 41 {
		t.Errorf("no path on big-big: %+v", c)
	}
}

// One chain for two rigs: from the later begin to the later end.
func TestBothSpan(t *testing.T) {
	first, second := marginBuilds()["measured"], marginBuilds()["measured"]
	second.Rings = []gearing.Teeth{26, 40}
	a, b := mustRig(t, first), mustRig(t, second)
	wa, wb, both := a.Window(), b.Window(), Both(a, b)
	if both.Counts[0].Pitches != max(wa.Counts[0].Pitches, wb.Counts[0].Pitches) || both.last() != max(wa.last(), wb.last()) {
		t.Errorf("%d to %d for both, %d to %d and %d to %d alone", both.Counts[0].Pitches, both.last(), wa.Counts[0].Pitches, wa.last(), wb.Counts[0].Pitches, wb.last())
	}
	odd := first
	odd.Chain.OffsetLink = true
	for _, c := range Both(mustRig(t, odd), b).Counts {
		if c.Pitches%2 != 0 {
			t.Errorf("%d pitches for a bike without an offset link", c.Pitches)
		}
	}
}
