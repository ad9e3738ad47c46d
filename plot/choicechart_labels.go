package plot

import (
	"math"
	"strconv"
)

// choiceLabel is a disc's number and price, and where they stand.
type choiceLabel struct {
	name, price string // the name in bold; no price: it found no room
	wide, high  float64
	indent      float64 // of the price
	box         rect
	inside      bool // the name stands in the disc
	leads       bool
	backed      bool  // the stair runs behind it
	from, to    point // of its leader
}

// Where labels are tried: directions in degrees, the best first, and distances
// from the rim in text sizes; from the second on with a leader.
var (
	labelWays      = [...]float64{0, 180, 90, -90, 35, 145, -35, -145, 65, 115, -65, -115}
	labelDistances = [...]float64{0.2, 1.3, 2.6, 4.5}
)

// placeLabels gives the discs their labels, the first of the list first, and
// counts what finds no place.
func (y *choiceLayout) placeLabels() {
	stair := y.frontier()
	for i, way := range labelWays {
		y.ways[i] = point{}.polar(1, way)
	}
	for i := range y.marks {
		y.marks[i].spread(y.tick)
	}
	for i := range y.marks {
		m := &y.marks[i]
		m.label = y.findLabel(i, stair)
		m.spread(y.tick)
		switch {
		case m.label == nil:
			y.leftOut++
		case m.label.price == "" && y.price > 0:
			y.priceOut++
		}
	}
}

// spread finds the extent of a disc, its tie and its label.
func (m *choiceMark) spread(tick float64) {
	r := m.reach(tick)
	m.extent = around([]point{{m.at.x - r, m.at.y - r}, {m.at.x + r, m.at.y + r}, m.place})
	if l := m.label; l != nil {
		m.extent = m.extent.with(l.extent())
	}
}

// extent is of a label and its leader.
func (l *choiceLabel) extent() rect {
	if !l.leads {
		return l.box
	}
	return l.box.with(around([]point{l.from, l.to}))
}

// with is the least rectangle that holds both.
func (r rect) with(o rect) rect {
	return rect{min(r.x0, o.x0), min(r.y0, o.y0), max(r.x1, o.x1), max(r.y1, o.y1)}
}

func (y *choiceLayout) labelText(bold bool) textStyle {
	return textStyle{size: 0.9 * y.size, bold: bold, color: y.s.theme.Ink, middle: true}
}

// labelGap is between a label's name and its price.
func (y *choiceLayout) labelGap() float64 { return 0.35 * y.size }

// wording is the label of a disc, whole and with the name alone.
func (y *choiceLayout) wording(m *choiceMark) (whole, short choiceLabel) {
	switch {
	case m.kind == choiceMiss:
		short.name = "nearest miss"
	case m.kind == choiceBest:
		short.name = strconv.Itoa(m.number)
	case m.number > 0:
		short.name = "(" + strconv.Itoa(m.number) + ")"
	default:
		short.name = "next best"
	}
	short.high = 0.86 * y.size
	short.wide = y.s.textWidth(short.name, y.labelText(true))
	whole = short
	if y.price > 0 {
		whole.price, whole.indent = plain(m.found.Price), short.wide+y.labelGap()
		whole.wide = whole.indent + y.s.textWidth(whole.price, y.labelText(false))
	}
	return whole, short
}

// The first of the list rather have a leader than no price, and all where they
// are few.
const (
	firstLabels = 12
	fewLabels   = 20
)

// labelTry is a way to label a disc.
type labelTry struct {
	whole  bool // with the price
	at     int  // one of labelDistances; in the disc: -1
	onLine bool // even on the stair
}

// Ways to label a disc, the best first.
var (
	triesOfFirst = [...]labelTry{
		{true, 0, false}, {true, 1, false}, {true, 2, false}, {true, 3, false}, {true, 0, true}, {false, 0, false}, {false, -1, false},
		{true, 1, true}, {false, 1, false}, {false, 0, true}, {true, 2, true}, {false, 1, true}, {false, 2, true}, {false, 3, true},
	}
	triesOfRest = [...]labelTry{
		{true, 0, false}, {false, 0, false}, {false, -1, false}, {true, 1, false}, {true, 0, true}, {false, 1, false}, {false, 0, true},
		{true, 2, true}, {false, 2, true},
	}
)

// findLabel finds a place for a disc's label; nil when there is none.
func (y *choiceLayout) findLabel(i int, stair []point) *choiceLabel {
	m := &y.marks[i]
	whole, short := y.wording(m)
	tries := triesOfRest[:]
	if i < firstLabels || len(y.marks) <= fewLabels {
		tries = triesOfFirst[:]
	}
	y.findNear(i, whole.wide)
	for _, t := range tries {
		l := short
		if t.whole {
			l = whole
		}
		if t.at < 0 {
			if k := short; m.holds(&k, y.size) && y.noLabelIn(k.box) {
				return &k
			}
			continue
		}
		if found := y.beside(l, i, t, stair); found != nil {
			return found
		}
	}
	return nil
}

// noLabelIn tells that no label stands in a place yet: discs that lie on each
// other do not hold one each.
func (y *choiceLayout) noLabelIn(box rect) bool {
	for i := range y.marks {
		if l := y.marks[i].label; l != nil && l.extent().meets(box) {
			return false
		}
	}
	return true
}

// beside tries a label round a disc.
func (y *choiceLayout) beside(l choiceLabel, i int, t labelTry, stair []point) *choiceLabel {
	m := &y.marks[i]
	l.leads = t.at > 0
	for _, way := range y.ways {
		l.stand(m, m.reach(y.tick)+labelDistances[t.at]*y.size, way)
		if l.backed = l.onLine(stair); l.backed && !t.onLine {
			continue
		}
		if y.roomFor(&l, i) {
			found := l
			return &found
		}
	}
	return nil
}

// holds puts a label into a disc if it has the room.
func (m *choiceMark) holds(l *choiceLabel, size float64) bool {
	if math.Hypot(l.wide/2, 0.8*l.high/2) > m.r-0.14*size {
		return false
	}
	l.inside = true
	l.box = rect{m.at.x - l.wide/2, m.at.y - l.high/2, m.at.x + l.wide/2, m.at.y + l.high/2}
	return true
}

// stand puts a label in a direction from a disc, far mm from its middle.
func (l *choiceLabel) stand(m *choiceMark, far float64, way point) {
	mid := point{m.at.x + way.x*far + sideOf(way.x)*l.wide/2, m.at.y + way.y*far + sideOf(way.y)*l.high/2}
	l.box = rect{mid.x - l.wide/2, mid.y - l.high/2, mid.x + l.wide/2, mid.y + l.high/2}
	if !l.leads {
		return
	}
	l.to = point{min(max(m.at.x, l.box.x0), l.box.x1), min(max(m.at.y, l.box.y0), l.box.y1)}
	l.from = l.to
	if d := math.Hypot(l.to.x-m.at.x, l.to.y-m.at.y); d > m.r {
		l.from = point{m.at.x + (l.to.x-m.at.x)*m.r/d, m.at.y + (l.to.y-m.at.y)*m.r/d}
	}
}

// sideOf is -1, 0 or 1: where a label lies of a disc in one direction.
func sideOf(v float64) float64 {
	if math.Abs(v) < 1e-9 {
		return 0
	}
	return math.Copysign(1, v)
}
