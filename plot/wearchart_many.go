package plot

import (
	"math"

	"cagewise/gearing"
	"cagewise/sim/wear"
)

// drawDashes is for points too many for beams: a dash each where readings come
// together.
func (y *wearLayout) drawDashes() {
	if len(y.Wear.Points) <= mostBars {
		return
	}
	var dashes [][2]point
	for i := range y.Wear.Points {
		if p := &y.Wear.Points[i]; len(p.From) > 1 {
			at := y.on(p.KM, float64(p.Elongation))
			dashes = append(dashes, [2]point{{at.x - 0.25*y.size, at.y}, {at.x + 0.25*y.size, at.y}})
		}
	}
	y.s.segments(dashes, stroke{color: y.s.theme.Ink, width: 0.1 * y.size})
}

// drawMany draws small marks, method by method in one go, those on the same
// place once.
func (y *wearLayout) drawMany() {
	type cell struct {
		kind, way, x, y int
	}
	seen := map[cell]bool{}
	places := map[[2]int][]point{} // by mark and, of bounds, the way they point
	size := y.markSize()
	for i, at := range y.at {
		e := &y.Wear.Estimates[i]
		kind, _ := kindOf(e.Reading.Method)
		c := cell{kind, wayOf(e), int(math.Round(at.x / (0.7 * size))), int(math.Round(at.y / (0.7 * size)))}
		if !seen[c] {
			seen[c] = true
			places[[2]int{c.kind, c.way}] = append(places[[2]int{c.kind, c.way}], at)
		}
	}
	for kind := range gearing.ReadingMethods() {
		for way := -1; way <= 1; way++ {
			if list := places[[2]int{kind, way}]; len(list) > 0 {
				y.s.part(string(gearing.ReadingMethods()[kind]), func() { y.drawAlike(list, kind, way) })
			}
		}
	}
}

// wayOf is where the elongation is from a reading's place: 1 over it, -1 under
// it, 0 there.
func wayOf(e *wear.Estimate) int {
	switch {
	case !e.Interval:
		return 0
	case e.Reading.Falls:
		return 1
	}
	return -1
}

// drawAlike draws the small marks of one method.
func (y *wearLayout) drawAlike(list []point, kind, way int) {
	s, size := y.s, y.markSize()
	col := s.theme.tint(s.theme.series(kind), 0.75)
	if way != 0 {
		s.segments(ticksOn(list, 0.8*size, float64(way)*0.6*size), stroke{color: col, width: 0.08 * y.size})
		return
	}
	corners := smallShape(point{}, size, kind)
	shape := make([]point, len(corners))
	s.path = s.path[:0]
	for _, at := range list {
		for i, c := range corners {
			shape[i] = point{at.x + c.x, at.y + c.y}
			if i == 0 {
				s.path.Move(shape[i].vg())
			} else {
				s.path.Line(shape[i].vg())
			}
		}
		s.path.Close()
		s.note(shape, 0.05*y.size)
	}
	if _, hollow := kindOf(gearing.ReadingMethods()[kind]); hollow {
		s.stroke(s.path, stroke{color: col, width: 0.08 * y.size})
		return
	}
	s.fill(s.path, col)
}

// ticksOn are small brackets: a line across and a stem one way.
func ticksOn(list []point, wide, up float64) [][2]point {
	var lines [][2]point
	for _, p := range list {
		lines = append(lines, [2]point{{p.x - wide/2, p.y}, {p.x + wide/2, p.y}}, [2]point{p, {p.x, p.y + up}})
	}
	return lines
}

// smallShape is a method's mark with few corners.
func smallShape(at point, size float64, kind int) []point {
	switch r := 0.5 * size; kind {
	case 1:
		return turned(at, 1.3*r, 45, 4)
	case 2:
		return turned(at, 1.4*r, 90, 3)
	case 3:
		return turned(at, 1.4*r, 0, 4)
	case 4:
		return turned(at, 1.4*r, -90, 3)
	default:
		return turned(at, 1.1*r, 0, 6)
	}
}
