package plot

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

const mmPerInch = 25.4

// points turns mm into the canvas unit.
func points(mm float64) vg.Length { return vg.Length(mm) * vg.Inch / mmPerInch }

// millimetres turns the canvas unit into mm.
func millimetres(l vg.Length) float64 { return float64(l / vg.Inch * mmPerInch) }

// point is a place on the page in mm, x to the right and y up from the lower
// left corner.
type point struct{ x, y float64 }

func (p point) vg() vg.Point { return vg.Point{X: points(p.x), Y: points(p.y)} }

// polar is the point at a distance and a direction in degrees.
func (p point) polar(r, degrees float64) point {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return point{p.x + r*cos, p.y + r*sin}
}

// rect is an upright rectangle in mm.
type rect struct{ x0, y0, x1, y1 float64 }

func (r rect) width() float64  { return r.x1 - r.x0 }
func (r rect) height() float64 { return r.y1 - r.y0 }

func (r rect) corners() []point {
	return []point{{r.x0, r.y0}, {r.x1, r.y0}, {r.x1, r.y1}, {r.x0, r.y1}}
}

// around is the least rectangle that holds the points.
func around(pts []point) rect {
	r := rect{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, p := range pts {
		r.x0, r.x1 = min(r.x0, p.x), max(r.x1, p.x)
		r.y0, r.y1 = min(r.y0, p.y), max(r.y1, p.y)
	}
	return r
}

// stroke is how a line is drawn; widths and dashes in mm.
type stroke struct {
	color color.Color
	width float64
	dash  []float64
}

// sheet draws on a page in mm. It knows nothing of charts.
type sheet struct {
	c     vg.Canvas
	w, h  float64 // mm
	theme Theme
	seen  recorder // nil: nobody looks
	path  vg.Path  // reused from call to call
	wide  map[wording]vg.Length
}

// wording is a text in one of the two fonts.
type wording struct {
	text string
	bold bool
}

// recorder is told what a sheet draws, so that tests can check a layout.
type recorder interface {
	text(s string, box rect)
	ink(pts []point, width float64)
}

func newSheet(c vg.Canvas, pg page) *sheet {
	return &sheet{c: c, w: pg.w, h: pg.h, theme: pg.theme}
}

func (s *sheet) note(pts []point, width float64) {
	if s.seen != nil {
		s.seen.ink(pts, width)
	}
}

// trace makes a path of straight lines.
func (s *sheet) trace(pts []point, closed bool) vg.Path {
	s.path = s.path[:0]
	for i, p := range pts {
		if i == 0 {
			s.path.Move(p.vg())
			continue
		}
		s.path.Line(p.vg())
	}
	if closed {
		s.path.Close()
	}
	return s.path
}

func (s *sheet) stroke(p vg.Path, st stroke) {
	if st.width <= 0 || st.color == nil {
		return
	}
	var dash []vg.Length
	for _, d := range st.dash {
		dash = append(dash, points(d))
	}
	s.c.SetLineWidth(points(st.width))
	s.c.SetLineDash(dash, 0)
	s.c.SetColor(st.color)
	s.c.Stroke(p)
}

func (s *sheet) fill(p vg.Path, col color.Color) {
	if col == nil {
		return
	}
	s.c.SetColor(col)
	s.c.Fill(p)
}

func (s *sheet) line(a, b point, st stroke) { s.polyline([]point{a, b}, st) }

func (s *sheet) polyline(pts []point, st stroke) {
	if len(pts) < 2 {
		return
	}
	s.note(pts, st.width)
	s.stroke(s.trace(pts, false), st)
}

// polygon fills a closed shape and draws its edge; a nil fill or a zero stroke
// leaves either out.
func (s *sheet) polygon(pts []point, fill color.Color, st stroke) {
	if len(pts) < 3 {
		return
	}
	s.note(pts, st.width)
	p := s.trace(pts, true)
	s.fill(p, fill)
	s.stroke(p, st)
}

func (s *sheet) fillRect(r rect, fill color.Color) { s.polygon(r.corners(), fill, stroke{}) }

func (s *sheet) circle(c point, r float64, fill color.Color, st stroke) {
	s.note([]point{{c.x - r, c.y - r}, {c.x + r, c.y + r}}, st.width)
	s.path = s.path[:0]
	s.path.Move(point{c.x + r, c.y}.vg())
	s.path.Arc(c.vg(), points(r), 0, 2*math.Pi)
	s.path.Close()
	s.fill(s.path, fill)
	s.stroke(s.path, st)
}

// arc draws part of a circle from a direction through a sweep, both in
// degrees, counter-clockwise.
func (s *sheet) arc(c point, r, from, sweep float64, st stroke) {
	s.note([]point{c.polar(r, from), c.polar(r, from+sweep/2), c.polar(r, from+sweep)}, st.width)
	s.path = s.path[:0]
	s.path.Move(c.polar(r, from).vg())
	s.path.Arc(c.vg(), points(r), from*math.Pi/180, sweep*math.Pi/180)
	s.stroke(s.path, st)
}

// align is the place of the anchor along a text.
type align int

const (
	alignLeft align = iota
	alignMiddle
	alignRight
)

// textStyle is how a text is drawn; sizes in mm.
type textStyle struct {
	size   float64
	bold   bool
	color  color.Color
	align  align
	middle bool    // the anchor is half way up the digits, not on the base line
	angle  float64 // degrees, counter-clockwise
}

// anchorer is a canvas that places text by its middle or end itself, which
// holds even when a reader's font has other widths.
type anchorer interface {
	fillAnchored(f font.Face, pt vg.Point, a align, text string)
}

// textWidth is the width of a text in mm. Charts measure the same words at many
// sizes, so the width in the font's own unit is kept.
func (s *sheet) textWidth(text string, st textStyle) float64 {
	key := wording{text, st.bold}
	f := faceOf(st)
	em := vg.Points(float64(f.Face.UnitsPerEm()))
	units, ok := s.wide[key]
	if !ok {
		inUnits := f
		inUnits.Font.Size = em
		units = inUnits.Width(cleanText(text))
		if s.wide == nil {
			s.wide = map[wording]vg.Length{}
		}
		s.wide[key] = units
	}
	return millimetres(units * (f.Font.Size / em))
}

// fit shortens a text that is wider than a width in mm.
func (s *sheet) fit(text string, st textStyle, width float64) string {
	runes := []rune(cleanText(text))
	if len(runes) > maxRunes {
		runes = append(runes[:maxRunes], '…')
	}
	for len(runes) > 0 && s.textWidth(string(runes), st) > width {
		runes = append(runes[:max(0, len(runes)-2)], '…')
		if len(runes) == 1 {
			return ""
		}
	}
	return string(runes)
}

// maxRunes keeps fit fast on a text that nobody could read anyway.
const maxRunes = 400

func (s *sheet) text(at point, text string, st textStyle) {
	text = cleanText(text)
	if text == "" || st.size <= 0 {
		return
	}
	drop := 0.0
	if st.middle {
		drop = digitShare * st.size / 2
	}
	if s.seen != nil {
		s.seen.text(text, s.textBox(at, text, st, drop))
	}
	s.c.SetColor(st.color)
	if st.angle == 0 {
		s.fillText(point{at.x, at.y - drop}, text, st)
		return
	}
	s.c.Push()
	s.c.Translate(at.vg())
	s.c.Rotate(st.angle * math.Pi / 180)
	s.fillText(point{0, -drop}, text, st)
	s.c.Pop()
}

func (s *sheet) fillText(at point, text string, st textStyle) {
	f := faceOf(st)
	if a, ok := s.c.(anchorer); ok {
		a.fillAnchored(f, at.vg(), st.align, text)
		return
	}
	if st.align != alignLeft {
		at.x -= st.align.shift(s.textWidth(text, st))
	}
	s.c.FillString(f, at.vg(), text)
}

// shift is how far a text of a width starts before its anchor.
func (a align) shift(width float64) float64 {
	switch a {
	case alignMiddle:
		return width / 2
	case alignRight:
		return width
	default:
		return 0
	}
}

// textBox is the upright box round a text, turned or not.
func (s *sheet) textBox(at point, text string, st textStyle, drop float64) rect {
	w := s.textWidth(text, st)
	x := -st.align.shift(w)
	flat := rect{x, -drop - descentShare*st.size, x + w, -drop + ascentShare*st.size}
	turned := flat.corners()
	for i, p := range turned {
		turned[i] = at.polar(p.x, st.angle).polar(p.y, st.angle+90)
	}
	return around(turned)
}
