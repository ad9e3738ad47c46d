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
	// Chain is the count to cut to, sim.Recommended's where the chain taken
	// reaches. Shortest is the count that the combination was judged by, lost
	// gears and margin included: it works too, but may be in doubt. It is 0 for a
	// miss that does not work.
	Chain    int              `json:"chain_pitches"`
	Shortest int              `json:"shortest_chain_pitches"`
	Lost     []gearing.GearID `json:"lost_gears"`
	Verdict  gearing.Verdict  `json:"verdict"`
	// Risk is the chance, 0 to 1, that the gear most at risk is dangerous after
	// all, as sim.Risk; found for what works alone.
	Risk float64 `json:"chance_of_danger"`
	// Lowered is how far an invented cage pivot was moved down to clear the
	// largest cog; found for what works alone.
	Lowered gearing.MM `json:"pivot_lowered_mm"`
	// Knowledge is what the verdict rests on.
	Knowledge sim.Knowledge `json:"derailleur_knowledge"`

	cents cents
}

// dominates tells whether f is as good as g in everything and better in
// something, or the same and earlier in the bin.
func (f *Found) dominates(g *Found) bool {
	if f.Range < g.Range || f.LargestStep > g.LargestStep || f.Margin < g.Margin || f.cents > g.cents {
		return false
	}
	if f.Range > g.Range || f.LargestStep < g.LargestStep || f.Margin > g.Margin || f.cents < g.cents {
		return true
	}
	return f.Choice.before(g.Choice)
}

// better is the order of results: the widest range first, then the smaller
// step, the larger margin, the lower price, and as the bin lists them.
func (f *Found) better(g *Found) bool {
	switch {
	case f.Range != g.Range:
		return f.Range > g.Range
	case f.LargestStep != g.LargestStep:
		return f.LargestStep < g.LargestStep
	case f.Margin != g.Margin:
		return f.Margin > g.Margin
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
	NotSimulated               // only the derailleur's rating is known
	DoesNotWork                // no chain length is without a dangerous gear
	GearsLost                  // too many gears are lost
	ChainShort                 // no chain in the bin is long enough
	reasons                    // their number
)

var reasonWords = [...]string{
	"the lowest gear is too high", "the highest gear is too low", "a step between cogs is too large",
	"the rated capacity is exceeded by too much", "the rated largest cog is exceeded by too much", "it costs too much",
	"only the derailleur's rating is known", "no chain length works", "too many gears are lost", "no chain is long enough",
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
	// Works is false when no chain length works with it.
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
	FellOut   []FellOut  `json:"fell_out"`
	Nearest   *Miss      `json:"nearest_miss,omitempty"` // only when Best is empty
	// NearestPartial is true when the search for it was stopped.
	NearestPartial bool `json:"nearest_miss_partial"`
}
