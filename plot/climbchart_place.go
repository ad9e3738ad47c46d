package plot

import "math"

// Sizes of a climb chart in multiples of its text size.
const (
	panelHead  = 1.5 // power and words over a panel, without the standing names
	panelFoot  = 2.7 // grades and speeds under it
	panelGap   = 0.7
	curveLabel = 1.06 // from one gear's name to the next
	panelTop   = 0.4  // from the heading to the first panel
	leastLead  = 1.2  // from an edge to the names there
	leadEach   = 0.1  // and more for each name
	neverLead  = 1.1  // room of the mark before a name
	rowLead    = 1.2  // from the left edge to the heads of grades and speeds
	gradeRow   = 0.95 // from the foot to the grades
	speedRow   = 2.1  // and to the speeds
	leastPanel = 7.0
)

// gradeHead heads the upper row under a panel; under it stand speeds.
const gradeHead = "grade, %"

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
	names  float64 // width of the widest gear's name, mm
}

func (c ClimbChart) draw(s *sheet) { c.place(s).draw() }

// place takes the largest text with which everything has its room.
func (c ClimbChart) place(s *sheet) *climbLayout {
	var y *climbLayout
	shrunk(chartText(s), func(size float64) bool {
		y = &climbLayout{ClimbChart: c, s: s, size: size}
		y.placeAll()
		return y.fits()
	})
	return y
}

func (y *climbLayout) placeAll() {
	s, z := y.s, y.size
	margin := chartMargin * z
	y.head = s.heading(y.Title(), y.facts(), z)
	y.legend = y.explain()
	y.names = y.labelWidth()
	y.placePanels(s.h-y.head.height()-panelTop*z, margin+y.legend.height(s, s.w-2*margin)+0.4*z)
	first, last := y.Climb.Grades[0], y.Climb.Grades[len(y.Climb.Grades)-1]
	y.x = scale{lo: 100 * first, hi: 100 * last, a: y.panels[0].x0, b: y.panels[0].x1}
	y.rpm = scale{lo: 0, hi: y.top(), a: 0, b: max(y.panels[0].height(), 0.01)}
	y.grades = y.x.roomyTicks(3.2 * z)
	y.rpms = y.rpm.roomyTicks(1.9 * z)
}

// placePanels stacks panels of one height from the top.
func (y *climbLayout) placePanels(top, bottom float64) {
	z, n := y.size, float64(len(y.Climb.Powers))
	height := top - bottom - panelGap*z*(n-1)
	for k := range y.Climb.Powers {
		height -= y.over(k) + panelFoot*z
	}
	height /= n
	margin := chartMargin * z
	left, right := margin+y.leftRoom(), y.s.w-margin-1.9*z-y.s.textWidth("888", y.axisText())
	for k := range y.Climb.Powers {
		top -= y.over(k)
		y.panels = append(y.panels, rect{left, top - height, right, top})
		top -= height + (panelFoot+panelGap)*z
	}
}

func (y *climbLayout) axisText() textStyle {
	return textStyle{size: 0.9 * y.size, color: y.s.theme.Ink, middle: true}
}

func (y *climbLayout) labelText() textStyle {
	return textStyle{size: y.size, color: y.s.theme.Ink, middle: true}
}

func (y *climbLayout) powerText() textStyle {
	return textStyle{size: y.size, bold: true, color: y.s.theme.Ink, middle: true}
}

// labelWidth is the width of the widest gear's name.
func (y *climbLayout) labelWidth() float64 {
	w := 0.0
	for _, g := range y.Climb.Gears {
		w = max(w, y.s.textWidth(g.String(), y.labelText()))
	}
	return w
}

// leftRoom is the room of the names beside a panel and of its rows' heads.
func (y *climbLayout) leftRoom() float64 {
	left, _ := y.mostNamed()
	room := y.names + y.lead(left)
	if y.anyGear(y.never) {
		room += neverLead * y.size
	}
	return max(room, y.s.textWidth(gradeHead, y.axisText())+rowLead*y.size)
}

// over is the room over panel k: of its power and of the names that stand there.
func (y *climbLayout) over(k int) float64 {
	if _, top := y.named(k); top > 0 {
		return y.names + y.lead(top) + (0.3+panelHead)*y.size
	}
	return (0.3 + panelHead) * y.size
}

// headWidth is the width of the words over panel k.
func (y *climbLayout) headWidth(k int) float64 {
	return y.s.textWidth(powerWords(y.Climb.Powers[k]), y.powerText()) + 0.8*y.size + y.s.textWidth(y.hillWords(k), y.axisText())
}

func powerWords(watts float64) string { return plain(watts) + " W" }

// fits tells whether curves and words have their room.
func (y *climbLayout) fits() bool {
	z, p := y.size, y.panels[0]
	left, top := y.mostNamed()
	if p.height() < max(leastPanel, curveLabel*float64(left))*z || p.width() < max(14, curveLabel*float64(top))*z {
		return false
	}
	width := y.s.w - 2*chartMargin*z
	for k := range y.panels {
		if y.headWidth(k) > width {
			return false
		}
	}
	return y.head.fits(y.s) && y.legend.fits(y.s, width)
}

// lead is the room in mm of the lines that lead to so many names: the more
// there are, the farther these are from their curves.
func (y *climbLayout) lead(names int) float64 {
	return (leastLead + leadEach*float64(names)) * y.size
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
