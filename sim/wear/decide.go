package wear

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"cagewise/gearing"
)

// Verdict is what to do with a part.
type Verdict string

// The verdicts.
const (
	Replace     Verdict = "replace"
	Keep        Verdict = "keep"
	KeepAndTest Verdict = "keep and test"
	CannotTell  Verdict = "cannot tell"
)

// ErrDecide is wrapped when the numbers to decide on cannot be used.
var ErrDecide = errors.New("cannot decide")

// ChainState is how worn a chain is now.
type ChainState struct {
	ID string // of the part
	// Elongation now and its standard error, percent; used when HasReading.
	Elongation, Error gearing.Percent
	HasReading        bool
	// Rate is the wear from here on and its standard error, percent a 1000 km
	// that the chain itself runs; used when HasRate. NoRate says why there is
	// none.
	Rate, RateError float64
	HasRate         bool
	NoRate          string
	// KM is how far the chain itself has run, without other chains' rides; 0:
	// not known.
	KM float64
	// Since is how far it ran itself after its last reading: the elongation
	// is then a forecast (Forecasted) or, without one, that of the reading.
	Since      float64
	Forecasted bool
	// Start is its elongation when it was new, from a first-day reading if there
	// is one; 0 when not known.
	Start gearing.Percent
	// Contradicts tells that its readings cannot all be right.
	Contradicts bool

	forecast *Forecast  // with the distance its chances are for
	wear     *ChainWear // it comes from, and the odometer it is for; nil: given
	at       float64
	// of Start; 0: as of any new chain
	startError gearing.Percent
}

// CogUsage is a cog's share of the wear of all teeth of the cassette, from
// rides (sim/road: CogUse.ToothShare).
type CogUsage struct {
	Cog   gearing.Teeth
	Share gearing.Percent
}

// DecideInput is all that a decision is made of.
type DecideInput struct {
	Log    gearing.WearLog
	Chains []ChainState
	// Usage of the cogs; none: a stated default. UsageKM is the distance it
	// was seen over: a short one counts little beside the default, by
	// DefaultUseKM; 0: long enough.
	Usage   []CogUsage
	UsageKM float64
	// Cogs on the bike, when no cassette of the log says it; 0: not known.
	Cogs int
	// KM is the odometer now; 0: as OdometerOf the log.
	KM float64
}

// Decision is the verdict on one part.
type Decision struct {
	Part    gearing.WearPart   `json:"-"`
	ID      string             `json:"part"`
	Kind    gearing.PartKind   `json:"kind"`
	Off     bool               `json:"off_the_bike"` // taken off
	Source  gearing.PartSource `json:"next_one_from"`
	Verdict Verdict            `json:"verdict"`
	// For and Against are the evidence in the owner's readings and findings
	// for and against replacing the part.
	For     []string `json:"for_replacing"`
	Against []string `json:"against_replacing"`
	// Changes is what would change the verdict.
	Changes string `json:"what_would_change_it"`
	// Tests still worth making, the cheapest first.
	Tests []string `json:"tests"`
	// Watch tells how long the part may stay; nil: nothing to go by.
	Watch *Watch `json:"watch,omitempty"`
	// Risk that a new chain skips, a cog; of cassettes and cogs.
	Risk []CogRisk `json:"new_chain_risk,omitempty"`
	// Elongation of a chain now, read or forecast, with its standard error; used
	// when HasElongation.
	Elongation    gearing.Percent `json:"elongation_percent,omitempty"`
	Error         gearing.Percent `json:"standard_error_percent,omitempty"`
	HasElongation bool            `json:"has_elongation"`
	// Limit of a chain, and the chance, 0 to 1, that it is past it.
	Limit gearing.Percent `json:"limit_percent,omitempty"`
	Past  float64         `json:"chance_past_limit,omitempty"`
	// Price of a new one; used when HasPrice.
	Price    float64 `json:"price,omitempty"`
	HasPrice bool    `json:"has_price"`

	// Danger tells that the part is due and can throw the rider: a hook, teeth
	// that skip or lift a new chain, chain suck, a cable or a chain about to break, a chain
	// that skips under load or is past the last limit anybody states.
	Danger bool `json:"can_throw_rider"`
	// NotToBeHad tells that the part is due but cannot be had. Instead is what
	// does in place of a part that cannot be had, after what may still be ridden
	// when it is due.
	NotToBeHad bool   `json:"not_to_be_had"`
	Instead    string `json:"instead"`
	// WornPair tells that a chain past its limit stays on, as the cogs it needs
	// are due and cannot be had.
	WornPair bool `json:"-"`
	// SkipsNew tells that it skips under load with a chain that is new: the
	// chain on the bike is no reason to ride on.
	SkipsNew bool `json:"-"`

	tests   testSet
	serious bool // a finding that endangers the rider
	skips   skipping
}

// Report is a verdict for every part of a log.
type Report struct {
	KM        float64    `json:"odometer_km"`
	Odometer  Odometer   `json:"odometer"`
	Decisions []Decision `json:"decisions"` // in the order of gearing.PartKinds, then of the log
	// Tests of all parts in order, the cheapest first.
	Tests []Test `json:"tests"`
	// Safety is how to test.
	Safety []string `json:"safety"`
	// Shopping is what to buy, the most pressing first; Missing are the IDs
	// of parts in it without a price, NotToBeHad of those to be replaced
	// that cannot be had.
	Shopping   []Buy    `json:"shopping"`
	Missing    []string `json:"without_price"`
	NotToBeHad []string `json:"not_to_be_had"`
	Total      float64  `json:"total"` // of the prices that are known
	Budget     float64  `json:"budget,omitempty"`
	Left       float64  `json:"left_of_budget,omitempty"`
	Money      string   `json:"money"`
	Notes      []string `json:"notes"`
}

// Decide gives a verdict for every part of a log. An empty log gives an empty
// report with a note. It fails with ErrDecide when a number is none or
// impossible, or a state or a share belongs to no part.
func Decide(in DecideInput) (Report, error) {
	if err := in.check(); err != nil {
		return Report{}, fmt.Errorf("deciding on the wear log: %w", err)
	}
	d := newDecider(in)
	r := Report{KM: d.km, Odometer: OdometerOf(in.Log), Decisions: []Decision{}, Money: moneyOf(in.Log), Notes: []string{}}
	for _, kind := range gearing.PartKinds() {
		for _, p := range in.Log.Parts {
			if p.Kind == kind {
				r.Decisions = append(r.Decisions, d.decide(p))
			}
		}
	}
	d.wornPair(r.Decisions)
	d.finish(&r)
	return r, nil
}

func moneyOf(l gearing.WearLog) string {
	if l.Money == "" {
		return "money units"
	}
	return l.Money
}

// finish adds what follows from all verdicts together.
func (d *decider) finish(r *Report) {
	r.Tests = orderTests(r.Decisions)
	r.Safety = SafeTesting(d.in.Log.Motor)
	d.shop(r)
	if len(r.Decisions) == 0 {
		r.Notes = append(r.Notes, "the log names no part: nothing can be judged")
	}
	if d.limitNote != "" {
		r.Notes = append(r.Notes, d.limitNote)
	}
	r.Notes = append(r.Notes, d.forgotten()...)
	if d.cassette != nil && d.defaultUse {
		r.Notes = append(r.Notes, "shares of work of the cogs: "+Widely+" (no ride of the owner's says which cogs are used)")
	}
}

func (in DecideInput) check() error {
	known := map[string]bool{}
	for _, p := range in.Log.Parts {
		if !slices.Contains(gearing.PartKinds(), p.Kind) {
			return fmt.Errorf("%w: part %q is of kind %q; allowed: %v", ErrDecide, p.ID, p.Kind, gearing.PartKinds())
		}
		known[p.ID] = true
	}
	for _, c := range in.Chains {
		if !known[c.ID] {
			return fmt.Errorf("%w: chain %q is no part of the log", ErrDecide, c.ID)
		}
		if err := c.check(); err != nil {
			return err
		}
	}
	for _, u := range in.Usage {
		if !(u.Share >= 0 && u.Share <= 100) {
			return fmt.Errorf("%w: cog %d has a share of %v %%; allowed: 0 to 100", ErrDecide, u.Cog, float64(u.Share))
		}
	}
	if !(in.UsageKM >= 0) || math.IsInf(in.UsageKM, 0) {
		return fmt.Errorf("%w: usage over %v km; allowed: 0 or more", ErrDecide, in.UsageKM)
	}
	if !(in.KM >= 0) || math.IsInf(in.KM, 0) {
		return fmt.Errorf("%w: odometer %v km; allowed: 0 or more", ErrDecide, in.KM)
	}
	return nil
}

// A chain's state may lie between these, percent: wider than what a reading may
// say, as it need not come from one (invented here).
const leastState, mostState = -2, 10

// possible tells whether a chain can be so worn.
func possible(e gearing.Percent) bool { return e >= leastState && e <= mostState }

func (c ChainState) check() error {
	if c.HasReading && !(possible(c.Elongation) && c.Error >= 0 && c.Error <= mostState) {
		return fmt.Errorf("%w: chain %q at %v +- %v %%; allowed: %v to %v %%, error 0 to %v", ErrDecide, c.ID, float64(c.Elongation), float64(c.Error), leastState, mostState, mostState)
	}
	if c.HasRate && !(math.Abs(c.Rate) <= mostRate && c.RateError >= 0 && c.RateError <= mostRateError) {
		return fmt.Errorf("%w: chain %q wears %v +- %v %% a 1000 km; allowed: %v to %v, error 0 to %v", ErrDecide, c.ID, c.Rate, c.RateError, -mostRate, mostRate, mostRateError)
	}
	if !(c.KM >= 0) || math.IsInf(c.KM, 0) {
		return fmt.Errorf("%w: chain %q has run %v km; allowed: 0 or more", ErrDecide, c.ID, c.KM)
	}
	return nil
}
