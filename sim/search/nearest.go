package search

import (
	"context"
	"slices"
)

// mostNear is how many of the combinations nearest by arithmetic are simulated
// to find the nearest miss.
const mostNear = 2000

// near is a block with what arithmetic says of its wishes.
type near struct {
	block
	pair   pair
	broken []Reason
	short  float64 // sum of relative misses
}

// nearest finds the combination that breaks the fewest wishes, and of those the
// one that misses them by the smallest share, among the mostNear blocks that
// are nearest by arithmetic; nil when nothing can be simulated.
func (s *search) nearest(ctx context.Context) *Miss {
	var best *Miss
	bestShort := 0.0
	for _, n := range s.nearBlocks(ctx) {
		if ctx.Err() != nil {
			break
		}
		if best != nil && (len(n.broken) > len(best.Broken) || len(n.broken) == len(best.Broken) && n.short >= bestShort) {
			break // sorted: nothing nearer can follow, as a simulation only adds to what is broken
		}
		n.block.pair = &n.pair
		m, ok := s.miss(&n)
		if ok && (best == nil || len(m.Broken) < len(best.Broken) || len(m.Broken) == len(best.Broken) && n.short < bestShort) {
			best, bestShort = &m, n.short
		}
	}
	return best
}

// miss simulates a block that breaks wishes.
func (s *search) miss(n *near) (Miss, bool) {
	loose := *s
	loose.wishes = Wishes{LostGears: -1, OverCapacity: -1, OverCog: -1}
	f, why, ok := loose.judge(&n.block)
	m := Miss{Found: f, Broken: slices.Clone(n.broken), Works: ok}
	if !ok {
		if why == NotSimulated {
			return Miss{}, false
		}
		m.Broken = append(m.Broken, why)
		return m, f.Chain > 0
	}
	if s.wishes.LostGears >= 0 && len(f.Lost) > s.wishes.LostGears {
		m.Broken = append(m.Broken, GearsLost)
	}
	return m, true
}

// nearBlocks lists the blocks nearest to the wishes by arithmetic, nearest
// first.
func (s *search) nearBlocks(ctx context.Context) []near {
	var list []near
	before := func(a, b near) int {
		switch {
		case len(a.broken) != len(b.broken):
			return len(a.broken) - len(b.broken)
		case a.short < b.short:
			return -1
		case a.short > b.short:
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

// near adds up what arithmetic says against a block.
func (s *search) near(p pair, derailleur, extender int) near {
	n := near{pair: p}
	n.block = block{pair: &p, derailleur: derailleur, extender: extender, cents: p.cents + s.derailleurCents[derailleur]}
	if extender >= 0 {
		n.cents += s.extenderCents[extender]
	}
	say := func(r Reason, value, bound float64) {
		n.broken = append(n.broken, r)
		n.short += max(value/bound, bound/value) - 1
	}
	w := &s.wishes
	if low := p.low * s.smallestWheel; w.Lowest > 0 && low > float64(w.Lowest) {
		say(TooHigh, low, float64(w.Lowest))
	}
	if high := p.high * s.largestWheel; w.Highest > 0 && high < float64(w.Highest) {
		say(TooLow, high, float64(w.Highest))
	}
	if w.LargestStep > 0 && p.step > w.LargestStep {
		say(StepTooLarge, float64(p.step), float64(w.LargestStep))
	}
	if why, bad := s.ratingBroken(&n.block); bad {
		rear := s.bin.Derailleurs[derailleur].Rear
		if why == OverCapacity {
			say(why, float64(p.capacity), float64(rear.RatedCapacity))
		} else {
			cogs := s.bin.Cassettes[p.cassette].Teeth
			say(why, float64(cogs[len(cogs)-1]), float64(rear.LargestCog))
		}
	}
	if cost := n.cents + s.cheapestRest; w.HasBudget && cost > s.budget {
		say(OverBudget, float64(cost), float64(max(s.budget, 100)))
	}
	return n
}
