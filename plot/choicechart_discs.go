package plot

import (
	"math"

	partsearch "cagewise/sim/search"
)

// mostTicks is the most ticks of price round a disc.
const mostTicks = 8

// choiceKind is what a disc stands for.
type choiceKind int

const (
	choiceBest choiceKind = iota
	choiceNext            // a runner-up
	choiceMiss            // the nearest miss
)

// choiceMark is a combination on the chart.
type choiceMark struct {
	kind   choiceKind
	found  *partsearch.Found
	number int   // in the list; of a runner-up that of the one that beats it, 0: none
	place  point // its place by range and step
	at     point // where it is drawn
	r      float64
	ticks  int
	label  *choiceLabel // nil: without
	extent rect         // of all that
}

// reach is the radius with the ticks.
func (m *choiceMark) reach(tick float64) float64 {
	if m.ticks == 0 {
		return m.r
	}
	return m.r + tick
}

// collect lists what is drawn.
func (y *choiceLayout) collect() {
	r := &y.Result
	y.marks = nil
	for i := range r.Best {
		y.marks = append(y.marks, choiceMark{kind: choiceBest, found: &r.Best[i], number: i + 1})
	}
	for i := range r.RunnersUp {
		u := &r.RunnersUp[i]
		y.marks = append(y.marks, choiceMark{kind: choiceNext, found: &u.Found, number: y.numberOf(u.Better)})
	}
	if m := r.Nearest; m != nil && len(r.Best) == 0 && m.Range > 0 {
		y.marks = append(y.marks, choiceMark{kind: choiceMiss, found: &m.Found})
	}
	most := 0.0
	for i := range y.marks {
		most = max(most, y.marks[i].found.Price)
	}
	y.price = tickPrice(most)
	for i := range y.marks {
		if y.price > 0 {
			y.marks[i].ticks = min(mostTicks, int(math.Ceil(y.marks[i].found.Price/y.price-1e-9)))
		}
	}
}

// numberOf is the place of a choice in the list, 0 when it has none.
func (c ChoiceChart) numberOf(k partsearch.Choice) int {
	for i := range c.Result.Best {
		if c.Result.Best[i].Choice == k {
			return i + 1
		}
	}
	return 0
}

// tickPrice is a round price of which mostTicks or fewer make up the greatest;
// 0 when nothing has a price.
func tickPrice(most float64) float64 {
	if most <= 0 {
		return 0
	}
	for exp := math.Floor(math.Log10(most)) - 1; ; exp++ {
		for _, d := range []float64{1, 2, 5} {
			if step := d * math.Pow(10, exp); math.Ceil(most/step-1e-9) <= mostTicks {
				return step
			}
		}
	}
}

// sizeDiscs makes a disc's area go with its margin, smaller where many have to
// share the plot.
func (y *choiceLayout) sizeDiscs() {
	most := 0.0
	for i := range y.marks {
		most = max(most, float64(y.marks[i].found.Margin))
	}
	y.most, y.tick = choiceDisc*y.size, choiceDisc*y.size*choiceTick
	area := 0.0
	for i := range y.marks {
		m := &y.marks[i]
		m.r = y.most * discShare(float64(m.found.Margin), most)
		reach := m.reach(y.tick) + choiceGap*y.size
		area += math.Pi * reach * reach
	}
	if room := choiceShare * y.plot.width() * y.plot.height(); area > room {
		by := max(math.Sqrt(room/area), 0.4)
		y.most, y.tick = by*y.most, by*y.tick
		for i := range y.marks {
			y.marks[i].r *= by
		}
	}
}

// discShare is a radius as a share of the largest: the root of the margin's
// share, never so small that it cannot be seen.
func discShare(margin, most float64) float64 {
	if most <= 0 {
		return 0.6
	}
	return max(choiceLeast, math.Sqrt(max(margin, 0)/most))
}
