package sim

import (
	"math"

	"cagewise/gearing"
)

// Answer is the simulated judgement of a build with one chain.
type Answer struct {
	Verdict gearing.Verdict `json:"verdict"`
	// Knowledge is the depth the answer rests on.
	Knowledge Knowledge `json:"derailleur_knowledge"`
	// Pitches is the chain judged: the one owned, or the recommended.
	Pitches int  `json:"pitches"`
	Owned   bool `json:"owned"`
	// Recommended is the count to cut a chain to, as Rig.Recommended; 0 when
	// no count is without a dangerous gear.
	Recommended int          `json:"recommended_pitches"`
	Fit         Fit          `json:"fit"`
	Margins     []GearMargin `json:"margins"` // in the order of Fit.Gears
	Window      Window       `json:"window"`
	Cap         Capacity     `json:"capacity"`
	// Doubt is the gear most at risk with the shortest chain without a dangerous
	// gear, where a longer one is recommended for it.
	Doubt Risk `json:"shortest_chain_risk"`
	// Weakest is the figure that would turn the verdict soonest.
	Weakest Weakest `json:"weakest"`
	// Risk is the gear most likely to be dangerous with this chain, Safer a
	// longer chain that takes the doubt away.
	Risk  Risk  `json:"risk"`
	Safer Safer `json:"safer_chain"`
	// FailsFirst is what gives way when the gears are made wider still.
	FailsFirst End `json:"fails_first"`
	// Gain is what one more ruler measurement would do.
	Gain Gain `json:"next_measurement"`
}

// End of the chain's window.
type End int

// The two ends.
const (
	DangerousEnd End = iota // too little chain
	NoisyEnd                // too much chain
)

// String is the end in words.
func (e End) String() string {
	if e == DangerousEnd {
		return "the dangerous end"
	}
	return "the noisy end"
}

// MarshalText gives JSON the words.
func (e End) MarshalText() ([]byte, error) { return []byte(e.String()), nil }

// Weakest is the figure nearest to turning the verdict, in standard errors.
type Weakest struct {
	gearing.GearID
	Figure string `json:"figure"`
	Unit   string `json:"unit"`
	// Value is the figure's distance from its bound, Error its standard
	// error; the verdict turns when the true value has the other sign.
	Value float64 `json:"distance_from_bound"`
	Error float64 `json:"error"`
	// Chance of that, 0 to 1, for a normal error.
	Chance float64 `json:"chance_of_flip"`
	// Soonest is the input that would turn it by the smallest number of its
	// own standard errors, at most ten (ChangeUnit is empty when none would),
	// Change how much of it does.
	Soonest Input   `json:"soonest_input"`
	Change  float64 `json:"soonest_change"`
	// ChangeUnit is mm or degrees.
	ChangeUnit string `json:"soonest_unit"`
	ok         bool
}

// Known is false when nothing carries an error.
func (w Weakest) Known() bool { return w.ok }

// Gain is the input whose measurement would narrow the weakest figure most.
type Gain struct {
	Input Input `json:"input"`
	// Error is what the weakest figure's standard error would come down to.
	Error float64 `json:"error_after"`
	Helps bool    `json:"helps"` // false: everything has been measured
}

// Judge computes the whole answer. Errors are those of NewRig.
func Judge(b gearing.Build) (Answer, error) {
	r, err := NewRig(b)
	if err != nil {
		return Answer{}, err
	}
	return r.Answer()
}

// Answer judges the chain owned, or the recommended one.
func (r *Rig) Answer() (Answer, error) {
	a := Answer{Knowledge: r.Derailleur.Knowledge, Window: r.Window(), Cap: r.Capacity()}
	a.Pitches, a.Owned = r.Build.Chain.Pitches, r.Build.Chain.Pitches > 0
	n, _, ok := r.Recommended()
	if ok {
		a.Recommended = n
	}
	if !a.Owned {
		a.Pitches = n
	}
	if a.Pitches == 0 { // nothing closes, whatever the chain
		a.Pitches = a.Window.Counts[0].Pitches
	}
	a.Pitches = max(a.Pitches, 3)
	f, m, err := r.Margins(a.Pitches)
	if err != nil {
		return Answer{}, err
	}
	a.Fit, a.Margins = f, m.Gears
	a.Verdict = f.Verdict()
	if a.Knowledge == Typical && f.onlyFouls() {
		a.Verdict = gearing.CannotTell // the pivot that decides it is invented
	}
	a.Weakest = m.weakest(f)
	a.Risk = m.risk(f)
	a.Safer = r.safer(a.Pitches, a.Risk)
	if a.Recommended > a.Window.Shortest {
		if a.Doubt, err = r.Risk(a.Window.Shortest); err != nil {
			return Answer{}, err
		}
	}
	a.FailsFirst = f.failsFirst()
	a.Gain = m.gain(f, a.Weakest)
	return a, nil
}

// onlyFouls tells that a build fails by nothing but the guide pulley in the cog,
// or that no path closes for it.
func (f Fit) onlyFouls() bool {
	fouls := false
	for i := range f.Gears {
		g := &f.Gears[i]
		fouls = fouls || g.State == Fouls || g.NoPath
		if g.State > Fouls && !g.NoPath {
			return false
		}
	}
	return fouls
}

// Verdict turns the states into one word.
func (f Fit) Verdict() gearing.Verdict {
	slack := f.Count(Slack)
	switch {
	case f.Worst().Dangerous(), slack == len(f.Gears):
		return gearing.DoesNotWork
	case slack > 0:
		return gearing.WorksWithout
	}
	return gearing.Works
}

// failsFirst compares what is left at either end, both in pitches.
func (f Fit) failsFirst() End {
	forward, rearward := math.Inf(1), math.Inf(1)
	for i := range f.Gears {
		if f.Gears[i].NoPath {
			continue
		}
		forward = min(forward, float64(f.Gears[i].Forward)-LeastReserve)
		rearward = min(rearward, float64(f.Gears[i].Rearward))
	}
	if forward < rearward {
		return DangerousEnd
	}
	return NoisyEnd
}

// distances are how far a gear's figures are from the bounds that decide its
// state, positive on the good side.
func (g *GearFit) distances() [figures]float64 {
	return [figures]float64{float64(g.Forward) - LeastReserve, float64(g.Rearward), float64(g.Gap) - FoulGap}
}

// weakest looks for the figure that turns the verdict soonest: any figure of a
// build that works; the figures that fail in one that does not; and where gears
// are only slack, the nearer of what mends them and what makes a gear
// dangerous.
func (m *Margins) weakest(f Fit) Weakest {
	var best Weakest
	least := math.Inf(1)
	worst := f.Worst()
	for i := range f.Gears {
		g := &f.Gears[i]
		if g.NoPath {
			continue
		}
		for k, dist := range g.distances() {
			e := m.error(i, figure(k))
			if e < leastError || !turns(worst, figure(k), dist) {
				continue
			}
			z := math.Abs(dist) / e
			if worst.Dangerous() {
				z = -z // to mend a build, its worst figure has to turn
			}
			if z < least {
				least = z
				best = m.describe(f, i, figure(k), dist, e)
			}
		}
	}
	return best
}

// leastError is the error under which a figure counts as fixed: the gap that
// was set, a cage held by the cog it touches.
const leastError = 1e-6

// turns tells whether a figure at a distance from its bound could turn a
// verdict whose worst gear is in a state.
func turns(worst State, k figure, dist float64) bool {
	switch {
	case worst >= Overstretched:
		return k == figForward && dist < 0
	case worst == Fouls:
		return k == figGap && dist < 0
	case worst == Slack && k == figRearward:
		return dist < 0
	}
	return true
}

func (m Margins) error(i int, k figure) float64 {
	switch k {
	case figForward:
		return float64(m.Gears[i].Forward)
	case figRearward:
		return float64(m.Gears[i].Rearward)
	}
	return float64(m.Gears[i].Gap)
}

func (m *Margins) describe(f Fit, i int, k figure, dist, e float64) Weakest {
	w := Weakest{
		GearID: f.Gears[i].GearID, Figure: figureWords[k], Unit: "pitches",
		Value: dist, Error: e, Chance: 0.5 * math.Erfc(math.Abs(dist)/e/math.Sqrt2), ok: true,
	}
	if k == figGap {
		w.Unit = "mm"
	}
	least := mostErrors
	for in := range inputs {
		slope, left := m.pull(&m.by[i][k], in)
		if slope == 0 || left == 0 || in == inputBody {
			continue
		}
		if change := -dist / slope; math.Abs(change)/left < least {
			least = math.Abs(change) / left
			w.Soonest, w.Change, w.ChangeUnit = in, change, in.Unit()
		}
	}
	return w
}

// mostErrors is how many of its own standard errors an input may be off and
// still be named as what turns a verdict; more would be no measure of anything.
const mostErrors = 10.0

// gain finds the input that is still typical and would narrow the weakest
// figure most when measured.
func (m *Margins) gain(f Fit, w Weakest) Gain {
	var best Gain
	if !w.ok {
		return best
	}
	i, k := 0, figForward
	for j := range f.Gears {
		if f.Gears[j].GearID == w.GearID {
			i = j
		}
	}
	for j, word := range figureWords {
		if word == w.Figure {
			k = figure(j)
		}
	}
	best.Error = w.Error
	for in := range inputs {
		if m.errors[in] <= measuredError[in] || in == inputBody {
			continue
		}
		measured := *m
		measured.errors[in] = measuredError[in]
		if e := measured.spread(&m.by[i][k]); e < best.Error && e < 0.95*w.Error { // less would not be worth the ruler
			best = Gain{Input: in, Error: e, Helps: true}
		}
	}
	return best
}
