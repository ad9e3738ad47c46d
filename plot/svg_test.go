package plot

import (
	"bytes"
	"encoding/xml"
	"image"
	"math"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"
	"pgregory.net/rapid"
)

// mm is a canvas point in mm.
func mm(x, y float64) vg.Point { return point{x, y}.vg() }

// svgBody draws on a canvas of 50 x 40 mm and returns what it wrote.
func svgBody(t *testing.T, draw func(c *svgCanvas)) string {
	t.Helper()
	c := newSVGCanvas(50, 40, "t", "d")
	start := c.buf.Len()
	draw(c)
	var b bytes.Buffer
	if err := c.writeTo(&b); err != nil {
		t.Fatal(err)
	}
	if err := xml.Unmarshal(b.Bytes(), new(struct{})); err != nil {
		t.Fatalf("%v\n%s", err, b.String())
	}
	return strings.TrimSuffix(b.String()[start:], "</g>\n</svg>\n")
}

func TestSVGCanvas(t *testing.T) {
	square := vg.Path{}
	square.Move(mm(1, 2))
	square.Line(mm(3, 2))
	square.Close()
	text := func(c *svgCanvas, x, y float64) {
		f := faceOf(textStyle{size: 2})
		c.FillString(f, mm(x, y), "a<b")
	}
	tests := []struct {
		name string
		draw func(c *svgCanvas)
		want string
	}{
		{"y is turned over", func(c *svgCanvas) { c.Fill(square) },
			`<path d="M10 380L30 380Z" fill="#000000"/>`},
		{"a line without width is not drawn", func(c *svgCanvas) { c.SetLineWidth(0); c.Stroke(square) }, ``},
		{"dashes", func(c *svgCanvas) {
			c.SetLineWidth(points(0.5))
			c.SetLineDash([]vg.Length{points(1), points(0.25)}, points(0.1))
			c.Stroke(square)
		}, `<path d="M10 380L30 380Z" fill="none" stroke="#000000" stroke-width="5" stroke-dasharray="10 2.5" stroke-dashoffset="1"/>`},
		{"text", func(c *svgCanvas) { text(c, 4, 5) },
			`<text x="40" y="350" font-size="20" fill="#000000">a&lt;b</text>`},
		{"turned text", func(c *svgCanvas) {
			c.Push()
			c.Translate(mm(4, 5))
			c.Rotate(math.Pi / 2)
			text(c, 0, -1)
			c.Pop()
			text(c, 4, 5)
		}, "<g transform=\"translate(40 350) rotate(-90)\">\n<text x=\"0\" y=\"10\" font-size=\"20\" fill=\"#000000\">a&lt;b</text>\n</g>\n" +
			`<text x="40" y="350" font-size="20" fill="#000000">a&lt;b</text>`},
		{"turned about the corner", func(c *svgCanvas) { c.Rotate(math.Pi / 6); c.Fill(square) },
			"<g transform=\"translate(0 400) rotate(-30)\">\n<path d=\"M10 -20L30 -20Z\" fill=\"#000000\"/>\n</g>"},
		{"a transform without a drawing", func(c *svgCanvas) { c.Push(); c.Scale(2, 3); c.Pop(); c.Pop(); c.Fill(square) },
			`<path d="M10 380L30 380Z" fill="#000000"/>`},
		{"a quarter turn", func(c *svgCanvas) {
			var p vg.Path
			p.Move(mm(20, 10))
			p.Arc(mm(10, 10), points(10), 0, math.Pi/2)
			c.Fill(p)
		}, `<path d="M200 300L200 300A100 100 0 0 0 100 200" fill="#000000"/>`},
		{"a quarter turn back", func(c *svgCanvas) {
			var p vg.Path
			p.Arc(mm(10, 10), points(10), 0, -math.Pi/2)
			c.Fill(p)
		}, `<path d="M200 300A100 100 0 0 1 100 400" fill="#000000"/>`},
		{"curves", func(c *svgCanvas) {
			var p vg.Path
			p.Move(mm(0, 0))
			p.QuadTo(mm(1, 1), mm(2, 0))
			p.CubeTo(mm(3, 1), mm(4, 1), mm(5, 0))
			c.Fill(p)
		}, `<path d="M0 400Q10 390 20 400C30 390 40 390 50 400" fill="#000000"/>`},
		{"an image", func(c *svgCanvas) {
			c.DrawImage(vg.Rectangle{Min: mm(1, 2), Max: mm(5, 4)}, image.NewGray(image.Rect(0, 0, 1, 1)))
		}, `<image x="10" y="360" width="40" height="20" preserveAspectRatio="none" href="data:image/png;base64,`},
	}
	for _, tt := range tests {
		if got := strings.TrimSpace(svgBody(t, tt.draw)); got != tt.want && !(tt.name == "an image" && strings.HasPrefix(got, tt.want)) {
			t.Errorf("%s:\n%s\nwant\n%s", tt.name, got, tt.want)
		}
	}
}

func TestAppendNum(t *testing.T) {
	for v, want := range map[float64]string{0: "0", -0.01: "0", 100: "100", 1.25: "1.2", -3.1: "-3.1", 0.96: "1"} {
		if got := trimmed(v, 1); got != want {
			t.Errorf("%v: %q, want %q", v, got, want)
		}
	}
	if got := trimmed(100, 0); got != "100" {
		t.Errorf("%q", got)
	}
}

// Marks stay within the square they are sized by, so that a layout can count
// on it, and no two look the same.
func TestMarks(t *testing.T) {
	seen := map[string]int{}
	for kind := range markKinds {
		for _, hollow := range []bool{false, true} {
			c := newSVGCanvas(50, 40, "", "")
			start := c.buf.Len()
			n := &noted{}
			s := newSheet(c, page{w: 50, h: 40, theme: themes[0]})
			s.seen = n
			s.mark(point{20, 20}, 4, kind, s.theme.Ink, hollow)
			for _, r := range n.inks {
				if r.x0 < 17 || r.x1 > 23 || r.y0 < 17 || r.y1 > 23 {
					t.Errorf("mark %d reaches %+v", kind, r)
				}
			}
			body := c.buf.String()[start:]
			if j, ok := seen[body]; ok {
				t.Errorf("marks %d and %d are alike", j, kind)
			}
			seen[body] = kind
		}
	}
}

func TestFit(t *testing.T) {
	s := newSheet(newSVGCanvas(50, 40, "", ""), page{w: 50, h: 40, theme: themes[0]})
	st := textStyle{size: 3}
	for _, text := range []string{"", "short", "a text that is far too long for its place", strings.Repeat("ü", 5000)} {
		got := s.fit(text, st, 20)
		if s.textWidth(got, st) > 20 {
			t.Errorf("%q is wider than 20 mm", got)
		}
	}
	if got := s.fit("x", st, 0.1); got != "" {
		t.Errorf("%q in no room", got)
	}
}

// Numbers are rounded as the standard library rounds them.
func TestNumbersAsLibrary(t *testing.T) {
	check := func(t rapid.TB, v float64) {
		want := strings.TrimSuffix(strconv.FormatFloat(v, 'f', 1, 64), ".0")
		if want == "-0" {
			want = "0"
		}
		if got := string(appendNum([]byte("M"), v, 1)); got != "M"+want {
			t.Fatalf("%v: %s, want M%s", v, got, want)
		}
	}
	for _, v := range []float64{0, math.Copysign(0, -1), 0.05, -0.05, 0.15, 0.25, 0.35, -0.04, 0.95, 9.949999999999999, 9.95, -1234.25, 1e8, 1e300, 99999999.95} {
		check(t, v)
	}
	rapid.Check(t, func(t *rapid.T) {
		check(t, rapid.OneOf(rapid.Float64Range(-2e4, 2e4), rapid.Map(rapid.IntRange(-1e6, 1e6), func(i int) float64 { return float64(i) / 20 })).Draw(t, "v"))
	})
}

// A width that is remembered is the width that is measured.
func TestTextWidth(t *testing.T) {
	s := &sheet{}
	rapid.Check(t, func(t *rapid.T) {
		st := textStyle{size: rapid.Float64Range(0.5, 9).Draw(t, "size"), bold: rapid.Bool().Draw(t, "bold")}
		text := rapid.StringOfN(rapid.SampledFrom([]rune("01AVa \n·é")), 0, 3, -1).Draw(t, "text")
		f := faceOf(st)
		if got, want := s.textWidth(text, st), millimetres(f.Width(cleanText(text))); got != want {
			t.Fatalf("%q: %v mm, want %v", text, got, want)
		}
	})
}

// A title of one's own stands over every kind of picture, broken into lines,
// and is its name for screen readers.
func TestOwnTitle(t *testing.T) {
	const title = "A title of my own that is long enough to take two lines on a page of this width, I hope"
	ladder := Ladder{Table: table(t, 0, teeth(30, 46), teeth(11, 13, 15, 18, 21, 24, 28, 32))}
	for _, p := range []Picture{ladder, Ladder{Table: ladder.Table, Name: "another"}} {
		var b bytes.Buffer
		if err := WriteSVG(&b, p, Options{Title: title}); err != nil {
			t.Fatal(err)
		}
		if svg := b.String(); !strings.Contains(svg, ">"+title+"</title>") || !strings.Contains(svg, ">A title of my own") || strings.Contains(svg, "another") || !strings.Contains(svg, "I hope</text>") {
			t.Errorf("no title in\n%.600s", svg)
		}
	}
	for _, p := range []Picture{ChoiceChart{}, ClimbChart{}, Comparison{}, ContactSheet{}, GearMap{}, ladder, LengthWindow{}, SideView{}, SpeedBands{}, WearChart{}} {
		if got := p.under(title).Title(); got != title {
			t.Errorf("%T: %q", p, got)
		}
	}
}
