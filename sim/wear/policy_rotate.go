package wear

import (
	"fmt"
	"math"

	"cagewise/gearing"
)

// InTurn is a chain that takes turns on a cassette.
type InTurn struct {
	ID         string          `json:"chain"`
	Elongation gearing.Percent `json:"elongation_percent"` // now
}

// Turn is one spell of one chain.
type Turn struct {
	ID   string  `json:"chain"`
	From float64 `json:"from_km"` // from today
	KM   float64 `json:"km"`
	// Elongation at its end, and the spread over all chains then.
	Elongation gearing.Percent `json:"elongation_percent"`
	Spread     gearing.Percent `json:"spread_percent"`
}

// Schedule is a rotation of chains.
type Schedule struct {
	Turns []Turn `json:"turns"`
	// LeftOut are at the limit or past it already, and take no turn; no spread
	// counts them.
	LeftOut []InTurn `json:"left_out"`
	// Together tells that the chains in turn come within the band of each
	// other, and from which turn on.
	Together     bool `json:"comes_together"`
	TogetherFrom int  `json:"together_after_turn"` // from 1; 0: from the start
	// KM until the first chain would pass the limit; all are near it then.
	KM float64 `json:"km_to_the_end"`
	// Cut tells that the turns go on past the last one listed.
	Cut   bool            `json:"cut_short"`
	Band  gearing.Percent `json:"band_percent"`
	Limit gearing.Percent `json:"limit_percent"` // at which the rotation ends
	// Chains is how many take turns.
	Chains int    `json:"chains"`
	Note   string `json:"note"`
}

// RotateInput asks for a rotation.
type RotateInput struct {
	Chains []InTurn // 1 to 20, each at -2 to 10 %
	Shape  WearShape
	// Band that all chains stay within; 0.02 to 1 %, 0: DefaultBand.
	Band gearing.Percent
	// Limit at which the rotation ends; over the start of Shape to
	// MostElongation, 0: LimitFew.
	Limit gearing.Percent
}

// DefaultBand keeps chains within 0.1 % (common practice swaps at steps of up
// to 0.25 %, no source).
const DefaultBand gearing.Percent = 0.1

// mostTurns is how many turns a schedule lists.
const mostTurns = 500

func (in RotateInput) withDefaults() RotateInput {
	if in.Band == 0 {
		in.Band = DefaultBand
	}
	if in.Limit == 0 {
		in.Limit = LimitFew
	}
	return in
}

func (in RotateInput) check() error {
	if err := in.Shape.Check(); err != nil {
		return err
	}
	if n := len(in.Chains); n < 1 || n > 20 {
		return fmt.Errorf("%w: %d chains in turn; allowed 1 to 20", ErrPolicy, n)
	}
	if !(in.Band >= 0.02 && in.Band <= 1) {
		return fmt.Errorf("%w: a band of %v %%; allowed: 0.02 to 1", ErrPolicy, float64(in.Band))
	}
	if !(in.Limit > in.Shape.Start && in.Limit <= MostElongation) {
		return fmt.Errorf("%w: a limit of %v %%; allowed: over the start to %v", ErrPolicy, float64(in.Limit), float64(MostElongation))
	}
	for _, c := range in.Chains {
		if !possible(c.Elongation) {
			return fmt.Errorf("%w: chain %q at %v %%; allowed: %v to %v", ErrPolicy, c.ID, float64(c.Elongation), leastState, mostState)
		}
	}
	return nil
}

// Rotate always fits the least worn chain, and swaps it when it is the band
// over the next: once together, all stay within the band. It ends when the
// least worn reaches the limit. A chain at the limit or past it is left out.
// Chains are taken to wear along one shape, each from where it stands. It fails
// with ErrPolicy.
func Rotate(in RotateInput) (Schedule, error) {
	in = in.withDefaults()
	if err := in.check(); err != nil {
		return Schedule{}, fmt.Errorf("planning a rotation: %w", err)
	}
	s := Schedule{Turns: []Turn{}, LeftOut: []InTurn{}, Band: in.Band, Limit: in.Limit, Note: "go by readings, not by dates: mark every chain; distances " + Widely}
	in.Chains, s.LeftOut = in.split()
	if s.Chains = len(in.Chains); s.Chains > 0 {
		s.takeTurns(in)
	}
	return s, nil
}

// split parts the chains that can take a turn from those at the limit or past
// it.
func (in RotateInput) split() (turning, out []InTurn) {
	out = []InTurn{}
	for _, c := range in.Chains {
		if c.Elongation >= in.Limit {
			out = append(out, c)
			continue
		}
		turning = append(turning, c)
	}
	return turning, out
}

func (s *Schedule) takeTurns(in RotateInput) {
	worn := make([]gearing.Percent, len(in.Chains))
	for i, c := range in.Chains {
		worn[i] = max(c.Elongation, in.Shape.Start)
	}
	s.Together = within(worn, in.Band)
	for {
		i, next := leastWorn(worn)
		if worn[i] >= in.Limit {
			return
		}
		if len(s.Turns) == mostTurns {
			s.Cut = true
			return
		}
		to := min(in.Limit, next+in.Band)
		km := in.Shape.KM(to) - in.Shape.KM(worn[i])
		worn[i] = to
		s.Turns = append(s.Turns, Turn{ID: in.Chains[i].ID, From: s.KM, KM: km, Elongation: to, Spread: spread(worn)})
		s.KM += km
		if !s.Together && within(worn, in.Band) {
			s.Together, s.TogetherFrom = true, len(s.Turns)
		}
	}
}

// within tells whether chains lie no further apart than the band, up to
// rounding.
func within(worn []gearing.Percent, band gearing.Percent) bool { return spread(worn) <= band+1e-9 }

// leastWorn is the first of the least worn chains, and what the least of the
// others reads.
func leastWorn(worn []gearing.Percent) (at int, next gearing.Percent) {
	next = gearing.Percent(math.Inf(1))
	for i, e := range worn {
		switch {
		case i == 0:
		case e < worn[at]:
			next, at = worn[at], i
		case e < next:
			next = e
		}
	}
	return at, next
}

func spread(worn []gearing.Percent) gearing.Percent {
	low, high := worn[0], worn[0]
	for _, e := range worn {
		low, high = min(low, e), max(high, e)
	}
	return high - low
}
