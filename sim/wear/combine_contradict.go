package wear

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Contradiction is two readings that do not go together as they were read.
type Contradiction struct {
	A int `json:"a"` // indices of ChainWear.Estimates
	B int `json:"b"`
	// Z is how many standard errors they are apart as read, before any
	// correction for roller play; 0 when it is their dates that disagree.
	Z float64 `json:"standard_errors_apart"`
	// Compatible tells that roller play explains it: both can be right.
	Compatible bool   `json:"compatible"`
	Words      string `json:"words"`

	gap float64 // between the two, percent
}

// mostContradictions are listed, the clearest; the rest are counted.
const mostContradictions = 20

// side is a reading as a range with a standard error.
type side struct{ low, high, sigma float64 }

// apart is the gap between two readings in standard errors.
func (a side) apart(b side) float64 {
	return a.gap(b) / math.Hypot(a.sigma, b.sigma)
}

func (a side) gap(b side) float64 { return max(0, a.low-b.high, b.low-a.high) }

// asRead is the reading without any correction.
func (m measured) asRead() side { return ranged(m.value, m.sigma, m.bound) }

// corrected is the reading less the play that k expects.
func (m measured) corrected(k play) side {
	e := k.solve(m.value, m.perMM)
	_, sd := k.at(e)
	return ranged(e, math.Hypot(m.sigma, m.perMM*sd)/k.gain(m.perMM), m.bound)
}

func ranged(at, sigma float64, bound int) side {
	s := side{at, at, sigma}
	if bound > 0 {
		s.high = math.Inf(1)
	}
	if bound < 0 {
		s.low = math.Inf(-1)
	}
	return s
}

// suspect is a pair to be judged once it is known how many pairs there are.
type suspect struct {
	a, b        int
	asRead, net float64 // standard errors apart, before and after correction
	gap         float64 // in percent
	kind        suspectKind
	expected    float64 // of fallsShort: where the earlier readings lead
	high, low   float64 // of shrinks: what the earlier and the later one come to
}

// shares tells whether two pairs have a reading in common.
func (p suspect) shares(q suspect) bool {
	return p.kind != clock && (p.a == q.a || p.a == q.b || p.b == q.a || p.b == q.b)
}

type suspectKind int

const (
	sameDistance suspectKind = iota
	shrinks
	fallsShort // of where the earlier readings lead
	clock
)

// contradict compares the readings of every distance with the best one there,
// distances with the ones before, and dates.
func (c *ChainWear) contradict(readings []reading, groups []group, prior, k play) {
	var pairs []suspect
	for _, g := range groups {
		pairs = append(pairs, withinGroup(readings, g, prior)...)
	}
	pairs = append(pairs, shrinking(readings, groups, prior)...)
	limit := clearly(len(pairs))
	pairs = append(pairs, clocks(readings)...)
	pairs = append(pairs, c.shortfall(readings, groups, prior, k)...)
	compatible := -1
	var found []suspect
	for i, p := range pairs {
		switch {
		case p.kind == fallsShort:
			if !slices.ContainsFunc(found, func(q suspect) bool { return q.kind == shrinks && q.b == p.b }) {
				found = append(found, p)
			}
		case p.kind == clock || p.net > limit:
			found = append(found, p)
		case p.asRead >= 1 && explains(readings, p) && (compatible < 0 || c.tells(p, pairs[compatible])):
			compatible = i
		}
	}
	found = c.clearest(found)
	if compatible >= 0 && !slices.ContainsFunc(found, func(q suspect) bool { return q.shares(pairs[compatible]) }) {
		c.Contradictions = append(c.Contradictions, c.together(pairs[compatible], readings, k))
	}
	for _, p := range found {
		c.Contradictions = append(c.Contradictions, c.odds(p, limit, readings))
	}
}

// tells says whether p is the better example: further on, or further apart.
func (c *ChainWear) tells(p, than suspect) bool {
	return cmp.Or(cmp.Compare(c.pointOf(p.a).KM, c.pointOf(than.a).KM), cmp.Compare(p.asRead, than.asRead)) > 0
}

// clearly is the gap in standard errors that one pair out of n passes by chance
// in one log out of twenty.
func clearly(n int) float64 {
	return distuv.UnitNormal.Quantile(1 - 0.025/float64(max(n, 1)))
}

// clearest keeps those furthest apart, in the order of the readings.
func (c *ChainWear) clearest(found []suspect) []suspect {
	if len(found) > mostContradictions {
		c.MoreContradictions = len(found) - mostContradictions
		slices.SortStableFunc(found, func(a, b suspect) int { return cmp.Compare(b.net, a.net) })
		found = found[:mostContradictions]
	}
	slices.SortStableFunc(found, func(a, b suspect) int { return cmp.Or(a.a-b.a, a.b-b.b) })
	return found
}

// withinGroup compares each reading of a distance with the most precise value
// there, and the bounds with each other.
func withinGroup(readings []reading, g group, k play) (pairs []suspect) {
	best, floor, roof := extremes(readings, g, k)
	for _, i := range g.from {
		if best >= 0 && i != best {
			pairs = append(pairs, suspectOf(readings, best, i, k))
		}
	}
	if floor >= 0 && roof >= 0 {
		pairs = append(pairs, suspectOf(readings, floor, roof, k))
	}
	return pairs
}

func suspectOf(readings []reading, a, b int, k play) suspect {
	ma, mb := readings[a].m, readings[b].m
	ca, cb := ma.corrected(k), mb.corrected(k)
	p := suspect{a: min(a, b), b: max(a, b), asRead: ma.asRead().apart(mb.asRead()), net: ca.apart(cb), gap: ca.gap(cb)}
	if ma.perMM == mb.perMM { // the play is in both and cancels
		p.net = p.asRead
	}
	return p
}

// extremes are the most precise value of a distance, the highest lower bound
// and the lowest upper bound; -1 where there is none.
func extremes(readings []reading, g group, k play) (best, floor, roof int) {
	best, floor, roof = -1, -1, -1
	var top, low, high float64
	for _, i := range g.from {
		s := readings[i].m.corrected(k)
		switch bound := readings[i].m.bound; {
		case bound == 0 && (best < 0 || s.sigma < top):
			best, top = i, s.sigma
		case bound > 0 && (floor < 0 || s.low > low):
			floor, low = i, s.low
		case bound < 0 && (roof < 0 || s.high < high):
			roof, high = i, s.high
		}
	}
	return best, floor, roof
}

// stand is the elongation at a distance or a bound on it, by the reading that
// tells it best.
type stand struct {
	reading  int // -1: nothing tells
	e, sigma float64
}

// stands are what a distance says the elongation is at most and at least: its
// value for both, or else its lowest upper and its highest lower bound.
func stands(readings []reading, g group, k play) (most, least stand) {
	best, floor, roof := extremes(readings, g, k)
	if g.valued {
		s := stand{best, g.e, math.Sqrt(g.variance)}
		return s, s
	}
	most.reading, least.reading = roof, floor
	if roof >= 0 {
		s := readings[roof].m.corrected(k)
		most.e, most.sigma = s.high, s.sigma
	}
	if floor >= 0 {
		s := readings[floor].m.corrected(k)
		least.e, least.sigma = s.low, s.sigma
	}
	return most, least
}

// shrinking compares each distance with the clearest high point before it.
func shrinking(readings []reading, groups []group, k play) (pairs []suspect) {
	high := stand{reading: -1}
	for _, g := range groups {
		most, least := stands(readings, g, k)
		if high.reading >= 0 && most.reading >= 0 {
			gap := max(0, high.e-most.e)
			z := gap / math.Hypot(high.sigma, most.sigma)
			pairs = append(pairs, suspect{a: high.reading, b: most.reading, asRead: z, net: z, gap: gap, kind: shrinks, high: high.e, low: most.e})
		}
		if least.reading >= 0 && (high.reading < 0 || least.e-least.sigma > high.e-high.sigma) {
			high = least
		}
	}
	return pairs
}

// clocks finds readings at a longer distance with an earlier date.
func clocks(readings []reading) (pairs []suspect) {
	latest := -1
	for i, q := range readings {
		if q.r.On.IsZero() {
			continue
		}
		if latest >= 0 && q.r.On.Before(readings[latest].r.On) {
			pairs = append(pairs, suspect{a: latest, b: i, kind: clock})
			continue
		}
		latest = i
	}
	return pairs
}
