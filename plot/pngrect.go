package plot

import (
	"image"
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
)

// fine is the number of steps of a pixel in which places are rounded, as the
// library rounds them.
const fine = 64

// Fill implements vg.Canvas. Upright rectangles, the largest shapes of most
// charts, need no outline.
func (c *pngCanvas) Fill(p vg.Path) {
	if r, ok := c.upright(p); ok {
		c.fillRect(r)
		return
	}
	c.Canvas.Fill(p)
}

// upright is the rectangle a path goes round, in steps of a pixel, y down.
func (c *pngCanvas) upright(p vg.Path) (r image.Rectangle, ok bool) {
	if len(p) != 5 || c.state != (pngState{color: c.state.color}) || p[0].Type != vg.MoveComp || p[4].Type != vg.CloseComp {
		return r, false
	}
	var at [4]image.Point
	for i := range at {
		if i > 0 && p[i].Type != vg.LineComp {
			return r, false
		}
		x, y := p[i].Pos.X.Dots(c.DPI()), float64(c.img.Rect.Dy())-p[i].Pos.Y.Dots(c.DPI())
		if !(math.Abs(x) < 1e6 && math.Abs(y) < 1e6) {
			return r, false
		}
		at[i] = image.Pt(int(math.Round(fine*x)), int(math.Round(fine*y)))
	}
	if at[0].Y == at[1].Y { // start with an upright side
		at = [4]image.Point{at[1], at[2], at[3], at[0]}
	}
	if at[0].X != at[1].X || at[1].Y != at[2].Y || at[2].X != at[3].X || at[3].Y != at[0].Y {
		return r, false
	}
	return image.Rect(at[0].X, at[0].Y, at[2].X, at[2].Y), true
}

// fillRect fills a rectangle, the pixels on its edges by the share they have.
func (c *pngCanvas) fillRect(r image.Rectangle) {
	r = r.Intersect(image.Rect(0, 0, fine*c.img.Rect.Dx(), fine*c.img.Rect.Dy()))
	if r.Empty() {
		return
	}
	b := newBrush(c.state.color)
	for y := r.Min.Y / fine; y*fine < r.Max.Y; y++ {
		high := min(r.Max.Y, (y+1)*fine) - max(r.Min.Y, y*fine)
		from, to := (r.Min.X+fine-1)/fine, r.Max.X/fine // whole pixels
		row := c.img.Pix[y*c.img.Stride:]
		if left := r.Min.X / fine; left < from {
			b.paint(row[4*left:][:4], high*(min(r.Max.X, from*fine)-r.Min.X))
		}
		if from < to {
			b.paint(row[4*from:4*to], high*fine)
		}
		if from <= to && to*fine < r.Max.X {
			b.paint(row[4*to:][:4], high*(r.Max.X-to*fine))
		}
	}
}

// brush lays a colour over pixels.
type brush struct{ r, g, b, a uint32 }

func newBrush(col color.Color) brush {
	r, g, b, a := col.RGBA()
	return brush{r, g, b, a}
}

// paint covers a share of each pixel, in 1/4096, with the rounding of the
// library.
func (b brush) paint(pix []byte, share int) {
	const m = 1<<16 - 1
	twelve := uint32(min(share, 1<<12-1))
	cover := twelve<<4 | twelve>>8
	keep := (m - b.a*cover/m) * 0x101
	var was, is [4]byte
	for i := 0; i+4 <= len(pix); i += 4 {
		p := (*[4]byte)(pix[i:])
		if *p != was || i == 0 {
			was = *p
			is = [4]byte{
				uint8((uint32(p[0])*keep + b.r*cover) / m >> 8), uint8((uint32(p[1])*keep + b.g*cover) / m >> 8),
				uint8((uint32(p[2])*keep + b.b*cover) / m >> 8), uint8((uint32(p[3])*keep + b.a*cover) / m >> 8),
			}
		}
		*p = is
	}
}
