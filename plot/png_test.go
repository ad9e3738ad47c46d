package plot

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"math/rand/v2"
	"testing"

	xfont "golang.org/x/image/font"
	"gonum.org/v1/plot/vg"
	"pgregory.net/rapid"
)

// readsBack encodes an image and lets the standard library decode it.
func readsBack(t rapid.TB, img *image.RGBA) {
	t.Helper()
	var b bytes.Buffer
	if err := encodePNG(&b, img, 150); err != nil {
		t.Fatal(err)
	}
	got, err := png.Decode(&b)
	if err != nil {
		t.Fatalf("%v: %v", img.Rect, err)
	}
	if got.Bounds() != img.Rect {
		t.Fatalf("%v, want %v", got.Bounds(), img.Rect)
	}
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			if r, g, b, a := got.At(x, y).RGBA(); (color.RGBA64{uint16(r), uint16(g), uint16(b), uint16(a)}) != img.RGBA64At(x, y) {
				t.Fatalf("pixel %d,%d of %v differs", x, y, img.Rect)
			}
		}
	}
}

// scribble fills an image with rectangles, each of one colour, of noise or a
// copy of what stands elsewhere.
func scribble(r *rand.Rand, w, h, shapes int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	colour := func() color.RGBA { return color.RGBA{uint8(r.Uint32()), uint8(r.Uint32()), uint8(r.Uint32()), 0xff} }
	for n := range shapes + 1 {
		x0, y0 := r.IntN(w), r.IntN(h)
		box := image.Rect(x0, y0, x0+1+r.IntN(w-x0), y0+1+r.IntN(h-y0))
		if n == 0 {
			box = img.Rect
		}
		kind, flat, from := r.IntN(3), colour(), image.Pt(r.IntN(w), r.IntN(h))
		for y := box.Min.Y; y < box.Max.Y; y++ {
			for x := box.Min.X; x < box.Max.X; x++ {
				c := flat
				switch {
				case n == 0 || kind == 0:
				case kind == 1:
					c = colour()
				default:
					c = img.RGBAAt((from.X+x-x0)%w, (from.Y+y-y0)%h)
				}
				img.SetRGBA(x, y, c)
			}
		}
	}
	return img
}

// What is encoded is what anyone decodes, to the bit.
func TestPNGReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		readsBack(t, scribble(r, rapid.IntRange(1, 90).Draw(t, "w"), rapid.IntRange(1, 70).Draw(t, "h"), rapid.IntRange(0, 12).Draw(t, "shapes")))
	})
}

// Very wide, very high, the smallest, and all noise.
func TestPNGOddImages(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	readsBack(t, scribble(r, 23622, 3, 9))
	readsBack(t, scribble(r, 1, 5000, 9))
	readsBack(t, scribble(r, 1, 1, 0))
	noise := image.NewRGBA(image.Rect(0, 0, 300, 200))
	for i := range noise.Pix {
		noise.Pix[i] = uint8(r.Uint32()) | uint8(i&3/3*0xff)
	}
	readsBack(t, noise)
}

func blankPNG(t rapid.TB, wMM, hMM float64, dpi int) *pngCanvas {
	t.Helper()
	c, err := newPNGCanvas(page{w: wMM, h: hMM, dpi: dpi, theme: themes[0]})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// far is the greatest difference of two images in a colour of a pixel.
func far(a, b *image.RGBA) int {
	most := 0
	for i := range a.Pix {
		most = max(most, int(a.Pix[i])-int(b.Pix[i]), int(b.Pix[i])-int(a.Pix[i]))
	}
	return most
}

var textColours = rapid.SampledFrom([]color.Color{themes[0].Ink, themes[0].Series[1], glassy(themes[0].Danger, 0.5)})

// Text is drawn as the library draws it, but for the distances of the pairs of
// letters it gets wrong: here are none such.
func TestPNGTextAsLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		st := textStyle{size: rapid.Float64Range(1, 6).Draw(t, "size"), bold: rapid.Bool().Draw(t, "bold")}
		text := rapid.StringOfN(rapid.SampledFrom([]rune("023456789abcx%()é+-")), 1, 12, -1).Draw(t, "text")
		at := point{rapid.Float64Range(-5, 60).Draw(t, "x"), rapid.Float64Range(-5, 40).Draw(t, "y")}
		col := textColours.Draw(t, "colour")
		turn := rapid.SampledFrom([]float64{0, 0, 180, 33}).Draw(t, "turn") * math.Pi / 180
		ours, library := blankPNG(t, 60, 40, 100), blankPNG(t, 60, 40, 100)
		for _, c := range []vg.Canvas{ours, library.Canvas} {
			c.Push()
			c.SetColor(col)
			if turn != 0 {
				c.Translate(point{30, 20}.vg())
				c.Rotate(turn)
			}
			c.FillString(faceOf(st), at.vg(), text)
			c.Pop()
		}
		if d := far(ours.img, library.img); d > 2 {
			t.Fatalf("%q differs by %d of 255", text, d)
		}
	})
}

// Text that goes up the page is the level text on the page turned.
func TestPNGTextUpwards(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		st := textStyle{size: rapid.Float64Range(1, 6).Draw(t, "size"), bold: rapid.Bool().Draw(t, "bold"), color: textColours.Draw(t, "colour")}
		text := rapid.StringOfN(rapid.SampledFrom([]rune("0123456789AVgj, ()")), 1, 12, -1).Draw(t, "text")
		const side = 60.0 // mm, whole pixels
		x, y := rapid.Float64Range(-5, 60).Draw(t, "x"), rapid.Float64Range(-5, 60).Draw(t, "y")
		level, up := blankPNG(t, side, side, 127), blankPNG(t, side, side, 127)
		(&sheet{c: level}).text(point{x, y}, text, st)
		st.angle = 90
		(&sheet{c: up}).text(point{side - y, x}, text, st)
		turned := image.NewRGBA(up.img.Rect)
		n := up.img.Rect.Dx()
		for i := range n {
			for j := range n {
				turned.SetRGBA(i, j, up.img.RGBAAt(j, n-1-i))
			}
		}
		if d := far(level.img, turned); d > 8 { // a place is rounded to 1/64 pixel from another side
			t.Fatalf("%q differs by %d of 255", text, d)
		}
	})
}

// A text is as wide as it was measured, pairs of letters moved together included.
func TestPNGTextWidth(t *testing.T) {
	c := blankPNG(t, 100, 60, 100)
	for _, text := range []string{"11111111", "AVAVAVAV", "To 11x11, Ty.", "0123456789"} {
		for _, size := range []float64{1, 2.5, 8} {
			f := faceOf(textStyle{size: size})
			drawn := float64(xfont.MeasureString(c.face(f), text)) / 64
			if want := f.Width(text).Dots(c.DPI()); math.Abs(drawn-want) > 0.01*float64(len(text)) {
				t.Errorf("%q at %v mm: %.2f pixels, measured %.2f", text, size, drawn, want)
			}
		}
	}
}

// Rectangles have the library's pixels, to the bit; but for those that reach over
// the left or the upper edge of the page, where the library draws a pixel too much.
func TestPNGRectAsLibrary(t *testing.T) {
	place := func(most float64) *rapid.Generator[float64] {
		return rapid.OneOf(rapid.Float64Range(0, most), rapid.Map(rapid.IntRange(0, int(4*most)), func(i int) float64 { return float64(i) / 4 }))
	}
	rapid.Check(t, func(t *rapid.T) {
		ours, library := blankPNG(t, 60, 60, 127), blankPNG(t, 60, 60, 127)
		for range rapid.IntRange(1, 4).Draw(t, "shapes") {
			r := rect{place(66).Draw(t, "x0"), place(60).Draw(t, "y0"), place(66).Draw(t, "x1"), place(60).Draw(t, "y1")}
			col := textColours.Draw(t, "colour")
			first := rapid.IntRange(0, 3).Draw(t, "first")
			corners := append(r.corners()[first:], r.corners()[:first]...)
			for _, c := range []vg.Canvas{ours, library.Canvas} {
				(&sheet{c: c}).polygon(corners, col, stroke{})
			}
		}
		if d := far(ours.img, library.img); d > 0 {
			t.Fatalf("differs by %d of 255", d)
		}
	})
}

// What is no upright rectangle, or stands on a page that is moved, goes to the
// library.
func TestPNGShapesOfTheLibrary(t *testing.T) {
	for name, draw := range map[string]func(s *sheet){
		"slanted":  func(s *sheet) { s.polygon([]point{{5, 5}, {30, 6}, {30, 20}, {5, 19}}, themes[0].Ink, stroke{}) },
		"bow":      func(s *sheet) { s.polygon([]point{{5, 5}, {30, 20}, {30, 5}, {5, 20}}, themes[0].Ink, stroke{}) },
		"triangle": func(s *sheet) { s.polygon([]point{{5, 5}, {30, 5}, {30, 20}}, themes[0].Ink, stroke{}) },
		"moved": func(s *sheet) {
			s.c.Push()
			s.c.Translate(point{7, 3}.vg())
			s.c.Rotate(math.Pi / 2)
			s.fillRect(rect{5, -30, 20, -5}, themes[0].Ink)
			s.c.Pop()
			s.fillRect(rect{40, 40, 50, 50}, themes[0].Ink)
		},
	} {
		ours, library := blankPNG(t, 60, 60, 127), blankPNG(t, 60, 60, 127)
		draw(&sheet{c: ours})
		draw(&sheet{c: library.Canvas})
		if far(ours.img, library.img) > 0 {
			t.Errorf("%s: differs", name)
		}
		if far(ours.img, blankPNG(t, 60, 60, 127).img) == 0 {
			t.Errorf("%s: not drawn", name)
		}
	}
}

// Chords stay close to their arc.
func TestChordCount(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pixels, angle := rapid.Float64Range(0, 1000).Draw(t, "radius"), rapid.Float64Range(-7, 7).Draw(t, "angle")
		n := chordCount(pixels, angle)
		if off := pixels * (1 - math.Cos(angle/float64(n)/2)); off > 0.5/fine+1e-9 {
			t.Fatalf("%d chords stray by %v pixels", n, off)
		}
	})
}

// Strokes along arcs cover what lies within half their width of them.
func TestPNGArcs(t *testing.T) {
	for _, a := range []struct {
		at                  point
		r, width, from, way float64
	}{
		{point{5, 5}, 1, 1, 1, -21.5}, {point{5, 5}, 1, 1, 1, 20}, {point{20, 20}, 8, 0.6, 10, 160},
		{point{30, 30}, 20, 0.4, 10, 160}, {point{30, 30}, 3, 0.6, 77, -130}, {point{28, 31}, 25, 1.2, -40, 359},
	} {
		c := blankPNG(t, 60, 60, 127)
		(&sheet{c: c}).arc(a.at, a.r, a.from, a.way, stroke{color: color.Black, width: a.width})
		off, ink := 0.0, 0.0
		const pixels, fine = 5, 4 // a mm, and samples a pixel each way
		for i := range c.img.Rect.Dx() {
			for j := range c.img.Rect.Dy() {
				covered := 0
				for k := range fine * fine {
					x := (float64(i)+(float64(k%fine)+0.5)/fine)/pixels - a.at.x
					y := 60 - (float64(j)+(float64(k/fine)+0.5)/fine)/pixels - a.at.y
					along := math.Mod(math.Copysign(1, a.way)*(math.Atan2(y, x)*180/math.Pi-a.from)+1080, 360)
					if math.Abs(math.Hypot(x, y)-a.r) <= a.width/2 && along <= math.Abs(a.way) {
						covered++
					}
				}
				share := float64(covered) / fine / fine
				ink += share
				off += math.Abs(1 - share - float64(c.img.RGBAAt(i, j).R)/255)
			}
		}
		if off > 0.04*ink+1 { // a shift by a tenth of a pixel is twice that
			t.Errorf("%+v: %.1f pixels of %.1f differ", a, off, ink)
		}
	}
}

// Letters stand as they are read: a run from right to left backwards, the rest
// of the page as written.
func TestVisualOrder(t *testing.T) {
	for text, want := range map[string]string{
		"Tourer 48/31":             "Tourer 48/31",
		"Größe, Ελλάδα":            "Größe, Ελλάδα",
		"\u05d0\u05d1\u05d2 x":     "\u05d2\u05d1\u05d0 x",
		"a \u05d0\u05d1(c) \u05d2": "a \u05d1\u05d0(c) \u05d2",
		"":                         "",
	} {
		if got := visual(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		text := cleanText(rapid.String().Draw(t, "text"))
		if got := visual(text); len([]rune(got)) != len([]rune(text)) {
			t.Fatalf("%q became %q", text, got)
		}
	})
}
