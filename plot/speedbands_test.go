package plot

import (
	"io"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
)

func bands(t testing.TB) map[string]SpeedBands {
	double := SpeedBands{Table: table(t, 37, teeth(30, 46), elevenTo36), CruiseKmH: 25, Name: "Invented: 46/30 x 11-36"}
	triple := SpeedBands{Table: triple(t).Table, CruiseKmH: 18, Name: longName}
	half := SpeedBands{Table: table(t, 0, teeth(26, 45, 49), teeth(14, 17, 20, 24, 29))}
	return map[string]SpeedBands{"double": double, "triple": triple, "half": half}
}

func TestSpeedLayout(t *testing.T) {
	for name, b := range bands(t) {
		for _, o := range oddPages {
			noProblems(t, name, b, o)
		}
	}
}

// Whatever the gears and the page, no words meet or leave the page, and every
// gear has its name.
func TestAnySpeedLayout(t *testing.T) {
	for name, side := range anyPages {
		t.Run(name, rapid.MakeCheck(func(rt *rapid.T) {
			rings, cogs := anyWheels(rt)
			b := SpeedBands{
				Table:     table(t, gearing.Teeth(rapid.IntRange(0, 50).Draw(rt, "capacity")), rings, cogs),
				CruiseKmH: rapid.SampledFrom([]float64{0, 3, 25, 80, 27.5}).Draw(rt, "cruise"),
				Name:      rapid.StringN(0, 80, 200).Draw(rt, "name"),
			}
			n := noProblems(rt, name, b, anyPage(rt, side))
			for i := range b.Table.Gears {
				if !slices.Contains(n.texts, bandName(&b.Table.Gears[i])) {
					rt.Fatalf("no name for %s", b.Table.Gears[i].Name())
				}
			}
		}))
	}
}

// A bar starts and ends at the speeds of its gear.
func TestSpeedBars(t *testing.T) {
	b := bands(t)["triple"]
	pg, err := newPage(b, Options{})
	if err != nil {
		t.Fatal(err)
	}
	y := b.place(newSheet(newSVGCanvas(pg.w, pg.h, "", ""), pg))
	found := nestedParts(svgOf(t, b, Options{}))
	for i := range b.Table.Gears {
		g := &b.Table.Gears[i]
		box := around(pathPoints(t, found["gear "+g.Name()+"/band"], pg.h))
		for _, pair := range [][2]float64{{box.x0, y.x.at(g.SpeedsKmH[0])}, {box.x1, y.x.at(g.SpeedsKmH[1])}} {
			if math.Abs(pair[0]-pair[1]) > 0.011 {
				t.Errorf("%s: drawn at %.3f, want %.3f mm", g.Name(), pair[0], pair[1])
			}
		}
	}
	if y.rowText < 0.02*pg.w {
		t.Errorf("text of %.2f mm on %.0f mm", y.rowText, pg.w)
	}
}

func TestSpeedWords(t *testing.T) {
	all := bands(t)
	for name, want := range map[string][]string{
		"double": {"25 km/h", "rpm", "cadence at 25 km/h", "87", "= (30x11)", "(30x11)", "(gear) lost to the rated capacity", "60 to 90 rpm", "duplicate within 2 %"},
		"half":   {"= 26x14", "= 45x24"},
	} {
		n := noProblems(t, name, all[name], Options{})
		for _, w := range want {
			if !slices.Contains(n.texts, w) {
				t.Errorf("%s: %q is not on the page", name, w)
			}
		}
	}
	n := noProblems(t, "half", all["half"], Options{})
	for _, w := range []string{"rpm", "(gear) lost to the rated capacity"} {
		if slices.Contains(n.texts, w) {
			t.Errorf("%q is explained and does not occur", w)
		}
	}
	if s := all["double"].Describe(); !strings.Contains(s, "4 gears for 25 km/h. 30x36 6.6 to 9.9.") {
		t.Error(s)
	}
}

// The range in the heading is that of the gears that are not lost.
func TestSpeedRange(t *testing.T) {
	tab := table(t, 0, teeth(30, 46), teeth(11, 20, 36))
	lose := func(lost ...int) SpeedBands {
		b := SpeedBands{Table: tab}
		b.Table.Gears = slices.Clone(tab.Gears)
		for _, i := range lost {
			b.Table.Gears[i].Lost = true
		}
		return b
	}
	low := func(i int) string { return fixed(tab.Gears[i].SpeedsKmH[0], 1) }
	high := func(i int) string { return fixed(tab.Gears[i].SpeedsKmH[1], 1) }
	for _, tt := range []struct {
		b    SpeedBands
		want string
	}{
		{lose(), low(0) + " to " + high(5) + " km/h in all"},
		{lose(0, 5), low(3) + " to " + high(2) + " km/h in all but lost gears"},
		{lose(1), low(0) + " to " + high(5) + " km/h in all but lost gears"},
		{lose(0, 1, 2, 3, 4, 5), "every gear is lost"},
	} {
		all := strings.Join(noProblems(t, tt.want, tt.b, Options{}).texts, " ") + " · "
		if !strings.Contains(all, " · "+tt.want+" ") || strings.Contains(all, tt.want+" but") {
			t.Errorf("want %q: %s", tt.want, all)
		}
		if !strings.Contains(tt.b.Describe(), tt.want+".") {
			t.Error(tt.b.Describe())
		}
	}
}

func TestSpeedRefuses(t *testing.T) {
	good := bands(t)["double"]
	short, one, wrong := good.Table, good.Table, good.Table
	short.Gears = short.Gears[:4]
	one.Cadences = one.Cadences[:1]
	wrong.Gears = slices.Clone(wrong.Gears)
	wrong.Gears[3].SpeedsKmH = []float64{5, math.NaN()}
	for name, b := range map[string]SpeedBands{
		"none": {}, "short": {Table: short}, "one": {Table: one}, "wrong": {Table: wrong},
		"cruise": {Table: good.Table, CruiseKmH: math.Inf(1)},
	} {
		if err := WriteSVG(io.Discard, b, Options{}); err == nil || !strings.HasPrefix(err.Error(), "speed bands: ") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestSpeedGolden(t *testing.T) {
	all := bands(t)
	golden(t, "speed_double", all["double"], Options{})
	golden(t, "speed_triple_dark", all["triple"], Options{Theme: ThemeDark})
	golden(t, "speed_half_print", all["half"], Options{Theme: ThemePrint, WidthMM: 95, HeightMM: 130})
}

func BenchmarkSpeedSVG(b *testing.B) { benchmarkSVG(b, bands(b)["triple"]) }

func BenchmarkSpeedPNG(b *testing.B) { benchmarkPNG(b, bands(b)["triple"]) }
