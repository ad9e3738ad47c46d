package plot

import (
	"bytes"
	"io"
	"math"
	"slices"
	"testing"

	"cagewise/sim"
)

func TestRigGolden(t *testing.T) {
	double, triple := solve(t, rigCases[0].build), solve(t, rigCases[3].build)
	single := solve(t, rigCases[1].build)
	golden(t, "side_big_big", double.side(t, 46, 36), Options{})
	golden(t, "side_small_small_dark", double.side(t, 30, 11), Options{Theme: ThemeDark})
	golden(t, "side_wide_print", single.side(t, 32, 51), Options{Theme: ThemePrint})
	short := solve(t, withChain(rigCases[0].build, 106))
	golden(t, "side_locks", short.side(t, 46, 36), Options{})
	golden(t, "side_slack", triple.side(t, 22, 11), Options{})
	golden(t, "window_short_dark", window(short), Options{Theme: ThemeDark})
	golden(t, "contact_phone", NewContactSheet(short.rig, short.answer.Fit), Options{WidthMM: phoneMM})
	golden(t, "contact_triple", NewContactSheet(triple.rig, triple.answer.Fit), Options{})
	golden(t, "contact_single_narrow_dark", NewContactSheet(single.rig, single.answer.Fit), Options{Theme: ThemeDark, WidthMM: 110, HeightMM: 150})
	golden(t, "window_double_print", window(double), Options{Theme: ThemePrint})
	golden(t, "window_triple", window(triple), Options{})
	golden(t, "map_triple", gapMap(rigCases[3].build, triple.answer.Fit), Options{})
	golden(t, "map_single_print", gapMap(rigCases[1].build, single.answer.Fit), Options{Theme: ThemePrint})
}

func window(s solved) LengthWindow {
	return LengthWindow{Fit: s.answer.Fit, Window: s.answer.Window, Recommended: s.answer.Recommended, Chosen: s.answer.Pitches, Knowledge: s.answer.Knowledge}
}

// Images do not change from one run to the next.
func TestRigPNGIsDeterministic(t *testing.T) {
	for name, p := range shown(t, rigCases[0], solve(t, rigCases[0].build)) {
		var a, b bytes.Buffer
		for _, w := range []io.Writer{&a, &b} {
			if err := WritePNG(w, p, Options{DPI: 50}); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(a.Bytes(), b.Bytes()) {
			t.Errorf("%s: the same picture gave two files", name)
		}
	}
}

// Every gear of a sheet has its name, its state and its gap.
func TestContactSheetSaysAll(t *testing.T) {
	for _, c := range rigCases {
		s := solve(t, c.build)
		n, _, err := layout(NewContactSheet(s.rig, s.answer.Fit), Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i := range s.answer.Fit.Gears {
			g := &s.answer.Fit.Gears[i]
			at := slices.Index(n.texts, g.String())
			if at < 0 || n.texts[at+1] != shortState(g.State) || n.texts[at+2] != gapWords(g) {
				t.Errorf("%s: %s is not told", c.name, g.GearID)
			}
		}
	}
}

// Words are readable at the default size, as a phone shows it too.
func TestRigTextSize(t *testing.T) {
	for _, c := range rigCases {
		s := solve(t, c.build)
		for name, p := range shown(t, c, s) {
			pg, err := newPage(p, Options{})
			if err != nil {
				t.Fatal(err)
			}
			sh := newSheet(newSVGCanvas(pg.w, pg.h, "", ""), pg)
			var size, want float64
			switch p := p.(type) {
			case SideView:
				size, want = p.place(sh).size, 0.02
			case ContactSheet:
				size, want = p.place(sh).size, 0.014
			case LengthWindow:
				size, want = p.place(sh).rowText, 0.02
			case GearMap:
				size, want = p.place(sh).cells, 0.017
			}
			if size < want*pg.w {
				t.Errorf("%s %s: text of %.2f mm on %.0f mm", c.name, name, size, pg.w)
			}
		}
	}
}

// All names of a side view find a place on the default page.
func TestSideViewNames(t *testing.T) {
	for _, c := range rigCases {
		s := solve(t, c.build)
		for i := range s.answer.Fit.Gears {
			v, err := NewSideView(s.rig, s.answer.Fit, i)
			if err != nil {
				t.Fatal(err)
			}
			n, _, err := layout(v, Options{})
			if err != nil {
				t.Fatal(err)
			}
			for _, word := range []string{"hanger bolt", "cage", "cage pivot", "rear axle", "crank centre"} {
				if !slices.Contains(n.texts, word) {
					t.Errorf("%s %s: no name for the %s", c.name, v.Fit.GearID, word)
				}
			}
		}
	}
}

// A greater value is never lighter than a lesser one, or never darker, and the
// words on it can be read.
func TestGearMapShades(t *testing.T) {
	m := GearMap{Rings: teeth(30), Cogs: teeth(11, 12), Values: []float64{0, 100}}
	for _, th := range themes {
		way := light(m.shade(th, 100)) - light(m.shade(th, 0))
		for v := 1.0; v <= 100; v++ {
			a, b := m.shade(th, v-1), m.shade(th, v)
			if (light(b)-light(a))*way < 0 {
				t.Errorf("%s: %v turns back", th.Name, v)
			}
			if k := contrastOf(b, th.textOn(b)); k < 3.5 {
				t.Errorf("%s: contrast %.2f at %v", th.Name, k, v)
			}
		}
	}
}

func TestGearMapUnknownAndEqual(t *testing.T) {
	for name, values := range map[string][]float64{"unknown": {math.NaN(), 3, math.NaN(), 4}, "equal": {2, 2, 2, 2}, "none": {math.NaN(), math.NaN(), math.NaN(), math.NaN()}} {
		n := noProblems(t, name, GearMap{Rings: teeth(30, 40), Cogs: teeth(11, 12), Values: values, Notes: []string{"a", "", "", "long note that is cut"}}, Options{})
		if name == "unknown" && !slices.Contains(n.texts, "–") {
			t.Error("an unknown value is not told")
		}
	}
}

func TestChartsRefuse(t *testing.T) {
	s := solve(t, rigCases[0].build)
	broken := slices.Clone(s.answer.Fit.Gears)
	broken[3].Ring = 99
	endless := slices.Clone(s.answer.Fit.Gears)
	endless[3].Forward = math.MaxFloat64
	sheet := NewContactSheet(s.rig, sim.Fit{Gears: broken})
	for name, p := range map[string]Picture{
		"no sheet": ContactSheet{}, "no window": LengthWindow{}, "no map": GearMap{}, "mixed rows": sheet,
		"no counts":       LengthWindow{Fit: sim.Fit{Gears: s.answer.Fit.Gears}},
		"few states":      LengthWindow{Fit: s.answer.Fit, Window: sim.Window{Counts: []sim.CountStates{{Pitches: 110, States: []sim.State{sim.Clear}}}}},
		"falling counts":  LengthWindow{Fit: s.answer.Fit, Window: sim.Window{Counts: []sim.CountStates{s.answer.Window.Counts[1], s.answer.Window.Counts[0]}}},
		"chosen unknown":  LengthWindow{Fit: s.answer.Fit, Window: s.answer.Window, Chosen: 17},
		"negative chosen": LengthWindow{Fit: s.answer.Fit, Chosen: -1},
		"endless sheet":   NewContactSheet(s.rig, sim.Fit{Gears: endless}),
		"few map states":  GearMap{Rings: teeth(30), Cogs: teeth(11), Values: []float64{1}, States: []sim.State{sim.Clear, sim.Slack}},
		"short map":       GearMap{Rings: teeth(30), Cogs: teeth(11, 12), Values: []float64{1}},
		"few notes":       GearMap{Rings: teeth(30), Cogs: teeth(11), Values: []float64{1}, Notes: []string{"a", "b"}},
		"infinite":        GearMap{Rings: teeth(30), Cogs: teeth(11), Values: []float64{math.Inf(1)}},
		"decimals":        GearMap{Rings: teeth(30), Cogs: teeth(11), Values: []float64{1}, Decimals: 9},
	} {
		if err := WriteSVG(io.Discard, p, Options{}); err == nil {
			t.Errorf("%s: drawn", name)
		}
		_, _ = p.Size()
	}
	if _, err := NewSideView(s.rig, s.answer.Fit, 99); err == nil {
		t.Error("gear 99 has a side view")
	}
}

func TestHull(t *testing.T) {
	got := hull([]point{{0, 0}, {2, 0}, {1, 1}, {2, 2}, {0, 2}, {1, 0}})
	if want := []point{{0, 0}, {2, 0}, {2, 2}, {0, 2}}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

func benchmarkedSide(b *testing.B) Picture { return solve(b, rigCases[0].build).side(b, 46, 36) }

func benchmarkedSheet(b *testing.B) Picture {
	s := solve(b, rigCases[3].build)
	return NewContactSheet(s.rig, s.answer.Fit)
}

func benchmarkedWindow(b *testing.B) Picture { return window(solve(b, rigCases[3].build)) }

func benchmarkedMap(b *testing.B) Picture {
	return gapMap(rigCases[3].build, solve(b, rigCases[3].build).answer.Fit)
}

func BenchmarkSideViewSVG(b *testing.B) { benchmarkSVG(b, benchmarkedSide(b)) }

func BenchmarkSideViewPNG(b *testing.B) { benchmarkPNG(b, benchmarkedSide(b)) }

func BenchmarkContactSheetSVG(b *testing.B) { benchmarkSVG(b, benchmarkedSheet(b)) }

func BenchmarkContactSheetPNG(b *testing.B) { benchmarkPNG(b, benchmarkedSheet(b)) }

func BenchmarkLengthWindowSVG(b *testing.B) { benchmarkSVG(b, benchmarkedWindow(b)) }

func BenchmarkLengthWindowPNG(b *testing.B) { benchmarkPNG(b, benchmarkedWindow(b)) }

func BenchmarkGearMapSVG(b *testing.B) { benchmarkSVG(b, benchmarkedMap(b)) }

func BenchmarkGearMapPNG(b *testing.B) { benchmarkPNG(b, benchmarkedMap(b)) }
