package plot

import (
	"bytes"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
	"cagewise/sim"
)

// rigCase is a build that the charts of a rig are tried on.
type rigCase struct {
	name  string
	build gearing.Build
}

func rigBuild(class string, chainstay, drop gearing.MM, rings, cogs []gearing.Teeth) gearing.Build {
	return gearing.Build{
		Frame: gearing.Frame{Chainstay: chainstay, BottomBracketDrop: drop},
		Wheel: gearing.Wheel{BeadSeat: 622, Section: 37, LoadAllowance: 1},
		Rings: rings, Cogs: cogs,
		Rear: gearing.RearDerailleur{Geometry: gearing.Geometry{Class: class}},
	}
}

var rigCases = []rigCase{
	{"double", rigBuild("medium", 430, 70, teeth(30, 46), teeth(11, 13, 15, 17, 19, 21, 24, 28, 32, 36))},
	{"single", rigBuild("wide", 440, 40, teeth(32), teeth(10, 12, 14, 16, 18, 21, 24, 28, 33, 39, 45, 51))},
	{"triple", rigBuild("long", 440, 65, teeth(22, 32, 44), teeth(11, 13, 15, 17, 19, 21, 24, 28, 32, 36))},
	{"wide_triple", rigBuild("long", 440, 65, teeth(22, 32, 44), teeth(11, 12, 13, 14, 15, 17, 19, 21, 24, 28, 32, 36, 40))},
	{"near_double", rigBuild("medium", 427, 70, teeth(30, 46), teeth(11, 13, 15, 17, 19, 21, 24, 28, 32, 36))}, // tight with a link pair less
	{"wide_double", rigBuild("long", 425, 70, teeth(31, 48), teeth(11, 12, 13, 14, 15, 17, 19, 21, 24, 28, 32, 36))},
}

// studies are those of the test builds, as one takes longer than its pictures.
var studies sync.Map

// study is everything that is computed of a build.
func study(t testing.TB, b gearing.Build) *sim.Study {
	t.Helper()
	key := fmt.Sprintf("%+v", b)
	if s, ok := studies.Load(key); ok {
		return s.(*sim.Study)
	}
	s, err := sim.NewStudy(b, gearing.TableOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if s.Answer == nil {
		t.Fatal(s.Missing)
	}
	studies.Store(key, s)
	return s
}

// side is the side view of a gear of a study.
func side(t testing.TB, s *sim.Study, ring, cog gearing.Teeth) SideView {
	t.Helper()
	i, ok := s.Rig.Index(gearing.GearID{Ring: ring, Cog: cog})
	if !ok {
		t.Fatalf("no gear %d x %d", ring, cog)
	}
	v, err := NewSideView(s, i)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// TestShow writes the charts as PNG for the eye where PLOT_SHOW says, at their
// size and as wide as a phone.
func TestShow(t *testing.T) {
	dir := os.Getenv("PLOT_SHOW")
	if dir == "" {
		t.Skip("PLOT_SHOW is not set")
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
	for _, c := range rigCases {
		for name, p := range shown(t, c) {
			for _, theme := range ThemeNames() {
				show(c.name+"_"+name+"_"+theme, p, Options{Theme: theme})
			}
			w, _ := p.Size()
			show(c.name+"_"+name+"_phone", p, Options{DPI: max(MinDPI, int(360*mmPerInch/w))})
			show(c.name+"_"+name+"_narrow", p, Options{WidthMM: phoneMM, DPI: 96})
		}
	}
}

// phoneMM is 360 pixels of 96 dots an inch.
const phoneMM = 360 / 96.0 * mmPerInch

// shown are the charts of a rig with the length it is advised and with chains at
// hand that are too short, tight and too long.
func shown(t testing.TB, c rigCase) map[string]Picture {
	b, s := c.build, study(t, c.build)
	list := map[string]Picture{}
	for name, n := range map[string]int{"_short": s.Advice.Pitches - 6, "_tight": s.Advice.Pitches - 2, "_long": s.Advice.Pitches + 8} {
		other := study(t, withChain(b, n))
		list["contact"+name] = NewContactSheet(other)
		list["window"+name] = window(other)
		list["map"+name] = gapMap(other)
		list["ladder"+name] = ladderOf(other)
		list["side"+name] = side(t, other, b.LargestRing(), b.LargestCog())
		if name == "_long" {
			list["side"+name] = side(t, other, b.Rings[0], b.LargestCog())
		}
	}
	maps.Copy(list, map[string]Picture{
		"contact":     NewContactSheet(s),
		"window":      window(s),
		"map":         gapMap(s),
		"ladder":      ladderOf(s),
		"side_bigbig": side(t, s, b.LargestRing(), b.LargestCog()),
		"side_small":  side(t, s, b.Rings[0], b.Cogs[0]),
		"side_climb":  side(t, s, b.Rings[0], b.LargestCog()),
	})
	return list
}

func window(s *sim.Study) LengthWindow { return LengthWindow{Answer: s.Answer} }

func ladderOf(s *sim.Study) Ladder {
	return Ladder{Table: s.Table, LostBy: s.LostBy, Advice: &s.Advice}
}

func withChain(b gearing.Build, pitches int) gearing.Build {
	b.Chain.Pitches = pitches
	return b
}

// gapMap is the map of the pulley gaps of a study.
func gapMap(s *sim.Study) GearMap {
	m := GearMap{Rings: s.Build.Rings, Cogs: s.Build.Cogs, Name: "Pulley gap", Unit: "mm", Decimals: 1, Advice: &s.Advice, Knowledge: s.Advice.Knowledge}
	for i := range s.Answer.Fit.Gears {
		g := &s.Answer.Fit.Gears[i]
		if m.Values = append(m.Values, float64(g.Gap)); g.NoPath {
			m.Values[i] = math.NaN()
		}
	}
	return m
}

// Every chart of a rig in every theme and on odd pages: no text on another,
// nothing off the page.
func TestRigLayout(t *testing.T) {
	pages := []Options{{}, {WidthMM: 95, HeightMM: 150}, {WidthMM: 300, HeightMM: 90}, {WidthMM: 60, HeightMM: 60}, {WidthMM: 420, HeightMM: 594}}
	for _, c := range rigCases {
		for name, p := range shown(t, c) {
			for _, o := range pages {
				noProblems(t, c.name+" "+name, p, o)
			}
		}
	}
}

type fataler interface {
	Helper()
	Fatalf(format string, args ...any)
}

func noProblems(t fataler, name string, p Picture, o Options) *noted {
	t.Helper()
	n, pg, err := layout(p, o)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if list := n.problems(pg); len(list) > 0 {
		t.Fatalf("%s on %v x %v mm:\n%s", name, pg.w, pg.h, strings.Join(list, "\n"))
	}
	return n
}

// anyRig draws any build that can be laid out, with any chain.
func anyRig(rt *rapid.T) (*sim.Study, bool) {
	wheels := func(lo, hi, most int, label string) []gearing.Teeth {
		g := rapid.Map(rapid.IntRange(lo, hi), func(i int) gearing.Teeth { return gearing.Teeth(i) })
		return gearing.SortTeeth(rapid.SliceOfNDistinct(g, 1, most, rapid.ID[gearing.Teeth]).Draw(rt, label))
	}
	b := rigBuild(rapid.SampledFrom(sim.ClassNames()).Draw(rt, "class"),
		gearing.MM(rapid.IntRange(380, 500).Draw(rt, "chainstay")), gearing.MM(rapid.IntRange(-20, 90).Draw(rt, "drop")),
		wheels(20, 60, 4, "rings"), wheels(9, 52, 14, "cogs"))
	b.Chain.Pitches = rapid.SampledFrom([]int{0, 1}).Draw(rt, "owned") * rapid.IntRange(80, 150).Draw(rt, "pitches")
	s, err := sim.NewStudy(b, gearing.TableOptions{})
	return s, err == nil && s.Answer != nil
}

// Whatever the rig, its chain and the page, the words of all five charts keep
// apart.
func TestAnyRigLayout(t *testing.T) {
	pages := map[string]*rapid.Generator[float64]{
		"default": rapid.Just(0.0),
		"any":     rapid.Float64Range(MinSizeMM, MaxSizeMM),
		"small":   rapid.Float64Range(MinSizeMM, 120),
	}
	for name, length := range pages {
		t.Run(name, rapid.MakeCheck(func(rt *rapid.T) {
			s, ok := anyRig(rt)
			if !ok {
				rt.Skip("cannot be laid out")
			}
			o := Options{WidthMM: length.Draw(rt, "width"), HeightMM: length.Draw(rt, "height")}
			i := rapid.IntRange(0, len(s.Answer.Fit.Gears)-1).Draw(rt, "gear")
			v, err := NewSideView(s, i)
			if err != nil {
				rt.Fatal(err)
			}
			v.Name = rapid.StringN(0, 80, 200).Draw(rt, "name")
			noProblems(rt, "side view", v, o)
			noProblems(rt, "contact sheet", NewContactSheet(s), o)
			noProblems(rt, "window", window(s), o)
			noProblems(rt, "map", gapMap(s), o)
			noProblems(rt, "ladder", ladderOf(s), o)
		}))
	}
}
