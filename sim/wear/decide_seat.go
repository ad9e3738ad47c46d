package wear

import (
	"math"

	"cagewise/gearing"
	"cagewise/sim"
)

// SeatRadii is the window ISO 606 leaves for the radius of a tooth's roller
// seat: 0.505 d1 to 0.505 d1 + 0.069 times the cube root of d1, in mm (from
// memory).
func SeatRadii(roller gearing.MM) (smallest, largest gearing.MM) {
	smallest = 0.505 * roller
	return smallest, smallest + gearing.MM(0.069*math.Cbrt(float64(roller)))
}

// SeatPlay is how far a roller can shift along its seat, from flank to flank:
// twice the difference of the radii (derived here).
func SeatPlay(roller gearing.MM) (least, most gearing.MM) {
	small, large := SeatRadii(roller)
	return 2*small - roller, 2*large - roller
}

// bearingShare is the part of the chain pull under which a tooth counts as
// bearing nothing (invented here).
const bearingShare = 0.05

// BearingPitches is how many pitches of chain on a cog lie between the first
// tooth and the one that bears no more than a twentieth of the pull, by the
// geometric progression of sim.ToothLoads; half the teeth at most. It is 0
// under 5 teeth.
func BearingPitches(n gearing.Teeth) float64 {
	if n < 5 {
		return 0
	}
	loads := sim.ToothLoads(1, n, 2)
	return min(float64(n)/2, math.Log(bearingShare)/math.Log(loads[1]))
}

// Mismatch is how much shorter than the teeth of a cog of n a new chain is over
// the pitches that bear, when the cog has taken on the given part of a pitch
// (derived here).
func Mismatch(taken gearing.Percent, n gearing.Teeth) gearing.MM {
	return gearing.MM(float64(taken)/100*BearingPitches(n)) * gearing.Pitch
}

// classOf holds a mismatch against the play: up to the middle of the window
// most seats take it up, beyond its end none made to the standard does
// (invented here; on small cogs this comes near common practice, which sees
// trouble begin at 0.5 % and expects it from 0.75 %).
func classOf(mismatch gearing.MM) RiskClass {
	least, most := SeatPlay(gearing.RollerDiameter)
	switch {
	case mismatch <= (least+most)/2:
		return RiskLow
	case mismatch <= most:
		return RiskTry
	}
	return RiskLikely
}
