package plot

import (
	"bytes"
	"encoding/xml"
	"flag"
	"image/color"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

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

// The PNG has no golden file: its last bits depend on the machine's arithmetic.
// It is held against itself and against the SVG's page.
func TestPNGIsDeterministic(t *testing.T) {
	var a, b bytes.Buffer
	for _, w := range []io.Writer{&a, &b} {
		if err := WritePNG(w, triple(t), Options{DPI: 72}); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("the same picture gave two files")
	}
	if !bytes.Contains(a.Bytes(), []byte("pHYs\x00\x00\x0b\x13\x00\x00\x0b\x13\x01")) {
		t.Error("72 dots an inch are not 2835 dots a metre")
	}
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
		{Options{WidthMM: 10}, "page of 10 x 140 mm; allowed 60 to 1000 mm each way"},
		{Options{HeightMM: math.NaN()}, "page of 160 x NaN mm; allowed 60 to 1000 mm each way"},
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

// benchmarkSVG and benchmarkPNG draw a picture at its default size, the image at
// the default resolution.
func benchmarkSVG(b *testing.B, p Picture) { benchmarkWrite(b, p, WriteSVG) }

func benchmarkPNG(b *testing.B, p Picture) { benchmarkWrite(b, p, WritePNG) }

func benchmarkWrite(b *testing.B, p Picture, write func(io.Writer, Picture, Options) error) {
	b.ReportAllocs()
	for b.Loop() {
		if err := write(io.Discard, p, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLadderSVG(b *testing.B) { benchmarkSVG(b, triple(b)) }

func BenchmarkLadderPNG(b *testing.B) { benchmarkPNG(b, triple(b)) }
