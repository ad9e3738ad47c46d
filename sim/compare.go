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
	// Advice is the judgement that every other view gives of the build: with the
	// chain there is where that is its own or stays, else as Fresh. Fresh judges
	// it with a new chain of its own, Kept with the chain there is; Kept has no
	// gears where none is known.
	Advice Advice `json:"advice"`
	Fresh  Advice `json:"new_chain_advice"`
	Kept   Advice `json:"todays_chain_advice"`
	// Missing says why nothing was simulated.
	Missing string `json:"simulation_missing,omitempty"`
	// Knowledge is what the verdict rests on.
	Knowledge Knowledge `json:"derailleur_knowledge"`
	// Chain is the length to have, Advice's.
	Chain int `json:"chain_pitches"`
	// Verdict is Advice's, with Chain.
	Verdict gearing.Verdict `json:"verdict"`
	// Stays tells whether the chain there is can stay, the build's own or else
	// the first build's: it is not too short, and the verdict is a yes or else no
	// worse than with a new one.
	Stays bool `json:"todays_chain_stays"`
	Today int  `json:"todays_chain_pitches"` // 0: not known
	// Dangerous holds the gears that are dangerous with it.
	Dangerous []gearing.GearID `json:"todays_chain_dangerous_gears"`
	// WithToday is the verdict with that chain.
	WithToday gearing.Verdict `json:"todays_chain_verdict"`
	// TodayLost holds the gears to keep out of with that chain.
	TodayLost []gearing.GearID `json:"todays_chain_lost_gears"`
	Cruise    Cruise           `json:"cruise"`
	LostIDs   []gearing.GearID `json:"lost_gears"`
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
	// Near counts the gears about as near to the cruising speed, NearHoles
	// those of them beside a hole: what is said of holes is sure when all or
	// none of them are.
	Near      int `json:"gears_about_as_near"`
	NearHoles int `json:"of_them_beside_a_hole"`
	// LineAngle is the slant of the chain in it.
	LineAngle gearing.Degrees `json:"chain_line_angle_deg"`
}

// AllHoles tells that every gear about as near stands beside a hole.
func (c Cruise) AllHoles() bool { return c.Near > 0 && c.NearHoles == c.Near }

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
	studies := make([]*Study, len(builds))
	var like *Rig
	for i, b := range builds {
		s, err := NewStudyLike(like, b, gearing.TableOptions{})
		if err != nil {
			return Comparison{}, fmt.Errorf("build %d: %w", i+1, err)
		}
		if s.Rig != nil {
			like = s.Rig
		}
		studies[i] = s
	}
	return CompareStudies(studies, o)
}

// CompareStudies does so with builds that have been studied, the first being
// today's.
func CompareStudies(studies []*Study, o CompareOptions) (Comparison, error) {
	if len(studies) == 0 || len(studies) > MostOptions {
		return Comparison{}, ErrCompare
	}
	c := Comparison{CruiseKmH: orElse(o.CruiseKmH, defaultCruise), Hole: orElse(o.Hole, defaultHole), Cadence: o.Cadence}
	if c.Cadence == 0 {
		c.Cadence = orElse(studies[0].Build.Rider.CadenceHigh, gearing.DefaultCadenceHigh)
	}
	for i, s := range studies {
		opt, err := c.option(s, studies[0].Build.Chain)
		if err != nil {
			return Comparison{}, fmt.Errorf("build %d: %w", i+1, err)
		}
		c.Options = append(c.Options, opt)
	}
	return c, nil
}

// option is a studied build, and what it does with the chain there is: its own,
// or else today's.
func (c *Comparison) option(s *Study, today gearing.Chain) (Option, error) {
	if s.Rated == nil {
		return Option{}, s.Missing
	}
	o := Option{
		Build: s.Build, Recoveries: s.Table.Recoveries(), Rated: *s.Rated, Fresh: s.Advice,
		Dangerous: []gearing.GearID{}, TodayLost: []gearing.GearID{},
	}
	if s.Missing != nil {
		o.Missing = s.Missing.Error()
	}
	o.take(c, s)
	own := s.Build.Chain.Pitches > 0
	switch {
	case own:
		if err := o.keep(s, s); err != nil {
			return Option{}, err
		}
	case today.Pitches > 0:
		kept, err := s.with(today)
		if err != nil {
			return Option{}, err
		}
		if err := o.keep(kept, s); err != nil {
			return Option{}, err
		}
		if o.Stays {
			o.take(c, kept)
		}
	}
	return o, nil
}

// with is the study of the same build with another chain.
func (s *Study) with(chain gearing.Chain) (*Study, error) {
	b := s.Build
	b.Chain = chain
	return NewStudyLike(s.Rig, b, gearing.TableOptions{})
}

// keep judges an option with a chain that is there, and where that does not do
// with a new one; fresh is the study of it with its own.
func (o *Option) keep(kept, fresh *Study) error {
	a := &kept.Advice
	o.Kept, o.Today, o.WithToday = *a, kept.Build.Chain.Pitches, a.Verdict
	if kept == fresh && (a.Order != Stay || !a.Verdict.Yes()) {
		again, err := kept.with(gearing.Chain{OffsetLink: kept.Build.Chain.OffsetLink})
		if err != nil {
			return err
		}
		fresh = again
	}
	o.Fresh = fresh.Advice
	o.Stays = a.Order == Stay && (a.Verdict.Yes() || a.Verdict <= o.Fresh.Verdict)
	o.Dangerous = append(o.Dangerous, a.Dangerous()...)
	for i := range a.Gears {
		if g := &a.Gears[i]; g.KeepOut() || !g.State.Runs() {
			o.TodayLost = append(o.TodayLost, g.GearID)
		}
	}
	return nil
}

// take judges the option as a study does.
func (o *Option) take(c *Comparison, s *Study) {
	o.Table, o.Advice = s.Table, s.Advice
	o.Chain, o.Verdict, o.Knowledge = s.Advice.Length, s.Advice.Verdict, s.Advice.Knowledge
	o.count()
	o.Cruise = o.cruise(c)
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

// How far a development may lie from the nearest and still be about as near, as
// a logarithm, and what weighs against it (invented here): a degree of slant and
// a cog at the end of the cassette are worth about 1 % of cadence each.
const (
	aboutAsNear = 0.03
	perDegree   = 0.01
	perEndCog   = 0.01
)

// cruise finds the gear for the cruising speed at the cadence: the nearest, but
// of those about as near the one with the straighter chain.
func (o *Option) cruise(c *Comparison) Cruise {
	wanted := c.CruiseKmH * 1000 / 60 / c.Cadence // m a crank turn
	best, least, nearest := -1, math.Inf(1), math.Inf(1)
	for i := range o.Table.Gears {
		if o.Table.Gears[i].Lost {
			continue
		}
		miss := o.missOf(i, wanted)
		nearest = min(nearest, miss)
		if cost := miss + o.slantCost(i); cost < least {
			least, best = cost, i
		}
	}
	if best < 0 {
		return Cruise{}
	}
	g := o.Table.Gears[best]
	cr := Cruise{
		GearID:  gearing.GearID{Ring: g.Ring, Cog: g.Cog},
		Cadence: c.CruiseKmH * 1000 / 60 / float64(g.Development),
		Down:    g.StepToLargerCog, Up: g.StepToSmallerCog,
		Hole:      c.holeAt(&g),
		LineAngle: o.Rated.Line.Gears[best].Angle,
	}
	for i := range o.Table.Gears {
		if g := &o.Table.Gears[i]; !g.Lost && o.missOf(i, wanted) <= nearest+aboutAsNear {
			cr.Near++
			if c.holeAt(g) {
				cr.NearHoles++
			}
		}
	}
	return cr
}

func (o *Option) missOf(i int, wanted float64) float64 {
	return math.Abs(math.Log(float64(o.Table.Gears[i].Development) / wanted))
}

func (o *Option) slantCost(i int) float64 {
	cost := perDegree * math.Abs(float64(o.Rated.Line.Gears[i].Angle))
	cogs := o.Table.Cogs
	if g := &o.Table.Gears[i]; len(cogs) > 2 && (g.Cog == cogs[0] || g.Cog == cogs[len(cogs)-1]) {
		cost += perEndCog
	}
	return cost
}

func (c *Comparison) holeAt(g *gearing.Gear) bool {
	return g.StepToLargerCog > c.Hole || g.StepToSmallerCog > c.Hole
}
