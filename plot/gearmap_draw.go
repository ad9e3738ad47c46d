package plot

import (
	"fmt"
	"strings"

	"cagewise/sim"
)

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
	margin := chartMargin * y.size
	y.legend.draw(y.s, margin, margin+y.legend.height(y.s, y.s.w-2*margin), y.s.w-2*margin)
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

// rowNoted tells whether any gear of ring i has a note or a mark.
func (y *mapLayout) rowNoted(ring int) bool {
	n := len(y.Cogs)
	for i := ring * n; i < (ring+1)*n; i++ {
		if _, marked := y.told(i); marked || y.note(i) != "" {
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
	at.y += noteHigh * y.cells
	is, marked := y.told(i)
	if marked {
		y.frame(r, is.state)
	}
	y.drawNote(i, at, is, marked, st)
}

// drawNote draws mark and note of gear i over its value; a sign of doubt begins
// the note.
func (y *mapLayout) drawNote(i int, at point, t told, marked bool, st textStyle) {
	st.bold, st.size = true, 0.85*y.cells
	mark := 0.0
	if marked {
		mark = 0.9 * y.cells
	}
	note := strings.TrimSpace(t.sign() + " " + y.note(i))
	if note != "" {
		note = y.s.fit(note, st, y.cellW-1.4*mark-0.7*y.size)
	}
	if marked {
		shift := 0.0
		if note != "" {
			shift = 0.5*y.s.textWidth(note, st) + 0.1*mark
		}
		y.s.platedMark(point{at.x - shift, at.y}, mark, t.state)
		at.x += 0.7 * mark
	}
	y.s.text(at, note, st)
}

// drawRamp explains the shades.
func (y *mapLayout) drawRamp() {
	s, z := y.s, y.size
	low, high := y.ends()
	st := y.label()
	x := chartMargin * z
	mid := x + y.below() - (mapRamp-0.5)*z
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

// explain is the legend of the marks: the states of the gears that bear one.
func (y *mapLayout) explain() legend {
	l, seen := legend{size: y.size, sample: 2.2 * y.size}, map[sim.State]bool{}
	for i := range y.Values {
		if t, marked := y.told(i); marked {
			seen[t.state] = true
		}
	}
	for st := sim.Clear; st <= sim.Locks; st++ {
		if seen[st] {
			l.entries = append(l.entries, entry{func(s *sheet, at point, w float64) {
				r := rect{at.x, at.y - 0.68*y.size, at.x + w, at.y + 0.68*y.size}
				y.frame(r, st)
				s.stateMark(point{at.x + w/2, at.y}, 0.7*y.size, st)
			}, stateWords(st)})
		}
	}
	l.addDoubt(judgement{y.Advice})
	return l
}

// frame marks the cell of a gear that fails or is in doubt, on any shade.
func (y *mapLayout) frame(r rect, st sim.State) {
	r = r.grown(-0.12 * y.size)
	y.s.polygon(r.corners(), nil, stroke{color: y.s.theme.Background, width: 0.3 * y.size})
	edge := stroke{color: y.s.theme.stateColor(st), width: 0.15 * y.size}
	if !st.Dangerous() {
		edge.dash = []float64{0.35 * y.size, 0.25 * y.size}
	}
	y.s.polygon(r.corners(), nil, edge)
}
