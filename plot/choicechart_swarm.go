package plot

import (
	"cmp"
	"slices"

	"cagewise/gearing"
)

// Moving discs apart.
const (
	mostSwarm  = 150 // discs; more stay where they are
	swarmStep  = 0.3 // of the text size, from ring to ring of places
	swarmRings = 24
	swarmWays  = 16
)

// swarm moves discs that would lie on others aside, as little as can be found,
// the first of the list first. What finds no place stays on its own.
func (y *choiceLayout) swarm() {
	if len(y.marks) > mostSwarm {
		return
	}
	for i := range y.marks {
		y.moveAside(i)
	}
}

func (y *choiceLayout) moveAside(i int) {
	m := &y.marks[i]
	if y.free(m.place, i) {
		return
	}
	for ring := 1; ring <= swarmRings; ring++ {
		for way := range swarmWays {
			at := m.place.polar(float64(ring)*swarmStep*y.size, 360*float64(way)/swarmWays)
			if y.free(at, i) {
				m.at = at
				return
			}
		}
	}
}

// free tells whether disc i would touch no earlier one and stay on the plot.
func (y *choiceLayout) free(at point, i int) bool {
	reach := y.marks[i].reach(y.tick) + choiceGap*y.size
	if !y.plot.grown(-reach).holds(at) {
		return false
	}
	for j := range i {
		o := &y.marks[j]
		if dx, dy, r := at.x-o.at.x, at.y-o.at.y, reach+o.reach(y.tick); dx*dx+dy*dy < r*r {
			return false
		}
	}
	return true
}

// holds tells whether a point is in a rectangle.
func (r rect) holds(p point) bool { return p.x >= r.x0 && p.x <= r.x1 && p.y >= r.y0 && p.y <= r.y1 }

// moved tells whether a disc stands aside from its place.
func (m *choiceMark) moved() bool { return m.at != m.place }

// anyMoved tells whether any disc does.
func (y *choiceLayout) anyMoved() bool {
	return slices.ContainsFunc(y.marks, func(m choiceMark) bool { return m.moved() })
}

// alike tells whether two of the best have one place.
func (c ChoiceChart) alike() bool {
	type place struct{ r, s gearing.Percent }
	seen := map[place]bool{}
	for i := range c.Result.Best {
		f := &c.Result.Best[i]
		if p := (place{f.Range, f.LargestStep}); seen[p] {
			return len(c.Result.Best) <= mostSwarm
		} else {
			seen[p] = true
		}
	}
	return false
}

// frontier is the stair along those that no other beats in range and step,
// from the smallest step.
func (y *choiceLayout) frontier() []point {
	var list []point
	for i := range y.marks {
		if y.marks[i].kind == choiceBest {
			list = append(list, y.marks[i].place)
		}
	}
	slices.SortFunc(list, func(a, b point) int { return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(b.y, a.y)) })
	var stair []point
	for _, p := range list {
		n := len(stair)
		switch {
		case n == 0:
			stair = append(stair, point{p.x, y.plot.y0}, p)
		case p.y > stair[n-1].y:
			stair = append(stair, point{p.x, stair[n-1].y}, p)
		}
	}
	if n := len(stair); n > 0 {
		stair = append(stair, point{y.plot.x1, stair[n-1].y})
	}
	return stair
}
