package plot

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"cagewise/sim"
)

// windows are length windows of the test builds: with the recommended chain,
// with each end of the window, and with one chain far outside it.
func windows(t testing.TB) map[string]LengthWindow {
	t.Helper()
	list := map[string]LengthWindow{}
	for _, c := range rigCases {
		s := solve(t, c.build)
		list[c.name] = window(s)
		counts := s.answer.Window.Counts
		for name, n := range map[string]int{"first": counts[0].Pitches, "last": counts[len(counts)-1].Pitches, "short": counts[0].Pitches - 9} {
			f, err := s.rig.Fit(n)
			if err != nil {
				t.Fatal(err)
			}
			list[c.name+" "+name] = LengthWindow{Fit: f, Window: s.answer.Window, Recommended: s.answer.Recommended, Chosen: n}
		}
	}
	return list
}

func (l LengthWindow) placed(t testing.TB) (*windowLayout, page) {
	t.Helper()
	pg, err := newPage(l, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return l.place(newSheet(newSVGCanvas(pg.w, pg.h, "", ""), pg)), pg
}

// want are the states with every count that is computed, from the simulation.
func (l LengthWindow) want() map[int][]sim.State {
	want := map[int][]sim.State{}
	for _, c := range l.Window.Counts {
		want[c.Pitches] = c.States
	}
	if _, ok := want[l.Fit.Pitches]; !ok {
		for i := range l.Fit.Gears {
			want[l.Fit.Pitches] = append(want[l.Fit.Pitches], l.Fit.Gears[i].State)
		}
	}
	return want
}

// Every gear has one bar over every count that was computed, that of its state
// there, and none over any other count.
func TestWindowBars(t *testing.T) {
	for name, l := range windows(t) {
		y, pg := l.placed(t)
		want, seen := l.want(), map[string]sim.State{}
		for part, d := range nestedParts(svgOf(t, l, Options{})) {
			gear, bar, ok := strings.Cut(part, "/")
			if !ok || !strings.HasPrefix(gear, "gear ") {
				continue
			}
			var word string
			var from, to int
			if _, err := fmt.Sscanf(bar, "%s %d to %d", &word, &from, &to); err != nil {
				t.Fatal(part, err)
			}
			box := around(pathPoints(t, d, pg.h))
			for c := range y.counts {
				n, mid := y.counts[c].pitches, y.middle(c)
				if inside := box.x0 < mid && mid < box.x1; inside != (n >= from && n <= to) {
					t.Errorf("%s %s: %d pitches at %.2f mm, drawn from %.2f to %.2f", name, part, n, mid, box.x0, box.x1)
				}
				if n >= from && n <= to {
					key := fmt.Sprint(gear, " ", n)
					if _, twice := seen[key]; twice {
						t.Errorf("%s: %s twice", name, key)
					}
					seen[key] = stateNamed(word)
				}
			}
		}
		for n, states := range want {
			for i, st := range states {
				if key := fmt.Sprint("gear ", l.Fit.Gears[i].String(), " ", n); seen[key] != st {
					t.Errorf("%s: %s is drawn %s, computed %s", name, key, seen[key], st)
				}
			}
		}
		if len(seen) != len(want)*len(l.Fit.Gears) {
			t.Errorf("%s: %d cells for %d counts of %d gears", name, len(seen), len(want), len(l.Fit.Gears))
		}
	}
}

func stateNamed(word string) sim.State {
	for st := sim.Clear; st <= sim.Locks; st++ {
		if st.String() == word {
			return st
		}
	}
	return -1
}

// The word at the right of a gear is its state with the chosen count.
func TestWindowTellsTheChosenCount(t *testing.T) {
	for name, l := range windows(t) {
		n, _, err := layout(l, Options{})
		if err != nil {
			t.Fatal(err)
		}
		states := l.want()[l.Chosen]
		for i := range l.Fit.Gears {
			at := slices.Index(n.texts, l.Fit.Gears[i].String())
			if at < 0 || n.texts[at+1] != shortState(states[i]) {
				t.Errorf("%s: %s is not told to be %s", name, l.Fit.Gears[i].GearID, states[i])
			}
		}
		if all := strings.Join(n.texts, " "); !strings.Contains(all, fmt.Sprintf("with %d", l.Chosen)) {
			t.Errorf("%s: the chosen count is not named: %s", name, all)
		}
	}
}

// The legend explains the states that occur and no others.
func TestWindowLegend(t *testing.T) {
	for name, l := range windows(t) {
		y, _ := l.placed(t)
		var words []string
		for _, e := range y.legend.entries {
			words = append(words, e.text)
		}
		all := strings.Join(words, "; ")
		allRun := false
		present := map[sim.State]bool{}
		for _, states := range l.want() {
			allRun = allRun || sim.CountStates{States: states}.Worst().Runs()
			for _, st := range states {
				present[st] = true
			}
		}
		for st := sim.Clear; st <= sim.Locks; st++ {
			if strings.Contains(all, st.String()) != present[st] {
				t.Errorf("%s: legend %q, but %s occurs: %v", name, all, st, present[st])
			}
		}
		if strings.Contains(all, "every gear runs") != allRun {
			t.Errorf("%s: legend %q", name, all)
		}
	}
}

// Both frames stand over their columns.
func TestWindowMarksCounts(t *testing.T) {
	for name, l := range windows(t) {
		y, pg := l.placed(t)
		found := parts(t, svgOf(t, l, Options{}), pg.h)
		for part, n := range map[string]int{"chosen": l.Chosen, "recommended": l.Recommended} {
			c := slices.IndexFunc(y.counts, func(c windowColumn) bool { return c.pitches == n })
			if c < 0 || part == "recommended" && n == l.Chosen {
				continue
			}
			box, want := around(found[part]), y.cells(c, c)
			if math.Abs(box.x0-want.x0) > 0.011 || math.Abs(box.x1-want.x1) > 0.011 || box.y0 > want.y0 || box.y1 < want.y1 {
				t.Errorf("%s: %s is at %+v, want round %+v", name, part, box, want)
			}
		}
		noProblems(t, name, l, Options{})
		noProblems(t, name+" narrow", l, Options{WidthMM: phoneMM})
	}
}

// nestedParts gives the first path of the parts within parts, named a/b.
func nestedParts(svg []byte) map[string]string {
	found, open := map[string]string{}, []string{}
	for line := range strings.Lines(string(svg)) {
		if name, ok := strings.CutPrefix(line, `<g data-part="`); ok {
			open = append(open, name[:strings.Index(name, `"`)])
		} else if strings.HasPrefix(line, "<g") {
			open = append(open, "")
		} else if strings.HasPrefix(line, "</g>") && len(open) > 0 {
			open = open[:len(open)-1]
		} else if d, ok := strings.CutPrefix(line, `<path d="`); ok && len(open) > 1 {
			name := strings.Join(open[1:], "/")
			if _, ok := found[name]; !ok {
				found[name] = d[:strings.Index(d, `"`)]
			}
		}
	}
	return found
}
