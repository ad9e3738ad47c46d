package search

import (
	"context"
	"slices"

	"cagewise/sim"
)

// mostNear is how many of the blocks nearest by arithmetic are simulated to find
// the nearest miss.
const mostNear = 2000

// near is a block with what arithmetic alone says of its wishes: the fewest it
// breaks with any chain and wheel, and the least by which.
type near struct {
	block
	pair  pair
	least short
}

// short is how far something falls short of the wishes.
type short struct {
	broken []Reason
	by     float64 // sum of relative misses
}

// say notes a wish that is missed: value against its bound. over tells that the
// value is over the bound and not under it.
func (s *short) say(r Reason, value, bound float64, over bool) {
	s.broken = append(s.broken, r)
	if over {
		s.by += value/bound - 1
	} else {
		s.by += bound/value - 1
	}
}

func (s *short) less(o *short) bool {
	if len(s.broken) != len(o.broken) {
		return len(s.broken) < len(o.broken)
	}
	return s.by < o.by
}

// nearest finds the combination that breaks the fewest wishes, and of those the
// one that misses them by the smallest share, among the mostNear blocks that
// are nearest by arithmetic; nil when none of them can be simulated. stopped
// tells that ctx ended before it was done.
func (s *search) nearest(ctx context.Context) (best *Miss, stopped bool) {
	var least short
	for _, n := range s.nearBlocks(ctx) {
		if ctx.Err() != nil {
			break
		}
		if best != nil && !n.least.less(&least) {
			break // sorted, and a simulation only adds to what is missed
		}
		n.block.pair = &n.pair
		m, missed, ok := s.miss(&n.block)
		if ok && (best == nil || missed.less(&least)) {
			best, least = &m, missed
		}
	}
	return best, ctx.Err() != nil
}

// miss simulates a block and finds, of its chains and wheels, the combination
// that falls least short.
func (s *search) miss(b *block) (Miss, short, bool) {
	k, why, works := s.simulate(b, (*sim.Rig).Quick)
	if k.Chain == 0 {
		return Miss{}, short{}, false
	}
	base := s.blockShort(b)
	if !works {
		base.broken = append(base.broken, why)
	}
	if s.wishes.LostGears >= 0 && len(k.Lost) > s.wishes.LostGears {
		base.say(GearsLost, float64(len(k.Lost)+1), float64(s.wishes.LostGears+1), true)
	}
	var m Miss
	var least short
	for c := range s.chains {
		for w := range s.wheels {
			missed := s.withShort(k, b, base, &s.chains[c], &s.wheels[w])
			if m.Broken == nil || missed.less(&least) {
				m, least = Miss{Found: k.with(b, &s.chains[c], &s.wheels[w]), Broken: missed.broken, Works: works}, missed
			}
		}
	}
	return m, least, len(m.Broken) > 0
}

// withShort is how far a simulated block falls short with a chain and a wheel.
func (s *search) withShort(k kept, b *block, base short, c *chainChoice, w *wheelChoice) short {
	missed := short{slices.Clone(base.broken), base.by}
	if c.pitches < k.Chain {
		missed.say(ChainShort, float64(max(c.pitches, 1)), float64(k.Chain), false)
	}
	s.endsShort(&missed, k.low*w.rollOut, k.high*w.rollOut)
	if cost := b.cents + c.cents + w.cents; s.wishes.HasBudget && cost > s.budget {
		missed.say(OverBudget, float64(cost), float64(max(s.budget, 1)), true)
	}
	return missed
}

// endsShort holds the lowest and highest development against the wishes.
func (s *search) endsShort(missed *short, low, high float64) {
	if w := float64(s.wishes.Lowest); w > 0 && low > w {
		missed.say(TooHigh, low, w, true)
	}
	if w := float64(s.wishes.Highest); w > 0 && high < w {
		missed.say(TooLow, high, w, false)
	}
}

// blockShort holds a block against the wishes that neither chain nor wheel
// changes: both ratings and the steps.
func (s *search) blockShort(b *block) short {
	var missed short
	rear := &s.bin.Derailleurs[b.derailleur].Rear
	if most := rear.RatedCapacity + s.wishes.OverCapacity; rear.RatedCapacity > 0 && s.wishes.OverCapacity >= 0 && b.capacity > most {
		missed.say(OverCapacity, float64(b.capacity), float64(most), true)
	}
	cogs := s.bin.Cassettes[b.cassette].Teeth
	if most := rear.LargestCog + s.wishes.OverCog; rear.LargestCog > 0 && s.wishes.OverCog >= 0 && cogs[len(cogs)-1] > most {
		missed.say(OverCog, float64(cogs[len(cogs)-1]), float64(most), true)
	}
	if w := s.wishes.LargestStep; w > 0 && b.step > w {
		missed.say(StepTooLarge, float64(b.step), float64(w), true)
	}
	return missed
}

// nearBlocks lists the blocks nearest to the wishes by arithmetic, nearest
// first and of equals the earlier in the bin.
func (s *search) nearBlocks(ctx context.Context) []near {
	var list []near
	before := func(a, b near) int {
		switch {
		case a.least.less(&b.least):
			return -1
		case b.least.less(&a.least):
			return 1
		}
		return 0
	}
	for n := range len(s.bin.RingSets) * len(s.bin.Cassettes) {
		if ctx.Err() != nil {
			return list
		}
		p := s.newPair(n/len(s.bin.Cassettes), n%len(s.bin.Cassettes))
		for k := range s.bin.Derailleurs {
			if !s.simulable[k] {
				continue
			}
			for e := -1; e < len(s.bin.Extenders); e++ {
				list = append(list, s.near(p, k, e))
			}
		}
		if len(list) > 4*mostNear {
			slices.SortStableFunc(list, before)
			list = list[:mostNear]
		}
	}
	slices.SortStableFunc(list, before)
	return list[:min(len(list), mostNear)]
}

// near adds up what arithmetic says against a block whatever its chain and
// wheel: a lower bound of what the simulation will find, as gears that are lost
// only narrow the range and parts only add to the price.
func (s *search) near(p pair, derailleur, extender int) near {
	n := near{pair: p}
	n.block = block{pair: &p, derailleur: derailleur, extender: extender, cents: p.cents + s.derailleurCents[derailleur]}
	if extender >= 0 {
		n.cents += s.extenderCents[extender]
	}
	n.least = s.blockShort(&n.block)
	s.endsShort(&n.least, p.low*s.smallestWheel, p.high*s.largestWheel)
	if cost := n.cents + s.cheapestRest; s.wishes.HasBudget && cost > s.budget {
		n.least.say(OverBudget, float64(cost), float64(max(s.budget, 1)), true)
	}
	return n
}
