package sim

import (
	"errors"
	"fmt"
	"math"
	"slices"

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
	// Lowered is how far an invented cage pivot was moved down.
	Lowered gearing.MM `json:"pivot_lowered_mm"`
	// Chain is the count to cut at: the simulated where there is one; 0 when
	// no chain closes any gear.
	Chain int `json:"chain_pitches"`
	// Verdict is the simulated or else the rated one, with Chain.
	Verdict gearing.Verdict `json:"verdict"`
	// Stays tells whether the chain there is can stay, the build's own or else
	// the first build's: no worse verdict with it than with Chain.
	Stays bool `json:"todays_chain_stays"`
	Today int  `json:"todays_chain_pitches"` // 0: not known
	// Dangerous holds the gears that lock, overstretch or foul with it.
	Dangerous []gearing.GearID `json:"todays_chain_dangerous_gears"`
	// WithToday is the verdict with that chain.
	WithToday gearing.Verdict `json:"todays_chain_verdict"`
	// TodayRisk is the gear most at risk with that chain, where it is shorter than
	// Chain and may stay: it is in doubt from DoubtfulChance on.
	TodayRisk Risk `json:"todays_chain_risk"`
	// TodayLost holds the gears that do not run with that chain.
	TodayLost []gearing.GearID `json:"todays_chain_lost_gears"`
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
	return c, c.keepChain(builds)
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
	o.Chain, o.Verdict, o.Simulated, o.Knowledge = n, f.Verdict(), &f, r.Derailleur.Knowledge
	o.Lowered = r.Derailleur.Lowered
	if o.Knowledge == Typical && f.onlyFouls() {
		o.Verdict = gearing.CannotTell
	}
	for i := range f.Gears {
		o.Table.Gears[i].Lost = !f.Gears[i].State.Runs()
	}
	return nil
}

// Risk finds the gear most at risk with Chain; ok is false for an option that
// is not simulated, or that no chain closes.
func (o *Option) Risk() (risk Risk, ok bool) {
	if o.rig == nil || o.Chain == 0 {
		return Risk{}, false
	}
	risk, err := o.rig.Risk(o.Chain)
	return risk, err == nil
}

func (o *Option) count() {
	seen := map[int]bool{}
	o.LostIDs, o.Dangerous, o.TodayLost = []gearing.GearID{}, []gearing.GearID{}, []gearing.GearID{}
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

// keepChain judges every option with the chain there is: its own, where the
// build names one, or else today's.
func (c *Comparison) keepChain(builds []gearing.Build) error {
	for i := range c.Options {
		chain := builds[i].Chain
		if chain.Pitches == 0 {
			chain = builds[0].Chain
		}
		if chain.Pitches == 0 {
			continue
		}
		if err := c.Options[i].keep(chain); err != nil {
			return fmt.Errorf("build %d: %w", i+1, err)
		}
	}
	return nil
}

// keep judges an option with a chain that is there.
func (o *Option) keep(chain gearing.Chain) error {
	o.Today = chain.Pitches
	b := o.Build
	b.Chain = chain
	if o.Simulated == nil {
		f, err := gearing.NewRatedFit(b)
		if err != nil {
			return err
		}
		o.WithToday = f.Verdict
		o.Stays = f.Owned.State == gearing.OwnedLongEnough && f.Verdict <= o.Verdict
		o.Dangerous = append(append([]gearing.GearID{}, f.Owned.Locked...), f.Owned.Overstretched...)
		o.TodayLost = o.gearsAmong(o.Dangerous, f.Owned.Slack, f.Lost)
		return nil
	}
	r := o.rig
	if chain.Elongation != 0 || chain.OffsetLink != o.Build.Chain.OffsetLink { // another rig
		var err error
		if r, err = NewRig(b); err != nil {
			return err
		}
	}
	f, err := r.Fit(chain.Pitches)
	if err != nil {
		return err
	}
	o.WithToday = f.Verdict()
	o.Stays = o.WithToday <= o.Verdict
	o.Dangerous = f.Dangerous()
	o.TodayLost = append(o.TodayLost, f.where(func(s State) bool { return !s.Runs() })...)
	if o.Stays && o.Today < o.Chain {
		o.TodayRisk, err = r.Risk(o.Today)
	}
	return err
}

// InDoubt tells that the chain there is may stay only if no gear is dangerous
// after all, while a longer one leaves no such doubt.
func (o *Option) InDoubt() bool { return o.TodayRisk.Chance >= DoubtfulChance }

// gearsAmong lists the gears of the table that stand in one of the lists.
func (o *Option) gearsAmong(lists ...[]gearing.GearID) []gearing.GearID {
	all, found := slices.Concat(lists...), []gearing.GearID{}
	for _, g := range o.Table.Gears {
		if id := (gearing.GearID{Ring: g.Ring, Cog: g.Cog}); slices.Contains(all, id) {
			found = append(found, id)
		}
	}
	return found
}
