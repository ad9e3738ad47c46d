package plot

import (
	"fmt"
	"image"
	"image/color"
	"io"
	"math"

	xfont "golang.org/x/image/font"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"
)

// pngCanvas draws lines and shapes by the library and text itself, which the
// library resamples letter by letter, as it might be turned. So it keeps count
// of transforms.
type pngCanvas struct {
	*vgimg.Canvas
	img   *image.RGBA
	dpi   int
	faces map[font.Font]xfont.Face
	state pngState
	stack []pngState
	path  vg.Path   // of the shape being drawn
	width vg.Length // of lines
}

type pngState struct {
	color    color.Color
	origin   vg.Point // on the page
	quarters int      // turns by 90 degrees, counter-clockwise, 0 to 3
	other    bool     // turned or scaled in another way
}

func newPNGCanvas(pg page) (*pngCanvas, error) {
	w, h := pg.pixels()
	if w*h > MaxPNGPixels {
		return nil, fmt.Errorf("PNG of %d x %d pixels; allowed at most %d million pixels: ask for fewer dots an inch",
			w, h, MaxPNGPixels/1_000_000)
	}
	// The canvas gets whole pixels: it places text and lines by two
	// different heights otherwise.
	perInch := vg.Inch / vg.Length(pg.dpi)
	c := vgimg.NewWith(vgimg.UseWH(vg.Length(w)*perInch, vg.Length(h)*perInch),
		vgimg.UseDPI(pg.dpi), vgimg.UseBackgroundColor(pg.theme.Background))
	return &pngCanvas{
		Canvas: c, img: c.Image().(*image.RGBA), dpi: pg.dpi,
		faces: map[font.Font]xfont.Face{}, state: pngState{color: color.Black},
	}, nil
}

func (c *pngCanvas) writeTo(w io.Writer) error { return encodePNG(w, c.img, c.dpi) }

// SetColor implements vg.Canvas.
func (c *pngCanvas) SetColor(col color.Color) {
	c.Canvas.SetColor(col)
	if col == nil {
		col = color.Black
	}
	c.state.color = col
}

// Push implements vg.Canvas.
func (c *pngCanvas) Push() {
	c.Canvas.Push()
	c.stack = append(c.stack, c.state)
}

// Pop implements vg.Canvas.
func (c *pngCanvas) Pop() {
	c.Canvas.Pop()
	c.state = c.stack[len(c.stack)-1]
	c.stack = c.stack[:len(c.stack)-1]
}

// Translate implements vg.Canvas.
func (c *pngCanvas) Translate(pt vg.Point) {
	c.Canvas.Translate(pt)
	c.state.origin = c.state.onPage(pt)
}

// Rotate implements vg.Canvas.
func (c *pngCanvas) Rotate(rad float64) {
	c.Canvas.Rotate(rad)
	turns := rad / (math.Pi / 2)
	if whole := math.Round(turns); math.Abs(turns-whole) < 1e-9 {
		c.state.quarters = (c.state.quarters + int(whole)) & 3
		return
	}
	c.state.other = true
}

// Scale implements vg.Canvas.
func (c *pngCanvas) Scale(x, y float64) {
	c.Canvas.Scale(x, y)
	c.state.other = true
}

// onPage is a place on the page.
func (s pngState) onPage(pt vg.Point) vg.Point {
	for range s.quarters {
		pt = vg.Point{X: -pt.Y, Y: pt.X}
	}
	return s.origin.Add(pt)
}
