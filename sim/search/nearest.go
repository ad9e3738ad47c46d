package search

import (
	"container/heap"
	"context"
	"slices"
)

// mostNear is how many of the blocks nearest by arithmetic are looked at to find
// the nearest miss.
const mostNear = 2000

// depth is how well something is known.
type depth int

const (
	byTeeth  depth = iota // by arithmetic alone: it may miss more
	byGlance              // by the thin sample
	byClose               // by the whole one
)

// near is a block with what is known of how far it falls short of the wishes with
// the chain and wheel that serve it best: by arithmetic the fewest that it breaks
// with any, and the least by which.
type near struct {
	block
	pair  pair
	place int // in the order of arithmetic
	known depth
	least short
	miss  *Miss // when looked at closely
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

// miss looks for the combination that breaks the fewest wishes, and of those the
// one that misses them by the smallest share. Should a close look show one that
// breaks none, it is among the best after all.
func (s *search) miss(ctx context.Context, r *Result) {
	n, stopped := s.nearest(ctx)
	r.NearestPartial = stopped
	switch {
	case n == nil:
	case len(n.miss.Broken) == 0:
		r.Best = s.sift([]score{{Choice: n.miss.Choice}}).best
	default:
		r.Nearest = n.miss
	}
}

// queue holds blocks, the nearest first.
type queue []*near

func (q queue) Len() int      { return len(q) }
func (q queue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q queue) Less(i, j int) bool {
	if a, b := &q[i].least, &q[j].least; a.less(b) || b.less(a) {
		return a.less(b)
	}
	return q[i].place < q[j].place
}
func (q *queue) Push(x any) { *q = append(*q, x.(*near)) }
func (q *queue) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}

// nearest finds the nearest block among the mostNear nearest by arithmetic, by
// looking at the one that seems nearest until that has been looked at closely: a
// glance only adds to what arithmetic says is missed. It is nil when none can be
// simulated. stopped tells that ctx ended before it was done.
func (s *search) nearest(ctx context.Context) (n *near, stopped bool) {
	list := s.nearBlocks(ctx)
	q := make(queue, len(list))
	for i := range list {
		list[i].block.pair, list[i].place = &list[i].pair, i
		q[i] = &list[i]
	}
	heap.Init(&q)
	for len(q) > 0 && ctx.Err() == nil {
		switch n := q[0]; {
		case n.known == byClose:
			return n, false
		case s.lookAt(n):
			heap.Fix(&q, 0)
		default:
			heap.Pop(&q)
		}
	}
	return nil, ctx.Err() != nil
}

// lookAt looks at a block once more; false when it cannot be simulated.
func (s *search) lookAt(n *near) bool {
	look := s.glance
	if n.known++; n.known == byClose {
		look = s.closely
	}
	l, _, ok := look(&n.block)
	if !ok || l.Length == 0 {
		return false
	}
	base := s.blockShort(&n.block)
	if !l.Verdict.Yes() {
		base.say(DoesNotWork, max(l.Chance, leastChance), yesChance, false)
	}
	if s.wishes.LostGears >= 0 && l.Surely > s.wishes.LostGears {
		base.say(GearsLost, float64(l.Surely+1), float64(s.wishes.LostGears+1), true)
	}
	cost := cents(-1)
	for c := range s.chains {
		for w := range s.wheels {
			missed, sum := s.withShort(&n.block, &l, base, &s.chains[c], &s.wheels[w]), s.chains[c].cents+s.wheels[w].cents
			if cost >= 0 && !missed.less(&n.least) && (n.least.less(&missed) || sum >= cost) {
				continue
			}
			n.least, cost = missed, sum
			if n.known == byClose {
				at := s.score(&n.block, &l, &s.chains[c], &s.wheels[w])
				n.miss = &Miss{Found: s.found(&n.block, &l, at), Broken: missed.broken, Works: l.Verdict.Yes()}
			}
		}
	}
	return true
}

// Chances against which one that is no yes is held.
const (
	yesChance   = 0.75
	leastChance = 0.01
)

// withShort is how far a block falls short with a chain and a wheel.
func (s *search) withShort(b *block, l *looked, base short, c *chainChoice, w *wheelChoice) short {
	missed := short{slices.Clone(base.broken), base.by}
	if c.pitches < l.Length {
		missed.say(ChainShort, float64(max(c.pitches, 1)), float64(l.Length), false)
	}
	s.endsShort(&missed, l.low*w.rollOut, l.high*w.rollOut)
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
	n.block = s.block(&p, derailleur, extender)
	n.least = s.blockShort(&n.block)
	s.endsShort(&n.least, p.low*s.smallestWheel, p.high*s.largestWheel)
	if cost := n.cents + s.cheapestRest; s.wishes.HasBudget && cost > s.budget {
		n.least.say(OverBudget, float64(cost), float64(max(s.budget, 1)), true)
	}
	return n
}
