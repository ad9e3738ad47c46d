package gearing

import (
	"math"
	"slices"
)

// Change is one step up in the sequence of distinct gears.
type Change struct {
	From        int     `json:"from"` // index into Table.Gears
	To          int     `json:"to"`   // index into Table.Gears
	Size        Percent `json:"step_percent"`
	FrontShifts int     `json:"front_shifts"` // up positive, down negative
	RearShifts  int     `json:"rear_shifts"`  // to smaller cogs positive
}

// Double tells whether the change takes both levers.
func (c Change) Double() bool { return c.FrontShifts != 0 && c.RearShifts != 0 }

// frontShiftCost weighs a front shift against a rear shift of one cog when
// the sequence picks among duplicates (invented here).
const frontShiftCost = 3

// Sequence lists the changes from the lowest distinct gear to the highest.
// Lost gears are left out. Where duplicates offer a choice, it takes the ones
// that need the least shifting over the whole climb through the gears, a front
// shift counting as three rear shifts. It is empty when fewer than two gears
// are left.
func (t Table) Sequence() []Change {
	layers := t.layers()
	if len(layers) < 2 {
		return nil
	}
	path := t.cheapestPath(layers)
	changes := make([]Change, len(path)-1)
	for i := range changes {
		changes[i] = t.change(path[i], path[i+1])
	}
	return changes
}

// layers groups the usable gears by duplicate group, lowest first.
func (t Table) layers() [][]int {
	layers := make([][]int, 0, t.Groups)
	last := -1
	for _, i := range t.Order {
		g := t.Gears[i]
		if g.Lost {
			continue
		}
		if g.Group != last {
			layers = append(layers, nil)
			last = g.Group
		}
		layers[len(layers)-1] = append(layers[len(layers)-1], i)
	}
	return layers
}

// cheapestPath is the usual dynamic program over the layers; on a tie the
// smaller ring wins.
func (t Table) cheapestPath(layers [][]int) []int {
	cost := make([][]int, len(layers))
	from := make([][]int, len(layers))
	for l, layer := range layers {
		cost[l], from[l] = make([]int, len(layer)), make([]int, len(layer))
		if l == 0 {
			continue
		}
		for k, to := range layer {
			cost[l][k] = math.MaxInt
			for p, prev := range layers[l-1] {
				if c := cost[l-1][p] + t.shiftCost(prev, to); c < cost[l][k] {
					cost[l][k], from[l][k] = c, p
				}
			}
		}
	}
	return walkBack(layers, cost, from)
}

func walkBack(layers, cost, from [][]int) []int {
	last := len(layers) - 1
	k := slices.Index(cost[last], slices.Min(cost[last]))
	path := make([]int, len(layers))
	for l := last; l >= 0; l-- {
		path[l] = layers[l][k]
		k = from[l][k]
	}
	return path
}

func (t Table) shiftCost(a, b int) int {
	c := t.change(a, b)
	return frontShiftCost*abs(c.FrontShifts) + abs(c.RearShifts)
}

func (t Table) change(a, b int) Change {
	from, to := &t.Gears[a], &t.Gears[b]
	return Change{
		From: a, To: b,
		Size:        StepPercent(from.Ratio, to.Ratio),
		FrontShifts: to.RingIndex - from.RingIndex,
		RearShifts:  from.CogIndex - to.CogIndex,
	}
}

func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}

// HalfStep describes two neighbouring rings so close that a ring shift is
// about half a cog shift.
type HalfStep struct {
	Rings       [2]Teeth `json:"rings_teeth"`
	RingStep    Percent  `json:"ring_step_percent"`
	MeanCogStep Percent  `json:"mean_cog_step_percent"` // geometric mean
	// Smallest and Largest are the extreme steps when both rings' gears are
	// ridden in order; in an even half-step they are close together.
	Smallest Percent `json:"smallest_step_percent"`
	Largest  Percent `json:"largest_step_percent"`
	// Granny tells that a smaller ring is there besides the two.
	Granny bool `json:"granny"`
}

// A ring shift counts as half a cog shift between these shares of the mean cog
// step, both taken as logarithms (invented here: half, within a third).
const halfStepLeast, halfStepMost = 1.0 / 3, 2.0 / 3

// HalfStep finds a half-step pattern; ok is false when there is none.
func (t Table) HalfStep() (h HalfStep, ok bool) {
	if len(t.Rings) < 2 || len(t.Cogs) < 3 {
		return HalfStep{}, false
	}
	meanLog := math.Log(float64(t.Cogs[len(t.Cogs)-1])/float64(t.Cogs[0])) / float64(len(t.Cogs)-1)
	for i := len(t.Rings) - 1; i > 0; i-- {
		small, large := float64(t.Rings[i-1]), float64(t.Rings[i])
		if share := math.Log(large/small) / meanLog; share < halfStepLeast || share > halfStepMost {
			continue
		}
		h = HalfStep{
			Rings:       [2]Teeth{t.Rings[i-1], t.Rings[i]},
			RingStep:    StepPercent(small, large),
			MeanCogStep: Percent(100 * (math.Exp(meanLog) - 1)),
			Granny:      i > 1,
		}
		h.Smallest, h.Largest = t.extremeSteps(i-1, i)
		return h, true
	}
	return HalfStep{}, false
}

// extremeSteps orders the gears of two rings and returns the least and the
// greatest step between neighbours.
func (t Table) extremeSteps(i, j int) (smallest, largest Percent) {
	smallest, last := Percent(math.Inf(1)), 0.0
	for _, k := range t.Order {
		g := t.Gears[k]
		if g.RingIndex != i && g.RingIndex != j {
			continue
		}
		if last > 0 {
			s := StepPercent(last, g.Ratio)
			smallest, largest = min(smallest, s), max(largest, s)
		}
		last = g.Ratio
	}
	return smallest, largest
}
