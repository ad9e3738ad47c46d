package plot

import (
	"image"
	"image/draw"
	"math"
	"strings"

	xfont "golang.org/x/image/font"
	fixedpoint "golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/bidi"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// FillString implements vg.Canvas.
func (c *pngCanvas) FillString(f font.Face, pt vg.Point, text string) {
	if f.Font.Size == 0 {
		return
	}
	text = visual(text)
	if c.state.other || c.state.quarters > 1 {
		c.Canvas.FillString(f, pt, text)
		return
	}
	d := xfont.Drawer{Dst: c.img, Src: image.NewUniform(c.state.color), Face: c.face(f)}
	at := c.state.onPage(pt)
	x, y := at.X.Dots(c.DPI()), float64(c.img.Rect.Dy())-at.Y.Dots(c.DPI())
	if c.state.quarters == 1 {
		drawUpwards(d, x, y, text)
		return
	}
	d.Dot = fixedpoint.Point26_6{X: subPixels(x), Y: subPixels(y)}
	d.DrawString(text)
}

// visual puts a text in the order in which its letters stand on the page from left
// to right, which the readers of an SVG do by themselves (Unicode Standard Annex 9).
// A page is read from left to right, whatever its first letter; letters are not
// joined.
func visual(text string) string {
	const firstRightToLeft = '\u0590'
	if !strings.ContainsFunc(text, func(r rune) bool { return r >= firstRightToLeft }) {
		return text
	}
	const leftToRight = "\u200e"
	var p bidi.Paragraph
	if _, err := p.SetString(leftToRight + text); err != nil {
		return text
	}
	order, err := p.Order()
	if err != nil {
		return text
	}
	var b strings.Builder
	for i := range order.NumRuns() {
		if run := order.Run(i); run.Direction() == bidi.RightToLeft {
			b.WriteString(bidi.ReverseString(run.String()))
		} else {
			b.WriteString(run.String())
		}
	}
	return strings.Replace(b.String(), leftToRight, "", 1)
}

// subPixels is a length in pixels in the unit of the font package.
func subPixels(v float64) fixedpoint.Int26_6 { return fixedpoint.Int26_6(math.Round(64 * v)) }

// drawUpwards draws a text that starts at a place in pixels and goes up the page:
// level on a mask, which is turned then.
func drawUpwards(d xfont.Drawer, x, y float64, text string) {
	left, bottom := int(math.Floor(x)), int(math.Ceil(y))
	level := d
	level.Dot = fixedpoint.Point26_6{X: subPixels(float64(bottom) - y), Y: subPixels(x - float64(left))}
	box, _ := level.BoundString(text)
	mask := image.NewAlpha(image.Rect(box.Min.X.Floor(), box.Min.Y.Floor(), box.Max.X.Ceil(), box.Max.Y.Ceil()))
	level.Dst, level.Src = mask, image.Opaque
	level.DrawString(text)

	r := mask.Rect
	turned := image.NewAlpha(image.Rect(r.Min.Y, -r.Max.X, r.Max.Y, -r.Min.X))
	for u := r.Min.X; u < r.Max.X; u++ {
		for v := r.Min.Y; v < r.Max.Y; v++ {
			turned.Pix[turned.PixOffset(v, -u-1)] = mask.Pix[mask.PixOffset(u, v)]
		}
	}
	draw.DrawMask(d.Dst, turned.Rect.Add(image.Pt(left, bottom)), d.Src, image.Point{}, turned, turned.Rect.Min, draw.Over)
}

// face is a font at the canvas's resolution, made once for each size.
func (c *pngCanvas) face(f font.Face) xfont.Face {
	face, ok := c.faces[f.Font]
	if !ok {
		size := float64(f.Font.Size.Dots(c.DPI()))
		face = kernedFace{f.FontFace(c.DPI()), size / float64(f.Face.UnitsPerEm())}
		c.faces[f.Font] = face
	}
	return face
}

// kernedFace mends the distances between pairs of letters, which the library
// gives in the font's own unit at every size.
type kernedFace struct {
	xfont.Face
	scale float64 // pixels a unit of the font
}

// Kern implements font.Face.
func (f kernedFace) Kern(a, b rune) fixedpoint.Int26_6 {
	return subPixels(float64(f.Face.Kern(a, b)) * f.scale)
}
