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

// kept is a block as the simulation leaves it: what its combinations share, with
// the ratios of the lowest and highest gear kept.
type kept struct {
	Found
	low, high float64
}

// simulate advises on a block. ok is false when that is not a yes; the figures
// are then those of the advice.
func (s *search) simulate(b *block, advise func(r *sim.Rig) sim.Advice) (k kept, why Reason, ok bool) {
	r, err := s.likeOf(b.derailleur).For(s.build(b))
	switch {
	case errors.Is(err, sim.ErrNoGeometry):
		return kept{}, NotSimulated, false
	case err != nil:
		return kept{}, DoesNotWork, false
	}
	a := advise(r)
	k = s.kept(b, &a)
	k.Margin = gearing.Pitches(r.Margin(&a))
	if !a.Verdict.Yes() {
		return k, DoesNotWork, false
	}
	return k, 0, true
}

// kept reads the gears kept off an advice.
func (s *search) kept(b *block, a *sim.Advice) kept {
	k := kept{low: math.Inf(1)}
	k.Found = Found{
		Choice: Choice{b.rings, b.cassette, b.derailleur, b.extender, -1, -1},
		Chain:  a.Length, LargestStep: b.step, Lost: a.Lost(), Verdict: a.Verdict,
		Chance: a.Chance, Danger: a.LengthDanger, Order: a.Order, Knowledge: a.Knowledge,
	}
	for i := range a.Gears {
		if g := &a.Gears[i]; !g.Lost {
			ratio := float64(g.Ring) / float64(g.Cog)
			k.low, k.high = min(k.low, ratio), max(k.high, ratio)
		}
	}
	if k.high == 0 { // none is kept: all of them, for what they are worth
		k.low, k.high = b.low, b.high
	}
	k.Range = gearing.Percent(100 * k.high / k.low)
	return k
}

// with is a kept block with a chain and a wheel.
func (k kept) with(b *block, c *chainChoice, w *wheelChoice) Found {
	f := k.Found
	f.Choice.Chain, f.Choice.Wheel = c.index, w.index
	f.Lowest, f.Highest = gearing.Metres(k.low*w.rollOut), gearing.Metres(k.high*w.rollOut)
	f.cents = b.cents + w.cents + c.cents
	f.Price = f.cents.Money()
	return f
}

// judge simulates a block by a thin sample and picks its cheapest combination
// that meets every wish.
func (s *search) judge(b *block) (Found, Reason, bool) { return s.judgeBy(b, (*sim.Rig).Quick) }

func (s *search) judgeBy(b *block, advise func(r *sim.Rig) sim.Advice) (Found, Reason, bool) {
	k, why, ok := s.simulate(b, advise)
	if !ok {
		return Found{}, why, false
	}
	if s.wishes.LostGears >= 0 && len(k.Lost) > s.wishes.LostGears {
		return Found{}, GearsLost, false
	}
	w := s.wheelFor(k.low, k.high)
	if w < 0 {
		if s.wishes.Lowest > 0 && k.low*s.smallestWheel > float64(s.wishes.Lowest) {
			return Found{}, TooHigh, false
		}
		return Found{}, TooLow, false
	}
	c := s.chainFor(k.Chain)
	if c < 0 {
		return Found{}, ChainShort, false
	}
	f := k.with(b, &s.chains[c], &s.wheels[w])
	if s.wishes.HasBudget && f.cents > s.budget {
		return Found{}, OverBudget, false
	}
	return f, 0, true
}
