package wear

import (
	"math"
	"slices"

	"cagewise/gearing"
)

// apart finds the gear in which the suspects' rhythms lie furthest apart,
// counted with the same standard error, sigma crank turns; ok is false with fewer
// than two of them, or when no gear helps. Ties go to the gear that stands first,
// ring by ring from the largest.
func (b FaultBuild) apart(g gearing.GearID, suspects []Suspect, sigma float64) (best Apart, ok bool) {
	if len(suspects) < 2 {
		return Apart{}, false
	}
	const equal = 1e-9 // errors; up to rounding
	most := 0.0
	for _, other := range b.others(g) {
		a := Apart{GearID: other}
		for _, s := range suspects {
			a.Rhythms = append(a.Rhythms, b.inGear(g, other, s.Rhythm))
		}
		if least := leastGap(a.Rhythms) / sigma; least > most+equal {
			best, most = a, least
		}
	}
	return best, most > withinErrors
}

// others are all other gears, the largest ring and cog first.
func (b FaultBuild) others(g gearing.GearID) []gearing.GearID {
	var list []gearing.GearID
	for _, ring := range descending(append(slices.Clone(b.Rings), g.Ring)) {
		for _, cog := range descending(append(slices.Clone(b.Cogs), g.Cog)) {
			if other := (gearing.GearID{Ring: ring, Cog: cog}); other != g {
				list = append(list, other)
			}
		}
	}
	return list
}

func descending(list []gearing.Teeth) []gearing.Teeth {
	slices.Sort(list)
	list = slices.Compact(list)
	slices.Reverse(list)
	return list
}

// inGear is a suspect of gear g in another gear. Only a tooth of the cog, or of
// the ring, can be gone; what turns with the cranks stays.
func (b FaultBuild) inGear(g, other gearing.GearID, r Rhythm) ApartRhythm {
	a := ApartRhythm{Part: r.Part, EveryOther: r.EveryOther, Gone: r.Part == FaultCog && other.Cog != g.Cog}
	pitches := map[FaultPart]gearing.Teeth{
		FaultChain: gearing.Teeth(b.Pitches), FaultRing: other.Ring, FaultCog: other.Cog, FaultWheel: other.Cog,
		FaultGuide: b.Guide, FaultTension: b.Tension, FaultPulleys: b.Guide,
	}[r.Part]
	a.Turns = float64(pitches) / float64(other.Ring)
	if r.EveryOther {
		a.Turns *= 2
	}
	return a
}

// leastGap is how near the nearest two rhythms come; one that is gone is far
// from all others. Two of the same part differ in nothing that a gear shows, and
// count as one.
func leastGap(list []ApartRhythm) float64 {
	gap := math.Inf(1)
	for i, x := range list {
		for _, y := range list[i+1:] {
			if x.Gone != y.Gone || x.Part == y.Part {
				continue
			}
			gap = min(gap, math.Abs(x.Turns-y.Turns))
		}
	}
	if math.IsInf(gap, 1) {
		return goneGap
	}
	return gap
}

// goneGap stands for two rhythms of which one is gone, in crank turns.
const goneGap = 10.0
