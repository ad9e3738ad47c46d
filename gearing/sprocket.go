package gearing

import "math"

// RollerDiameter is the roller of derailleur chains (ISO 9633, ISO 606 chain
// 081; secondary source, see testdata/chain_dimensions.csv).
const RollerDiameter MM = 7.75

// PitchRadius is the radius of the circle through the pins of a chain of the
// given pitch seated on n teeth: p / (2 sin(pi/n)) (ISO 606; ASME B29.1).
// n must be at least 3; below that it returns 0.
func PitchRadius(n Teeth, pitch MM) MM {
	if n < 3 {
		return 0
	}
	return pitch / MM(2*math.Sin(math.Pi/float64(n)))
}

// Radius is PitchRadius at the bicycle pitch of 12.7 mm.
func (t Teeth) Radius() MM {
	if t >= 0 && int(t) < len(radii) {
		return radii[t]
	}
	return PitchRadius(t, Pitch)
}

// radii saves the sines of the wheels that every loop asks for.
var radii = func() (r [MaxTeeth + 1]MM) {
	for n := range r {
		r[n] = PitchRadius(Teeth(n), Pitch)
	}
	return r
}()

// EffectiveRadius is the mean lever arm of the chain over one tooth of
// rotation, n p / (2 pi): a chain advances exactly n pitches a turn (derived
// here). It is what turns torque into chain pull, and lies a little under
// PitchRadius.
func (t Teeth) EffectiveRadius() MM { return MM(t) * Pitch / (2 * math.Pi) }

// TipDiameters is the window ISO 606 leaves for the diameter over the tooth
// tips: at most d + 1.25 p - d1, at least d + p (1 - 1.6/n) - d1, where d is
// the pitch diameter and d1 the roller.
func TipDiameters(n Teeth, pitch, roller MM) (smallest, largest MM) {
	d := 2 * PitchRadius(n, pitch)
	if d == 0 {
		return 0, 0
	}
	smallest = d + pitch*MM(1-1.6/float64(n)) - roller
	largest = d + 1.25*pitch - roller
	return smallest, largest
}

// TipRadius is the middle of the ISO 606 window at 12.7 mm pitch and
// RollerDiameter. Bicycle cogs with cut-down teeth are smaller: a measured
// value beats it.
func (t Teeth) TipRadius() MM {
	lo, hi := TipDiameters(t, Pitch, RollerDiameter)
	return (lo + hi) / 4
}

// RootDiameter is the diameter at the tooth gaps, d - d1 (ISO 606).
func RootDiameter(n Teeth, pitch, roller MM) MM {
	return 2*PitchRadius(n, pitch) - roller
}

// CaliperDiameter is what a caliper reads across opposite tooth gaps: the
// root diameter for even counts, and d cos(pi/2n) - d1 for odd counts, where
// no gap lies opposite another (ASME B29.1).
func CaliperDiameter(n Teeth, pitch, roller MM) MM {
	d := 2 * PitchRadius(n, pitch)
	if n%2 != 0 {
		d *= MM(math.Cos(math.Pi / (2 * float64(n))))
	}
	return d - roller
}
