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

// block puts one together.
func (s *search) block(p *pair, derailleur, extender int) block {
	b := block{pair: p, derailleur: derailleur, extender: extender, cents: p.cents + s.derailleurCents[derailleur]}
	if extender >= 0 {
		b.cents += s.extenderCents[extender]
	}
	return b
}

// blockOf is the block of a choice.
func (s *search) blockOf(c Choice) block {
	p := s.newPair(c.Rings, c.Cassette)
	return s.block(&p, c.Derailleur, c.Extender)
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

// looked is a block as a simulation leaves it: what its combinations share.
type looked struct {
	sim.Quick
	low, high float64 // ratios of the lowest and highest gear kept
	rig       *sim.Rig
	advice    *sim.Advice // of a close look, else nil
}

// glance looks at a block by a thin sample.
func (s *search) glance(b *block) (looked, Reason, bool) {
	r, why, ok := s.rig(b)
	if !ok {
		return looked{}, why, false
	}
	return s.read(b, looked{Quick: r.Quick(), rig: r}), 0, true
}

// closely looks at a block by the whole sample: what every other command says.
func (s *search) closely(b *block) (looked, Reason, bool) {
	r, why, ok := s.rig(b)
	if !ok {
		return looked{}, why, false
	}
	a := r.Advise()
	q := sim.Quick{Verdict: a.Verdict, Chance: a.Chance, Length: a.Length, Margin: r.Margin(&a), Lost: make([]bool, len(a.Gears))}
	for i := range a.Gears {
		if q.Lost[i] = a.Gears[i].Lost; q.Lost[i] {
			q.Surely++
		}
	}
	return s.read(b, looked{Quick: q, rig: r, advice: &a}), 0, true
}

// rig makes a block ready for the simulation.
func (s *search) rig(b *block) (*sim.Rig, Reason, bool) {
	r, err := s.likeOf(b.derailleur).For(s.build(b))
	switch {
	case errors.Is(err, sim.ErrNoGeometry):
		return nil, NotSimulated, false
	case err != nil:
		return nil, DoesNotWork, false
	}
	return r, 0, true
}

// read finds the ends of the gears kept; where none is kept, of all of them, for
// what they are worth.
func (s *search) read(b *block, l looked) looked {
	l.low, l.high = math.Inf(1), 0
	for i, lost := range l.Lost {
		if lost {
			continue
		}
		g := l.rig.Gear(i)
		ratio := float64(g.Ring) / float64(g.Cog)
		l.low, l.high = min(l.low, ratio), max(l.high, ratio)
	}
	if l.high == 0 {
		l.low, l.high = b.low, b.high
	}
	return l
}

// choose picks the cheapest chain and wheel with which a block that was looked at
// meets every wish, or gives the first wish that it cannot meet. At a glance a
// gear that is lost only perhaps is not held against it.
func (s *search) choose(b *block, l *looked) (score, Reason, bool) {
	switch {
	case !l.Verdict.Yes():
		return score{}, DoesNotWork, false
	case s.wishes.LostGears >= 0 && l.Surely > s.wishes.LostGears:
		return score{}, GearsLost, false
	}
	w := s.wheelFor(l.low, l.high)
	if w < 0 {
		if s.wishes.Lowest > 0 && l.low*s.smallestWheel > float64(s.wishes.Lowest) {
			return score{}, TooHigh, false
		}
		return score{}, TooLow, false
	}
	c := s.chainFor(l.Length)
	if c < 0 {
		return score{}, ChainShort, false
	}
	f := s.score(b, l, &s.chains[c], &s.wheels[w])
	if s.wishes.HasBudget && f.cents > s.budget {
		return score{}, OverBudget, false
	}
	return f, 0, true
}

// score is a block with a chain and a wheel, as they are held against each other.
func (s *search) score(b *block, l *looked, c *chainChoice, w *wheelChoice) score {
	return score{
		Choice: Choice{b.rings, b.cassette, b.derailleur, b.extender, c.index, w.index},
		spread: gearing.Percent(100 * l.high / l.low), step: b.step, margin: gearing.Pitches(l.Margin),
		cents: b.cents + c.cents + w.cents,
	}
}

// found is a score with all that a close look says of it.
func (s *search) found(b *block, l *looked, at score) Found {
	rollOut, a := s.rollOut(at.Wheel), l.advice
	return Found{
		Choice: at.Choice, Range: at.spread, LargestStep: at.step, Margin: at.margin, Price: at.cents.Money(), cents: at.cents,
		Lowest: gearing.Metres(l.low * rollOut), Highest: gearing.Metres(l.high * rollOut),
		Chain: a.Length, Order: a.Order, Lost: a.Lost(), Doubtful: a.Doubtful(), Verdict: a.Verdict,
		Chance: a.Chance, Danger: a.LengthDanger, Knowledge: a.Knowledge, Advice: *a,
	}
}
