package plot

import "fmt"

// mapLayout is where everything of one gear map stands.
type mapLayout struct {
	GearMap
	s            *sheet
	size         float64 // of the text, mm
	cells        float64 // of the values' text, mm: many columns leave them little
	head         heading
	area         rect // of the cells
	cellW, cellH float64
	noted        bool
	ramp         bool // there are values to explain
}

// place takes the largest text with which everything has its room.
func (m GearMap) place(s *sheet) *mapLayout {
	first := max(ladderText, min(0.026*s.w, 0.065*s.h))
	var y *mapLayout
	shrunk(first, func(size float64) bool {
		y = &mapLayout{GearMap: m, s: s, size: size}
		y.placeAll()
		return y.fits()
	})
	return y
}

// Heights in a gear map in text sizes.
const (
	mapAbove  = 3.2 // axis name and cogs over the cells
	mapBelow  = 2.4 // ramp under the cells
	noteHigh  = 1.1 // of a note in its cell
	valueHigh = 1.3 // of a value in its cell
)

func (y *mapLayout) placeAll() {
	s, z := y.s, y.size
	margin := chartMargin * z
	y.head = s.heading(y.Title(), y.facts(), z)
	for i := range y.Values {
		y.noted = y.noted || y.note(i) != ""
	}
	low, _ := y.ends()
	y.ramp = low >= 0
	left := s.textWidth("ring", y.label())
	y.area = rect{margin + left + 0.5*z, margin + mapBelow*z, s.w - margin, s.h - y.head.height() - mapAbove*z}
	y.cellW = y.area.width() / float64(len(y.Cogs))
	y.cellH = y.area.height() / float64(len(y.Rings))
	y.cells = y.cellText()
}

// cellText is the largest size at which every value fits its cell, mm.
func (y *mapLayout) cellText() float64 {
	high := valueHigh
	if y.noted {
		high += noteHigh
	}
	size := min(y.size, y.cellH/high)
	for i := range y.Values {
		if w := y.s.textWidth(y.words(i), textStyle{size: y.size}); w > 0 {
			size = min(size, y.size*(y.cellW-0.3*y.size)/w)
		}
	}
	return max(size, 0.01)
}

func (y *mapLayout) fits() bool {
	if y.area.height() < 0.25*y.s.h || y.area.width() < 0.5*y.s.w || !y.head.fits(y.s) {
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

func (m GearMap) draw(s *sheet) { m.place(s).draw() }

func (y *mapLayout) draw() {
	y.head.draw(y.s)
	y.drawAxes()
	for i := range y.Values {
		y.s.part("gear "+y.gear(i), func() { y.drawCell(i) })
	}
	if y.ramp {
		y.drawRamp()
	}
}

func (y *mapLayout) drawAxes() {
	s, z, st := y.s, y.size, y.label()
	st.align = alignRight
	for i, r := range y.Rings {
		at := y.area.y0 + (float64(i)+0.5)*y.cellH
		s.text(point{y.area.x0 - 0.4*z, at}, fmt.Sprint(r), st)
	}
	st.align = alignMiddle
	for j := range y.Cogs {
		at := y.area.x0 + (float64(j)+0.5)*y.cellW
		s.text(point{at, y.area.y1 + 0.8*z}, fmt.Sprint(y.Cogs[len(y.Cogs)-1-j]), st)
	}
	st.align, st.color = alignLeft, s.theme.Muted
	s.text(point{y.area.x0, y.area.y1 + 2.1*z}, "cog", st)
	st.align = alignRight
	s.text(point{y.area.x0 - 0.4*z, y.area.y1 + 0.8*z}, "ring", st)
}

// rowNoted tells whether any gear of ring i has a note.
func (y *mapLayout) rowNoted(ring int) bool {
	n := len(y.Cogs)
	for i := ring * n; i < (ring+1)*n; i++ {
		if y.note(i) != "" {
			return true
		}
	}
	return false
}

// drawCell draws shade, value and note of one gear.
func (y *mapLayout) drawCell(i int) {
	s, t, r := y.s, y.s.theme, y.cell(i)
	fill, value := t.Background, y.Values[i]
	if value == value { // known
		fill = y.shade(t, value)
	}
	s.polygon(r.corners(), fill, stroke{color: t.Background, width: 0.12 * y.size})
	st := textStyle{size: y.cells, color: t.textOn(fill), align: alignMiddle, middle: true}
	at := point{(r.x0 + r.x1) / 2, (r.y0 + r.y1) / 2}
	if y.rowNoted(i / len(y.Cogs)) {
		at.y -= 0.5 * noteHigh * y.cells
	}
	s.text(at, y.words(i), st)
	if note := y.note(i); note != "" {
		st.bold, st.size = true, 0.85*y.cells
		s.text(point{at.x, at.y + noteHigh*y.cells}, s.fit(note, st, r.width()-0.2*y.size), st)
	}
}

// drawRamp explains the shades.
func (y *mapLayout) drawRamp() {
	s, z := y.s, y.size
	low, high := y.ends()
	st := y.label()
	mid := (chartMargin + 0.5) * z
	x := chartMargin * z
	left, right := y.words(low), y.withUnit(high)
	s.text(point{x, mid}, left, st)
	x += s.textWidth(left, st) + 0.5*z
	const steps = 12
	step := min(1.2*z, max(0, y.s.w-x-s.textWidth(right, st)-2*z)/steps)
	if y.Values[low] == y.Values[high] {
		return // one value needs no ramp
	}
	for k := range steps {
		v := y.Values[low] + (y.Values[high]-y.Values[low])*float64(k)/(steps-1)
		s.fillRect(rect{x, mid - 0.45*z, x + step, mid + 0.45*z}, y.shade(s.theme, v))
		x += step
	}
	s.text(point{x + 0.5*z, mid}, s.fit(right, st, s.w-chartMargin*z-x-0.5*z), st)
}
