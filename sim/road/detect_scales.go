package road

import (
	"cmp"
	"math"
	"slices"

	"cagewise/gearing"
)

// wheelSearch tries scales; a place is the number of steps from the build's.
type wheelSearch struct {
	table  gearing.Table
	counts []float64
	noise  float64
	seen   map[int]float64
}

// scaleAt is the logarithm of the scale tried at a place.
func scaleAt(place int) float64 { return float64(place) * wheelStep }

// percentAt is how much larger the wheel is at a place, in percent.
func percentAt(place int) float64 { return 100 * math.Expm1(scaleAt(place)) }

func steps(places int) int { return max(places, -places) }

// likely is the logarithm of the likelihood at a place.
func (s *wheelSearch) likely(place int) float64 {
	l, ok := s.seen[place]
	if !ok {
		l = newWheelMixture(s.table, s.counts, s.noise, scaleAt(place)).fit() / wheelAlike
		s.seen[place] = l
	}
	return l
}

func (s *wheelSearch) strays(place int) float64 {
	m := newWheelMixture(s.table, s.counts, s.noise, scaleAt(place))
	m.fit()
	return m.strays()
}

// tops are the places of all peaks and of ends that rise, the likeliest first.
func (s *wheelSearch) tops() []int {
	places, list := s.places(), []int{}
	for k, at := range places {
		l := s.likely(at)
		if k > 0 && s.likely(places[k-1]) > l || k+1 < len(places) && s.likely(places[k+1]) >= l {
			continue
		}
		list = append(list, s.climb(at))
	}
	slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(s.likely(b), s.likely(a)) })
	return list
}

// places are those looked at first, a third of the noise apart: peaks are as
// wide as the noise.
func (s *wheelSearch) places() []int {
	stride := min(max(int(s.noise/(3*wheelStep)), 1), wheelStride)
	var list []int
	for at := -wheelReach; at < wheelReach; at += stride {
		list = append(list, at)
	}
	return append(list, wheelReach)
}

// climb goes up step by step from a place.
func (s *wheelSearch) climb(at int) int {
	for {
		next := at
		for _, to := range []int{at - 1, at + 1} {
			if steps(to) <= wheelReach && s.likely(to) > s.likely(next) {
				next = to
			}
		}
		if next == at {
			return at
		}
		at = next
	}
}

// rival is the likeliest of the other peaks of a kind, if it comes near the
// first.
func (s *wheelSearch) rival(tops []int, kind func(int) bool) (place int, ok bool) {
	for _, at := range tops[1:] {
		if kind(at) && steps(at-tops[0]) > wheelApart {
			return at, s.likely(tops[0])-s.likely(at) < wheelClear
		}
	}
	return 0, false
}

// flat tells that scales near the build's are as likely as the best of them.
func (s *wheelSearch) flat(best int) bool {
	for _, at := range s.places() {
		if isNear(at) && steps(at-best) > wheelApart && s.likely(best)-s.likely(at) < wheelClear {
			return true
		}
	}
	return false
}

// peak lays a parabola through three likelihoods: its top is the scale and its
// bend the error.
func peak(left, top, right, at float64) WheelFit {
	bend := (left - 2*top + right) / (wheelStep * wheelStep) // below zero
	slope := (right - left) / (2 * wheelStep)
	if !(bend < 0) {
		return noWheel("the likelihood has no peak")
	}
	return WheelFit{Scale: math.Exp(at - slope/bend), Error: 1 / math.Sqrt(-bend), Found: true}
}
