package plot

import (
	"bytes"
	"encoding/xml"
	"flag"
	"fmt"
	"image/color"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"
	"pgregory.net/rapid"

	"cagewise/gearing"
)

var update = flag.Bool("update", false, "write the golden pictures anew")

func teeth(n ...gearing.Teeth) []gearing.Teeth { return n }

func table(t testing.TB, capacity gearing.Teeth, rings, cogs []gearing.Teeth) gearing.Table {
	t.Helper()
	tab, err := gearing.NewTable(gearing.Build{
		Rings: rings, Cogs: cogs,
		Wheel: gearing.Wheel{BeadSeat: 622, Section: 42, LoadAllowance: 1},
		Rear:  gearing.RearDerailleur{RatedCapacity: capacity},
	}, gearing.TableOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return tab
}

func triple(t testing.TB) Ladder {
	return Ladder{Table: table(t, 39, teeth(22, 32, 44), teeth(11, 12, 13, 14, 15, 17, 19, 21, 24, 28, 32, 36, 40)), Name: "Three rings, invented"}
}

// svgOf draws a picture twice and holds the two against each other.
func svgOf(t testing.TB, p Picture, o Options) []byte {
	t.Helper()
	var a, b bytes.Buffer
	for _, w := range []io.Writer{&a, &b} {
		if err := WriteSVG(w, p, o); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("the same picture gave two files")
	}
	return a.Bytes()
}

// golden compares a picture with testdata/golden/NAME.svg.
func golden(t *testing.T, name string, p Picture, o Options) {
	t.Helper()
	got := svgOf(t, p, o)
	file := filepath.Join("..", "testdata", "golden", name+".svg")
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v; go test ./plot -update writes it", err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s has changed; look at it, then go test ./plot -update", name)
	}
}

func TestLadderGolden(t *testing.T) {
	golden(t, "ladder_triple", triple(t), Options{})
	golden(t, "ladder_single_print", Ladder{Table: table(t, 0, teeth(32), teeth(10, 12, 14, 16, 18, 21, 24, 28, 33, 39, 45, 51))}, Options{Theme: ThemePrint})
	golden(t, "ladder_narrow_dark", Ladder{Table: table(t, 34, teeth(30, 46), teeth(11, 13, 15, 18, 21, 24, 28, 32)), Name: "A name too long for a narrow page, so that it has to be cut"}, Options{Theme: ThemeDark, WidthMM: 95, HeightMM: 150})
}

// The SVG is well-formed XML with a title, a description and a view box.
func TestSVGIsWellFormed(t *testing.T) {
	l := triple(t)
	l.Name = `<rings> & "cogs" ` + "\x01 \u2028 ü"
	data := svgOf(t, l, Options{})
	found := map[string]bool{}
	d := xml.NewDecoder(bytes.NewReader(data))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("%v\n%s", err, data)
		}
		if e, ok := tok.(xml.StartElement); ok {
			found[e.Name.Local] = true
		}
	}
	for _, name := range []string{"svg", "title", "desc", "text", "path"} {
		if !found[name] {
			t.Errorf("no <%s>", name)
		}
	}
	if !bytes.Contains(data, []byte("viewBox=")) {
		t.Error("no viewBox")
	}
}

func TestPNG(t *testing.T) {
	var buf bytes.Buffer
	if err := WritePNG(&buf, triple(t), Options{WidthMM: 127, HeightMM: 101.6, DPI: 100}); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&buf)
	if err != nil {
		t.Fatal(err)
	}
	if b := img.Bounds(); b.Dx() != 500 || b.Dy() != 400 {
		t.Errorf("%d x %d pixels, want 500 x 400", b.Dx(), b.Dy())
	}
	seen := map[color.Color]bool{}
	for x := range 500 {
		for y := range 400 {
			seen[img.At(x, y)] = true
		}
	}
	if len(seen) < 20 {
		t.Errorf("only %d colours: is the picture blank?", len(seen))
	}
}

func TestOptionErrors(t *testing.T) {
	tests := []struct {
		o    Options
		want string
	}{
		{Options{WidthMM: 10}, "page of 10 x 140 mm; allowed 40 to 1000 mm each way"},
		{Options{HeightMM: math.NaN()}, "page of 160 x NaN mm; allowed 40 to 1000 mm each way"},
		{Options{DPI: 5}, "5 dots an inch; allowed 36 to 600"},
		{Options{Theme: "pink"}, `theme "pink"; allowed light, dark, print`},
	}
	for _, tt := range tests {
		if err := WriteSVG(io.Discard, triple(t), tt.o); err == nil || err.Error() != tt.want {
			t.Errorf("got %v, want %s", err, tt.want)
		}
	}
	if err := WritePNG(io.Discard, triple(t), Options{WidthMM: 1000, HeightMM: 1000, DPI: 600}); err == nil || !strings.Contains(err.Error(), "40 million pixels") {
		t.Errorf("got %v", err)
	}
	if err := WriteSVG(io.Discard, Ladder{}, Options{}); err == nil {
		t.Error("an empty ladder was drawn")
	}
}

// noted records the boxes of the texts on a sheet.
type noted struct {
	texts []string
	boxes []rect
	inks  []rect
}

func (n *noted) text(s string, box rect) {
	n.texts, n.boxes = append(n.texts, s), append(n.boxes, box)
}
func (n *noted) ink(pts []point, width float64) { n.inks = append(n.inks, around(pts)) }

// layout draws a picture on a sheet that records.
func layout(p Picture, o Options) (*noted, page, error) {
	pg, err := newPage(p, o)
	if err != nil {
		return nil, pg, err
	}
	n := &noted{}
	s := newSheet(newSVGCanvas(pg.w, pg.h, "", ""), pg)
	s.seen = n
	p.draw(s)
	return n, pg, nil
}

var _ vg.Canvas = (*svgCanvas)(nil)

// problems lists texts that collide or leave the page.
func (n *noted) problems(pg page) []string {
	var list []string
	const slack = 0.15 // mm
	for i, a := range n.boxes {
		if a.x0 < -slack || a.y0 < -slack || a.x1 > pg.w+slack || a.y1 > pg.h+slack {
			list = append(list, fmt.Sprintf("%q leaves the page: %+v", n.texts[i], a))
		}
		for j := range i {
			b := n.boxes[j]
			if a.x0 < b.x1-slack && b.x0 < a.x1-slack && a.y0 < b.y1-slack && b.y0 < a.y1-slack {
				list = append(list, fmt.Sprintf("%q %+v on %q %+v", n.texts[i], a, n.texts[j], b))
			}
		}
	}
	return list
}

// Whatever the wheels, no text lies on another and none leaves the page.
func TestLadderTextsKeepApart(t *testing.T) {
	wheel := rapid.Map(rapid.IntRange(8, 60), func(i int) gearing.Teeth { return gearing.Teeth(i) })
	rapid.Check(t, func(rt *rapid.T) {
		rings := gearing.SortTeeth(rapid.SliceOfNDistinct(wheel, 1, 4, rapid.ID[gearing.Teeth]).Draw(rt, "rings"))
		cogs := gearing.SortTeeth(rapid.SliceOfNDistinct(wheel, 1, 14, rapid.ID[gearing.Teeth]).Draw(rt, "cogs"))
		capacity := gearing.Teeth(rapid.IntRange(0, 50).Draw(rt, "capacity"))
		n, pg, err := layout(Ladder{Table: table(t, capacity, rings, cogs), Name: "x"}, Options{})
		if err != nil {
			rt.Fatal(err)
		}
		if p := n.problems(pg); len(p) > 0 {
			rt.Fatal(strings.Join(p, "\n"))
		}
		if len(n.texts) < len(rings)*len(cogs)+len(rings) {
			rt.Fatal("labels are missing")
		}
	})
}

// Any allowed page is drawn without panic, however odd.
func TestOddPages(t *testing.T) {
	for _, w := range []float64{40, 60, 300, 1000} {
		for _, h := range []float64{40, 90, 1000} {
			if _, _, err := layout(triple(t), Options{WidthMM: w, HeightMM: h}); err != nil {
				t.Errorf("%v x %v: %v", w, h, err)
			}
		}
	}
}

// Series are told from the background: contrast by WCAG 2.1, relative
// luminance.
func TestThemeContrast(t *testing.T) {
	for _, th := range themes {
		for i, c := range append(th.Series, th.Ink, th.Muted) {
			if k := contrast(c, th.Background); k < 3 {
				t.Errorf("%s: colour %d has a contrast of %.2f, want 3", th.Name, i, k)
			}
		}
	}
}

func contrast(a, b color.NRGBA) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

func luminance(c color.NRGBA) float64 {
	lin := func(v uint8) float64 {
		x := float64(v) / 255
		if x <= 0.03928 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(c.R) + 0.7152*lin(c.G) + 0.0722*lin(c.B)
}

func TestTicks(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		lo := rapid.Float64Range(0.3, 80).Draw(rt, "low")
		s := scale{lo: lo, hi: lo * rapid.Float64Range(1.2, 20).Draw(rt, "ratio"), a: 0, b: 100, log: true}
		ticks := s.ticks(4)
		if len(ticks) < 4 || len(ticks) > 20 {
			rt.Fatalf("%d ticks", len(ticks))
		}
		for i, k := range ticks {
			if at := s.at(k.value); at < -1e-6 || at > 100+1e-6 || len(k.label) > 7 {
				rt.Fatalf("tick %q at %v", k.label, at)
			}
			if i > 0 && k.value <= ticks[i-1].value {
				rt.Fatal("ticks do not rise")
			}
		}
	})
}

func TestSpread(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		wanted := rapid.SliceOfN(rapid.Float64Range(0, 100), 1, 14).Draw(rt, "wanted")
		height := rapid.Float64Range(0, 7).Draw(rt, "height")
		got := spread(wanted, height, 0, 100)
		for i := range got {
			if got[i] < -1e-9 || got[i] > 100+1e-9 {
				rt.Fatalf("place %v is outside", got[i])
			}
			for j := range got {
				if wanted[i] < wanted[j] && got[j]-got[i] < height-1e-9 {
					rt.Fatalf("%v and %v are closer than %v", got[i], got[j], height)
				}
			}
		}
	})
	if got := spread([]float64{10, 50}, 5, 0, 100); got[0] != 10 || got[1] != 50 {
		t.Errorf("labels with room were moved: %v", got)
	}
	if got := spread([]float64{50, 50}, 10, 0, 100); got[0] != 45 || got[1] != 55 {
		t.Errorf("two labels share the move: %v", got)
	}
}

func BenchmarkLadderSVG(b *testing.B) {
	l := triple(b)
	b.ReportAllocs()
	for b.Loop() {
		if err := WriteSVG(io.Discard, l, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLadderPNG(b *testing.B) {
	l := triple(b)
	b.ReportAllocs()
	for b.Loop() {
		if err := WritePNG(io.Discard, l, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
