package sim

import (
	"errors"
	"fmt"
	"math"

	"cagewise/gearing"
)

// CompareOptions says what builds are compared for. Zero fields take defaults.
type CompareOptions struct {
	CruiseKmH float64         // cruising speed; 0: 25
	Cadence   float64         // cadence at it; 0: the rider's upper cadence
	Hole      gearing.Percent // a step over this is a hole; 0: 15
}

// Defaults of a comparison (common practice, no source: 13 to 15 % is felt on
// the flat, 18 to 20 % is a hole).
const (
	defaultCruise                 = 25.0
	defaultHole   gearing.Percent = 15
)

// Option is one of the builds compared.
type Option struct {
	Build      gearing.Build      `json:"-"`
	Table      gearing.Table      `json:"table"`
	Recoveries []gearing.Recovery `json:"recoveries"`
	Rated      gearing.RatedFit   `json:"rated"`
	// Useful counts the different gears that are not lost.
	Useful int `json:"useful_gears"`
	// Simulated holds the states; nil when the geometry is not known, with
	// the reason in Missing.
	Simulated *Fit   `json:"simulated,omitempty"`
	Missing   string `json:"simulation_missing,omitempty"`
	// Knowledge is what the verdict rests on.
	Knowledge Knowledge `json:"derailleur_knowledge"`
	// Chain is the count to cut at: the simulated where there is one; 0 when
	// no chain closes any gear.
	Chain int `json:"chain_pitches"`
	// Verdict is the simulated or else the rated one, with Chain.
	Verdict gearing.Verdict `json:"verdict"`
	// Stays tells whether the chain of the first build can stay: no worse
	// verdict with it than with Chain.
	Stays bool `json:"todays_chain_stays"`
	Today int  `json:"todays_chain_pitches"` // 0: not known
	// WithToday is the verdict with that chain.
	WithToday gearing.Verdict  `json:"todays_chain_verdict"`
	Cruise    Cruise           `json:"cruise"`
	LostIDs   []gearing.GearID `json:"lost_gears"`
	rig       *Rig             // nil without a geometry
}

// Cruise is the gear ridden at the cruising speed.
type Cruise struct {
	gearing.GearID
	Cadence float64 `json:"cadence_rpm"`
	// Down and Up are the steps to the neighbours on the cassette; Holes
	// tells that one of them is a hole.
	Down gearing.Percent `json:"step_to_larger_cog_percent"`
	Up   gearing.Percent `json:"step_to_smaller_cog_percent"`
	Hole bool            `json:"hole"`
	// LineAngle is the slant of the chain in it.
	LineAngle gearing.Degrees `json:"chain_line_angle_deg"`
}

// Comparison sets builds side by side; the first is today's.
type Comparison struct {
	CruiseKmH float64         `json:"cruise_km_h"`
	Cadence   float64         `json:"cadence_rpm"`
	Hole      gearing.Percent `json:"hole_percent"`
	Options   []Option        `json:"options"`
}

// MostOptions bounds a comparison.
const MostOptions = 12

// ErrCompare tells that there is nothing to compare, or too much.
var ErrCompare = errors.New("a comparison takes 1 to 12 builds")

// Compare computes builds side by side, the first being today's.
func Compare(builds []gearing.Build, o CompareOptions) (Comparison, error) {
	if len(builds) == 0 || len(builds) > MostOptions {
		return Comparison{}, ErrCompare
	}
	c := Comparison{CruiseKmH: orElse(o.CruiseKmH, defaultCruise), Hole: orElse(o.Hole, defaultHole), Cadence: o.Cadence}
	if c.Cadence == 0 {
		c.Cadence = orElse(builds[0].Rider.CadenceHigh, gearing.DefaultCadenceHigh)
	}
	for i, b := range builds {
		opt, err := c.option(b)
		if err != nil {
			return Comparison{}, fmt.Errorf("build %d: %w", i+1, err)
		}
		c.Options = append(c.Options, opt)
	}
	return c, c.keepChain(builds[0].Chain.Pitches)
}

func (c *Comparison) option(b gearing.Build) (Option, error) {
	b.Chain.Pitches = 0 // every option is judged with its own chain
	t, err := gearing.NewTable(b, gearing.TableOptions{})
	if err != nil {
		return Option{}, err
	}
	o := Option{Build: b, Table: t, Recoveries: t.Recoveries()}
	if o.Rated, err = gearing.NewRatedFit(b); err != nil {
		return Option{}, err
	}
	o.Chain, o.Verdict = o.Rated.Lengths.Recommended, o.Rated.Verdict
	if err := o.simulate(); err != nil {
		return Option{}, err
	}
	o.count()
	o.Cruise = o.cruise(c)
	return o, nil
}

// simulate judges the option with its recommended chain. Without a geometry the
// rating stands; one that cannot be is an error.
func (o *Option) simulate() error {
	r, err := NewRig(o.Build)
	if errors.Is(err, ErrNoGeometry) || errors.Is(err, gearing.ErrNoChainstay) {
		o.Missing = err.Error()
		return nil
	} else if err != nil {
		return err
	}
	o.rig = r
	n, f, _ := r.Recommended()
	o.Chain, o.Verdict, o.Simulated, o.Knowledge = n, f.verdict(), &f, r.Derailleur.Knowledge
	if o.Knowledge == Typical && f.onlyFouls() {
		o.Verdict = gearing.CannotTell
	}
	for i := range f.Gears {
		o.Table.Gears[i].Lost = !f.Gears[i].State.Runs()
	}
	return nil
}

// Recommended finds the shortest count without a dangerous gear and its fit,
// without computing the whole window. ok is false when there is none: then it
// is the shortest count whose worst gear is least bad, or 0 when no gear has a
// path.
func (r *Rig) Recommended() (n int, f Fit, ok bool) {
	step := gearing.CountStep(r.Build.Chain)
	first, last := r.candidates()
	best := Fit{Gears: make([]GearFit, len(r.gears))}
	if first == 0 {
		r.fit(3, nil, &best)
		return 0, best, false
	}
	for n := first; n <= last; n += step {
		f := Fit{Pitches: n, Gears: make([]GearFit, len(r.gears))}
		r.fit(float64(n), nil, &f)
		f.Pitches = n
		worst := f.Worst()
		if !worst.Dangerous() {
			return n, f, true
		}
		if best.Pitches == 0 || worst < best.Worst() {
			best = f
		}
	}
	return best.Pitches, best, false
}

func (o *Option) count() {
	seen := map[int]bool{}
	o.LostIDs = []gearing.GearID{}
	for _, g := range o.Table.Gears {
		if g.Lost {
			o.LostIDs = append(o.LostIDs, gearing.GearID{Ring: g.Ring, Cog: g.Cog})
			continue
		}
		seen[g.Group] = true
	}
	o.Useful = len(seen)
}

// cruise finds the gear nearest to the cruising speed at the cadence, the
// straighter chain where two are equally near.
func (o *Option) cruise(c *Comparison) Cruise {
	wanted := c.CruiseKmH * 1000 / 60 / c.Cadence // m a crank turn
	best, least := -1, math.Inf(1)
	for i, g := range o.Table.Gears {
		miss := math.Abs(math.Log(float64(g.Development)/wanted)) + 1e-4*math.Abs(float64(o.Rated.Line.Gears[i].Angle))
		if !g.Lost && miss < least {
			best, least = i, miss
		}
	}
	if best < 0 {
		return Cruise{}
	}
	g := o.Table.Gears[best]
	return Cruise{
		GearID:  gearing.GearID{Ring: g.Ring, Cog: g.Cog},
		Cadence: c.CruiseKmH * 1000 / 60 / float64(g.Development),
		Down:    g.StepToLargerCog, Up: g.StepToSmallerCog,
		Hole:      g.StepToLargerCog > c.Hole || g.StepToSmallerCog > c.Hole,
		LineAngle: o.Rated.Line.Gears[best].Angle,
	}
}

// keepChain judges every option with the chain of today.
func (c *Comparison) keepChain(pitches int) error {
	if pitches == 0 {
		return nil
	}
	for i := range c.Options {
		o := &c.Options[i]
		o.Today = pitches
		b := o.Build
		b.Chain.Pitches = pitches
		if o.Simulated == nil {
			f, err := gearing.NewRatedFit(b)
			if err != nil {
				return err
			}
			o.WithToday = f.Verdict
			o.Stays = f.Owned.State == gearing.OwnedLongEnough && f.Verdict <= o.Verdict
			continue
		}
		r := o.rig
		if b.Chain.Elongation != 0 { // a worn chain is another rig
			var err error
			if r, err = NewRig(b); err != nil {
				return err
			}
		}
		f, err := r.Fit(pitches)
		if err != nil {
			return err
		}
		o.WithToday = f.verdict()
		o.Stays = o.WithToday <= o.Verdict
	}
	return nil
}
