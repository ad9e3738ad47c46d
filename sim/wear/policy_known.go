package wear

import (
	"cmp"
	"slices"
)

// KnownRate is how a chain of a log wears, and how that is known.
type KnownRate struct {
	Chain *ChainWear
	Shape WearShape
	// Straight tells that it is a straight line from new to the last distance
	// read, without a forecast.
	Straight bool
	// Of is how many chains of the log have a rate.
	Of int
}

// BestRate takes the chain whose rate has the smallest standard error, of its
// forecast or else of the line from new to its last reading; one that gauges alone
// hold from one side only when there is no other; among equals one on the bike,
// and of those the one fitted last. ok is false when no chain has a rate.
func BestRate(chains []ChainWear) (best KnownRate, ok bool) {
	var rates []KnownRate
	for i := range chains {
		if k, known := rateOf(&chains[i]); known {
			rates = append(rates, k)
		}
	}
	if len(rates) == 0 {
		return best, false
	}
	slices.SortStableFunc(rates, func(a, b KnownRate) int {
		return cmp.Or(lessSure(a)-lessSure(b), cmp.Compare(a.Shape.RateError, b.Shape.RateError), newer(a.Chain, b.Chain))
	})
	best = rates[0]
	best.Of = len(rates)
	return best, true
}

// lessSure puts chains of which gauges alone tell after all others.
func lessSure(k KnownRate) int {
	if k.Straight && k.Chain.Now.Bound {
		return 1
	}
	return 0
}

func rateOf(c *ChainWear) (k KnownRate, ok bool) {
	k.Chain = c
	if c.Forecast != nil {
		k.Shape = ShapeOf(c.Forecast)
		return k, true
	}
	k.Straight = true
	k.Shape, ok = StraightFrom(stateOf(c, 0))
	return k, ok
}

// newer puts chains on the bike first, and of those the one fitted last.
func newer(a, b *ChainWear) int {
	if off := isOff(a.Part); off != isOff(b.Part) {
		if off {
			return 1
		}
		return -1
	}
	return cmp.Compare(b.Part.FittedKM, a.Part.FittedKM)
}
