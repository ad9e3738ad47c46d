package plot

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"cagewise/gearing"
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
	case Ladder:
		return 0.9 * p.place(s).size
	}
	return 0
}

// On a page of 360 pixels words stay 7 pixels high, and nothing collides.
func TestRigTextOnNarrowPages(t *testing.T) {
	for _, c := range rigCases {
		for name, p := range shown(t, c) {
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
		for name, p := range shown(t, c) {
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

// everyState is an advice with a gear in each state, sure, and one of 30 x 20
// that is clear but may be slack.
func everyState() *sim.Advice {
	a := &sim.Advice{Judged: true, Pitches: 110, Length: 110, Order: sim.Cut}
	for i, st := range allStates {
		a.Gears = append(a.Gears, sim.GearAdvice{GearID: gearing.GearID{Ring: 30, Cog: gearing.Teeth(20 - i)}, State: st})
	}
	a.Gears[0].Slack, a.Gears[0].Doubt, a.Gears[0].Lost = 0.31, true, true
	return a
}

var allStates = []sim.State{sim.Clear, sim.Far, sim.Slack, sim.Tight, sim.Hits, sim.TooShort, sim.Locks}

// Gears that fail or are in doubt are framed and marked in a map of any figure,
// and the legend names their states and no others.
func TestGearMapShowsFailing(t *testing.T) {
	m := GearMap{Rings: teeth(30), Cogs: teeth(14, 15, 16, 17, 18, 19, 20), Values: []float64{1, 2, 3, 4, 5, 6, 7}, Name: "Tension", Unit: "N", Advice: everyState()}
	m.Notes = []string{"a", "", "", "b", "a long note", "", ""}
	n := noProblems(t, "all states", m, Options{})
	if !slices.Contains(n.texts, "? a") {
		t.Errorf("no sign of doubt before a note: %v", n.texts)
	}
	cells := nestedParts(svgOf(t, m, Options{}))
	for i, st := range allStates {
		if _, got := cells["gear "+m.gear(i)]; !got {
			t.Errorf("no cell for %s", m.gear(i))
		}
		if d, want := m.Describe(), fmt.Sprintf("%s %s", m.gear(i), stateWords(st)); strings.Contains(d, want) != (i == 0 || !st.Runs()) {
			t.Errorf("%q in %q", want, d)
		}
	}
	for _, st := range allStates {
		for _, doubt := range []bool{false, true} {
			a := everyState()
			for i := range a.Gears {
				a.Gears[i].State, a.Gears[i].Doubt, a.Gears[i].Lost = st, doubt, false
			}
			m.Advice, m.Notes = a, nil
			n := noProblems(t, st.String(), m, Options{})
			if got, want := slices.Contains(n.texts, stateWords(st)), doubt || !st.Runs(); got != want {
				t.Errorf("the legend of a map that is all %s, in doubt: %v: %v", st, doubt, n.texts)
			}
			if got := slices.Contains(n.texts, doubtSign); got != doubt {
				t.Errorf("%s, in doubt: %v: %v", st, doubt, n.texts)
			}
		}
	}
}
