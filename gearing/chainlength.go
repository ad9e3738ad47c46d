package gearing

import (
	"errors"
	"math"
)

// ErrNoChainstay tells that a chain length was asked for without the distance
// it depends on.
var ErrNoChainstay = errors.New("the chainstay length is not known")

// MethodName names a way of finding a chain length.
type MethodName string

// The shop methods (all common practice, no source). The last two need the
// derailleur's geometry and are computed in package sim.
const (
	// MethodLoop: round the largest ring and largest cog (big-big), past the
	// derailleur, plus one link pair; here with the exact loop.
	MethodLoop MethodName = "big-big + 2 pitches"
	// MethodQuick: 2C + F/4 + R/4 + 1 in inches, to the next whole inch.
	MethodQuick MethodName = "quick, next inch"
	// MethodQuickNearest: the same to the nearest whole inch, as some
	// guides have it.
	MethodQuickNearest MethodName = "quick, nearest inch"
	// MethodVertical: both pulleys in a vertical line on the largest ring
	// and the smallest cog.
	MethodVertical MethodName = "pulleys vertical"
	// MethodSmallSmall: the longest chain that does not touch itself on the
	// smallest ring and smallest cog.
	MethodSmallSmall MethodName = "small-small clear"
)

// MethodLength is one method's answer.
type MethodLength struct {
	Method MethodName `json:"method"`
	// Raw is the length before rounding, any allowance included.
	Raw Pitches `json:"raw_pitches"`
	// Pitches is the count to cut at.
	Pitches int `json:"pitches"`
	// ToLonger and ToShorter are how far Raw may rise or fall before the
	// count changes: the distances to the rounding edges.
	ToLonger  Pitches `json:"to_longer_edge_pitches"`
	ToShorter Pitches `json:"to_shorter_edge_pitches"`
	// Chainstay is the change of the chainstay reading that reaches the
	// nearer edge, positive when a longer reading does.
	Chainstay MM `json:"chainstay_to_edge_mm"`
}

// Lengths is everything said about chain length at the rated level.
type Lengths struct {
	// Loop is the exact loop on the largest ring and cog, no derailleur.
	Loop Pitches `json:"loop_pitches"`
	// LongestChainstay is the distance it was taken at, see
	// Frame.LongestChainstay.
	LongestChainstay MM `json:"longest_chainstay_mm"`
	// ShortestChainstay is where the same chain is at its loosest.
	ShortestChainstay MM             `json:"shortest_chainstay_mm"`
	Methods           []MethodLength `json:"methods"`
	// Recommended is MethodLoop's count: the shortest that keeps one link
	// pair in reserve on the largest ring and cog.
	Recommended int `json:"recommended_pitches"`
}

// ReservePitches is what the trade leaves over the loop on the largest ring
// and cog: one link pair (common practice, no source). It stands in for the
// detour through a stretched derailleur; package sim computes that. A gear with
// less is tight: it turns, but a link pair folded flat takes out 2 pitches.
const ReservePitches Pitches = 2

// LeastReserve is the chain that must be left over the shortest path; with less
// a gear is too short (shop stand test, common practice, no source).
const LeastReserve Pitches = 1

// ChainLengths finds the chain by each shop method that needs no derailleur
// geometry. Counts are even unless the build has an offset link. It fails
// with ErrNoChainstay, or when the wheels do not clear each other.
func ChainLengths(b Build) (Lengths, error) {
	if b.Frame.Chainstay <= 0 {
		return Lengths{}, ErrNoChainstay
	}
	c := b.Frame.LongestChainstay()
	ring, cog := b.LargestRing(), b.LargestCog()
	loop, err := NewLoop(ring, cog, c)
	if err != nil {
		return Lengths{}, err
	}
	step := CountStep(b.Chain)
	perMM := 2 * loop.Strand / c / Pitch // pitches a millimetre of chainstay
	exact := RoundCount(MethodLoop, loop.Length+ReservePitches, float64(step), 1, perMM)
	quick := 2 * QuickFormula(ring, cog, c)
	next := RoundCount(MethodQuick, quick, 2, 1, 2/Pitch)
	nearest := RoundCount(MethodQuickNearest, quick, 2, 0.5, 2/Pitch)
	return Lengths{
		Loop: loop.Length, LongestChainstay: c, ShortestChainstay: b.Frame.ShortestChainstay(),
		Methods:     []MethodLength{exact, next, nearest},
		Recommended: exact.Pitches,
	}, nil
}

// QuickFormula is 2C + F/4 + R/4 + 1 in inches (common practice, no source).
// One inch is two pitches. The formula leaves out the term for unequal wheels.
func QuickFormula(ring, cog Teeth, c MM) Pitches {
	return Pitches(2*float64(c)/MMPerInch + float64(ring)/4 + float64(cog)/4 + 1)
}

// CountStep is the step between counts a chain can be cut to: 2, as a loop of
// inner and outer links closes only with an even count, or 1 with an offset
// link.
func CountStep(c Chain) int {
	if c.OffsetLink {
		return 1
	}
	return 2
}

// RoundCount rounds a raw length to a multiple of step pitches. up is the
// part of a step that is rounded up: 1 rounds any excess up, 0.5 to the
// nearest, 0 down. perMM is the length's growth in pitches a millimetre of
// chainstay, used for MethodLength.Chainstay.
func RoundCount(m MethodName, raw Pitches, step, up float64, perMM MM) MethodLength {
	lower := 1 - up // the count covers raw from count-step*up to count+step*lower
	n := step * math.Ceil(float64(raw)/step-lower)
	l := MethodLength{
		Method: m, Raw: raw, Pitches: int(math.Round(n)),
		ToLonger:  Pitches(n+step*lower) - raw,
		ToShorter: raw - Pitches(n-step*up),
	}
	l.Chainstay = MM(l.ToLonger) / perMM
	if l.ToShorter < l.ToLonger {
		l.Chainstay = -MM(l.ToShorter) / perMM
	}
	return l
}

// OwnedState says in one word what the owned chain does in its worst gear.
type OwnedState string

// The states of an owned chain by the loop alone, worst first.
const (
	OwnedLocks      OwnedState = "locks"
	OwnedTooShort   OwnedState = "too short"
	OwnedTight      OwnedState = "tight"
	OwnedLongEnough OwnedState = "long enough"
)

// Dangerous tells whether such a chain can break parts or throw the rider.
func (s OwnedState) Dangerous() bool { return s == OwnedLocks || s == OwnedTooShort }

// OwnedChain judges the chain already owned.
type OwnedChain struct {
	Pitches int        `json:"pitches"`
	State   OwnedState `json:"state"`
	// Surplus is the chain beyond the bare loop on the largest ring and
	// cog; under 0 it cannot go round, under LeastReserve it is too short,
	// under ReservePitches it is tight.
	Surplus Pitches `json:"surplus_pitches"`
	// Add is how many pitches to add for the recommended count; negative
	// when the chain is longer.
	Add int `json:"add_pitches"`
	// Locked, TooShort and Tight name the gears with too little chain.
	Locked   []GearID `json:"locked_gears"`
	TooShort []GearID `json:"too_short_gears"`
	Tight    []GearID `json:"tight_gears"`
	// Slack names the gears that the rated capacity covers with the
	// recommended count but no longer with this chain: a pitch more uses up
	// two teeth of capacity (derived here). Empty without a rating.
	Slack []GearID `json:"slack_gears"`
}

// GearID names a gear by its teeth.
type GearID struct {
	Ring Teeth `json:"ring_teeth"`
	Cog  Teeth `json:"cog_teeth"`
}

// String is the gear as riders write it.
func (g GearID) String() string { return GearName(g.Ring, g.Cog) }

// JudgeOwned judges the chain of the build against the exact loop of every
// gear at the longest chainstay; ok is false when no chain is owned. A worn
// chain counts with its grown pitch.
func JudgeOwned(b Build, l Lengths) (o OwnedChain, ok bool, err error) {
	if b.Chain.Pitches == 0 {
		return OwnedChain{}, false, nil
	}
	o = OwnedChain{
		Pitches: b.Chain.Pitches, State: OwnedLongEnough,
		Add:    l.Recommended - b.Chain.Pitches,
		Locked: []GearID{}, TooShort: []GearID{}, Tight: []GearID{},
	}
	largest, err := NewLoop(b.LargestRing(), b.LargestCog(), l.LongestChainstay)
	if err != nil {
		return OwnedChain{}, false, err
	}
	o.Surplus = Pitches(b.Chain.Pitches) - largest.Worn(b.Chain.Elongation)
	if o.Surplus < ReservePitches { // otherwise no smaller loop is short either
		if err := o.placeAll(b, l.LongestChainstay); err != nil {
			return OwnedChain{}, false, err
		}
	}
	o.Slack = slackGears(b, -o.Add)
	return o, true, nil
}

// slackGears finds what a chain that is longer than recommended by extra
// pitches adds to the gears lost.
func slackGears(b Build, extra int) []GearID {
	slack := []GearID{}
	if extra <= 0 || b.Rear.RatedCapacity == 0 {
		return slack
	}
	for _, ring := range b.Rings {
		for j := len(b.Cogs) - 1; j >= 0; j-- {
			takeUp := b.takeUp(ring, b.Cogs[j])
			if r := b.Rear.RatedCapacity; takeUp <= r && takeUp+Teeth(2*extra) > r {
				slack = append(slack, GearID{ring, b.Cogs[j]})
			}
		}
	}
	return slack
}

// Worn is the loop's length in the grown pitches of a chain worn by e.
func (l Loop) Worn(e Percent) Pitches {
	strands := 2 * l.Strand.Pitches()
	return l.Length - strands*Pitches(1-1/(1+e/100))
}

func (o *OwnedChain) placeAll(b Build, c MM) error {
	for _, ring := range b.Rings {
		for _, cog := range b.Cogs {
			loop, err := NewLoop(ring, cog, c)
			if err != nil {
				return err
			}
			o.place(GearID{ring, cog}, Pitches(b.Chain.Pitches)-loop.Worn(b.Chain.Elongation))
		}
	}
	return nil
}

func (o *OwnedChain) place(g GearID, surplus Pitches) {
	switch {
	case surplus < 0:
		o.State = OwnedLocks
		o.Locked = append(o.Locked, g)
	case surplus < LeastReserve:
		if o.State != OwnedLocks {
			o.State = OwnedTooShort
		}
		o.TooShort = append(o.TooShort, g)
	case surplus < ReservePitches:
		if o.State == OwnedLongEnough {
			o.State = OwnedTight
		}
		o.Tight = append(o.Tight, g)
	}
}
