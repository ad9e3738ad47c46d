package plot

import (
	"cmp"
	"image/color"
	"math"
	"slices"
	"strings"

	"cagewise/sim"
)

// Sizes of the charts of one rig in multiples of their text size.
const (
	chartMargin = 0.8
	chartShrink = 0.95
)

// chartText is the text size of a chart at first, in mm: near 9 pixels on a
// phone, less on a flat page.
func chartText(s *sheet) float64 { return max(ladderText, min(0.026*s.w, 0.034*s.h)) }

// firstText is the text size to try first, in mm: near 9 pixels on a phone. high
// is the most of the page's height it may be, 0 where the height is free.
func firstText(s *sheet, high float64) float64 {
	size := 0.026 * s.w
	if high > 0 {
		size = min(size, high*s.h)
	}
	return max(ladderText, size)
}

// allowed is a height that a page may have, mm, nearest to one wanted.
func allowed(heightMM float64) float64 {
	return math.Ceil(min(max(heightMM, MinSizeMM), MaxSizeMM))
}

// shrunk is the largest text size in mm, from first down, that is good enough,
// and the least one when none is.
func shrunk(first float64, good func(size float64) bool) float64 {
	return shrunkBy(chartShrink, first, good)
}

// shrunkBy is shrunk with steps of one's own.
func shrunkBy(factor, first float64, good func(size float64) bool) float64 {
	size := first
	for size > leastText && !good(size) {
		size *= factor
	}
	return size
}

// parter is a canvas that can name the parts of a picture.
type parter interface {
	beginPart(name string)
	endPart()
}

// part names what draw puts on the page.
func (s *sheet) part(name string, draw func()) {
	c, ok := s.c.(parter)
	if !ok {
		draw()
		return
	}
	c.beginPart(name)
	draw()
	c.endPart()
}

// beginPart implements parter. A name is no id: two pictures may share one web
// page.
func (c *svgCanvas) beginPart(name string) {
	c.open()
	c.print(`<g data-part="`)
	c.escaped(name)
	c.print("\">\n")
}

// endPart implements parter.
func (c *svgCanvas) endPart() { c.print("</g>\n") }

// blend is a share of b, 0 to 1, laid over a.
func blend(a, b color.NRGBA, share float64) color.NRGBA {
	part := func(x, y uint8) uint8 { return uint8(math.Round(float64(x) + share*(float64(y)-float64(x)))) }
	return color.NRGBA{R: part(a.R, b.R), G: part(a.G, b.G), B: part(a.B, b.B), A: 0xff}
}

// tint is a share of a colour on the background.
func (t Theme) tint(c color.NRGBA, share float64) color.NRGBA { return blend(t.Background, c, share) }

// glassy lets through what lies beneath; opacity is 0 to 1.
func glassy(c color.NRGBA, opacity float64) color.NRGBA {
	c.A = uint8(math.Round(255 * opacity))
	return c
}

// segments draws lines apart from each other in one stroke.
func (s *sheet) segments(pairs [][2]point, st stroke) {
	if len(pairs) == 0 {
		return
	}
	s.path = s.path[:0]
	for _, p := range pairs {
		s.note(p[:], st.width)
		s.path.Move(p[0].vg())
		s.path.Line(p[1].vg())
	}
	s.stroke(s.path, st)
}

// hatch fills a rectangle with lines at 45 degrees, gap mm apart across.
func (s *sheet) hatch(r rect, gap float64, st stroke) {
	s.segments(r.slanted(gap), st)
}

// backHatch is hatch with lines that lean the other way.
func (s *sheet) backHatch(r rect, gap float64, st stroke) {
	lines := r.slanted(gap)
	for i, l := range lines {
		lines[i] = [2]point{{r.x0 + r.x1 - l[0].x, l[0].y}, {r.x0 + r.x1 - l[1].x, l[1].y}}
	}
	s.segments(lines, st)
}

// slanted are lines at 45 degrees over a rectangle.
func (r rect) slanted(gap float64) [][2]point {
	var lines [][2]point
	for c := r.x0 - r.y1 + gap/2; c < r.x1-r.y0; c += gap {
		x0, x1 := max(r.x0, r.y0+c), min(r.x1, r.y1+c)
		if x1 > x0 {
			lines = append(lines, [2]point{{x0, x0 - c}, {x1, x1 - c}})
		}
	}
	return lines
}

// clipped is the part of a segment inside a rectangle (Liang and Barsky 1984);
// ok is false when there is none.
func (r rect) clipped(a, b point) (p, q point, ok bool) {
	from, to := 0.0, 1.0
	d := point{b.x - a.x, b.y - a.y}
	for _, e := range [...][2]float64{{-d.x, a.x - r.x0}, {d.x, r.x1 - a.x}, {-d.y, a.y - r.y0}, {d.y, r.y1 - a.y}} {
		switch {
		case e[0] < 0:
			from = max(from, e[1]/e[0])
		case e[0] > 0:
			to = min(to, e[1]/e[0])
		case e[1] < 0:
			return a, b, false
		}
	}
	along := func(t float64) point { return point{a.x + t*d.x, a.y + t*d.y} }
	return along(from), along(to), from < to
}

// grown is a rectangle with so many mm more on each side.
func (r rect) grown(by float64) rect { return rect{r.x0 - by, r.y0 - by, r.x1 + by, r.y1 + by} }

// meets tells whether two rectangles share a place.
func (r rect) meets(o rect) bool { return r.x0 < o.x1 && o.x0 < r.x1 && r.y0 < o.y1 && o.y0 < r.y1 }

// heading is what stands over a chart: a title and facts in words.
type heading struct {
	title []string // broken into lines
	lines []string
	size  float64 // of the facts, mm
	lead  *lead   // nil: none
}

// lead stands under the title and says the most important thing, with its mark.
type lead struct {
	state sim.State
	lines []string
}

// leadIndent is the room of the lead's mark, in text sizes.
const leadIndent = 1.4

// lead breaks what is told of a gear into lines that fit the page.
func (s *sheet) lead(t told, size float64) *lead {
	width := s.w - (2*chartMargin+leadIndent)*size
	return &lead{t.state, s.wrapped([]string{t.sentence()}, textStyle{size: size, bold: true}, width)}
}

// heading breaks title and facts into lines that fit the page.
func (s *sheet) heading(title string, facts []string, size float64) heading {
	width := s.w - 2*chartMargin*size
	return heading{
		title: s.titleLines(title, size, width), size: size,
		lines: s.wrapped(facts, textStyle{size: size}, width),
	}
}

// mostTitleLines is how many lines a title may take; more is cut off.
const mostTitleLines = 3

// titleLines breaks a title between words. A word that is too wide is cut, as is
// what does not find room.
func (s *sheet) titleLines(title string, size, width float64) []string {
	st := textStyle{size: titleSize * size, bold: true}
	lines := []string{""}
	words := strings.Fields(cleanText(title))
	for i, word := range words {
		last := &lines[len(lines)-1]
		joined := strings.TrimSpace(*last + " " + word)
		switch short, _ := s.cut(joined, st, width); {
		case short == joined, *last == "":
			*last = short
		case len(lines) == mostTitleLines:
			*last, _ = s.cut(*last+" "+strings.Join(words[i:], " "), st, width)
			return lines
		default:
			short, _ = s.cut(word, st, width)
			lines = append(lines, short)
		}
	}
	return lines
}

// titleHeight is what a title takes, without the space under it, in multiples of
// the text size.
func titleHeight(lines []string) float64 { return titleSize * (1 + titleLine*float64(len(lines)-1)) }

// titleLine is from one line of a title to the next, in multiples of its size.
const titleLine = 1.2

// drawTitle draws a title from the height of its first line's middle and gives
// that of its last line.
func (s *sheet) drawTitle(lines []string, at point, size float64) float64 {
	st := textStyle{size: titleSize * size, bold: true, color: s.theme.Ink, middle: true}
	for i, line := range lines {
		if i > 0 {
			at.y -= titleLine * titleSize * size
		}
		s.text(at, line, st)
	}
	return at.y
}

// wrapped joins facts by dots into lines no wider than a width in mm, broken
// between facts where that is enough and between words where it is not.
func (s *sheet) wrapped(facts []string, st textStyle, width float64) []string {
	var lines []string
	add := func(text, glue string) {
		if n := len(lines); n > 0 {
			if joined := lines[n-1] + glue + text; s.textWidth(joined, st) <= width {
				lines[n-1] = joined
				return
			}
		}
		lines = append(lines, text)
	}
	for _, f := range facts {
		if s.textWidth(f, st) <= width {
			add(f, " · ")
			continue
		}
		for i, word := range strings.Fields(f) {
			if i == 0 {
				lines = append(lines, word)
			} else {
				add(word, " ")
			}
		}
	}
	return lines
}

// height is what the heading takes from the top of the page, in mm.
func (h heading) height() float64 {
	lines := float64(len(h.lines))
	if h.lead != nil {
		lines += float64(len(h.lead.lines))
	}
	return (chartMargin + titleHeight(h.title) + 0.4 + factLine*lines) * h.size
}

// fits tells whether no line has to be cut.
func (h heading) fits(s *sheet) bool {
	if h.lead != nil {
		for _, line := range h.lead.lines {
			if s.textWidth(line, textStyle{size: h.size, bold: true}) > s.w-(2*chartMargin+leadIndent)*h.size {
				return false
			}
		}
	}
	for _, line := range h.lines {
		if s.textWidth(line, textStyle{size: h.size}) > s.w-2*chartMargin*h.size {
			return false
		}
	}
	return true
}

func (h heading) draw(s *sheet) {
	x := chartMargin * h.size
	at := point{x, s.h - x - 0.5*titleSize*h.size}
	at.y = s.drawTitle(h.title, at, h.size)
	fact := textStyle{size: h.size, color: s.theme.Muted, middle: true}
	at.y -= (0.5*titleSize + 0.4 + 0.5*factLine) * h.size
	if h.lead != nil {
		h.drawLead(s, &at)
	}
	for _, line := range h.lines {
		s.text(at, s.fit(line, fact, s.w-2*x), fact)
		at.y -= factLine * h.size
	}
}

// drawLead draws the lead from the middle of its first line and moves on to the
// line after it.
func (h heading) drawLead(s *sheet, at *point) {
	bold := textStyle{size: h.size, bold: true, color: s.theme.Ink, middle: true}
	s.stateMark(point{at.x + 0.5*h.size, at.y}, h.size, h.lead.state)
	for _, line := range h.lead.lines {
		s.text(point{at.x + leadIndent*h.size, at.y}, s.fit(line, bold, s.w-(2*chartMargin+leadIndent)*h.size), bold)
		at.y -= factLine * h.size
	}
}

// hull is the least convex polygon round points, counter-clockwise (monotone
// chain, Andrew 1979).
func hull(pts []point) []point {
	pts = slices.Clone(pts)
	slices.SortFunc(pts, func(a, b point) int { return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(a.y, b.y)) })
	half := func() []point {
		var h []point
		for _, p := range pts {
			for len(h) > 1 && turn(h[len(h)-2], h[len(h)-1], p) <= 0 {
				h = h[:len(h)-1]
			}
			h = append(h, p)
		}
		return h[:len(h)-1]
	}
	lower := half()
	slices.Reverse(pts)
	return append(lower, half()...)
}

// turn is over 0 when the way from a over b to c bends to the left.
func turn(a, b, c point) float64 { return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x) }
