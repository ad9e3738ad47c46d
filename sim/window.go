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
	// Shortest is the shortest count without a dangerous gear; 0 when no count
	// is without one.
	Shortest int `json:"shortest_without_danger_pitches"`
}

// mostCounts bounds a window; no drivetrain needs more.
const mostCounts = 60

// Window finds the states of every gear for every count from one that locks
// to some past the last that keeps every gear clear, and on to the first
// without a dangerous gear. The B-screw is set anew for each count.
func (r *Rig) Window() Window {
	low, high := r.spread()
	step := gearing.CountStep(r.Build.Chain)
	first := step * int(math.Floor(low/float64(step)))
	last := min(step*int(math.Ceil(high/float64(step))), first+step*(mostCounts-1))
	w := Window{Counts: make([]CountStates, 0, (last-first)/step+1)}
	f := r.newFit()
	all := make([]State, 0, ((last-first)/step+1)*len(r.gears))
	for n := first; n <= last; n += step {
		r.fit(float64(n), nil, &f)
		from := len(all)
		for i := range f.Gears {
			all = append(all, f.Gears[i].State)
		}
		w.add(CountStates{Pitches: n, States: all[from:len(all):len(all)]})
	}
	if w.Shortest == 0 {
		r.extend(&w, last+step)
	}
	return w
}

// extend goes on from a count to the first without a dangerous gear, if the
// candidates hold one.
func (r *Rig) extend(w *Window, from int) {
	step := gearing.CountStep(r.Build.Chain)
	_, reach := r.candidates()
	f := r.newFit()
	for n := from; n <= reach && w.Shortest == 0; n += step {
		r.fit(float64(n), nil, &f)
		w.add(CountStates{Pitches: n, States: f.states()})
	}
}

// add takes the next longer count in. Counts that run in every gear need not be
// neighbours, as a guide pulley may run into a cog in between; the shortest
// unbroken run of them is the one that counts.
func (w *Window) add(c CountStates) {
	before := 0
	if n := len(w.Counts); n > 0 {
		before = w.Counts[n-1].Pitches
	}
	w.Counts = append(w.Counts, c)
	worst := c.Worst()
	if w.Shortest == 0 && !worst.Dangerous() {
		w.Shortest = c.Pitches
	}
	switch {
	case !worst.Runs():
	case w.ClearFrom == 0:
		w.ClearFrom, w.ClearTo = c.Pitches, c.Pitches
	case w.ClearTo == before:
		w.ClearTo = c.Pitches
	}
}

// spread is the range of counts worth looking at: from the last that locks a
// gear to a few past the first that is too long for some gear.
func (r *Rig) spread() (low, high float64) {
	low, high = 0, math.Inf(1)
	for i := range r.gears {
		for k := range r.places {
			t, ok := r.trainAt(&r.gears[i], k, 0)
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

// candidateSteps is how many counts are tried for one without danger.
const candidateSteps = 20

// candidates are the counts among which the recommended one is looked for: from
// the shortest that leaves big-big its least reserve. Both are 0 when no gear
// has a path.
func (r *Rig) candidates() (first, last int) {
	step := gearing.CountStep(r.Build.Chain)
	low := r.leastChain()
	if low == 0 {
		return 0, 0
	}
	first = step * int(math.Ceil(low/float64(step)-1e-9))
	return first, min(first+(candidateSteps-1)*step, 10000)
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

// Both is the window of one chain that has to serve two rigs, such as one bike
// with two wheels: states of the first rig's gears followed by the second's.
func Both(a, b *Rig) Window {
	step := max(gearing.CountStep(a.Build.Chain), gearing.CountStep(b.Build.Chain))
	wa, wb := a.Window(), b.Window()
	first := max(wa.Counts[0].Pitches, wb.Counts[0].Pitches)
	first += first % step
	last := max(wa.last(), wb.last())
	fa, fb := a.newFit(), b.newFit()
	var w Window
	for n := first; n <= last; n += step {
		a.fit(float64(n), nil, &fa)
		b.fit(float64(n), nil, &fb)
		w.add(CountStates{Pitches: n, States: append(fa.states(), fb.states()...)})
	}
	return w
}

func (w Window) last() int { return w.Counts[len(w.Counts)-1].Pitches }

func (f Fit) states() []State {
	list := make([]State, len(f.Gears))
	for i := range f.Gears {
		list[i] = f.Gears[i].State
	}
	return list
}

// Capacity compares the rated with the simulated capacity.
type Capacity struct {
	Rated  gearing.Teeth `json:"rated_teeth"` // 0: not known
	Needed gearing.Teeth `json:"needed_teeth"`
	// Simulated is the capacity the cage takes up with the chain sized at
	// big-big with the least reserve and not a fraction of a pitch more.
	Simulated float64 `json:"simulated_teeth"`
	// Known is false when no path closes on the largest ring and cog: the
	// capacity cannot be found then.
	Known bool `json:"known"`
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
	if n == 0 {
		return c
	}
	f, tr := r.newFit(), r.newTrace()
	r.fit(n, &tr, &f)
	m := r.margins(&tr)
	worst, big := -1, r.bigBig()
	for i := range f.Gears {
		if g := &f.Gears[i]; !g.NoPath && (worst < 0 || g.Rearward < f.Gears[worst].Rearward) {
			worst = i
		}
	}
	if worst < 0 || f.Gears[big].NoPath {
		return c
	}
	c.Known = true
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
// largest ring and cog, or where that has no path on the gear that asks most;
// 0 when no gear has a path. The B-screw moves the path a little, so a few
// rounds are needed.
func (r *Rig) leastChain() float64 {
	n, angle, big := 0.0, 0.0, r.bigBig()
	for range 4 {
		n = r.leastFor(r.gears[big:big+1], angle)
		if n == 0 {
			n = r.leastFor(r.gears, angle)
		}
		if n == 0 {
			return 0
		}
		before := angle
		if angle = r.setBody(n).angleOf(big); math.Abs(angle-before) < settled {
			break
		}
	}
	return max(n, 3)
}

// settled is a change of the body's angle, in radians, that moves the path by
// no more than 1e-4 pitch.
const settled = 1e-4

// leastFor is the fraction of pitches that leaves the least reserve on every
// one of some gears that has a path; 0 when none has.
func (r *Rig) leastFor(gears []gear, body float64) float64 {
	n := 0.0
	for i := range gears {
		for k := range r.places {
			t, ok := r.trainAt(&gears[i], k, body)
			if !ok {
				continue
			}
			if l := r.limits(&t, nil); l.ok {
				n = max(n, l.atFront.pitches/r.stretch+LeastReserve)
			}
		}
	}
	return n
}
