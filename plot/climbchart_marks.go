package plot

import "slices"

// Sizes of a mark, and of its rim, in multiples of the text size.
const leastMark, mostMark, markRim = 0.42, 0.7, 0.25

// drawHeld marks the steepest grades that gears hold at the least cadence. The
// rims come first, so that none lies on a mark.
func (y *climbLayout) drawHeld(k int) {
	size := y.markSize()
	for _, gear := range y.heldBy(k) {
		y.drawRim(y.heldAt(k, gear), y.ringOf(gear), size)
	}
	for _, gear := range y.heldBy(k) {
		ring := y.ringOf(gear)
		y.s.mark(y.heldAt(k, gear), size, ring, y.s.theme.series(ring), false)
	}
}

// heldBy are the gears with a mark on panel k.
func (y *climbLayout) heldBy(k int) []int {
	var list []int
	for gear := range y.Climb.Gears {
		if y.held(k, gear) {
			list = append(list, gear)
		}
	}
	return list
}

func (y *climbLayout) heldAt(k, gear int) point {
	return y.at(k, 100*y.Climb.Gears[gear].Steepest[k], y.Climb.LeastCadence)
}

func (y *climbLayout) drawRim(at point, ring int, size float64) {
	y.s.mark(at, size+markRim*y.size, ring, y.s.theme.Background, false)
}

// drawMark is a mark of the legend.
func (y *climbLayout) drawMark(at point, ring int) {
	y.s.mark(at, mostMark*y.size, ring, y.s.theme.series(ring), false)
}

// markSize is the size of the marks in mm: smaller where half of a panel's
// stand closer than that.
func (y *climbLayout) markSize() float64 {
	size := mostMark * y.size
	for k := range y.panels {
		var gaps, places []float64
		for _, gear := range y.heldBy(k) {
			places = append(places, y.heldAt(k, gear).x)
		}
		slices.Sort(places)
		for i := 1; i < len(places); i++ {
			gaps = append(gaps, places[i]-places[i-1])
		}
		if slices.Sort(gaps); len(gaps) > 0 {
			size = min(size, gaps[len(gaps)/2])
		}
	}
	return max(size, leastMark*y.size)
}
