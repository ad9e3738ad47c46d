package plot

import (
	"cmp"
	"math"
	"slices"
)

// findNear lists what a label of a width in mm could meet round disc i.
func (y *choiceLayout) findNear(i int, wide float64) {
	m := &y.marks[i]
	far := m.reach(y.tick) + labelDistances[len(labelDistances)-1]*y.size
	around := rect{m.at.x, m.at.y, m.at.x, m.at.y}.apart(far+wide+y.size, far+2*y.size)
	y.near = y.near[:0]
	for j := range y.marks {
		if y.marks[j].extent.meets(around) {
			y.near = append(y.near, j)
		}
	}
}

// roomFor tells whether a label of disc i keeps off every disc, tie and label.
func (y *choiceLayout) roomFor(l *choiceLabel, i int) bool {
	gap := 0.12 * y.size
	box := l.box.grown(gap)
	if box.x0 < y.plot.x0 || box.y0 < y.plot.y0 || box.x1 > y.plot.x1 || box.y1 > y.plot.y1 {
		return false
	}
	extent := l.extent().grown(labelApart * y.size)
	for _, j := range y.near {
		if o := &y.marks[j]; o.extent.meets(extent) && !y.clearOf(l, box, o, j == i) {
			return false
		}
	}
	return true
}

// clearOf tells whether a label keeps off a disc and what belongs to it; own is
// its own disc.
func (y *choiceLayout) clearOf(l *choiceLabel, box rect, o *choiceMark, own bool) bool {
	reach := o.reach(y.tick)
	near := point{min(max(o.at.x, box.x0), box.x1), min(max(o.at.y, box.y0), box.y1)}
	if math.Hypot(near.x-o.at.x, near.y-o.at.y) < reach+0.15*y.size && !own {
		return false
	}
	if o.moved() && box.crossed(o.at, o.place) {
		return false
	}
	if l.leads && !own && distanceTo(o.at, l.from, l.to) < reach {
		return false
	}
	k := o.label
	if k == nil {
		return true
	}
	switch {
	case l.box.meets(k.box.apart(labelApart*y.size, 0.3*y.size)), k.leads && box.crossed(k.from, k.to):
		return false
	case l.leads && k.box.crossed(l.from, l.to), l.leads && k.leads && crosses(l.from, l.to, k.from, k.to):
		return false
	}
	return true
}

// labelApart keeps labels apart along their line, in text sizes.
const labelApart = 0.7

// apart is a rectangle grown by so many mm at the sides and above and below.
func (r rect) apart(x, y float64) rect { return rect{r.x0 - x, r.y0 - y, r.x1 + x, r.y1 + y} }

// distanceTo is how far a point is from a segment, mm.
func distanceTo(p, a, b point) float64 {
	dx, dy := b.x-a.x, b.y-a.y
	t := 0.0
	if d := dx*dx + dy*dy; d > 0 {
		t = min(max(((p.x-a.x)*dx+(p.y-a.y)*dy)/d, 0), 1)
	}
	return math.Hypot(p.x-a.x-t*dx, p.y-a.y-t*dy)
}

// onLine tells whether a label lies on a line that goes to the right or upright
// all the way.
func (l *choiceLabel) onLine(line []point) bool {
	first, _ := slices.BinarySearchFunc(line, l.box.x0, func(p point, x float64) int { return cmp.Compare(p.x, x) })
	for k := max(first, 1); k < len(line) && line[k-1].x <= l.box.x1; k++ {
		if l.box.crossed(line[k-1], line[k]) {
			return true
		}
	}
	return false
}
