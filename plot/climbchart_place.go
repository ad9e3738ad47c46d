package plot

import "math"

// Sizes of a climb chart in multiples of its text size.
const (
	panelHead  = 3.0 // power, words and speeds over a panel
	panelFoot  = 1.9 // grades under it
	panelGap   = 0.6
	curveLabel = 1.06 // from one curve's label to the next
	curveLead  = 1.5  // from a curve's end to its label
	leastPanel = 7.0
)

// climbLayout is where everything of one climb chart stands.
type climbLayout struct {
	ClimbChart
	s      *sheet
	size   float64 // of the text, mm
	head   heading
	legend legend
	panels []rect // one a power, from the top
	x      scale  // grade, %
	rpm    scale  // cadence; its places are those over a panel's foot
	grades []tick
	rpms   []tick
	label  float64 // size of the curves' labels, mm
}

func (c ClimbChart) draw(s *sheet) { c.place(s).draw() }

// place takes the largest text with which everything has its room.
func (c ClimbChart) place(s *sheet) *climbLayout {
	var y *climbLayout
	shrunk(chartText(s), func(size float64) bool {
		y = &climbLayout{ClimbChart: c, s: s, size: size, label: size}
		y.placeAll()
		return y.fits()
	})
	return y
}

func (y *climbLayout) placeAll() {
	s, z := y.s, y.size
	margin := chartMargin * z
	y.head = s.titled(y.Title(), y.facts(), z)
	y.legend = y.explain()
	top := s.h - y.head.height() - 0.4*z
	bottom := margin + y.legend.height(s, s.w-2*margin) + 1.9*z
	n := float64(len(y.Climb.Powers))
	height := (top-bottom-panelGap*z*(n-1))/n - (panelHead+panelFoot)*z
	left := margin + 1.5*z + s.textWidth("888", y.axisText()) + 0.4*z
	right := s.w - margin - y.labelWidth() - curveLead*z
	for k := range y.Climb.Powers {
		high := top - float64(k)*(height+(panelHead+panelFoot+panelGap)*z) - panelHead*z
		y.panels = append(y.panels, rect{left, high - height, right, high})
	}
	first, last := y.Climb.Grades[0], y.Climb.Grades[len(y.Climb.Grades)-1]
	y.x = scale{lo: 100 * first, hi: 100 * last, a: left, b: right}
	y.rpm = scale{lo: 0, hi: y.top(), a: 0, b: max(height, 0.01)}
	y.grades = y.x.roomyTicks(3.2 * z)
	y.rpms = y.rpm.roomyTicks(1.9 * z)
}

func (y *climbLayout) axisText() textStyle {
	return textStyle{size: 0.9 * y.size, color: y.s.theme.Ink, middle: true}
}

func (y *climbLayout) labelText() textStyle {
	return textStyle{size: y.label, color: y.s.theme.Ink, middle: true}
}

func (y *climbLayout) powerText() textStyle {
	return textStyle{size: y.size, bold: true, color: y.s.theme.Ink, middle: true}
}

// labelWidth is the room of the curves' names.
func (y *climbLayout) labelWidth() float64 {
	w := 0.0
	for _, g := range y.Climb.Gears {
		w = max(w, y.s.textWidth(g.String(), y.labelText()))
	}
	return w
}

// headWidth is the width of the words over panel k.
func (y *climbLayout) headWidth(k int) float64 {
	return y.s.textWidth(powerWords(y.Climb.Powers[k]), y.powerText()) + 0.8*y.size + y.s.textWidth(y.hillWords(k), y.axisText())
}

func powerWords(watts float64) string { return plain(watts) + " W" }

// fits tells whether curves and words have their room.
func (y *climbLayout) fits() bool {
	z, p := y.size, y.panels[0]
	if p.height() < max(leastPanel, curveLabel*float64(len(y.Climb.Gears)))*z || p.width() < 14*z {
		return false
	}
	for k := range y.panels {
		if y.headWidth(k) > y.s.w-chartMargin*z-p.x0 {
			return false
		}
	}
	return y.head.fits(y.s) && y.legend.fits(y.s, y.s.w-2*chartMargin*z)
}

// at is the place of a grade in % and a cadence on panel k.
func (y *climbLayout) at(k int, grade, rpm float64) point {
	return point{y.x.at(grade), y.panels[k].y0 + y.rpm.at(rpm)}
}

// curve is the part of a gear's curve that lies on panel k, in pieces.
func (y *climbLayout) curve(k, gear int) [][]point {
	var pieces [][]point
	row := y.Climb.Gears[gear].Cadences[k]
	grades := y.Climb.Grades
	var last point
	for i := 1; i < len(row); i++ {
		a, b, ok := y.panels[k].clipped(y.at(k, 100*grades[i-1], row[i-1]), y.at(k, 100*grades[i], row[i]))
		if !ok {
			continue
		}
		if n := len(pieces); n > 0 && math.Hypot(a.x-last.x, a.y-last.y) < 1e-9 {
			pieces[n-1] = append(pieces[n-1], b)
		} else {
			pieces = append(pieces, []point{a, b})
		}
		last = b
	}
	return pieces
}

// ringOf is the index of a gear's ring among the rings drawn.
func (y *climbLayout) ringOf(gear int) int {
	for i, r := range y.rings() {
		if r == y.Climb.Gears[gear].Ring {
			return i
		}
	}
	return 0
}
