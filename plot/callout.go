package plot

import (
	"cmp"
	"math"
	"slices"
)

// callout is a name beside a part, with a leader where it stands apart.
type callout struct {
	text string
	at   point   // middle of the part on the page
	r    float64 // round it, mm: a name inside needs no leader, one outside points to the rim
	inks bool    // the part is a dot that no name may cover
	bold bool
	box  rect // found by the search
}

func (c *callout) style(size float64) textStyle { return textStyle{size: size, bold: c.bold} }

// leader gives the ends of the line from the part to its name; ok is false when
// the name stands inside the part.
func (c *callout) leader(box rect, size float64) (from, to point, ok bool) {
	b := box.grown(0.1 * size)
	to = point{min(max(c.at.x, b.x0), b.x1), min(max(c.at.y, b.y0), b.y1)}
	far := math.Hypot(max(c.at.x-b.x0, b.x1-c.at.x), max(c.at.y-b.y0, b.y1-c.at.y))
	d := math.Hypot(to.x-c.at.x, to.y-c.at.y)
	if !c.inks && far <= c.r {
		return to, to, false
	}
	if d <= c.r {
		return to, to, true
	}
	return point{c.at.x + c.r*(to.x-c.at.x)/d, c.at.y + c.r*(to.y-c.at.y)/d}, to, true
}

// spot is a place that a name could have.
type spot struct {
	box      rect
	from, to point // of its leader
	leads    bool  // it has one
	way      int   // the direction it was tried in
	cost     float64
}

// clear tells whether two names and their leaders keep apart.
func (a *spot) clear(b *spot, size float64) bool {
	gap := 0.3 * size
	if a.box.meets(b.box.grown(gap)) {
		return false
	}
	if a.leads && b.box.grown(gap).crossed(a.from, a.to) || b.leads && a.box.grown(gap).crossed(b.from, b.to) {
		return false
	}
	return !(a.leads && b.leads && crosses(a.from, a.to, b.from, b.to))
}

// crossed tells whether a segment meets the rectangle.
func (r rect) crossed(a, b point) bool {
	if max(a.x, b.x) < r.x0 || min(a.x, b.x) > r.x1 || max(a.y, b.y) < r.y0 || min(a.y, b.y) > r.y1 {
		return false
	}
	_, _, ok := r.clipped(a, b)
	return ok
}

// crosses tells whether two segments cross or touch.
func crosses(a, b, c, d point) bool {
	return turn(a, b, c)*turn(a, b, d) <= 0 && turn(c, d, a)*turn(c, d, b) <= 0
}

// Costs of a place, in text sizes of leader.
const (
	costOver    = 12.0 // of one mean weight under the name
	costCrossed = 0.75 // of one weight crossed for a text size
	costLeader  = 0.5  // of having a leader at all
	costLeftOut = 1000 // of a name without a place
	mostOver    = 0.05 // mean weight under a name that may still be read well
	mostSpots   = 32   // places looked at for each name
	mostAlike   = 2    // of them in one direction
	mostTries   = 2500 // steps of the search
)

// Where names are tried: directions round the part, and distances from its rim
// in text sizes.
const spotDirections = 24

var spotDistances = [...]float64{0.35, 0.7, 1.1, 1.7, 2.5, 3.6, 5, 7, 10}

// spots lists the cheapest places for a name of w by h mm.
func (f *finder) spots(c *callout, w, h, size float64, strict bool) []spot {
	list := make([]spot, 0, spotDirections*len(spotDistances)+9)
	try := func(way int, x, y float64) {
		sp := spot{way: way, box: rect{x - w/2, y - h/2, x + w/2, y + h/2}}
		if f.judge(&sp, c, size, strict) {
			list = append(list, sp)
		}
	}
	for i := range 9 {
		try(spotDirections, c.at.x+0.4*c.r*float64(i%3-1), c.at.y+0.45*c.r*float64(i/3-1))
	}
	for k := range spotDirections {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / spotDirections)
		for _, d := range spotDistances {
			r := c.r + d*size
			try(k, c.at.x+cos*(r+w/2), c.at.y+sin*(r+h/2))
		}
	}
	return f.free(list, 0.15*size)
}

// judge finds the cost and the leader of a place; ok is false when it cannot be
// had.
func (f *finder) judge(sp *spot, c *callout, size float64, strict bool) bool {
	b := sp.box
	if b.x0 < f.area.x0 || b.y0 < f.area.y0 || b.x1 > f.area.x1 || b.y1 > f.area.y1 {
		return false
	}
	over := f.over(b.grown(0.2 * size))
	if over >= 100 || strict && over > mostOver {
		return false
	}
	sp.cost = costOver * over
	if sp.from, sp.to, sp.leads = c.leader(b, size); sp.leads {
		length := math.Hypot(sp.to.x-sp.from.x, sp.to.y-sp.from.y) / size
		sp.cost += costLeader + length + 0.12*length*length
		sp.cost += costCrossed * f.along(sp.from, sp.to) * f.cell / size
	}
	return true
}

// free picks the cheapest places that touch no bar, the cheapest first.
func (f *finder) free(list []spot, gap float64) []spot {
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(list[a].cost, list[b].cost), a-b) })
	kept := make([]spot, 0, mostSpots)
	var ways [spotDirections + 1]int
	for _, i := range order {
		sp := &list[i]
		if len(kept) == mostSpots {
			break
		}
		if ways[sp.way] < mostAlike && !f.touched(sp.box.grown(gap)) {
			ways[sp.way]++
			kept = append(kept, *sp)
		}
	}
	return kept
}

// search chooses a spot for each name so that all keep apart at the least cost.
type search struct {
	size    float64
	spots   [][]spot
	bound   []float64 // least cost of the names from here on
	chosen  []int     // -1: left out
	best    []int
	least   float64
	triesTo int
}

// arrange gives each callout its box; what finds no place is left out, and
// whole is then false.
func (f *finder) arrange(callouts []callout, size float64, spots [][]spot) (kept []callout, whole bool) {
	s := search{size: size, spots: spots, least: math.Inf(1), triesTo: mostTries}
	s.bound = make([]float64, len(spots)+1)
	for i := len(spots) - 1; i >= 0; i-- {
		s.bound[i] = s.bound[i+1] + costLeftOut
		if len(spots[i]) > 0 {
			s.bound[i] = s.bound[i+1] + spots[i][0].cost
		}
	}
	s.chosen = make([]int, len(spots))
	s.from(0, 0)
	for i, k := range s.best {
		if k >= 0 {
			callouts[i].box = spots[i][k].box
			kept = append(kept, callouts[i])
		}
	}
	return kept, len(kept) == len(callouts)
}

// from tries the places of name i and on; cost is that of the names before.
func (s *search) from(i int, cost float64) {
	if cost+s.bound[i] >= s.least {
		return
	}
	if i == len(s.spots) {
		s.least, s.best = cost, slices.Clone(s.chosen)
		return
	}
	for k := range s.spots[i] {
		sp := &s.spots[i][k]
		if s.triesTo--; s.triesTo < 0 && s.best != nil {
			return
		}
		if cost+sp.cost+s.bound[i+1] >= s.least {
			break
		}
		if s.apart(i, sp) {
			s.chosen[i] = k
			s.from(i+1, cost+sp.cost)
		}
	}
	s.chosen[i] = -1
	s.from(i+1, cost+costLeftOut)
}

func (s *search) apart(i int, sp *spot) bool {
	for j := range i {
		if k := s.chosen[j]; k >= 0 && !sp.clear(&s.spots[j][k], s.size) {
			return false
		}
	}
	return true
}
