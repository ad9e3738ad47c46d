package plot

import (
	"bytes"
	"errors"
	"io"
	"math"
	"slices"
	"testing"

	"cagewise/gearing"
	"cagewise/sim"
)

func TestRigGolden(t *testing.T) {
	double, triple := study(t, rigCases[0].build), study(t, rigCases[3].build)
	single := study(t, rigCases[1].build)
	golden(t, "side_big_big", side(t, double, 46, 36), Options{})
	golden(t, "side_small_small_dark", side(t, double, 30, 11), Options{Theme: ThemeDark})
	golden(t, "side_wide_print", side(t, single, 32, 51), Options{Theme: ThemePrint})
	short := study(t, withChain(rigCases[0].build, 106))
	golden(t, "side_locks", side(t, short, 46, 36), Options{})
	golden(t, "side_slack", side(t, triple, 22, 11), Options{})
	golden(t, "window_short_dark", window(short), Options{Theme: ThemeDark})
	golden(t, "contact_phone", NewContactSheet(short), Options{WidthMM: phoneMM})
	golden(t, "contact_triple", NewContactSheet(triple), Options{})
	golden(t, "contact_single_narrow_dark", NewContactSheet(single), Options{Theme: ThemeDark, WidthMM: 110, HeightMM: 150})
	golden(t, "window_double_print", window(double), Options{Theme: ThemePrint})
	golden(t, "window_triple", window(triple), Options{})
	golden(t, "map_triple", gapMap(triple), Options{})
	golden(t, "map_single_print", gapMap(single), Options{Theme: ThemePrint})
	golden(t, "ladder_judged", ladderOf(study(t, withChain(rigCases[3].build, triple.Advice.Pitches-2))), Options{})
}

// Images do not change from one run to the next.
func TestRigPNGIsDeterministic(t *testing.T) {
	for name, p := range shown(t, rigCases[0]) {
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
		s := study(t, c.build)
		n, _, err := layout(NewContactSheet(s), Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i := range s.Advice.Gears {
			g, word := &s.Advice.Gears[i], s.Advice.Gears[i].State.String()
			if g.Doubt {
				word += "?"
			}
			at := slices.Index(n.texts, g.String())
			if at < 0 || n.texts[at+1] != word || n.texts[at+2] != gapWords(&s.Answer.Fit.Gears[i]) {
				t.Errorf("%s: %s is not told", c.name, g.GearID)
			}
		}
	}
}

// Words are readable at the default size, as a phone shows it too.
func TestRigTextSize(t *testing.T) {
	for _, c := range rigCases {
		for name, p := range shown(t, c) {
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
			case Ladder:
				size, want = p.place(sh).size, 0.017
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
		s := study(t, c.build)
		for i := range s.Answer.Fit.Gears {
			v, err := NewSideView(s, i)
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
	s := study(t, rigCases[0].build)
	sheet := func(spoil func(g *sim.GearFit)) ContactSheet {
		c := NewContactSheet(s)
		c.Fits = slices.Clone(c.Fits)
		spoil(&c.Fits[3])
		return c
	}
	with := func(spoil func(a *sim.Answer)) LengthWindow {
		a := *s.Answer
		spoil(&a)
		return LengthWindow{Answer: &a}
	}
	few := s.Advice
	few.Gears = few.Gears[:4]
	unadvised := NewContactSheet(s)
	unadvised.Advice = nil
	unknown := &sim.Study{Build: s.Build}
	for name, p := range map[string]Picture{
		"no sheet": ContactSheet{}, "no window": LengthWindow{}, "no map": GearMap{},
		"unknown cage":  NewContactSheet(unknown),
		"mixed rows":    sheet(func(g *sim.GearFit) { g.Ring = 99 }),
		"endless sheet": sheet(func(g *sim.GearFit) { g.Forward = math.MaxFloat64 }),
		"other state":   sheet(func(g *sim.GearFit) { g.State = sim.Tight }),
		"other gear":    sheet(func(g *sim.GearFit) { g.Cog++ }),
		"no advice":     unadvised,
		"no counts":     with(func(a *sim.Answer) { a.Window, a.Pitches = sim.Window{}, 0 }),
		"few states": with(func(a *sim.Answer) {
			a.Window = sim.Window{Counts: []sim.CountStates{{Pitches: 110, States: []sim.State{sim.Clear}}}}
		}),
		"falling counts": with(func(a *sim.Answer) { a.Window.Counts = []sim.CountStates{a.Window.Counts[1], a.Window.Counts[0]} }),
		"negative chain": with(func(a *sim.Answer) { a.Pitches = -1 }),
		"few advised":    with(func(a *sim.Answer) { a.Gears = a.Gears[:3] }),
		"judged other":   with(func(a *sim.Answer) { a.Gears = slices.Clone(a.Gears); a.Gears[2].State = sim.Locks }),
		"few map gears":  GearMap{Rings: teeth(30), Cogs: teeth(11), Values: []float64{1}, Advice: &few},
		"few rungs":      Ladder{Table: s.Table, Advice: &few},
		"other rungs":    Ladder{Table: table(t, 37, s.Build.Rings, teeth(12, 13, 15, 17, 19, 21, 24, 28, 32, 36)), Advice: &s.Advice},
		"short map":      GearMap{Rings: teeth(30), Cogs: teeth(11, 12), Values: []float64{1}},
		"few notes":      GearMap{Rings: teeth(30), Cogs: teeth(11), Values: []float64{1}, Notes: []string{"a", "b"}},
		"infinite":       GearMap{Rings: teeth(30), Cogs: teeth(11), Values: []float64{math.Inf(1)}},
		"decimals":       GearMap{Rings: teeth(30), Cogs: teeth(11), Values: []float64{1}, Decimals: 9},
	} {
		if err := WriteSVG(io.Discard, p, Options{}); err == nil {
			t.Errorf("%s: drawn", name)
		}
		_, _ = p.Size()
		_ = p.Describe()
	}
	if _, err := NewSideView(s, 99); err == nil {
		t.Error("gear 99 has a side view")
	}
	for _, missing := range []error{nil, sim.ErrNoGeometry, gearing.ErrNoChainstay} {
		unknown.Missing = missing
		if _, err := NewSideView(unknown, 0); err == nil || missing != nil && !errors.Is(err, missing) {
			t.Errorf("a side view of nothing: %v, want %v", err, missing)
		}
	}
}

func TestHull(t *testing.T) {
	got := hull([]point{{0, 0}, {2, 0}, {1, 1}, {2, 2}, {0, 2}, {1, 0}})
	if want := []point{{0, 0}, {2, 0}, {2, 2}, {0, 2}}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

func benchmarkedSide(b *testing.B) Picture { return side(b, study(b, rigCases[0].build), 46, 36) }

func benchmarkedSheet(b *testing.B) Picture { return NewContactSheet(study(b, rigCases[3].build)) }

func benchmarkedWindow(b *testing.B) Picture { return window(study(b, rigCases[3].build)) }

func benchmarkedMap(b *testing.B) Picture { return gapMap(study(b, rigCases[3].build)) }

func BenchmarkSideViewSVG(b *testing.B) { benchmarkSVG(b, benchmarkedSide(b)) }

func BenchmarkSideViewPNG(b *testing.B) { benchmarkPNG(b, benchmarkedSide(b)) }

func BenchmarkContactSheetSVG(b *testing.B) { benchmarkSVG(b, benchmarkedSheet(b)) }

func BenchmarkContactSheetPNG(b *testing.B) { benchmarkPNG(b, benchmarkedSheet(b)) }

func BenchmarkLengthWindowSVG(b *testing.B) { benchmarkSVG(b, benchmarkedWindow(b)) }

func BenchmarkLengthWindowPNG(b *testing.B) { benchmarkPNG(b, benchmarkedWindow(b)) }

func BenchmarkGearMapSVG(b *testing.B) { benchmarkSVG(b, benchmarkedMap(b)) }

func BenchmarkGearMapPNG(b *testing.B) { benchmarkPNG(b, benchmarkedMap(b)) }
