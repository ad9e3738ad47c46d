package search

import (
	"cagewise/gearing"
	"cagewise/sim"
)

// Choice is one combination, as indices into the bin's lists. Extender, Chain
// and Wheel are -1 where none is taken from the bin.
type Choice struct {
	Rings      int `json:"rings"`
	Cassette   int `json:"cassette"`
	Derailleur int `json:"rear_derailleur"`
	Extender   int `json:"extender"`
	Chain      int `json:"chain"`
	Wheel      int `json:"wheel"`
}

// before is the fixed order of combinations: as the bin lists them.
func (c Choice) before(d Choice) bool {
	a := [...]int{c.Rings, c.Cassette, c.Derailleur, c.Extender, c.Chain, c.Wheel}
	b := [...]int{d.Rings, d.Cassette, d.Derailleur, d.Extender, d.Chain, d.Wheel}
	for i := range a {
		if a[i] != b[i] {
			return a[i] < b[i]
		}
	}
	return false
}

// Found is a combination that meets every wish.
type Found struct {
	Choice
	// Range is highest over lowest gear kept, LargestStep between
	// neighbouring cogs.
	Range       gearing.Percent `json:"range_percent"`
	LargestStep gearing.Percent `json:"largest_step_percent"`
	// Margin is the least that is left in any gear kept: chain beyond the
	// least reserve, or take-up.
	Margin gearing.Pitches `json:"margin_pitches"`
	Price  float64         `json:"price"`
	// Lowest and Highest development of the gears kept.
	Lowest  gearing.Metres `json:"lowest_development_m"`
	Highest gearing.Metres `json:"highest_development_m"`
	// Chain is the length that the advice names, Order what to do with it.
	Chain int              `json:"chain_pitches"`
	Order sim.Order        `json:"chain_order"`
	Lost  []gearing.GearID `json:"lost_gears"`
	// Doubtful are those that may be otherwise than the advice says.
	Doubtful []gearing.GearID `json:"doubtful_gears"`
	Verdict  gearing.Verdict  `json:"verdict"`
	// Chance is that all gears but the lost ones run, Danger that any gear is
	// dangerous with the chain.
	Chance float64    `json:"chance"`
	Danger sim.Danger `json:"chance_of_danger"`
	// Knowledge is what the verdict rests on.
	Knowledge sim.Knowledge `json:"derailleur_knowledge"`
	// Advice is the whole judgement but for what to measure and remedies.
	Advice sim.Advice `json:"-"`

	cents cents
}

// score is what combinations are held against each other by.
type score struct {
	Choice
	spread, step gearing.Percent
	margin       gearing.Pitches
	cents        cents
	out          bool
}

// dominates tells whether f is as good as g in everything and better in
// something, or the same and earlier in the bin.
func (f *score) dominates(g *score) bool {
	if f.spread < g.spread || f.step > g.step || f.margin < g.margin || f.cents > g.cents {
		return false
	}
	if f.spread > g.spread || f.step < g.step || f.margin > g.margin || f.cents < g.cents {
		return true
	}
	return f.Choice.before(g.Choice)
}

// better is the order of results: the widest range first, then the smaller
// step, the larger margin, the lower price, and as the bin lists them.
func (f *score) better(g *score) bool {
	switch {
	case f.spread != g.spread:
		return f.spread > g.spread
	case f.step != g.step:
		return f.step < g.step
	case f.margin != g.margin:
		return f.margin > g.margin
	case f.cents != g.cents:
		return f.cents < g.cents
	}
	return f.Choice.before(g.Choice)
}

// Reason says why combinations fell out.
type Reason int

// The reasons, in the order in which they are looked at.
const (
	TooHigh      Reason = iota // the lowest gear is too high
	TooLow                     // the highest gear is too low
	StepTooLarge               // a step between cogs is too large
	OverCapacity               // the rated capacity is exceeded by too much
	OverCog                    // the rated largest cog is exceeded by too much
	OverBudget                 // it costs too much
	NotSimulated               // nothing is known of the derailleur's cage
	DoesNotWork                // it is not likely to work
	GearsLost                  // too many gears are lost
	ChainShort                 // no chain in the bin is long enough
	reasons                    // their number
)

var reasonWords = [...]string{
	"the lowest gear is too high", "the highest gear is too low", "a step between cogs is too large",
	"the rated capacity is exceeded by too much", "the rated largest cog is exceeded by too much", "it costs too much",
	"nothing is known of the derailleur's cage", "it is not likely to work", "too many gears are lost", "no chain is long enough",
}

// String is the reason in words.
func (r Reason) String() string {
	if r < 0 || r >= reasons {
		return "unknown reason"
	}
	return reasonWords[r]
}

// MarshalText gives JSON the words.
func (r Reason) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// FellOut counts the combinations that fell out for a reason, the first that
// applied.
type FellOut struct {
	Reason       Reason  `json:"reason"`
	Combinations float64 `json:"combinations"`
}

// RunnerUp meets every wish, and yet another is as good in everything.
type RunnerUp struct {
	Found
	Better Choice `json:"better"` // that one
}

// Miss is the combination nearest to meeting the wishes when none does.
type Miss struct {
	Found
	Broken []Reason `json:"broken_wishes"`
	// Works tells whether the verdict is a yes.
	Works bool `json:"works"`
}

// Result is what a search found.
type Result struct {
	// Bin is what was searched: the parts that can be had. Choices are indices
	// into its lists.
	Bin gearing.PartsBin `json:"-"`
	// Combinations is how many the bin holds, Done how many were decided.
	Combinations float64 `json:"combinations"`
	Done         float64 `json:"decided"`
	// Partial is true when the search was stopped before the end: then the
	// set is that of the part that was decided.
	Partial   bool `json:"partial"`
	Simulated int  `json:"simulated_fits"`
	// Best is the Pareto set over range, largest step, margin and price, in
	// the order of better.
	Best      []Found    `json:"best"`
	RunnersUp []RunnerUp `json:"runners_up"`
	// Unsure counts those that were as good by a thin sample and that the whole one
	// did not bear out: they are not among Best.
	Unsure  int       `json:"not_borne_out"`
	FellOut []FellOut `json:"fell_out"`
	Nearest *Miss     `json:"nearest_miss,omitempty"` // only when Best is empty
	// NearestPartial is true when the search for it was stopped.
	NearestPartial bool `json:"nearest_miss_partial"`
}
