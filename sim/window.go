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
	// Shortest is the shortest count with no gear tight or dangerous; 0 when
	// there is none.
	Shortest int `json:"shortest_without_danger_pitches"`
}

// mostCounts bounds a window; no drivetrain needs more.
const mostCounts = 60

// Window finds the states of every gear for every count from one that locks
// to some past the last that keeps every gear clear, and on to the first
// without a tight or dangerous gear. The B-screw is set anew for each count.
func (r *Rig) Window() Window {
	step := gearing.CountStep(r.Build.Chain)
	first, last := r.candidates()
	from := step * int(math.Floor((float64(first)-TightReserve-0.5)/float64(step)))
	must := max(first+longestCut, r.Build.Chain.Pitches)
	w, f := Window{}, r.newFit()
	for n, slack := max(from, 3), 0; len(w.Counts) < mostCounts; n += step {
		r.fit(float64(n), &f)
		w.add(CountStates{Pitches: n, States: f.states()})
		if f.Count(Slack) > 0 {
			slack++
		}
		if n >= must && slack > 2 && (w.Shortest > 0 || n >= last) || n >= 10000 {
			break
		}
	}
	return w
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
	if w.Shortest == 0 && worst < Tight {
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

// Counts looked at for a chain to cut, in pitches from the shortest that keeps
// the trade's reserve over the bare loop, and for one without danger at all.
const (
	longestCut = 8
	longestTry = 38
)

// candidates are the first and the last count among which a chain is looked for:
// no gear is tight with the first. It knows nothing of the cage.
func (r *Rig) candidates() (first, last int) {
	step := gearing.CountStep(r.Build.Chain)
	loop := 0.0
	for i := range r.gears {
		loop = max(loop, r.gears[i].loop)
	}
	first = step * int(math.Ceil((loop+TightReserve)/float64(step)-1e-9))
	return first, min(first+longestTry, 10000)
}

// Shortest finds the shortest count with no gear tight or dangerous, as
// Window.Shortest, without the whole window; 0 when there is none.
func (r *Rig) Shortest() int {
	step := gearing.CountStep(r.Build.Chain)
	first, last := r.candidates()
	f := r.newFit()
	for n := first; n <= last; n += step {
		if r.fit(float64(n), &f); f.Worst() < Tight {
			return n
		}
	}
	return 0
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
		a.fit(float64(n), &fa)
		b.fit(float64(n), &fb)
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

// capacity finds the simulated capacity from a fit: what is left rearward, and
// what the chain has over the least on the largest ring and cog. A tooth is half
// a pitch of take-up. Its error is the sample's.
func (r *Rig) capacity(j *judged) Capacity {
	f, c := &j.fit, Capacity{
		Rated: r.Build.Rear.RatedCapacity, Needed: gearing.CapacityNeeded(r.Build.Rings, r.Build.Cogs),
	}
	worst := -1
	for i := range f.Gears {
		if g := &f.Gears[i]; !g.NoPath && (worst < 0 || g.Rearward < f.Gears[worst].Rearward) {
			worst = i
		}
	}
	big := &f.Gears[r.bigBig()]
	if worst < 0 || big.NoPath {
		return c
	}
	c.Known = true
	c.Gear = f.Gears[worst].GearID
	c.Margin = TeethPerPitch * (float64(f.Gears[worst].Rearward) + overLeast(float64(big.Forward), float64(big.OverLoop)))
	c.Simulated = float64(c.Needed) + c.Margin
	c.Error = j.near.capacityError(j.place[r.bigBig()].k, float64(big.OverLoop), c.Margin)
	return c
}

// capacityError is the spread of the margin of capacity round the one shown; big
// is the place of the largest ring and cog.
func (s *sample) capacityError(big int, loop, margin float64) float64 {
	sum, weight := 0.0, 0.0
	for j, list := range s.figures {
		least := math.Inf(1)
		for k := range list {
			if !math.IsNaN(list[k].rearward) {
				least = min(least, list[k].rearward)
			}
		}
		fore := list[big].forward
		if math.IsNaN(fore) || math.IsInf(least, 0) {
			continue
		}
		d := TeethPerPitch*(least+overLeast(fore, loop)) - margin
		sum, weight = sum+s.weights[j]*d*d, weight+s.weights[j]
	}
	if weight == 0 {
		return 0
	}
	return math.Sqrt(sum / weight)
}

// overLeast is how much a chain has over the least that big-big may be left.
func overLeast(forward, loop float64) float64 { return min(forward-LeastReserve, loop-TightReserve) }

// bigBig is the index of the largest ring and cog.
func (r *Rig) bigBig() int { return len(r.gears) - len(r.Build.Cogs) }
