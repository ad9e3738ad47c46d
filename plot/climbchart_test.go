package plot

import (
	"io"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
	"cagewise/sim/road"
)

// grid is a fine grid of grades.
func grid(from, to float64, n int) []float64 {
	list := make([]float64, n)
	for i := range list {
		list[i] = from + (to-from)*float64(i)/float64(n-1)
	}
	return list
}

func climb(t testing.TB, tab gearing.Table, r road.Rider, h road.Hill, most int) ClimbChart {
	t.Helper()
	c, err := road.NewClimb(tab, r, h, most)
	if err != nil {
		t.Fatal(err)
	}
	return NewClimbChart(c, 60, 90)
}

func climbs(t testing.TB) map[string]ClimbChart {
	double := table(t, 0, teeth(30, 46), elevenTo36)
	triple := table(t, 0, teeth(22, 32, 44), thirteen)
	named := climb(t, triple, road.Rider{MassKG: 125, CdA: 0.6, Crr: 0.007}, road.Hill{Grades: grid(0, 0.15, 40), Powers: []float64{160}, LeastCadence: 50}, 12)
	named.Name = longName
	return map[string]ClimbChart{
		"double": climb(t, double, road.Rider{}, road.Hill{Grades: grid(0, 0.15, 40), Powers: []float64{130, 220}, LeastCadence: 60}, 6),
		"triple": named,
		"easy":   climb(t, double, road.Rider{}, road.Hill{Grades: grid(-0.02, 0.02, 9), Powers: []float64{100, 200, 300, 400}, LeastCadence: 60}, 3),
		"dozen":  dozen(t, 0, 0.25),
		"low":    dozen(t, 0.05, 0.15),
		"wall":   climb(t, triple, road.Rider{}, road.Hill{Grades: grid(0.15, 0.3, 40), Powers: []float64{90, 250}, LeastCadence: 60}, 8),
	}
}

// dozen has as many gears as can be drawn, on grades where their curves merge.
func dozen(t testing.TB, from, to float64) ClimbChart {
	tab := table(t, 0, teeth(26, 44, 48), teeth(14, 17, 20, 24, 28, 34))
	c := climb(t, tab, road.Rider{Headwind: 12.5 / 3.6}, road.Hill{Grades: grid(from, to, 40), Powers: []float64{130, 220}, LeastCadence: 60}, MostClimbGears)
	c.LeftOut = []gearing.GearID{{Ring: 44, Cog: 34}, {Ring: 48, Cog: 34}}
	return c
}

func TestClimbLayout(t *testing.T) {
	for name, c := range climbs(t) {
		for _, o := range oddPages {
			noProblems(t, name, c, o)
		}
	}
}

// Whatever the gears, the hill and the page, no words of a climb meet or leave
// the page, and every gear is named once a power.
func TestAnyClimbLayout(t *testing.T) {
	for name, side := range anyPages {
		t.Run(name, rapid.MakeCheck(func(rt *rapid.T) {
			rings, cogs := anyWheels(rt)
			from := rapid.Float64Range(-0.1, 0.2).Draw(rt, "from")
			rider := road.Rider{MassKG: rapid.Float64Range(40, 200).Draw(rt, "mass"), Headwind: rapid.Float64Range(-9, 9).Draw(rt, "wind"), Efficiency: rapid.Float64Range(0.8, 1).Draw(rt, "efficiency")}
			k, err := road.NewClimb(table(t, 0, rings, cogs), rider, road.Hill{
				Grades:       grid(from, from+rapid.Float64Range(0.01, 0.3).Draw(rt, "span"), rapid.IntRange(2, 40).Draw(rt, "grades")),
				Powers:       rapid.SliceOfN(rapid.Float64Range(20, 2000), 1, 4).Draw(rt, "powers"),
				LeastCadence: float64(rapid.IntRange(20, 120).Draw(rt, "least")),
			}, rapid.IntRange(1, MostClimbGears).Draw(rt, "lowest"))
			if err != nil {
				rt.Skip(err)
			}
			for i := range k.Powers {
				k.Powers[i] = math.Round(k.Powers[i])
			}
			chart := NewClimbChart(k, 60, 90)
			chart.LeftOut = slices.Repeat([]gearing.GearID{{Ring: 22, Cog: 36}}, rapid.IntRange(0, 20).Draw(rt, "left out"))
			n := noProblems(rt, name, chart, anyPage(rt, side))
			for _, g := range k.Gears {
				if got := slicesCount(n.texts, g.String()); got != len(k.Powers) {
					rt.Fatalf("%s is named %d times for %d powers", g.GearID, got, len(k.Powers))
				}
			}
		}))
	}
}

func slicesCount(list []string, s string) int {
	n := 0
	for _, x := range list {
		if x == s {
			n++
		}
	}
	return n
}

// A curve ends on the steepest grade at its cadence, and the mark on it stands
// where the curve crosses the least cadence.
func TestClimbPlaces(t *testing.T) {
	c := climbs(t)["double"]
	pg, err := newPage(c, Options{})
	if err != nil {
		t.Fatal(err)
	}
	y := c.place(newSheet(newSVGCanvas(pg.w, pg.h, "", ""), pg))
	for k := range y.panels {
		for i, g := range c.Climb.Gears {
			pieces := y.curve(k, i)
			if len(pieces) != 1 {
				t.Fatalf("%s comes in %d pieces", g.GearID, len(pieces))
			}
			end := pieces[0][len(pieces[0])-1]
			if want := y.at(k, 15, g.Cadences[k][39]); math.Hypot(end.x-want.x, end.y-want.y) > 1e-9 {
				t.Errorf("%s ends at %v, want %v", g.GearID, end, want)
			}
			if got := between(c.Climb.Grades, g.Cadences[k], g.Steepest[k]); math.Abs(got-60) > 0.3 {
				t.Errorf("%s at its mark: %.2f rpm, want 60", g.GearID, got)
			}
		}
		if got := between(c.Climb.Grades, c.Climb.Speeds[k], c.BalanceGrades[k]); k == 0 && math.Abs(got-road.BalanceKmH) > 0.02 {
			t.Errorf("balance ends at %.3f km/h", got)
		}
	}
	if y.size < 0.02*pg.w {
		t.Errorf("text of %.2f mm on %.0f mm", y.size, pg.w)
	}
}

// The chart says what the hill asks for and explains what occurs.
func TestClimbWords(t *testing.T) {
	all := climbs(t)
	for name, want := range map[string][]string{
		"double": {"15 % is under balancing speed in any gear", "15 % wants 1.37 m or less: no gear is so low", "under 4 km/h", "under 4 km/h: hard to balance in any gear", "steepest grade held at 60 rpm", "ring 30", "ring 46", "130 W", "220 W"},
		"easy":   {"2 % wants 3.29 m or less: 30x36 has it"},
		"triple": {"least cadence", "comfortable cadence, 60 to 90 rpm"},
	} {
		n := noProblems(t, name, all[name], Options{})
		for _, w := range want {
			if !slices.Contains(n.texts, w) {
				t.Errorf("%s: %q is not on the page", name, w)
			}
		}
	}
	n := noProblems(t, "easy", all["easy"], Options{})
	for _, w := range []string{"under 4 km/h", "steepest grade held at 60 rpm", "least cadence"} {
		if slices.Contains(n.texts, w) {
			t.Errorf("%q is explained and does not occur", w)
		}
	}
	if s := all["double"].Describe(); !strings.Contains(s, "220 W: 15 % wants 1.37 m or less: no gear is so low. 30x36 holds 11.0 %.") {
		t.Error(s)
	}
}

// What decides a climb stands in its heading, in full, and only there where it
// is not the usual value.
func TestClimbFacts(t *testing.T) {
	tab := table(t, 0, teeth(22, 32), elevenTo36)
	for _, tt := range []struct {
		rider road.Rider
		want  []string
		not   string
	}{
		{road.Rider{}, []string{"Mass 100 kg"}, "headwind|air density|efficiency|wheel drag|left out"},
		{road.Rider{Headwind: 12.5 / 3.6}, []string{"headwind 12.5 km/h"}, "air density|efficiency"},
		{road.Rider{Headwind: -10 / 3.6}, []string{"headwind -10 km/h, from behind"}, "air density|efficiency"},
		{road.Rider{AirDensity: 1.125, Efficiency: 0.9, WheelDragArea: 0.004, MassKG: 82.5}, []string{"air density 1.125 kg/m³", "efficiency 0.9", "wheel drag area 0.004 m²", "Mass 82.5 kg"}, "headwind"},
	} {
		c := climb(t, tab, tt.rider, road.Hill{Grades: grid(0, 0.1225, 40), Powers: []float64{152.5}, LeastCadence: 62.5}, 6)
		n := noProblems(t, "facts", c, Options{})
		all := strings.Join(n.texts, " ")
		for _, w := range append(tt.want, "152.5 W", "least cadence 62.5 rpm", "12.25 %") {
			if !strings.Contains(all, w) {
				t.Errorf("%+v: %q is not on the page: %s", tt.rider, w, all)
			}
		}
		for _, w := range strings.Split(tt.not, "|") {
			if strings.Contains(all, w) {
				t.Errorf("%+v: %q is on the page", tt.rider, w)
			}
		}
	}
}

// Gears left out are named, a few of many.
func TestClimbLeftOut(t *testing.T) {
	c := climbs(t)["double"]
	for n, want := range map[int]string{
		2:  "left out as lost: 24x32, 24x33",
		11: "left out as lost: 24x32, 24x33, 24x34, 24x35, 24x36, 24x37, 24x38, 24x39 and 3 more",
	} {
		c.LeftOut = nil
		for i := range n {
			c.LeftOut = append(c.LeftOut, gearing.GearID{Ring: 24, Cog: gearing.Teeth(32 + i)})
		}
		if all := strings.Join(noProblems(t, "left out", c, Options{}).texts, " "); !strings.Contains(all, want) {
			t.Errorf("%q is not on the page: %s", want, all)
		}
		if !strings.Contains(c.Describe(), want) {
			t.Error(c.Describe())
		}
	}
}

// A name stands near the place where its curve comes in, however many curves
// merge where they go out.
func TestClimbNamesAreNear(t *testing.T) {
	for name, c := range climbs(t) {
		pg, err := newPage(c, Options{})
		if err != nil {
			t.Fatal(err)
		}
		y := c.place(newSheet(newSVGCanvas(pg.w, pg.h, "", ""), pg))
		for k := range y.panels {
			for gear := range y.Climb.Gears {
				grade, rpm := y.entrance(k, gear)
				if start := y.curve(k, gear)[0][0]; math.Hypot(start.x-y.at(k, 100*grade, rpm).x, start.y-y.at(k, 100*grade, rpm).y) > 1e-9 {
					t.Errorf("%s, gear %d comes in at %v, not at %.2f %% and %.1f rpm", name, gear, start, 100*grade, rpm)
				}
			}
			left, top := y.spots(k)
			for _, l := range append(left, top...) {
				if far := math.Abs(l.place-l.wanted) / y.size; far > 4 {
					t.Errorf("%s, %s W, %s: named %.1f lines off its curve", name, plain(c.Climb.Powers[k]), c.Climb.Gears[l.gear].GearID, far)
				}
			}
		}
	}
}

// A gear under the least cadence on every grade has a mark of its own, and the
// legend tells it; a gear that is not has none.
func TestClimbNever(t *testing.T) {
	all := climbs(t)
	for name, want := range map[string]int{"low": 18, "dozen": 0, "easy": 0} {
		c := all[name]
		n := noProblems(t, name, c, Options{})
		if got := slices.Contains(n.texts, "under 60 rpm on every grade here"); got != (want > 0) {
			t.Errorf("%s: explained: %v", name, got)
		}
		got := 0
		for k := range c.Climb.Powers {
			for gear := range c.Climb.Gears {
				if c.never(k, gear) {
					got++
				}
				if c.never(k, gear) == (c.Climb.Gears[gear].Cadences[k][0] >= 60) {
					t.Errorf("%s: %s on panel %d", name, c.Climb.Gears[gear].GearID, k)
				}
			}
		}
		if got != want {
			t.Errorf("%s: %d gears never reach 60 rpm, want %d", name, got, want)
		}
	}
}

func TestClimbRefuses(t *testing.T) {
	broken := func(change func(*ClimbChart)) ClimbChart {
		c := climbs(t)["double"]
		change(&c)
		return c
	}
	for name, c := range map[string]ClimbChart{
		"none":     {},
		"gears":    broken(func(c *ClimbChart) { c.Climb.Gears = make([]road.ClimbGear, MostClimbGears+1) }),
		"band":     broken(func(c *ClimbChart) { c.CadenceLow = 90 }),
		"least":    broken(func(c *ClimbChart) { c.Climb.LeastCadence = math.NaN() }),
		"falling":  broken(func(c *ClimbChart) { slices.Reverse(c.Climb.Grades) }),
		"one":      broken(func(c *ClimbChart) { c.Climb.Grades = c.Climb.Grades[:1] }),
		"row":      broken(func(c *ClimbChart) { c.Climb.Speeds[1] = nil }),
		"infinite": broken(func(c *ClimbChart) { c.Climb.Gears[1].Cadences[0][3] = math.Inf(1) }),
		"steepest": broken(func(c *ClimbChart) { c.Climb.Gears[1].Steepest = nil }),
		"balance":  broken(func(c *ClimbChart) { c.BalanceGrades = nil }),
	} {
		if err := WriteSVG(io.Discard, c, Options{}); err == nil || !strings.HasPrefix(err.Error(), "climb chart: ") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestClimbGolden(t *testing.T) {
	all := climbs(t)
	golden(t, "climb_double", all["double"], Options{})
	golden(t, "climb_triple_dark", all["triple"], Options{Theme: ThemeDark})
	golden(t, "climb_dozen", all["dozen"], Options{})
	golden(t, "climb_low_print", all["low"], Options{Theme: ThemePrint})
	golden(t, "climb_wall_print", all["wall"], Options{Theme: ThemePrint, WidthMM: 110, HeightMM: 170})
}

func BenchmarkClimbSVG(b *testing.B) { benchmarkSVG(b, climbs(b)["double"]) }

func BenchmarkClimbPNG(b *testing.B) { benchmarkPNG(b, climbs(b)["double"]) }

func BenchmarkClimbOf12SVG(b *testing.B) { benchmarkSVG(b, climbs(b)["triple"]) }

func BenchmarkClimbOf12PNG(b *testing.B) { benchmarkPNG(b, climbs(b)["triple"]) }
