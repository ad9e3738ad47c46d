package wear

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// BreakEven is the ratio of prices, a cassette's in chains, at which two plans
// cost the same.
type BreakEven struct {
	A string `json:"a"`
	B string `json:"b"`
	// Ratio of the cassette's price to the chain's.
	Ratio float64 `json:"cassette_price_in_chains"`
	// Above is the cheaper plan when cassettes are dearer than that.
	Above string `json:"cheaper_above"`
}

// Span is a range of the ratio in which one plan is the cheapest.
type Span struct {
	From float64 `json:"from_cassette_price_in_chains"`
	To   float64 `json:"to_cassette_price_in_chains"` // 0: without end
	Plan string  `json:"cheapest"`
}

// LifeFlip is where changing late comes to cost as little as changing early:
// at which life of the late chain, in lives of the early one.
type LifeFlip struct {
	Early string  `json:"early"`
	Late  string  `json:"late"`
	Needs float64 `json:"late_wins_over_lives"`
	Has   float64 `json:"late_has_lives"`
}

// PolicyReport compares plans.
type PolicyReport struct {
	Plans  []PlanCost `json:"plans"`  // the cheapest first, when priced
	Priced bool       `json:"priced"` // all prices given
	// Missing prices: "chain", "cassette", "ring".
	Missing []string `json:"missing_prices"`
	// Ratio of the owner's prices; used when HasRatio.
	Ratio    float64     `json:"cassette_price_in_chains,omitempty"`
	HasRatio bool        `json:"has_ratio"`
	Even     []BreakEven `json:"break_even"`
	Spans    []Span      `json:"cheapest_by_ratio"`
	// Safer are the spans without the plans that run parts past all limits.
	Safer []Span     `json:"cheapest_by_ratio_within_limits"`
	Lives []LifeFlip `json:"where_late_wins"`
	Notes []string   `json:"notes"`
}

// Policies compares plans by what they cost per 1000 km. Missing prices are
// named, and the plans are then ranked by the price ratio alone. It fails with
// ErrPolicy.
func Policies(in PolicyInput) (PolicyReport, error) {
	in = in.withDefaults()
	if err := in.check(); err != nil {
		return PolicyReport{}, fmt.Errorf("comparing plans: %w", err)
	}
	if len(in.Plans) == 0 {
		in.Plans = in.DefaultPlans()
	}
	r := PolicyReport{Missing: missingPrices(in.Prices), Even: []BreakEven{}, Lives: []LifeFlip{}, Notes: []string{}}
	r.Priced = len(r.Missing) == 0
	for _, p := range in.Plans {
		r.Plans = append(r.Plans, p.cost(in, r.Priced))
	}
	if r.Priced {
		slices.SortStableFunc(r.Plans, func(a, b PlanCost) int { return cmp.Compare(a.Cost, b.Cost) })
		r.Lives = lifeFlips(r.Plans, in.Prices)
	}
	r.compare(in.Prices)
	r.note(in)
	return r, nil
}

func missingPrices(p Prices) []string {
	missing := []string{}
	for _, c := range []struct {
		name string
		v    float64
	}{{"chain", p.Chain}, {"cassette", p.Cassette}, {"ring", p.Ring}} {
		if !(c.v >= 0) || math.IsInf(c.v, 0) {
			missing = append(missing, c.name)
		}
	}
	return missing
}

// lifeFlips compares every plan that changes its chains at a limit with
// those that change them at a higher limit: the late plan wins once its chains last
// longer than (chain + cassette share) / (early cost - ring).
func lifeFlips(plans []PlanCost, p Prices) []LifeFlip {
	flips := []LifeFlip{}
	for _, early := range plans {
		for _, late := range plans {
			if early.Limit == 0 || late.Limit <= early.Limit || early.Turns+late.Turns > 0 {
				continue
			}
			perLife := p.Chain + p.Cassette*late.ChainKM/late.CassetteKM
			left := early.Cost - late.Rings*p.Ring
			if left > 0 {
				flips = append(flips, LifeFlip{Early: early.Name, Late: late.Name, Needs: 1000 * perLife / left / early.ChainKM, Has: late.ChainKM / early.ChainKM})
			}
		}
	}
	return flips
}

func (r *PolicyReport) note(in PolicyInput) {
	if !r.Priced {
		r.Notes = append(r.Notes, "price not given: "+strings.Join(r.Missing, ", ")+": plans are ranked by the ratio of prices alone")
	}
	if !(in.Prices.Chain > 0 && in.Prices.Ring >= 0) {
		r.Notes = append(r.Notes, "rings are left out of the ranking")
	}
	r.Notes = append(r.Notes, "lives of cassette and ring: "+Widely+"; the owner's own distances beat them")
}
