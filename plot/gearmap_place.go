package plot

// mapLayout is where everything of one gear map stands.
type mapLayout struct {
	GearMap
	s            *sheet
	size         float64 // of the text, mm
	cells        float64 // of the values' text, mm: many columns leave them little
	head         heading
	legend       legend
	area         rect // of the cells
	cellW, cellH float64
	noted        bool
	ramp         bool // there are values to explain
}

// place takes the largest text with which everything has its room.
func (m GearMap) place(s *sheet) *mapLayout {
	var y *mapLayout
	high := 0.08
	if s.h == 0 {
		high = 0
	}
	shrunk(firstText(s, high), func(size float64) bool {
		y = &mapLayout{GearMap: m, s: s, size: size}
		y.placeAll()
		return y.fits()
	})
	return y
}

// Heights in a gear map in text sizes.
const (
	mapAbove  = 3.2 // axis name and cogs over the cells
	mapRamp   = 2.0 // ramp under the cells
	noteHigh  = 1.2 // of a note or a mark in its cell
	valueHigh = 1.3 // of a value in its cell
	cellRoom  = 1.1 // more in a cell, where the page's height is free
)

// heightAt is the height that gives the cells the room they need.
func (m GearMap) heightAt(wMM float64) float64 {
	y := m.place(&sheet{w: wMM})
	cell := y.cellHigh() + cellRoom
	return allowed(y.head.height() + y.area.y0 + (mapAbove+cell*float64(len(m.Rings)))*y.size)
}

func (y *mapLayout) placeAll() {
	s, z := y.s, y.size
	margin := chartMargin * z
	y.head = s.heading(y.Title(), y.facts(), z)
	for i := range y.Values {
		_, marked := y.told(i)
		y.noted = y.noted || marked || y.note(i) != ""
	}
	low, _ := y.ends()
	y.ramp = low >= 0
	y.legend = y.explain()
	left := s.textWidth("ring", y.label())
	y.area = rect{margin + left + 0.5*z, margin + y.below(), s.w - margin, s.h - y.head.height() - mapAbove*z}
	y.cellW = y.area.width() / float64(len(y.Cogs))
	y.cellH = y.area.height() / float64(len(y.Rings))
	y.cells = y.cellText()
}

// below is the height of ramp and legend with what keeps them from the cells.
func (y *mapLayout) below() float64 {
	h := y.legend.height(y.s, y.s.w-2*chartMargin*y.size)
	if y.ramp {
		h += mapRamp * y.size
	}
	return h
}

// cellHigh is the height that a cell's words take, in sizes of their text.
func (y *mapLayout) cellHigh() float64 {
	if y.noted {
		return valueHigh + noteHigh
	}
	return valueHigh
}

// cellText is the largest size at which every value fits its cell, mm.
func (y *mapLayout) cellText() float64 {
	size := y.size
	if y.s.h > 0 { // else the height is yet to be found
		size = min(size, y.cellH/y.cellHigh())
	}
	for i := range y.Values {
		if w := y.s.textWidth(y.words(i), textStyle{size: y.size}); w > 0 {
			size = min(size, y.size*(y.cellW-0.7*y.size)/w)
		}
	}
	return max(size, 0.01)
}

func (y *mapLayout) fits() bool {
	if y.area.width() < 0.5*y.s.w || !y.head.fits(y.s) || !y.legend.fits(y.s, y.s.w-2*chartMargin*y.size) {
		return false
	}
	return y.cells >= 0.7*y.size && y.cellW >= y.s.textWidth("88", y.label())+0.2*y.size
}

func (y *mapLayout) label() textStyle {
	return textStyle{size: 0.9 * y.size, color: y.s.theme.Ink, middle: true}
}

// cell is the place of gear i.
func (y *mapLayout) cell(i int) rect {
	n := len(y.Cogs)
	row, col := i/n, i%n // the lowest row is the smallest ring
	x, low := y.area.x0+float64(col)*y.cellW, y.area.y0+float64(row)*y.cellH
	return rect{x, low, x + y.cellW, low + y.cellH}
}
