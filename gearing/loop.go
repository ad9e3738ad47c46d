package gearing

import (
	"fmt"
	"math"
)

// Loop is a chain running round a ring and a cog only, without a derailleur.
type Loop struct {
	Length Pitches // round the loop, fractional
	// Strand is the length of each straight run.
	Strand MM
	// WrapRing and WrapCog are the angles of chain on each wheel.
	WrapRing, WrapCog Degrees
}

// NewLoop gives the taut loop round two wheels at centre distance c. The
// strands are tangents to the pitch circles, and an arc of angle a carries
// a n/(2 pi) pitches (derived here): with R and r the pitch
// radii and a = asin((R-r)/c),
//
//	L = 2 c cos a / p + N (1/2 + a/pi) + n (1/2 - a/pi)
//
// A loop of rigid links round real polygons differs from it by less than 0.01
// pitch over the tooth phase. It fails when the wheels are too close to hold
// a tangent.
func NewLoop(ring, cog Teeth, c MM) (Loop, error) {
	if ring < 3 || cog < 3 {
		return Loop{}, fmt.Errorf("loop of %dx%d: a wheel needs at least 3 teeth", ring, cog)
	}
	sin := float64((ring.Radius() - cog.Radius()) / c)
	if !(c > 0) || math.Abs(sin) >= 1 {
		return Loop{}, fmt.Errorf("loop of %dx%d: wheels do not clear each other at a centre distance of %.1f mm", ring, cog, float64(c))
	}
	a := math.Asin(sin)
	strand := float64(c) * math.Cos(a)
	length := 2*strand/float64(Pitch) + float64(ring)*(0.5+a/math.Pi) + float64(cog)*(0.5-a/math.Pi)
	return Loop{
		Length:   Pitches(length),
		Strand:   MM(strand),
		WrapRing: DegreesOf(math.Pi + 2*a),
		WrapCog:  DegreesOf(math.Pi - 2*a),
	}, nil
}

// HandbookLength is the usual approximation for a loop,
// 2C + (N+n)/2 + ((N-n)/2pi)^2/C in pitches, C being the centre distance in
// pitches (Machinery's Handbook; Bhandari ch. 14; Mott ch. 7).
func HandbookLength(large, small Teeth, c Pitches) Pitches {
	k := float64(large-small) / (2 * math.Pi)
	return 2*c + Pitches(large+small)/2 + Pitches(k*k)/c
}

// HandbookCentre is the inverse of HandbookLength: the centre distance in
// pitches that a chain of the given length asks for (same sources). It fails
// when the chain is too short for the wheels.
func HandbookCentre(large, small Teeth, length Pitches) (Pitches, error) {
	s := float64(length) - float64(large+small)/2
	k := float64(large-small) / (2 * math.Pi)
	disc := s*s - 8*k*k
	if s <= 0 || disc < 0 {
		return 0, fmt.Errorf("centre distance: %s is too short for %d and %d teeth", length, large, small)
	}
	return Pitches(s+math.Sqrt(disc)) / 4, nil
}
