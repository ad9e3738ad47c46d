package plot

import (
	"slices"
	"strings"
	"testing"

	"cagewise/sim"
)

// smallest is the height of the smallest words of a chart, mm.
func smallest(p Picture, s *sheet) float64 {
	switch p := p.(type) {
	case SideView:
		return 0.9 * p.place(s).size
	case ContactSheet:
		return p.place(s).wordText().size
	case LengthWindow:
		y := p.place(s)
		return min(y.rowText, 0.9*y.size)
	case GearMap:
		return p.place(s).cells
	}
	return 0
}

// On a page of 360 pixels words stay 7 pixels high, and nothing collides.
func TestRigTextOnNarrowPages(t *testing.T) {
	for _, c := range rigCases {
		for name, p := range shown(t, c, solve(t, c.build)) {
			for _, width := range []float64{80, phoneMM, 120} {
				o := Options{WidthMM: width}
				pg, err := newPage(p, o)
				if err != nil {
					t.Fatal(err)
				}
				px := smallest(p, newSheet(newSVGCanvas(pg.w, pg.h, "", ""), pg)) / width * 360
				if px < 7 && !strings.HasPrefix(name, "side") || px < 6.5 {
					t.Errorf("%s %s on %.0f mm: words of %.1f pixels", c.name, name, width, px)
				}
				noProblems(t, c.name+" "+name, p, o)
			}
		}
	}
}

// A page of free height has room for what it holds and no more.
func TestRigHeights(t *testing.T) {
	for _, c := range rigCases {
		for name, p := range shown(t, c, solve(t, c.build)) {
			for _, width := range []float64{0, 70, phoneMM, 250, 400} {
				pg, err := newPage(p, Options{WidthMM: width})
				if err != nil {
					t.Fatal(err)
				}
				s := newSheet(newSVGCanvas(pg.w, pg.h, "", ""), pg)
				var got, lo, hi float64
				switch p := p.(type) {
				case GearMap: // height of a cell in text sizes
					y := p.place(s)
					got, lo, hi = y.cellH/y.size, 2, 4.5
				case LengthWindow: // and of a row
					y := p.place(s)
					got, lo, hi = y.row/y.size, 1.2, 1.6
				case ContactSheet: // height of a picture as a share of what its width allows
					y := p.place(s)
					got, lo, hi = y.picture/(min(y.tileW, widestTile)-0.4*y.size)/y.box.height()*y.box.width(), 0.85, 1.01
				case SideView: // width of the drawing as a share of the page
					y := p.place(s)
					got, lo, hi = y.bikeBox().width()*y.view.scale/pg.w, 0.7, 1
				}
				if pg.h < MaxSizeMM && pg.h > MinSizeMM && (got < lo || got > hi) {
					t.Errorf("%s %s, %.0f x %.0f mm: %.2f, want %.2f to %.2f", c.name, name, pg.w, pg.h, got, lo, hi)
				}
			}
		}
	}
}

// Gears that fail are framed and marked in a map of any figure, and the legend
// names their states and no others.
func TestGearMapShowsFailing(t *testing.T) {
	all := []sim.State{sim.Clear, sim.Far, sim.Slack, sim.Fouls, sim.Overstretched, sim.Locks}
	m := GearMap{Rings: teeth(30), Cogs: teeth(11, 12, 13, 14, 15, 16), Values: []float64{1, 2, 3, 4, 5, 6}, Name: "Tension", Unit: "N", States: all}
	m.Notes = []string{"a", "", "", "b", "a long note", ""}
	noProblems(t, "all states", m, Options{})
	cells := nestedParts(svgOf(t, m, Options{}))
	for i, st := range all {
		if _, got := cells["gear "+m.gear(i)]; !got {
			t.Errorf("no cell for %s", m.gear(i))
		}
		if d := m.Describe(); strings.Contains(d, st.String()) == st.Runs() {
			t.Errorf("%s in %q", st, d)
		}
	}
	for from := range all {
		m.States = slices.Repeat(all[from:from+1], len(all))
		n := noProblems(t, all[from].String(), m, Options{})
		if slices.Contains(n.texts, all[from].String()) == all[from].Runs() {
			t.Errorf("the legend of a map that is all %s: %v", all[from], n.texts)
		}
	}
}
