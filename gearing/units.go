package gearing

import (
	"fmt"
	"math"
)

// Teeth is a count of teeth on a ring, a cog or a pulley, or a difference of
// two such counts.
type Teeth int

// MM is a length in millimetres.
type MM float64

// Pitches is a length of chain counted in pitches of 12.7 mm: half a link
// pair. Whole pitches are what a chain tool can cut; fractions come out of
// geometry.
type Pitches float64

// Degrees is an angle in degrees. Angles are radians inside formulas and
// Degrees at the edge of a package.
type Degrees float64

// Percent is a fraction times one hundred: 2 means 2 %.
type Percent float64

// Metres is a length in metres; developments are metres a crank turn.
type Metres float64

// Inches is a length in inches of 25.4 mm.
type Inches float64

const (
	// Pitch is the distance between neighbouring pins of a bicycle chain,
	// 1/2 in (ISO 9633).
	Pitch MM = 12.7
	// PitchesPerPair is the number of pitches in one link pair, the inner
	// and outer link that a chain tool adds or takes away together.
	PitchesPerPair = 2
	// MMPerInch is exact by the international yard agreement of 1959.
	MMPerInch = 25.4
	// KMPerMile is exact by the same agreement.
	KMPerMile = 1.609344
)

// MM gives the nominal length of p pitches of an unworn chain.
func (p Pitches) MM() MM { return MM(p) * Pitch }

// LinkPairs gives the number of link pairs in p pitches.
func (p Pitches) LinkPairs() float64 { return float64(p) / PitchesPerPair }

// String spells a chain count so that it cannot be misread: pitches first,
// then link pairs and millimetres.
func (p Pitches) String() string {
	return fmt.Sprintf("%s pitches (%s link pairs, %.1f mm)",
		trimFloat(float64(p)), trimFloat(p.LinkPairs()), float64(p.MM()))
}

// Pitches gives the length in pitches of 12.7 mm.
func (l MM) Pitches() Pitches { return Pitches(l / Pitch) }

// Inches gives the length in inches.
func (l MM) Inches() Inches { return Inches(l / MMPerInch) }

// Metres gives the length in metres.
func (l MM) Metres() Metres { return Metres(l / 1000) }

// MM gives the length in millimetres.
func (l Inches) MM() MM { return MM(l * MMPerInch) }

// Radians gives the angle in radians.
func (d Degrees) Radians() float64 { return float64(d) * math.Pi / 180 }

// DegreesOf turns radians into Degrees.
func DegreesOf(radians float64) Degrees { return Degrees(radians * 180 / math.Pi) }

// trimFloat prints x with at most two decimals and no trailing zeros.
func trimFloat(x float64) string {
	s := fmt.Sprintf("%.2f", x)
	for s[len(s)-1] == '0' {
		s = s[:len(s)-1]
	}
	if s[len(s)-1] == '.' {
		s = s[:len(s)-1]
	}
	return s
}
