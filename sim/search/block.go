package search

import (
	"errors"
	"math"

	"cagewise/gearing"
	"cagewise/sim"
)

// block is a pair on a derailleur with or without an extender: all combinations
// that differ only in chain and wheel. Neither changes the simulated states, so
// the whole block shares one simulation, its range, step and margin; of its
// combinations only the cheapest that will do can be in the Pareto set.
type block struct {
	*pair
	derailleur, extender int // extender -1: none
	cents                cents
}

// ratingBroken gives the rating that is exceeded by too much.
func (s *search) ratingBroken(b *block) (Reason, bool) {
	rear := &s.bin.Derailleurs[b.derailleur].Rear
	if over := b.capacity - rear.RatedCapacity; rear.RatedCapacity > 0 && s.wishes.OverCapacity >= 0 && over > s.wishes.OverCapacity {
		return OverCapacity, true
	}
	cogs := s.bin.Cassettes[b.cassette].Teeth
	if over := cogs[len(cogs)-1] - rear.LargestCog; rear.LargestCog > 0 && s.wishes.OverCog >= 0 && over > s.wishes.OverCog {
		return OverCog, true
	}
	return 0, false
}

// refusedBlock gives the first wish that a block cannot meet whatever the
// simulation says.
func (s *search) refusedBlock(b *block) (Reason, bool) {
	if r, bad := s.ratingBroken(b); bad {
		return r, true
	}
	if s.wishes.HasBudget && b.cents+s.cheapestRest > s.budget {
		return OverBudget, true
	}
	if !s.simulable[b.derailleur] {
		return NotSimulated, true
	}
	return 0, false
}

// build puts a block together for the simulation.
func (s *search) build(b *block) gearing.Build {
	bike := s.base
	bike.Rings, bike.Cogs = s.bin.RingSets[b.rings].Teeth, s.bin.Cassettes[b.cassette].Teeth
	bike.Rear = s.bin.Derailleurs[b.derailleur].Rear
	bike.Chain.Pitches, bike.Chain.Elongation = 0, 0
	if b.extender >= 0 {
		e := &s.bin.Extenders[b.extender]
		bike.Rear.Geometry.ExtenderBehind += e.Behind
		bike.Rear.Geometry.ExtenderBelow += e.Below
	}
	return bike
}

// judge simulates a block and picks its cheapest combination.
func (s *search) judge(b *block) (Found, Reason, bool) {
	r, err := sim.NewRig(s.build(b))
	switch {
	case errors.Is(err, sim.ErrNoGeometry):
		return Found{}, NotSimulated, false
	case err != nil:
		return Found{}, DoesNotWork, false
	}
	n, fit, ok := r.Recommended()
	if !ok {
		return Found{}, DoesNotWork, false
	}
	f := s.found(b, n, fit)
	f.Knowledge = r.Derailleur.Knowledge
	if len(f.Lost) == len(fit.Gears) {
		return f, DoesNotWork, false
	}
	if s.wishes.LostGears >= 0 && len(f.Lost) > s.wishes.LostGears {
		return f, GearsLost, false
	}
	why, ok := s.complete(&f, b)
	return f, why, ok
}

// found reads the gears kept off a fit.
func (s *search) found(b *block, n int, fit sim.Fit) Found {
	f := Found{
		Choice: Choice{b.rings, b.cassette, b.derailleur, b.extender, -1, -1},
		Chain:  n, LargestStep: b.step, Lost: []gearing.GearID{}, Verdict: fit.Verdict(),
	}
	low, high, margin := math.Inf(1), 0.0, math.Inf(1)
	for i := range fit.Gears {
		g := &fit.Gears[i]
		if !g.State.Runs() {
			f.Lost = append(f.Lost, g.GearID)
			continue
		}
		ratio := float64(g.Ring) / float64(g.Cog)
		low, high = min(low, ratio), max(high, ratio)
		margin = min(margin, float64(g.Forward)-sim.LeastReserve, float64(g.Rearward))
	}
	f.Range = gearing.Percent(100 * high / low)
	f.Margin = gearing.Pitches(margin)
	f.Lowest, f.Highest = gearing.Metres(low), gearing.Metres(high) // ratios until a wheel is chosen
	return f
}

// complete chooses wheel and chain.
func (s *search) complete(f *Found, b *block) (Reason, bool) {
	low, high := float64(f.Lowest), float64(f.Highest)
	w := s.wheelFor(low, high)
	if w < 0 {
		if s.wishes.Lowest > 0 && low*s.smallestWheel > float64(s.wishes.Lowest) {
			return TooHigh, false
		}
		return TooLow, false
	}
	c := s.chainFor(f.Chain)
	if c < 0 {
		return ChainShort, false
	}
	wheel, chain := &s.wheels[w], &s.chains[c]
	f.Choice.Wheel, f.Choice.Chain = wheel.index, chain.index
	f.Lowest, f.Highest = gearing.Metres(low*wheel.rollOut), gearing.Metres(high*wheel.rollOut)
	f.cents = b.cents + wheel.cents + chain.cents
	f.Price = f.cents.Money()
	if s.wishes.HasBudget && f.cents > s.budget {
		return OverBudget, false
	}
	return 0, true
}
