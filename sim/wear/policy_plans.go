package wear

import (
	"fmt"

	"cagewise/gearing"
)

// What running everything to the end costs beside money.
const endSafety = "near the end the chain skips under load, in traffic too, and may break; nothing can be replaced alone any more"

// DefaultPlans are the plans that riders argue about, with lives from the shape.
// A ring lasts the same distance in all but the last. Shape must pass its Check.
func (in PolicyInput) DefaultPlans() []Plan {
	in = in.withDefaults()
	practice := in.Shape.KM(ReplaceAt(in.Cogs))
	ring := practice * float64(in.RingChains)
	return []Plan{
		in.chainsPerCassette("change early", LimitMany, in.EarlyChains, ring),
		in.chainsPerCassette("change late", LimitFew, in.LateChains, ring),
		in.chainsPerCassette("chain and cassette together", ReplaceAt(in.Cogs), 1, ring),
		in.chainsPerCassette("change late with cassette", LimitCassette, 1, ring),
		in.rotate(ring),
		{
			Name: "run all to the end", ChainKM: in.EndKM, CassetteKM: in.EndKM, RingKM: in.EndKM,
			Assumes: fmt.Sprintf("chain, cassette and ring all last %s (%s)", in.say(in.EndKM), Widely), Safety: endSafety,
		},
	}
}

// say words a distance in the units asked for.
func (in PolicyInput) say(km float64) string { return lengths{in.Units == gearing.Imperial}.say(km) }

func (in PolicyInput) chainsPerCassette(name string, limit gearing.Percent, chains int, ring float64) Plan {
	km := in.Shape.KM(limit)
	p := Plan{Name: name, Limit: limit, ChainKM: km, CassetteKM: km * float64(chains), RingKM: ring}
	p.Assumes = fmt.Sprintf("a cassette outlasts %d chains at %s, a ring %s (%s)", chains, sayPercent(limit), in.say(ring), Widely)
	if chains == 1 {
		p.Assumes = fmt.Sprintf("chain and cassette go at %s, a ring at %s (%s)", sayPercent(limit), in.say(ring), Widely)
	}
	if chains > 1 && limit >= LimitFew {
		p.Safety = "a new chain may skip on the used cogs: test it gently, off the road"
	}
	return p
}

// rotate lets chains take turns on one cassette; both end together (common
// practice).
func (in PolicyInput) rotate(ring float64) Plan {
	p := in.chainsPerCassette(fmt.Sprintf("rotate %d chains", in.RotateChains), LimitFew, in.RotateChains, ring)
	p.Safety, p.Turns = "", in.RotateChains
	p.Assumes = fmt.Sprintf("the cassette ends with the last of %d chains at %s, which side wear and shift ramps may forestall; a ring at %s (%s)",
		in.RotateChains, sayPercent(LimitFew), in.say(ring), Widely)
	return p
}

// PlanCost is what a plan costs.
type PlanCost struct {
	Plan
	// Parts used per 1000 km.
	Chains    float64 `json:"chains_per_1000_km"`
	Cassettes float64 `json:"cassettes_per_1000_km"`
	Rings     float64 `json:"rings_per_1000_km"`
	// Cost per 1000 km and its error from the wear rate's; used when HasCost.
	Cost    float64 `json:"cost_per_1000_km,omitempty"`
	Error   float64 `json:"cost_error_per_1000_km,omitempty"`
	PerYear float64 `json:"cost_per_year,omitempty"` // 0 without a distance a year
	HasCost bool    `json:"has_cost"`
}

// cost prices a plan per 1000 km: each part's price over its life (derived here).
func (p Plan) cost(in PolicyInput, complete bool) PlanCost {
	c := PlanCost{Plan: p, Chains: 1000 / p.ChainKM, Cassettes: 1000 / p.CassetteKM, Rings: 1000 / p.RingKM, HasCost: complete}
	if !complete {
		return c
	}
	c.Cost = c.costAt(in.Prices)
	c.PerYear = c.Cost * in.KMPerYear / 1000
	if p.Limit > 0 {
		c.Error = c.Cost * in.Shape.lifeError(p.ChainKM)
	}
	return c
}

func (c PlanCost) costAt(p Prices) float64 {
	return c.Chains*max(0, p.Chain) + c.Cassettes*max(0, p.Cassette) + c.Rings*max(0, p.Ring)
}

// lifeError is the relative error of a life from that of the rate: by first
// derivatives d ln x / d rate = -1 / (rate + 2 accel x) (derived here).
func (s WearShape) lifeError(km float64) float64 {
	return s.RateError / (s.Rate + 2*s.Accel*km/1000)
}
