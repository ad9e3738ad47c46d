package wear

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"cagewise/gearing"
)

// FaultPart is a part that may click or skip in a rhythm.
type FaultPart string

// The parts that have a rhythm.
const (
	FaultChain   FaultPart = "stiff link or bad pitch"
	FaultRing    FaultPart = "ring tooth, or crank, pedal and bottom bracket"
	FaultCog     FaultPart = "cog tooth"
	FaultWheel   FaultPart = "wheel, freehub or tyre"
	FaultGuide   FaultPart = "guide pulley tooth"
	FaultTension FaultPart = "tension pulley tooth"
	FaultPulleys FaultPart = "pulley tooth, guide or tension"
)

// ErrFault is wrapped when a rhythm cannot be worked out.
var ErrFault = errors.New("rhythm cannot be worked out")

// FaultBuild is what rhythms follow from.
type FaultBuild struct {
	Pitches        int             // of the chain; 20 to 1000
	Rings, Cogs    []gearing.Teeth // that the bike has; the gear's own are added
	Guide, Tension gearing.Teeth   // pulleys; 0: DefaultPulley
}

// Rhythm is how often one part repeats in a gear.
type Rhythm struct {
	Part FaultPart `json:"part"`
	// Turns of the cranks from one time to the next.
	Turns float64 `json:"crank_turns"`
	// EveryOther: the tooth meets inner and outer plates by turns, and only
	// one of them shows the fault; on wheels with an odd count.
	EveryOther bool `json:"every_other_turn"`
	// Shows says in which gears it is heard.
	Shows string `json:"shows_in"`
	// Formula, for the reader.
	Formula string `json:"formula"`
	Check   string `json:"check"`
}

// Name is the part, with what tells the slower rhythm of a tooth that meets
// inner and outer plates by turns.
func (r Rhythm) Name() string { return nameOf(r.Part, r.EveryOther) }

func nameOf(p FaultPart, everyOther bool) string {
	if everyOther {
		return string(p) + ", every other turn"
	}
	return string(p)
}

// source is a part with its period as a number of pitches of chain; 0: of no
// chain, a crank turn.
type source struct {
	part    FaultPart
	pitches float64
	formula string
	shows   string
	check   string
	odd     bool // every other turn counts too
}

func (b FaultBuild) withDefaults() FaultBuild {
	if b.Guide == 0 {
		b.Guide = DefaultPulley
	}
	if b.Tension == 0 {
		b.Tension = DefaultPulley
	}
	return b
}

// leastChain is the shortest chain, in pitches, that a rhythm is worked out for:
// a shorter one runs around no two wheels (invented here).
const leastChain = 20

func (b FaultBuild) check(g gearing.GearID) error {
	if b.Pitches < leastChain || b.Pitches > mostPitches {
		return fmt.Errorf("%w: a chain of %d pitches; allowed %d to %d", ErrFault, b.Pitches, leastChain, mostPitches)
	}
	for _, list := range [][]gearing.Teeth{b.Rings, b.Cogs, {g.Ring, g.Cog, b.Guide, b.Tension}} {
		for _, n := range list {
			if n < gearing.MinTeeth || n > gearing.MaxTeeth {
				return fmt.Errorf("%w: a wheel of %d teeth; allowed %d to %d", ErrFault, n, gearing.MinTeeth, gearing.MaxTeeth)
			}
		}
	}
	return nil
}

// sources lists the parts in a gear.
func (b FaultBuild) sources(g gearing.GearID) []source {
	odd := func(n gearing.Teeth) bool { return n%2 == 1 }
	list := []source{
		{FaultChain, float64(b.Pitches), "chain pitches / ring teeth", "every gear", "turn the cranks backwards and watch the pulleys for a stiff link", false},
		{FaultRing, float64(g.Ring), "one crank turn", fmt.Sprintf("a tooth: every gear on ring %d; crank, pedal, bottom bracket: every gear", g.Ring), "try another ring: a tooth's click is gone, that of crank, pedal or bottom bracket stays", odd(g.Ring)},
		{FaultCog, float64(g.Cog), "cog teeth / ring teeth", fmt.Sprintf("cog %d with every ring, not coasting", g.Cog), "try the next cog: a tooth's click is gone", odd(g.Cog)},
		{FaultWheel, float64(g.Cog), "cog teeth / ring teeth", "every gear, once a wheel turn; coasting too, save the freehub's", "coast: what goes on is the wheel or tyre", false},
	}
	if b.Guide == b.Tension {
		return append(list, source{FaultPulleys, float64(b.Guide), "pulley teeth / ring teeth", "every gear", "lift the chain off and turn both pulleys by hand", odd(b.Guide)})
	}
	return append(list,
		source{FaultGuide, float64(b.Guide), "pulley teeth / ring teeth", "every gear", "lift the chain off and turn it by hand", odd(b.Guide)},
		source{FaultTension, float64(b.Tension), "pulley teeth / ring teeth", "every gear", "lift the chain off and turn it by hand", odd(b.Tension)})
}

// Rhythms lists how often each part repeats in a gear, in crank turns: a stiff
// pitch every n/F, a cog tooth every R/F, a ring tooth every 1, a pulley tooth
// every N/F, since F pitches pass a crank turn (derived here). A tooth on a
// wheel with an odd count meets inner and outer plates by turns: a fault that
// only one kind shows comes half as often (derived here). The shortest comes
// first. It fails with ErrFault.
func Rhythms(b FaultBuild, g gearing.GearID) ([]Rhythm, error) {
	b = b.withDefaults()
	if err := b.check(g); err != nil {
		return nil, fmt.Errorf("rhythms in %s: %w", g, err)
	}
	return b.rhythms(g), nil
}

func (b FaultBuild) rhythms(g gearing.GearID) []Rhythm {
	var list []Rhythm
	for _, s := range b.sources(g) {
		r := Rhythm{Part: s.part, Turns: s.pitches / float64(g.Ring), Shows: s.shows, Formula: s.formula, Check: s.check}
		list = append(list, r)
		if s.odd {
			r.Turns, r.EveryOther, r.Formula = 2*r.Turns, true, "2 x "+s.formula
			list = append(list, r)
		}
	}
	slices.SortStableFunc(list, func(x, y Rhythm) int { return cmp.Compare(x.Turns, y.Turns) })
	return list
}

// Heard is a rhythm as counted.
type Heard struct {
	// Turns of the cranks over so many repeats; Repeats 0: 1.
	Turns   float64
	Repeats int
	// Error of Turns, standard; 0: a quarter turn (invented here).
	Error float64
}

// defaultTurnsError is how well a rider counts crank turns at both ends
// together (invented here).
const defaultTurnsError = 0.25

// period is the counted turns for one repeat and their error.
func (h Heard) period() (turns, sigma float64) {
	n := float64(max(h.Repeats, 1))
	sigma = h.Error
	if sigma == 0 {
		sigma = defaultTurnsError
	}
	return h.Turns / n, sigma / n
}

func (h Heard) check() error {
	if !(h.Turns > 0 && h.Turns <= 10000) {
		return fmt.Errorf("%w: %v crank turns; allowed: over 0 to 10000", ErrFault, h.Turns)
	}
	if h.Repeats < 0 || h.Repeats > 10000 {
		return fmt.Errorf("%w: %d repeats; allowed 1 to 10000", ErrFault, h.Repeats)
	}
	if !(h.Error >= 0) || math.IsInf(h.Error, 0) {
		return fmt.Errorf("%w: an error of %v turns; allowed: 0 or more", ErrFault, h.Error)
	}
	return nil
}
