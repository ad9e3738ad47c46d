package plot

import (
	"fmt"
	"io"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"
	"pgregory.net/rapid"

	"cagewise/gearing"
)

var (
	_ vg.Canvas = (*svgCanvas)(nil)
	_ vg.Canvas = (*pngCanvas)(nil)
)

// noted records what is drawn on a sheet.
type noted struct {
	texts []string
	boxes []rect // of the texts
	inks  []rect // of the lines and shapes, line width included
}

func (n *noted) text(s string, box rect) {
	n.texts, n.boxes = append(n.texts, s), append(n.boxes, box)
}

func (n *noted) ink(pts []point, width float64) {
	r, half := around(pts), width/2
	n.inks = append(n.inks, rect{r.x0 - half, r.y0 - half, r.x1 + half, r.y1 + half})
}

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

func outside(r rect, pg page) bool { return r.x0 < 0 || r.y0 < 0 || r.x1 > pg.w || r.y1 > pg.h }

// problems lists texts that collide and anything that leaves the page.
func (n *noted) problems(pg page) []string {
	var list []string
	for _, r := range n.inks {
		if outside(r, pg) {
			list = append(list, fmt.Sprintf("ink leaves the page: %+v", r))
		}
	}
	const slack = 0.01 // mm
	for i, a := range n.boxes {
		if outside(a, pg) {
			list = append(list, fmt.Sprintf("%q leaves the page: %+v", n.texts[i], a))
		}
		for j, b := range n.boxes[:i] {
			if a.x0 < b.x1-slack && b.x0 < a.x1-slack && a.y0 < b.y1-slack && b.y0 < a.y1-slack {
				list = append(list, fmt.Sprintf("%q %+v on %q %+v", n.texts[i], a, n.texts[j], b))
			}
		}
	}
	return list
}

// drawnLadder draws any ladder on any page.
func drawnLadder(t *testing.T, rt *rapid.T, side *rapid.Generator[float64]) (Ladder, Options) {
	wheel := rapid.Map(rapid.IntRange(8, 80), func(i int) gearing.Teeth { return gearing.Teeth(i) })
	wheels := func(most int, label string) []gearing.Teeth {
		return gearing.SortTeeth(rapid.SliceOfNDistinct(wheel, 1, most, rapid.ID[gearing.Teeth]).Draw(rt, label))
	}
	capacity := gearing.Teeth(rapid.IntRange(0, 50).Draw(rt, "capacity"))
	l := Ladder{
		Table: table(t, capacity, wheels(4, "rings"), wheels(14, "cogs")),
		Name:  rapid.StringN(0, 80, 200).Draw(rt, "name"),
	}
	return l, Options{WidthMM: side.Draw(rt, "width"), HeightMM: side.Draw(rt, "height")}
}

func checkLadder(t *testing.T, rt *rapid.T, l Ladder, o Options) *noted {
	n, pg, err := layout(l, o)
	if err != nil {
		rt.Fatal(err)
	}
	if p := n.problems(pg); len(p) > 0 {
		rt.Fatal(strings.Join(p, "\n"))
	}
	drawn := map[string]int{}
	for _, s := range n.texts {
		drawn[s]++
	}
	for i, g := range l.Table.Gears {
		if drawn[l.cogLabel(i)] == 0 {
			rt.Fatalf("no label for %s", g.Name())
		}
	}
	return n
}

// Whatever the wheels and the page, no text lies on another, nothing leaves
// the page and no fact is cut.
func TestLadderLayout(t *testing.T) {
	pages := map[string]*rapid.Generator[float64]{
		"default": rapid.Just(0.0),
		"any":     rapid.Float64Range(MinSizeMM, MaxSizeMM),
		"small":   rapid.Float64Range(MinSizeMM, 120),
	}
	for name, side := range pages {
		t.Run(name, rapid.MakeCheck(func(rt *rapid.T) {
			l, o := drawnLadder(t, rt, side)
			n := checkLadder(t, rt, l, o)
			all := strings.Join(n.texts, " ")
			for _, f := range l.facts() {
				if !strings.Contains(all, f) {
					rt.Fatalf("%q is not on the page", f)
				}
			}
		}))
	}
}

// Where the page is the default one, text stays large enough for a phone.
func TestLadderTextSize(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		l, _ := drawnLadder(t, rt, rapid.Just(0.0))
		pg, err := newPage(l, Options{})
		if err != nil {
			rt.Fatal(err)
		}
		y := l.place(newSheet(newSVGCanvas(pg.w, pg.h, "", ""), pg))
		if y.size < 3.2 {
			rt.Fatalf("text of %.2f mm", y.size)
		}
	})
}

// The legend explains what occurs and nothing else.
func TestLadderLegend(t *testing.T) {
	const lost, tied = "lost to", "duplicates within 2 %"
	tests := []struct {
		name       string
		l          Ladder
		lost, tied bool
	}{
		{"one ring", Ladder{Table: table(t, 0, teeth(40), teeth(11, 15, 20))}, false, false},
		{"lost", Ladder{Table: table(t, 5, teeth(40), teeth(11, 15, 20))}, true, false},
		{"equal", Ladder{Table: table(t, 0, teeth(30, 40), teeth(15, 20))}, false, true},
		{"both", triple(t), true, true},
		{"same ring only", Ladder{Table: table(t, 0, teeth(40), teeth(79, 80))}, false, false},
	}
	for _, tt := range tests {
		n, _, err := layout(tt.l, Options{})
		if err != nil {
			t.Fatal(err)
		}
		all := strings.Join(n.texts, "\n")
		if got := strings.Contains(all, lost); got != tt.lost {
			t.Errorf("%s: lost gears explained: %v", tt.name, got)
		}
		if got := strings.Contains(all, tied); got != tt.tied {
			t.Errorf("%s: ties explained: %v", tt.name, got)
		}
	}
}

func TestLadderRefusesOddTables(t *testing.T) {
	good := triple(t).Table
	short := good
	short.Gears = good.Gears[:5]
	huge := good
	huge.Gears = append([]gearing.Gear(nil), good.Gears...)
	huge.Gears[3].Development = 1e300
	for name, tab := range map[string]gearing.Table{"none": {}, "short": short, "huge": huge} {
		if err := WriteSVG(io.Discard, Ladder{Table: tab}, Options{}); err == nil {
			t.Errorf("%s: drawn", name)
		}
	}
}
