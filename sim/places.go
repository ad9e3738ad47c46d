package sim

import (
	"math"

	"cagewise/gearing"
)

// place is one position of the rear axle in the frame, as the axle sees it:
// where the crank centre is, and how far the hanger bolt has moved.
type place struct {
	crank  vec
	hanger vec // shift of the hanger bolt and all that hangs on it
}

// places lists the axle positions a build has to work in: the one it is shown
// in first, then the ends of what suspension or a long dropout add. The short
// end of the chain is judged at the longest path, slack at the shortest.
func places(b gearing.Build) []place {
	first := place{crank: crank(b.Frame)}
	list := []place{first}
	if m := float64(b.Frame.DropoutRange); m > 0 {
		// The axle slides back level; the hanger stays on the frame, so it
		// comes forward as the axle sees it.
		list = append(list, place{crank: first.crank.add(vec{m, 0}), hanger: vec{m, 0}})
	}
	return append(list, suspensionPlaces(b.Frame, first.crank)...)
}

// suspensionSteps is how finely a swing arm's travel is looked at.
const suspensionSteps = 8

// suspensionPlaces follows the axle over its travel. With a main pivot the
// swing arm carries axle, hanger and derailleur, so in the axle's frame the
// crank turns about the pivot the other way (derived here). With chainstay
// lengths only the distance is known and the crank keeps its direction.
func suspensionPlaces(f gearing.Frame, crank vec) []place {
	s := f.Suspension
	var list []place
	for _, c := range s.Chainstays {
		list = append(list, place{crank: crank.times(float64(c) / crank.length())})
	}
	if s.Travel <= 0 {
		return list
	}
	pivot := crank.add(vec{float64(s.PivotAhead), float64(s.PivotAbove)})
	arm := pivot.length()
	for k := 1; k <= suspensionSteps; k++ {
		// The axle rises by travel; the arm turns by the chord's angle.
		rise := float64(s.Travel) * float64(k) / suspensionSteps
		turn := swing(pivot, arm, rise)
		sin, cos := math.Sincos(-turn)
		list = append(list, place{crank: pivot.add(crank.sub(pivot).rotated(sin, cos))})
	}
	return list
}

// swing is the angle the arm turns, clockwise, as the axle at its end rises.
// The axle lies behind the pivot, so rising turns the arm clockwise in this
// view: the returned angle is negative.
func swing(pivot vec, arm, rise float64) float64 {
	from := math.Asin(max(-1, min(1, -pivot.y/arm)))
	to := math.Asin(max(-1, min(1, (-pivot.y+rise)/arm)))
	return from - to
}
