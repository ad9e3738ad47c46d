package search

import (
	"cagewise/gearing"
)

// pair is a ring set on a cassette: all that follows from teeth alone.
type pair struct {
	rings, cassette int
	low, high       float64 // ratios of the lowest and highest gear
	step            gearing.Percent
	capacity        gearing.Teeth
	cents           cents
}

// newPair computes a pair. A gear that a derailleur costs later can only raise
// the lowest or lower the highest ratio, since the gears kept are some of
// these: low and high bound what any combination with the pair can give.
func (s *search) newPair(i, j int) pair {
	r, c := &s.bin.RingSets[i], &s.bin.Cassettes[j]
	rings, cogs := r.Teeth, c.Teeth
	p := pair{
		rings: i, cassette: j,
		low:  float64(rings[0]) / float64(cogs[len(cogs)-1]),
		high: float64(rings[len(rings)-1]) / float64(cogs[0]),
		step: s.steps[j], capacity: rings[len(rings)-1] - rings[0] + cogs[len(cogs)-1] - cogs[0],
		cents: s.ringCents[i] + s.cassetteCents[j],
	}
	return p
}

// largestStep is the largest step between neighbouring cogs.
func largestStep(cogs []gearing.Teeth) gearing.Percent {
	var step gearing.Percent
	for i := 1; i < len(cogs); i++ {
		step = max(step, gearing.StepPercent(float64(cogs[i-1]), float64(cogs[i])))
	}
	return step
}

// refused gives the first wish that a pair cannot meet with any wheel.
func (s *search) refused(p *pair) (Reason, bool) {
	w := &s.wishes
	if w.Lowest > 0 && p.low*s.smallestWheel > float64(w.Lowest) {
		return TooHigh, true
	}
	if w.Highest > 0 && p.high*s.largestWheel < float64(w.Highest) {
		return TooLow, true
	}
	if w.LargestStep > 0 && p.step > w.LargestStep {
		return StepTooLarge, true
	}
	if !s.anyWheel(p.low, p.high) {
		return TooHigh, true
	}
	return 0, false
}

// anyWheel tells whether some wheel brings both ends where they are wished.
func (s *search) anyWheel(low, high float64) bool {
	return s.wheelFor(low, high) >= 0
}

// wheelFor is the first of the cheapest wheels with which ratios from low to
// high meet the wishes, as an index into wheels; -1: none.
func (s *search) wheelFor(low, high float64) int {
	best := -1
	for i := range s.wheels {
		w := &s.wheels[i]
		if s.wishes.Lowest > 0 && low*w.rollOut > float64(s.wishes.Lowest) || s.wishes.Highest > 0 && high*w.rollOut < float64(s.wishes.Highest) {
			continue
		}
		if best < 0 || w.cents < s.wheels[best].cents {
			best = i
		}
	}
	return best
}

// rollOut is that of a wheel by its place in the bin; -1: the build's own.
func (s *search) rollOut(index int) float64 {
	return s.wheels[max(index, 0)].rollOut
}

// chainFor is the first of the cheapest chains that reach n pitches; -1: none.
func (s *search) chainFor(n int) int {
	best := -1
	for i := range s.chains {
		c := &s.chains[i]
		if c.pitches >= n && (best < 0 || c.cents < s.chains[best].cents) {
			best = i
		}
	}
	return best
}
