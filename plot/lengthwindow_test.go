package plot

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"cagewise/sim"
)

// windows are length windows of the test builds: with the length advised, with
// each end of the window, and with one chain far outside it.
func windows(t testing.TB) map[string]LengthWindow {
	t.Helper()
	list := map[string]LengthWindow{}
	for _, c := range rigCases {
		s := study(t, c.build)
		list[c.name] = window(s)
		counts := s.Answer.Window.Counts
		for name, n := range map[string]int{"first": counts[0].Pitches, "last": counts[len(counts)-1].Pitches, "short": counts[0].Pitches - 9, "tight": s.Advice.Pitches - 2} {
			list[c.name+" "+name] = window(study(t, withChain(c.build, n)))
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
	for _, c := range l.Answer.Window.Counts {
		want[c.Pitches] = c.States
	}
	fit := &l.Answer.Fit
	if _, ok := want[fit.Pitches]; !ok {
		for i := range fit.Gears {
			want[fit.Pitches] = append(want[fit.Pitches], fit.Gears[i].State)
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
			var from, to int
			word, counts := cutBar(bar)
			if _, err := fmt.Sscanf(counts, "%d to %d", &from, &to); err != nil {
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
				if key := fmt.Sprint("gear ", l.Answer.Fit.Gears[i].String(), " ", n); seen[key] != st {
					t.Errorf("%s: %s is drawn %s, computed %s", name, key, seen[key], st)
				}
			}
		}
		if len(seen) != len(want)*len(l.Answer.Fit.Gears) {
			t.Errorf("%s: %d cells for %d counts of %d gears", name, len(seen), len(want), len(l.Answer.Fit.Gears))
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

// cutBar cuts a bar's name into its state and its counts.
func cutBar(name string) (word, counts string) {
	at := strings.IndexAny(name, "0123456789")
	return strings.TrimSpace(name[:max(at, 0)]), name[max(at, 0):]
}

// The word at the right of a gear is its state with the chain judged, with the
// sign of doubt where that is in doubt.
func TestWindowTellsTheJudgedChain(t *testing.T) {
	doubts := 0
	for name, l := range windows(t) {
		n, _, err := layout(l, Options{})
		if err != nil {
			t.Fatal(err)
		}
		states := l.want()[l.Answer.Pitches]
		for i := range l.Answer.Gears {
			g, want := &l.Answer.Gears[i], states[i].String()
			if g.Doubt {
				want += "?"
				doubts++
			}
			at := slices.Index(n.texts, g.String())
			if at < 0 || n.texts[at+1] != want {
				t.Errorf("%s: %s is not told to be %s", name, g.GearID, want)
			}
		}
		if all := strings.Join(n.texts, " "); !strings.Contains(all, fmt.Sprintf("with %d", l.Answer.Pitches)) {
			t.Errorf("%s: the chain judged is not named: %s", name, all)
		}
	}
	if doubts < 5 {
		t.Errorf("only %d gears in doubt were looked at", doubts)
	}
}

// The length to have is marked as what the advice says to do.
func TestWindowMarksTheOrder(t *testing.T) {
	base := *study(t, rigCases[0].build).Answer
	n := base.Pitches
	for _, tt := range []struct {
		order   sim.Order
		pitches int
		words   []string
	}{
		{sim.Cut, n, []string{"judged, cut to this"}},
		{sim.Hang, n, []string{"judged, leave uncut"}},
		{sim.Stay, n, []string{"judged, stays"}},
		{sim.Replace, n - 4, []string{"judged", "replace by this"}},
		{sim.Replace, n + 4, []string{"judged", "replace by this"}},
		{sim.NoChain, n, []string{"judged"}},
	} {
		a := base
		a.Order, a.Pitches, a.Length = tt.order, tt.pitches, n
		if tt.order == sim.NoChain {
			a.Length = 0
		}
		texts := noProblems(t, tt.order.String(), LengthWindow{Answer: &a}, Options{}).texts
		for _, w := range tt.words {
			if !slices.Contains(texts, w) {
				t.Errorf("%s: no %q in %q", tt.order, w, texts)
			}
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
			if strings.Contains(all, legendWords(st)) != present[st] {
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
		for part, n := range map[string]int{"judged": l.Answer.Pitches, "length": l.Answer.Length} {
			c := slices.IndexFunc(y.counts, func(c windowColumn) bool { return c.pitches == n })
			if c < 0 || part == "length" && n == l.Answer.Pitches {
				continue
			}
			box, want := around(found[part]), y.cells(c, c)
			if math.Abs(box.x0-want.x0) > 0.011 || math.Abs(box.x1-want.x1) > 0.011 || box.y0 > want.y0 || box.y1 < want.y1 {
				t.Errorf("%s: %s is at %+v, want round %+v", name, part, box, want)
			}
			if over := box.y1 > want.y1+y.size; over && y.columnW < y.labelWidth() {
				t.Errorf("%s: the frame of what is %s crosses the counts", name, part)
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
