package gearing

import "math"

// LongestChainstay is the greatest distance from crank to axle that a chain
// has to reach: the chainstay with the axle at the rear end of its dropout, or
// the longest over the travel of a suspension.
func (f Frame) LongestChainstay() MM {
	_, longest := f.chainstays()
	return longest
}

// ShortestChainstay is the least distance from crank to axle, at which a chain
// is at its loosest.
func (f Frame) ShortestChainstay() MM {
	shortest, _ := f.chainstays()
	return shortest
}

func (f Frame) chainstays() (shortest, longest MM) {
	shortest, longest = f.Chainstay, f.Chainstay+f.DropoutRange
	for _, c := range f.Suspension.Chainstays {
		shortest, longest = min(shortest, c), max(longest, c)
	}
	for k := 1; k <= swingSteps && f.Suspension.Travel > 0; k++ {
		c := f.swung(f.Suspension.Travel * MM(k) / swingSteps)
		shortest, longest = min(shortest, c), max(longest, c)
	}
	return shortest, longest
}

// swingSteps is how finely a swing arm's travel is looked at.
const swingSteps = 8

// swung is the distance from crank to axle after the axle has risen on a swing
// arm: the arm keeps its length, so the axle runs on a circle about the main
// pivot (derived here).
func (f Frame) swung(rise MM) MM {
	cs, drop := float64(f.Chainstay), float64(f.BottomBracketDrop)
	px, py := float64(f.Suspension.PivotAhead), float64(f.Suspension.PivotAbove)
	x, y := -math.Sqrt(max(0, cs*cs-drop*drop))-px, drop-py // axle from the pivot
	arm := math.Hypot(x, y)
	up := min(max(y+float64(rise), -arm), arm)
	return MM(math.Hypot(-math.Sqrt(arm*arm-up*up)+px, up+py))
}
