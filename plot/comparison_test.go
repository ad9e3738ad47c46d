package plot

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
	"cagewise/sim"
)

// compared sets builds side by side for the tests.
func compared(t testing.TB, builds ...gearing.Build) Comparison {
	t.Helper()
	c, err := sim.Compare(builds, sim.CompareOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return Comparison{Compared: c}
}

// swapped is an invented build known by its ratings alone.
func swapped(name string, capacity gearing.Teeth, rings, cogs []gearing.Teeth) gearing.Build {
	b := rigBuild("", 440, 65, rings, cogs)
	b.Name, b.Rear.RatedCapacity, b.Chain.Pitches = name, capacity, 110
	return b
}

var (
	elevenTo36 = teeth(11, 13, 15, 17, 19, 21, 24, 28, 32, 36)
	elevenTo42 = teeth(11, 13, 15, 17, 19, 21, 24, 28, 32, 37, 42)
	thirteen   = teeth(11, 12, 13, 14, 15, 17, 19, 21, 24, 28, 32, 36, 40)
)

const longName = "A name far too long for any lane, of an invented bike that has been given more words than its maker had ideas, so that it has to be cut"

// swaps are three builds, as a rider would compare them.
func swaps(t testing.TB) Comparison {
	return compared(t,
		swapped("Invented gravel double", 37, teeth(30, 46), elevenTo36),
		swapped("", 39, teeth(38), elevenTo42),
		swapped("rings=44/28", 39, teeth(28, 44), elevenTo36))
}

// manyBuilds are as many and as wide builds as are allowed, with long names.
func manyBuilds(t testing.TB) Comparison {
	var list []gearing.Build
	for i := range sim.MostOptions {
		list = append(list, swapped(fmt.Sprint(i, " ", longName), 39, teeth(22+gearing.Teeth(i%3), 32, 44), thirteen))
	}
	c := compared(t, list...)
	c.Name = longName
	return c
}

// simulatedSwaps are compared by their cages.
func simulatedSwaps(t testing.TB) Comparison {
	b := rigBuild("medium", 430, 70, teeth(30, 46), elevenTo36)
	other := rigBuild("medium", 430, 70, teeth(22, 32, 48), elevenTo36)
	b.Chain.Pitches = 112
	b.Name, other.Name = "Invented", "three rings on the same cage"
	return compared(t, b, other)
}

func comparisons(t testing.TB) map[string]Comparison {
	return map[string]Comparison{
		"swaps": swaps(t), "many": manyBuilds(t), "simulated": simulatedSwaps(t),
		"one":    compared(t, swapped("Alone", 0, teeth(40), elevenTo42)),
		"double": compared(t, swapped("", 30, teeth(26, 45, 49), teeth(14, 17, 20, 24, 29)), swapped("", 0, teeth(40), teeth(18))),
	}
}

// TestShowRoad writes the charts of the road for the eye, as TestShow does.
func TestShowRoad(t *testing.T) {
	dir := os.Getenv("PLOT_SHOW")
	if dir == "" {
		t.Skip("PLOT_SHOW is not set")
	}
	all := map[string]Picture{}
	for name, c := range comparisons(t) {
		all["comparison_"+name] = c
	}
	for name, c := range climbs(t) {
		all["climb_"+name] = c
	}
	for name, c := range bands(t) {
		all["speed_"+name] = c
	}
	show := func(name string, p Picture, o Options) {
		var b bytes.Buffer
		if err := WritePNG(&b, p, o); err != nil {
			t.Fatal(name, err)
		}
		if err := os.WriteFile(filepath.Join(dir, name+".png"), b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for name, p := range all {
		w, _ := p.Size()
		for _, theme := range ThemeNames() {
			show(name+"_"+theme, p, Options{Theme: theme})
		}
		show(name+"_phone", p, Options{DPI: int(360 * mmPerInch / w)})
		show(name+"_narrow", p, Options{WidthMM: phoneMM, DPI: 96})
	}
}

// oddPages are pages that charts are tried on.
var oddPages = []Options{{}, {WidthMM: phoneMM}, {WidthMM: 95, HeightMM: 150}, {WidthMM: 300, HeightMM: 90}, {WidthMM: 60, HeightMM: 60}, {WidthMM: 420, HeightMM: 594}}

func TestComparisonLayout(t *testing.T) {
	for name, c := range comparisons(t) {
		for _, o := range oddPages {
			noProblems(t, name, c, o)
		}
	}
}

// anyWheels draws rings and cogs.
func anyWheels(rt *rapid.T) (rings, cogs []gearing.Teeth) {
	wheels := func(lo, hi, most int, label string) []gearing.Teeth {
		g := rapid.Map(rapid.IntRange(lo, hi), func(i int) gearing.Teeth { return gearing.Teeth(i) })
		return gearing.SortTeeth(rapid.SliceOfNDistinct(g, 1, most, rapid.ID[gearing.Teeth]).Draw(rt, label))
	}
	return wheels(18, 80, gearing.MaxRings, "rings"), wheels(9, 60, gearing.MaxCogs, "cogs")
}

// anyPages are pages of any allowed size.
var anyPages = map[string]*rapid.Generator[float64]{
	"default": rapid.Just(0.0),
	"any":     rapid.Float64Range(MinSizeMM, MaxSizeMM),
	"small":   rapid.Float64Range(MinSizeMM, 120),
}

func anyPage(rt *rapid.T, side *rapid.Generator[float64]) Options {
	return Options{WidthMM: side.Draw(rt, "width"), HeightMM: side.Draw(rt, "height")}
}

// Whatever the builds and the page, no words of a comparison meet or leave the
// page, and every lane says its figures in full.
func TestAnyComparisonLayout(t *testing.T) {
	for name, side := range anyPages {
		t.Run(name, rapid.MakeCheck(func(rt *rapid.T) {
			var builds []gearing.Build
			for range rapid.IntRange(1, sim.MostOptions).Draw(rt, "builds") {
				rings, cogs := anyWheels(rt)
				builds = append(builds, swapped(rapid.StringN(0, 80, 200).Draw(rt, "name"), gearing.Teeth(rapid.SampledFrom([]int{0, 0, 0, 0, 0, 0, 0, 0, 0, 37}).Draw(rt, "capacity")), rings, cogs))
			}
			k, err := sim.Compare(builds, sim.CompareOptions{CruiseKmH: rapid.Float64Range(3, 80).Draw(rt, "cruise")})
			if err != nil {
				rt.Skip(err)
			}
			c := Comparison{Compared: k}
			n := noProblems(rt, name, c, anyPage(rt, side))
			all := strings.Join(n.texts, " ")
			for i := range k.Options {
				o := &k.Options[i]
				for _, f := range append(append(gearFacts(o), c.rideFacts(o)...), keepFacts(o, named)...) {
					if !strings.Contains(all, f) {
						rt.Fatalf("%q is not on the page", f)
					}
				}
			}
		}))
	}
}

// Every gear stands at its development on the one axis, and the cruising line
// at its own.
func TestComparisonPlaces(t *testing.T) {
	c := swaps(t)
	pg, err := newPage(c, Options{})
	if err != nil {
		t.Fatal(err)
	}
	y := c.place(newSheet(newSVGCanvas(pg.w, pg.h, "", ""), pg))
	for i := range c.Compared.Options {
		tab := c.Compared.Options[i].Table
		for k, g := range tab.Gears {
			first, at := y.at(0, 0), y.at(i, k)
			if perLog := (at.x - first.x) / math.Log(float64(g.Development/c.Compared.Options[0].Table.Lowest().Development)); k > 0 {
				want := (y.right - y.left) / math.Log(y.x.hi/y.x.lo)
				if math.Abs(perLog-want) > 1e-6*want {
					t.Fatalf("build %d, %s: %.4f mm a unit of the axis, want %.4f", i+1, g.Name(), perLog, want)
				}
			}
			if p := y.lanes[i].panel; at.x < p.x0 || at.x > p.x1 || at.y < p.y0 || at.y > p.y1 {
				t.Errorf("build %d, %s is off its panel", i+1, g.Name())
			}
		}
	}
	if got := math.Abs(y.x.at(25*1000/60.0/90) - y.x.at(c.cruise())); got > 1e-9 {
		t.Errorf("the cruising line is %.3f mm off", got)
	}
}

// Lanes stand below each other, and no mark touches the next.
func TestComparisonLanesKeepApart(t *testing.T) {
	for name, c := range comparisons(t) {
		pg, err := newPage(c, Options{})
		if err != nil {
			t.Fatal(err)
		}
		y := c.place(newSheet(newSVGCanvas(pg.w, pg.h, "", ""), pg))
		for i := 1; i < len(y.lanes); i++ {
			if y.lanes[i].name+0.5*y.size > y.lanes[i-1].panel.y0 {
				t.Errorf("%s: lane %d lies on the one above", name, i+1)
			}
		}
		if y.size < 0.02*pg.w {
			t.Errorf("%s: text of %.2f mm on %.0f mm", name, y.size, pg.w)
		}
		if y.mark > y.row {
			t.Errorf("%s: marks of %.2f mm in rows of %.2f mm", name, y.mark, y.row)
		}
	}
}

// The legend explains what occurs and nothing else.
func TestComparisonLegend(t *testing.T) {
	all := comparisons(t)
	whole := compared(t, swapped("", 60, teeth(30, 46), teeth(11, 12, 13, 14)))
	for _, tt := range []struct {
		name       string
		c          Comparison
		tied, hole bool
	}{
		{"swaps", all["swaps"], true, true},
		{"one", all["one"], false, false},
		{"many", all["many"], true, false},
		{"whole", whole, false, false},
	} {
		lost, state := false, map[sim.State]bool{}
		for _, o := range tt.c.Compared.Options {
			for _, g := range o.Advice.Gears {
				if state[g.State] = true; g.Lost && !g.State.Dangerous() {
					lost = true
				}
			}
		}
		texts := noProblems(t, tt.name, tt.c, Options{}).texts
		for text, want := range map[string]bool{
			"lost gear": lost, "duplicates within 2 %": tt.tied, "hole beside it: a step over 15 %": tt.hole,
			"cruising speed": true, "gear ridden at it": true,
			"hits the cog": state[sim.Hits], "too short": state[sim.TooShort], "locks": state[sim.Locks],
		} {
			if got := slices.Contains(texts, text); got != want {
				t.Errorf("%s: %q explained: %v", tt.name, text, got)
			}
		}
	}
}

func TestComparisonWords(t *testing.T) {
	n := noProblems(t, "swaps", swaps(t), Options{})
	for _, want := range []string{
		"1  46/30 x 11-36", "today · Invented gravel double", "3  44/28 x 11-36", "rings=44/28", "cruise 4.63 m",
		"range 502 % · 17 of 20 gears useful · chain 114 pitches (today's 110 too short)",
		"does not work, 1 lost, chance 3 % · cruises in 28x13 at 89 rpm", "hole below 15.4 %, above 18.2 %", "danger with 110 pitches 97 % · dangerous: 44x36",
		"1.80 m", "9.05 m", "1.68 m", "8.66 m", "judged by typical geometry for the rated capacity",
	} {
		if !slices.Contains(n.texts, want) {
			t.Errorf("%q is not on the page", want)
		}
	}
	if s := swaps(t).Describe(); !strings.Contains(s, "Build 2, 38 x 11-42: lowest 1.96 m (38x42), highest 7.48 m (38x11)") {
		t.Error(s)
	}
}

// A verdict by typical geometry says so; where builds are judged by different
// depths, each lane says by which.
func TestComparisonBasis(t *testing.T) {
	n := noProblems(t, "simulated", simulatedSwaps(t), Options{})
	if !strings.Contains(strings.Join(n.texts, "\n"), "judged by "+typicalWords) {
		t.Error("typical geometry is not told")
	}
	mixed := compared(t, rigBuild("medium", 430, 70, teeth(30, 46), elevenTo36), swapped("", 30, teeth(40), elevenTo36))
	all := strings.Join(noProblems(t, "mixed", mixed, Options{}).texts, "\n")
	for _, w := range []string{"typical geometry is not your derailleur's", " % by typical geometry ·", " % by typical geometry for the rated capacity"} {
		if strings.Count(all, w) != 1 {
			t.Errorf("%q is not told once", w)
		}
	}
}

// cut keeps as many letters as fit with the ellipsis, and knows their width.
func TestCut(t *testing.T) {
	s := &sheet{}
	rapid.Check(t, func(rt *rapid.T) {
		text := cleanText(rapid.OneOf(rapid.StringN(0, 90, -1), rapid.StringOfN(rapid.RuneFrom([]rune("AVTo.iWm 1…")), 0, 420, -1)).Draw(rt, "text"))
		st := textStyle{size: rapid.Float64Range(0.4, 9).Draw(rt, "size"), bold: rapid.Bool().Draw(rt, "bold")}
		width := rapid.Float64Range(0, 400).Draw(rt, "width")
		got, wide := s.cut(text, st, width)
		if w := s.textWidth(got, st); math.Abs(w-wide) > 1e-9*max(1, w) || w > width*(1+1e-9) {
			rt.Fatalf("%q: %v mm wide, told %v, room %v", got, w, wide, width)
		}
		runes := []rune(text)
		if got == text && len(runes) <= maxRunes {
			return
		}
		kept := strings.TrimSuffix(got, "…")
		if !strings.HasPrefix(text, kept) {
			rt.Fatalf("%q is no start of %q", kept, text)
		}
		n := min(len([]rune(kept))+1, len(runes))
		if more := s.textWidth(string(runes[:n])+"…", st); n <= maxRunes && more <= width*(1-1e-9) && len([]rune(kept)) < maxRunes {
			rt.Fatalf("%q: one more letter, %v mm, has room in %v", got, more, width)
		}
	})
}

// outlines records shapes.
type outlines struct {
	pts   [][]point
	width []float64
}

func (o *outlines) text(string, rect) {}

func (o *outlines) ink(pts []point, width float64) {
	o.pts, o.width = append(o.pts, slices.Clone(pts)), append(o.width, width)
}

// A gear's mark in a comparison covers the same place as the mark of the other
// charts: their sides lie on each other.
func TestComparisonMarks(t *testing.T) {
	for ring := range markKinds {
		seen := &outlines{}
		s := &sheet{c: newSVGCanvas(60, 60, "", ""), theme: Theme{}, seen: seen}
		s.theme, _ = ThemeByName("")
		y := &comparisonLayout{s: s}
		s.mark(point{30, 30}, 10, ring, s.theme.series(ring), false)
		y.drawGear(point{30, 30}, 10, ring, false)
		if a, b := reachOf(seen, 0), reachOf(seen, 1); math.Abs(a-b) > 1e-9 {
			t.Errorf("ring %d: reaches %.3f mm, the mark of other charts %.3f mm", ring, b, a)
		}
	}
}

// reachOf is how far the middle of a shape's first side is from 30, 30, edge
// included.
func reachOf(o *outlines, i int) float64 {
	a, b := o.pts[i][0], o.pts[i][1]
	if len(o.pts[i]) == 2 { // a circle's box
		return (b.x-a.x)/2 + o.width[i]/2
	}
	return math.Hypot((a.x+b.x)/2-30, (a.y+b.y)/2-30) + o.width[i]/2
}

func TestComparisonRefuses(t *testing.T) {
	good := swaps(t)
	none := sim.Comparison{CruiseKmH: 25, Cadence: 90}
	broken, still, short := none, none, none
	many := manyBuilds(t).Compared
	many.Options = append(many.Options, many.Options[0])
	broken.Options = []sim.Option{{}}
	still.Options, still.CruiseKmH = good.Compared.Options, math.NaN()
	short.Options = slices.Clone(good.Compared.Options)
	short.Options[0].Table.Gears = short.Options[0].Table.Gears[:3]
	for name, k := range map[string]sim.Comparison{"none": none, "broken": broken, "still": still, "short": short, "many": many} {
		c := Comparison{Compared: k}
		if err := WriteSVG(io.Discard, c, Options{}); err == nil || !strings.HasPrefix(err.Error(), "comparison: ") {
			t.Errorf("%s: %v", name, err)
		}
		_, _ = c.Size()
	}
}

func TestComparisonGolden(t *testing.T) {
	golden(t, "comparison_swaps", swaps(t), Options{})
	golden(t, "comparison_simulated_dark", simulatedSwaps(t), Options{Theme: ThemeDark})
	golden(t, "comparison_narrow_print", comparisons(t)["double"], Options{Theme: ThemePrint, WidthMM: 95, HeightMM: 150})
}

func BenchmarkComparisonSVG(b *testing.B) { benchmarkSVG(b, swaps(b)) }

func BenchmarkComparisonPNG(b *testing.B) { benchmarkPNG(b, swaps(b)) }

func BenchmarkComparisonOf12SVG(b *testing.B) { benchmarkSVG(b, manyBuilds(b)) }

func BenchmarkComparisonOf12PNG(b *testing.B) { benchmarkPNG(b, manyBuilds(b)) }
