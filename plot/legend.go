package plot

import "cagewise/sim"

// entry is one explanation in the strip under a chart.
type entry struct {
	draw func(s *sheet, at point, width float64) // the sample, from its left end at mid height
	text string
}

// legend is a strip of entries, laid out in lines. It stands under the data,
// never on it.
type legend struct {
	entries []entry
	size    float64 // of the text, mm
	sample  float64 // width of a sample, mm
}

// addDoubt explains the sign of gears in doubt, where there are any.
func (l *legend) addDoubt(j judgement) {
	if !j.given() || len(j.Doubtful()) == 0 {
		return
	}
	sign := func(s *sheet, at point, w float64) {
		st := l.style(s)
		st.bold, st.align = true, alignMiddle
		s.text(point{at.x + w/2, at.y}, doubtSign, st)
	}
	l.entries = append(l.entries, entry{sign, "in doubt: may be otherwise, a chance of " + percent(sim.LostChance) + " or more"})
}

// lines breaks the entries into lines that fit a width.
func (l legend) lines(s *sheet, width float64) [][]entry {
	var lines [][]entry
	used := 0.0
	for _, e := range l.entries {
		w := l.width(s, e)
		if len(lines) == 0 || used+w > width {
			lines, used = append(lines, nil), 0
		}
		lines[len(lines)-1] = append(lines[len(lines)-1], e)
		used += w + 2*l.size
	}
	return lines
}

func (l legend) style(s *sheet) textStyle {
	return textStyle{size: l.size, color: s.theme.Ink, middle: true}
}

func (l legend) width(s *sheet, e entry) float64 {
	return l.sample + 0.5*l.size + s.textWidth(e.text, l.style(s))
}

func (l legend) lineHeight() float64 { return 1.5 * l.size }

// height is the room the strip takes.
func (l legend) height(s *sheet, width float64) float64 {
	return float64(len(l.lines(s, width))) * l.lineHeight()
}

// fits tells whether every entry is whole on a line of its own.
func (l legend) fits(s *sheet, width float64) bool {
	for _, e := range l.entries {
		if l.width(s, e) > width {
			return false
		}
	}
	return true
}

// draw puts the strip with its top at y.
func (l legend) draw(s *sheet, x, y, width float64) {
	for i, line := range l.lines(s, width) {
		at := point{x, y - (float64(i)+0.5)*l.lineHeight()}
		for _, e := range line {
			e.draw(s, at, l.sample)
			room := x + width - at.x - l.sample - 0.5*l.size
			s.text(point{at.x + l.sample + 0.5*l.size, at.y}, s.fit(e.text, l.style(s), room), l.style(s))
			at.x += l.width(s, e) + 2*l.size
		}
	}
}
