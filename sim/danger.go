package sim

import (
	"math"

	"cagewise/gearing"
)

// Bounds of a chance of danger (invented here): from DoubtfulChance a gear is
// named as doubtful, under SafeChance a longer chain is called safer.
const (
	DoubtfulChance = 0.10
	SafeChance     = 0.05
)

// Danger is the chance that gear i is dangerous, for normal errors: less than
// the least reserve before the cage's forward limit, or the guide pulley in the
// cog. It is 1 for a gear without a path. With typical geometry the gap counts
// only as computed: makers shape a derailleur so that its pulley follows the
// cogs, which the wide errors of an invented one know nothing of.
func (m *Margins) Danger(f Fit, i int) float64 {
	g := &f.Gears[i]
	if g.NoPath {
		return 1
	}
	d := g.distances()
	gapError := m.error(i, figGap)
	if m.typical {
		gapError = 0
	}
	return max(chanceUnder(d[figForward], m.error(i, figForward)), chanceUnder(d[figGap], gapError))
}

// chanceUnder is the chance that a normal value with a mean and a standard
// error is under 0.
func chanceUnder(mean, e float64) float64 {
	if e == 0 {
		if mean < 0 {
			return 1
		}
		return 0
	}
	return 0.5 * math.Erfc(mean/e/math.Sqrt2)
}

// Risk is the gear most at risk with a chain.
type Risk struct {
	gearing.GearID
	// Chance that it is dangerous, 0 to 1.
	Chance float64 `json:"chance_of_danger"`
}

// Risk finds the gear most at risk with a chain of n pitches, 3 to 10,000.
func (r *Rig) Risk(n int) (Risk, error) {
	f, m, err := r.Margins(n)
	if err != nil {
		return Risk{}, err
	}
	return m.risk(f), nil
}

func (m *Margins) risk(f Fit) Risk {
	worst := Risk{Chance: -1}
	for i := range f.Gears {
		if c := m.Danger(f, i); c > worst.Chance {
			worst = Risk{f.Gears[i].GearID, c}
		}
	}
	return worst
}

// Safer is a longer chain that takes the doubt away.
type Safer struct {
	Pitches int `json:"pitches"` // 0: none is needed, or none is safer
	Risk
	// Slack holds the gears that hang slack with it.
	Slack []gearing.GearID `json:"slack_gears"`
}

// saferSteps is how many longer counts are looked at; more would only bring
// slack.
const saferSteps = 3

// safer looks for the shortest longer chain whose chance of danger is small.
func (r *Rig) safer(n int, now Risk) Safer {
	if now.Chance < DoubtfulChance {
		return Safer{Slack: []gearing.GearID{}}
	}
	step := gearing.CountStep(r.Build.Chain)
	for k := 1; k <= saferSteps; k++ {
		f, m, err := r.Margins(n + k*step)
		if err != nil || f.Worst().Dangerous() {
			continue
		}
		if risk := m.risk(f); risk.Chance < SafeChance {
			return Safer{Pitches: f.Pitches, Risk: risk, Slack: f.inState(Slack)}
		}
	}
	return Safer{Slack: []gearing.GearID{}}
}

// Dangerous lists the gears that lock, overstretch or foul.
func (f Fit) Dangerous() []gearing.GearID {
	return f.where(State.Dangerous)
}

// inState lists the gears in a state.
func (f Fit) inState(s State) []gearing.GearID {
	return f.where(func(state State) bool { return state == s })
}

// where lists the gears whose state is one of those wanted.
func (f Fit) where(wanted func(State) bool) []gearing.GearID {
	list := []gearing.GearID{}
	for i := range f.Gears {
		if wanted(f.Gears[i].State) {
			list = append(list, f.Gears[i].GearID)
		}
	}
	return list
}
