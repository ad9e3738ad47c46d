package sim

import (
	"math"

	"cagewise/gearing"
)

// CountStates are the states of all gears with one chain.
type CountStates struct {
	Pitches int     `json:"pitches"`
	States  []State `json:"states"` // in the order of gearing.Table.Gears
}

// Worst is the worst state.
func (c CountStates) Worst() State {
	worst := Clear
	for _, s := range c.States {
		worst = max(worst, s)
	}
	return worst
}

// Slack counts the slack gears.
func (c CountStates) Slack() int {
	n := 0
	for _, s := range c.States {
		if s == Slack {
			n++
		}
	}
	return n
}

// Window is what every chain length does.
type Window struct {
	Counts []CountStates `json:"counts"`
	// ClearFrom and ClearTo are the shortest and the longest count with which
	// every gear runs; 0 when there is none.
	ClearFrom int `json:"all_clear_from_pitches"`
	ClearTo   int `json:"all_clear_to_pitches"`
	// Recommended is the shortest count without a dangerous gear; 0 when no
	// count is without one.
	Recommended int `json:"recommended_pitches"`
}

// mostCounts bounds a window; no drivetrain needs more.
const mostCounts = 60

// Window finds the states of every gear for every count from one that locks
// to some past the last that keeps every gear clear. The B-screw is set anew
// for each count.
func (r *Rig) Window() Window {
	low, high := r.spread()
	step := gearing.CountStep(r.Build.Chain)
	first := step * int(math.Floor(low/float64(step)))
	last := min(step*int(math.Ceil(high/float64(step))), first+step*(mostCounts-1))
	w := Window{Counts: make([]CountStates, 0, (last-first)/step+1)}
	f := Fit{Gears: make([]GearFit, len(r.gears))}
	all := make([]State, 0, ((last-first)/step+1)*len(r.gears))
	for n := first; n <= last; n += step {
		r.fit(float64(n), nil, &f)
		from := len(all)
		for i := range f.Gears {
			all = append(all, f.Gears[i].State)
		}
		w.add(CountStates{Pitches: n, States: all[from:len(all):len(all)]})
	}
	return w
}

func (w *Window) add(c CountStates) {
	w.Counts = append(w.Counts, c)
	worst := c.Worst()
	if w.Recommended == 0 && !worst.Dangerous() {
		w.Recommended = c.Pitches
	}
	if worst.Runs() {
		w.ClearTo = c.Pitches
		if w.ClearFrom == 0 {
			w.ClearFrom = c.Pitches
		}
	}
}

// spread is the range of counts worth looking at: from the last that locks a
// gear to a few past the first that is too long for some gear and past the
// first without a dangerous one.
func (r *Rig) spread() (low, high float64) {
	low, high = 0, math.Inf(1)
	for i := range r.gears {
		g := &r.gears[i]
		for k := range r.places {
			t, ok := r.trainAt(g, k, 0)
			if !ok {
				continue
			}
			if l := r.limits(&t, nil); l.ok {
				low = max(low, l.atFront.pitches/r.stretch)
				high = min(high, l.atRear.pitches/r.stretch)
			}
		}
	}
	low = min(max(low, 4), 10000)
	high = min(max(high, low+LeastReserve+2), 10000)
	return low - 1, high + 4
}

// Find gives the states for a count; ok is false outside the window.
func (w Window) Find(n int) (c CountStates, ok bool) {
	for _, c := range w.Counts {
		if c.Pitches == n {
			return c, true
		}
	}
	return CountStates{}, false
}

// Both is the window of one chain that has to serve two builds, such as one
// bike with two wheels: counts both have, states of the first build's gears
// followed by the second's.
func Both(a, b Window) Window {
	var w Window
	for _, c := range a.Counts {
		if other, ok := b.Find(c.Pitches); ok {
			states := append(append([]State{}, c.States...), other.States...)
			w.add(CountStates{Pitches: c.Pitches, States: states})
		}
	}
	return w
}

// Capacity compares the rated with the simulated capacity.
type Capacity struct {
	Rated  gearing.Teeth `json:"rated_teeth"` // 0: not known
	Needed gearing.Teeth `json:"needed_teeth"`
	// Simulated is the capacity the cage takes up with the chain sized at
	// big-big with the least reserve and not a fraction of a pitch more.
	Simulated float64 `json:"simulated_teeth"`
	// Margin is Simulated less Needed, in teeth.
	Margin float64 `json:"margin_teeth"`
	// Error is the standard error of both.
	Error float64 `json:"error_teeth"`
	// Gear is the gear that decides: the first to hang slack.
	Gear gearing.GearID `json:"deciding_gear"`
}

// TeethPerPitch: a tooth more takes half a pitch of chain on a half-wrapped
// wheel (derived here).
const TeethPerPitch = 2

// Capacity finds the simulated capacity. A tooth of capacity is half a pitch
// of take-up, so the margin is twice the least rearward reserve.
func (r *Rig) Capacity() Capacity {
	c := Capacity{
		Rated: r.Build.Rear.RatedCapacity, Needed: gearing.CapacityNeeded(r.Build.Rings, r.Build.Cogs),
	}
	n := r.leastChain()
	f := Fit{Gears: make([]GearFit, len(r.gears))}
	tr := trace{gears: make([]gearTrace, len(r.gears))}
	r.fit(n, &tr, &f)
	m := r.margins(&tr)
	worst := 0
	for i := range f.Gears {
		if f.Gears[i].Rearward < f.Gears[worst].Rearward {
			worst = i
		}
	}
	big := r.bigBig()
	var d [inputs]float64 // a chain sized by hand moves both ends
	for in := range d {
		d[in] = m.by[worst][figRearward][in] + m.by[big][figForward][in]
	}
	c.Error = TeethPerPitch * m.spread(&d)
	c.Gear = f.Gears[worst].GearID
	c.Margin = TeethPerPitch * float64(f.Gears[worst].Rearward)
	c.Simulated = float64(c.Needed) + c.Margin
	return c
}

// bigBig is the index of the largest ring and cog.
func (r *Rig) bigBig() int { return len(r.gears) - len(r.Build.Cogs) }

// leastChain is the fraction of pitches that leaves the least reserve on the
// largest ring and cog. The B-screw moves the path a little, so a few rounds
// are needed.
func (r *Rig) leastChain() float64 {
	n, g := 0.0, r.bigBig()
	angle := 0.0
	for range 4 {
		n = 0
		for k := range r.places {
			t, ok := r.trainAt(&r.gears[g], k, angle)
			if !ok {
				continue
			}
			if l := r.limits(&t, nil); l.ok {
				n = max(n, l.atFront.pitches/r.stretch+LeastReserve)
			}
		}
		angle = r.setBody(n).angleOf(g)
	}
	return max(n, 3)
}
