package plot

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"strconv"

	"golang.org/x/image/font"
	vgfont "gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// svgUnitsPerMM makes the user unit a tenth of a mm: font sizes stay above the
// least size that viewers enforce, and one decimal is fine enough.
const svgUnitsPerMM = 10

// svgCanvas implements vg.Canvas. The canvas has y up and SVG has y down. On
// the untransformed page y turns into height - y; inside a transform it turns
// into -y, and every transform is mirrored alike.
type svgCanvas struct {
	buf   bytes.Buffer
	state svgState
	stack []svgState
	// pending holds transforms that no group has been opened for yet.
	pending []byte
	err     error
}

type svgState struct {
	base   float64 // SVG y of canvas y = 0
	width  vg.Length
	dash   []vg.Length
	offset vg.Length
	color  color.NRGBA
	groups int // groups opened since Push
}

func newSVGCanvas(wMM, hMM float64, title, desc string) *svgCanvas {
	c := &svgCanvas{}
	c.buf.Grow(32 << 10)
	vg.Initialize(c)
	c.state.base = hMM * svgUnitsPerMM
	c.print(`<svg xmlns="http://www.w3.org/2000/svg" role="img" width="`)
	c.print(trimmed(wMM, 2), `mm" height="`, trimmed(hMM, 2), `mm" viewBox="0 0 `)
	c.num(wMM * svgUnitsPerMM)
	c.print(" ")
	c.num(hMM * svgUnitsPerMM)
	c.print("\">\n<title>") // no ids: two pictures may share one web page
	c.escaped(title)
	c.print("</title>\n<desc>")
	c.escaped(desc)
	c.print("</desc>\n<g stroke-linejoin=\"round\" font-family=\"", fontFamily, "\">\n")
	return c
}

// writeTo closes the document and writes it.
func (c *svgCanvas) writeTo(w io.Writer) error {
	for len(c.stack) > 0 {
		c.Pop()
	}
	c.closeGroups()
	c.print("</g>\n</svg>\n")
	if c.err != nil {
		return fmt.Errorf("make SVG: %w", c.err)
	}
	if _, err := w.Write(c.buf.Bytes()); err != nil {
		return fmt.Errorf("write SVG: %w", err)
	}
	return nil
}

func (c *svgCanvas) print(parts ...string) {
	for _, s := range parts {
		c.buf.WriteString(s)
	}
}

func (c *svgCanvas) escaped(s string) {
	if err := xml.EscapeText(&c.buf, []byte(cleanText(s))); err != nil {
		c.err = err
	}
}

func (c *svgCanvas) num(v float64) { c.buf.Write(appendNum(c.buf.AvailableBuffer(), v, 1)) }

// appendNum writes at most n decimals, without trailing zeros or a minus
// before zero.
func appendNum(b []byte, v float64, n int) []byte {
	if n == 1 {
		if tenths, ok := roundedTenths(v); ok {
			return appendTenths(b, tenths)
		}
	}
	start := len(b)
	b = strconv.AppendFloat(b, v, 'f', n, 64)
	if n > 0 {
		b = bytes.TrimRight(b, "0")
		b = bytes.TrimSuffix(b, []byte("."))
	}
	if string(b[start:]) == "-0" {
		return append(b[:start], '0')
	}
	return b
}

// roundedTenths is a number in tenths; ok is false where the product does not
// tell for sure which way to round, or is too great.
func roundedTenths(v float64) (tenths int, ok bool) {
	t := math.Abs(10 * v)
	if !(t < 1e9) {
		return 0, false
	}
	whole := int(t)
	rest := t - float64(whole)
	if math.Abs(rest-0.5) < 1e-6 {
		return 0, false
	}
	if rest > 0.5 {
		whole++
	}
	if v < 0 {
		return -whole, true
	}
	return whole, true
}

func appendTenths(b []byte, tenths int) []byte {
	if tenths < 0 {
		b, tenths = append(b, '-'), -tenths
	}
	b = strconv.AppendInt(b, int64(tenths/10), 10)
	if rest := tenths % 10; rest > 0 {
		b = append(b, '.', byte('0'+rest))
	}
	return b
}

// trimmed is appendNum as a string.
func trimmed(v float64, n int) string { return string(appendNum(nil, v, n)) }

func units(l vg.Length) float64 { return millimetres(l) * svgUnitsPerMM }

// x and y turn canvas coordinates into SVG coordinates.
func (c *svgCanvas) x(l vg.Length) float64 { return units(l) }
func (c *svgCanvas) y(l vg.Length) float64 { return c.state.base - units(l) }

func (c *svgCanvas) pair(p vg.Point) {
	c.num(c.x(p.X))
	c.buf.WriteByte(' ')
	c.num(c.y(p.Y))
}

// SetLineWidth implements vg.Canvas.
func (c *svgCanvas) SetLineWidth(w vg.Length) { c.state.width = w }

// SetLineDash implements vg.Canvas.
func (c *svgCanvas) SetLineDash(pattern []vg.Length, offset vg.Length) {
	c.state.dash, c.state.offset = pattern, offset
}

// SetColor implements vg.Canvas.
func (c *svgCanvas) SetColor(col color.Color) {
	if col == nil {
		col = color.Black
	}
	c.state.color = color.NRGBAModel.Convert(col).(color.NRGBA)
}

// transform queues one transform. The first one on the page moves the origin
// to the lower left corner, from where the mirrored transforms count.
func (c *svgCanvas) transform(s string) {
	if c.state.base != 0 {
		c.pending = append(appendNum(append(c.pending, "translate(0 "...), c.state.base, 1), ") "...)
		c.state.base = 0
	}
	c.pending = append(append(c.pending, s...), ' ')
}

// Rotate implements vg.Canvas.
func (c *svgCanvas) Rotate(rad float64) {
	c.transform("rotate(" + trimmed(-rad*180/math.Pi, 3) + ")")
}

// Translate implements vg.Canvas.
func (c *svgCanvas) Translate(pt vg.Point) {
	y := c.y(pt.Y)
	c.state.base = 0 // the page height, if any, is now part of the move
	c.transform("translate(" + trimmed(c.x(pt.X), 1) + " " + trimmed(y, 1) + ")")
}

// Scale implements vg.Canvas.
func (c *svgCanvas) Scale(x, y float64) {
	c.transform("scale(" + trimmed(x, 5) + " " + trimmed(y, 5) + ")")
}

// open starts a group for the transforms queued since the last drawing.
func (c *svgCanvas) open() {
	if len(c.pending) == 0 {
		return
	}
	c.print(`<g transform="`, string(bytes.TrimSpace(c.pending)), "\">\n")
	c.pending = c.pending[:0]
	c.state.groups++
}

func (c *svgCanvas) closeGroups() {
	for range c.state.groups {
		c.print("</g>\n")
	}
	c.state.groups = 0
}

// Push implements vg.Canvas.
func (c *svgCanvas) Push() {
	c.open()
	c.stack = append(c.stack, c.state)
	c.state.groups = 0
}

// Pop implements vg.Canvas; without a Push it does nothing.
func (c *svgCanvas) Pop() {
	if len(c.stack) == 0 {
		return
	}
	c.pending = c.pending[:0]
	c.closeGroups()
	c.state = c.stack[len(c.stack)-1]
	c.stack = c.stack[:len(c.stack)-1]
}

// FillString implements vg.Canvas.
func (c *svgCanvas) FillString(f vgfont.Face, pt vg.Point, text string) {
	c.fillAnchored(f, pt, alignLeft, text)
}

var svgAnchors = [...]string{alignLeft: "", alignMiddle: ` text-anchor="middle"`, alignRight: ` text-anchor="end"`}

// fillAnchored implements anchorer.
func (c *svgCanvas) fillAnchored(f vgfont.Face, pt vg.Point, a align, text string) {
	if f.Font.Size == 0 {
		return
	}
	c.open()
	c.print(`<text x="`)
	c.num(c.x(pt.X))
	c.print(`" y="`)
	c.num(c.y(pt.Y))
	c.print(`" font-size="`)
	c.num(units(f.Font.Size))
	c.print(`"`, svgAnchors[a])
	if f.Font.Weight >= font.WeightSemiBold {
		c.print(` font-weight="bold"`)
	}
	c.paint("fill")
	c.print(">")
	c.escaped(text)
	c.print("</text>\n")
}

// DrawImage implements vg.Canvas: the image is part of the document.
func (c *svgCanvas) DrawImage(r vg.Rectangle, img image.Image) {
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		c.err = err
		return
	}
	c.open()
	c.print(`<image x="`)
	c.num(c.x(r.Min.X))
	c.print(`" y="`)
	c.num(c.y(r.Max.Y))
	c.print(`" width="`)
	c.num(units(r.Size().X))
	c.print(`" height="`)
	c.num(units(r.Size().Y))
	c.print(`" preserveAspectRatio="none" href="data:image/png;base64,`, base64.StdEncoding.EncodeToString(b.Bytes()), "\"/>\n")
}
