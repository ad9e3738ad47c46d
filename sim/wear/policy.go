package wear

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"cagewise/gearing"
)

// WearShape is how a chain's elongation grows: Start + Rate x + Accel x^2
// percent, x in 1000 km. Accel is 0 for a straight line, positive when wear
// speeds up.
type WearShape struct {
	Start gearing.Percent `json:"start_percent"` // -0.5 to 0.3
	Rate  float64         `json:"percent_per_1000_km"`
	Accel float64         `json:"percent_per_1000_km_squared"`
	// RateError is the standard error of Rate.
	RateError float64 `json:"rate_error_percent_per_1000_km"`
}

// A new chain's elongation lies between these, percent.
const leastStart, mostStart = -0.5, 0.3

// ErrPolicy is wrapped when plans cannot be computed.
var ErrPolicy = errors.New("plans cannot be computed")

// Check refuses a shape that does not rise from the start.
func (s WearShape) Check() error {
	if !(s.Start >= leastStart && s.Start <= mostStart) {
		return fmt.Errorf("%w: the chain starts at %v %%; allowed: %v to %v", ErrPolicy, float64(s.Start), leastStart, mostStart)
	}
	if !(s.Rate >= 0 && s.Rate <= 100 && s.Accel >= 0 && s.Accel <= 1000 && s.Rate+s.Accel >= leastRate) {
		return fmt.Errorf("%w: wear of %v %% a 1000 km, growing by %v; allowed: 0 to 100, 0 to 1000, together at least %v: without wear in the readings no life can be told", ErrPolicy, s.Rate, s.Accel, leastRate)
	}
	if !(s.RateError >= 0) || math.IsInf(s.RateError, 0) {
		return fmt.Errorf("%w: error of the rate %v; allowed: 0 or more", ErrPolicy, s.RateError)
	}
	return nil
}

// At is the elongation after a distance.
func (s WearShape) At(km float64) gearing.Percent {
	x := km / 1000
	return s.Start + gearing.Percent(s.Rate*x+s.Accel*x*x)
}

// KM is the distance to an elongation; 0 when it is not over Start.
func (s WearShape) KM(e gearing.Percent) float64 {
	rise := float64(e - s.Start)
	if rise <= 0 {
		return 0
	}
	// Stable for a small Accel: 2c / (b + sqrt(b^2 + 4ac)).
	return 1000 * 2 * rise / (s.Rate + math.Sqrt(s.Rate*s.Rate+4*s.Accel*rise))
}

// Prices of new parts, in the log's money; negative: not given.
type Prices struct {
	Chain    float64 `json:"chain"`
	Cassette float64 `json:"cassette"`
	Ring     float64 `json:"ring"`
}

// PricesOf finds the prices in a log: of the part fitted last of its kind that
// has one; all rings that are on count together.
func PricesOf(l gearing.WearLog) Prices {
	p := Prices{Chain: -1, Cassette: -1, Ring: -1}
	chainAt, cassetteAt := math.Inf(-1), math.Inf(-1)
	for _, part := range l.Parts {
		priced := part.Price >= 0
		switch {
		case part.Kind == gearing.PartChain && priced && part.FittedKM >= chainAt:
			p.Chain, chainAt = part.Price, part.FittedKM
		case part.Kind == gearing.PartCassette && priced && part.FittedKM >= cassetteAt:
			p.Cassette, cassetteAt = part.Price, part.FittedKM
		case part.Kind == gearing.PartRing && priced && !isOff(part):
			p.Ring = max(p.Ring, 0) + part.Price
		}
	}
	return p
}

// Plan is a way to replace parts. Lives are the km that a part of its kind lasts,
// over 0.
type Plan struct {
	Name string `json:"name"`
	// Limit at which the chain is changed; 0: run to ChainKM.
	Limit gearing.Percent `json:"limit_percent"`
	// ChainKM is the life of a chain, CassetteKM and RingKM the others'.
	ChainKM    float64 `json:"chain_life_km"`
	CassetteKM float64 `json:"cassette_life_km"`
	RingKM     float64 `json:"ring_life_km"`
	// Turns is how many chains take turns; 0: one after the other.
	Turns int `json:"chains_in_turn,omitempty"`
	// Assumes says in words what the lives rest on, Safety what the plan
	// costs beside money; "" for nothing of note.
	Assumes string `json:"assumes"`
	Safety  string `json:"safety,omitempty"`
}

// PolicyInput is what plans are made of.
type PolicyInput struct {
	Prices    Prices
	KMPerYear float64 // 0: no cost a year
	Shape     WearShape
	Cogs      int // of the cassette; 0: 11 or more
	// RotateChains is how many chains take turns; 2 to 10, 0: 3.
	RotateChains int
	// EndKM is how far all parts run when run to the end; 0: to EndAt.
	EndKM float64
	// EarlyChains and LateChains are the chains a cassette outlasts when they
	// are changed at 0.5 % and at 0.75 %; 0: 3 and 2.
	EarlyChains, LateChains int
	// RingChains is how many chains, changed at the practice limit, a ring
	// outlasts; 0: 4.
	RingChains int
	// Plans to compare; none: DefaultPlans.
	Plans []Plan
	// Units are those of the words; metric, when not said.
	Units gearing.Units
}

// Defaults of plans (common practice: a cassette outlasts 2 to 4 chains, a ring
// 2 to 3 cassettes; no source; default, widely varying).
const (
	DefaultEarlyChains  = 3
	DefaultLateChains   = 2
	DefaultRingChains   = 4
	DefaultRotateChains = 3
	// EndAt is the elongation to which everything is run when no distance
	// is given (invented here).
	EndAt gearing.Percent = 2
)

func (in PolicyInput) withDefaults() PolicyInput {
	for _, c := range []struct {
		v   *int
		def int
	}{
		{&in.Cogs, manyCogs}, {&in.RotateChains, DefaultRotateChains}, {&in.EarlyChains, DefaultEarlyChains},
		{&in.LateChains, DefaultLateChains}, {&in.RingChains, DefaultRingChains},
	} {
		if *c.v == 0 {
			*c.v = c.def
		}
	}
	if in.EndKM == 0 {
		in.EndKM = in.Shape.KM(EndAt)
	}
	return in
}

func (in PolicyInput) check() error {
	if err := in.Shape.Check(); err != nil {
		return err
	}
	for _, c := range []struct {
		name         string
		v, low, high float64
	}{
		{"km a year", in.KMPerYear, 0, 1e6}, {"km to the end", in.EndKM, 1, 1e7}, {"chains in turn", float64(in.RotateChains), 2, 10},
		{"early chains a cassette", float64(in.EarlyChains), 1, 20}, {"late chains a cassette", float64(in.LateChains), 1, 20},
		{"chains a ring", float64(in.RingChains), 1, 100}, {"cogs", float64(in.Cogs), 1, gearing.MaxCogs},
	} {
		if !(c.v >= c.low && c.v <= c.high) {
			return fmt.Errorf("%w: %s %s; allowed: %.0f to %.0f", ErrPolicy, c.name, strconv.FormatFloat(c.v, 'f', -1, 64), c.low, c.high)
		}
	}
	for _, p := range in.Plans {
		if !(p.ChainKM > 0 && p.CassetteKM > 0 && p.RingKM > 0) {
			return fmt.Errorf("%w: plan %q has a life of %v, %v, %v km; allowed: over 0", ErrPolicy, p.Name, p.ChainKM, p.CassetteKM, p.RingKM)
		}
	}
	return nil
}
