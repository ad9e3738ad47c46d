package plot

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"cagewise/gearing"
	"cagewise/sim"
)

// sideViews visits the side view of every gear of the test builds, with the
// recommended chain, one too short and one too long.
func sideViews(t testing.TB, visit func(name string, v SideView)) {
	t.Helper()
	for _, c := range rigCases {
		own := solve(t, c.build)
		for _, more := range []int{0, -6, 8} {
			s := solve(t, withChain(c.build, own.answer.Pitches+more))
			for i := range s.answer.Fit.Gears {
				id := s.answer.Fit.Gears[i].GearID
				visit(fmt.Sprintf("%s %s with %d", c.name, id, s.answer.Pitches), s.side(t, id.Ring, id.Cog))
			}
		}
	}
}

// No name touches the chain or another leader, and no leaders cross, at the
// default size and as wide as a phone.
func TestSideViewNamesKeepApart(t *testing.T) {
	sideViews(t, func(name string, v SideView) {
		for _, width := range []float64{0, phoneMM} {
			pg, err := newPage(v, Options{WidthMM: width})
			if err != nil {
				t.Fatal(err)
			}
			y := v.place(newSheet(newSVGCanvas(pg.w, pg.h, "", ""), pg))
			for _, p := range y.tangles() {
				t.Errorf("%s on %.0f mm: %s", name, pg.w, p)
			}
			if want := 0.02 * pg.w; y.size < want {
				t.Errorf("%s on %.0f mm: text of %.2f mm, want %.2f", name, pg.w, y.size, want)
			}
		}
	})
}

// tangles lists names on the chain, names on leaders and leaders that cross,
// found from what is drawn and not from what the search knows.
func (y *sideLayout) tangles() []string {
	var list []string
	half := y.view.scale * chainHeight / 2
	type drawn struct {
		text     string
		box      rect
		from, to point
		leads    bool
	}
	var all []drawn
	for _, c := range y.callouts {
		d := drawn{text: c.text}
		d.box = y.s.textBox(point{c.box.x0, c.box.y0 + descentShare*y.size}, c.text, c.style(y.size), 0)
		d.from, d.to, d.leads = c.leader(c.box, y.size)
		all = append(all, d)
	}
	for i, a := range all {
		for _, p := range y.chainPoints() {
			if away := boxDistance(a.box, p); away < half {
				list = append(list, fmt.Sprintf("%q is %.2f mm from the middle of the chain, under %.2f", a.text, away, half))
				break
			}
		}
		for j, b := range all {
			if j != i && b.leads && segmentMeets(a.box, b.from, b.to) {
				list = append(list, fmt.Sprintf("%q stands on the leader of %q", a.text, b.text))
			}
			if j < i && a.leads && b.leads && crosses(a.from, a.to, b.from, b.to) {
				list = append(list, fmt.Sprintf("the leaders of %q and %q cross", a.text, b.text))
			}
		}
	}
	return list
}

// chainPoints are points on the middle of the drawn chain, less than 0.5 mm on
// the page apart.
func (y *sideLayout) chainPoints() []point {
	if !y.chain.closed {
		return nil
	}
	var pts []point
	dense := func(line []point) {
		along(y.view.all(line), 0.4, func(p point) { pts = append(pts, p) })
	}
	for i := range y.chain.runs {
		if i != onRing {
			dense([]point{y.chain.runs[i].from, y.chain.runs[i].to})
		}
		from, sweep := y.chain.arc(i)
		w := &y.chain.wheels[i]
		var arc []point
		for k := range 401 {
			sin, cos := math.Sincos(from + sweep*float64(k)/400)
			arc = append(arc, point{w.at.x + w.r*cos, w.at.y + w.r*sin})
		}
		dense(arc)
	}
	for _, piece := range y.lowerPieces() {
		dense(piece)
	}
	return pts
}

func boxDistance(r rect, p point) float64 {
	return math.Hypot(max(r.x0-p.x, 0, p.x-r.x1), max(r.y0-p.y, 0, p.y-r.y1))
}

func segmentMeets(r rect, a, b point) bool {
	for k := range 201 {
		t := float64(k) / 200
		if boxDistance(r, point{a.x + t*(b.x-a.x), a.y + t*(b.y-a.y)}) == 0 {
			return true
		}
	}
	return false
}

// A gear that fails is drawn failing: its mark, its words, and a lower run that
// is open or hangs.
func TestSideViewShowsFaults(t *testing.T) {
	seen := map[sim.State]bool{}
	look := func(name string, v SideView) {
		if seen[v.Fit.State] && v.Fit.Cog != v.Build.LargestCog() {
			return
		}
		seen[v.Fit.State] = true
		pg, err := newPage(v, Options{})
		if err != nil {
			t.Fatal(err)
		}
		found := parts(t, svgOf(t, v, Options{}), pg.h)
		n, _, err := layout(v, Options{})
		if err != nil {
			t.Fatal(err)
		}
		words := strings.Join(n.texts, "\n")
		c := newChainPath(v.Build, &v.Fit, v.GuideTeeth, v.TensionTeeth)
		want := map[sim.State]string{sim.Locks: "pitches too short", sim.Slack: "pitches too many", sim.Overstretched: "pitches left", sim.Fouls: "mm: fouls"}
		for st, word := range want {
			if got := strings.Contains(words, word); c.closed && got != (st == v.Fit.State) {
				t.Errorf("%s is %s: %q on the page: %v", name, v.Fit.State, word, got)
			}
		}
		if !c.closed {
			return
		}
		for part, st := range map[string]sim.State{"open lower run": sim.Locks, "hanging lower run": sim.Slack} {
			if _, got := found[part]; got != (v.Fit.State == st) {
				t.Errorf("%s is %s: %s drawn: %v", name, v.Fit.State, part, got)
			}
		}
		if open := found["open lower run"]; v.Fit.State == sim.Locks && (len(open) != 4 || math.Hypot(open[1].x-open[2].x, open[1].y-open[2].y) < 3) {
			t.Errorf("%s: no gap in the lower run: %v", name, open)
		}
		if line := found["hanging lower run"]; v.Fit.State == sim.Slack {
			mid, a, b := line[len(line)/2], line[0], line[len(line)-1]
			if (a.y+b.y)/2-mid.y < 2 {
				t.Errorf("%s: the lower run hangs by %.2f mm", name, (a.y+b.y)/2-mid.y)
			}
		}
	}
	sideViews(t, look)
	fouls := solve(t, rigCases[0].build).side(t, 30, 36)
	fouls.Fit.State, fouls.Fit.Gap = sim.Fouls, 1.5
	look("fouls", fouls)
	for st := sim.Clear; st <= sim.Locks; st++ {
		if st != sim.Far && !seen[st] {
			t.Errorf("no gear that is %s was looked at", st)
		}
	}
}

// Figures have their errors where those are given, and a gear near a bound is
// doubtful.
func TestSideViewMargin(t *testing.T) {
	v := solve(t, rigCases[0].build).side(t, 30, 21)
	v.Fit.Forward, v.Fit.Rearward, v.Fit.Gap, v.Knowledge = 9, 4, 12, sim.Measured
	for name, tt := range map[string]struct {
		change func(*sim.GearFit)
		doubt  string
	}{
		"far from all":   {func(*sim.GearFit) {}, ""},
		"near forward":   {func(g *sim.GearFit) { g.Forward = 1.9 }, "forward reserve"},
		"near rearward":  {func(g *sim.GearFit) { g.Rearward = 0.9 }, "rearward reserve"},
		"near the cog":   {func(g *sim.GearFit) { g.Gap = 3.9 }, "pulley gap"},
		"slack, surely":  {func(g *sim.GearFit) { g.Rearward, g.State = -2, sim.Slack }, ""},
		"slack, perhaps": {func(g *sim.GearFit) { g.Rearward, g.State = -0.3, sim.Slack }, "rearward reserve"},
		"locks, perhaps": {func(g *sim.GearFit) { g.Forward, g.Gap, g.State = -0.5, 3, sim.Locks }, "forward reserve"},
		"locks, surely":  {func(g *sim.GearFit) { g.Forward, g.Gap, g.State = -3, 3, sim.Locks }, ""},
	} {
		w := v
		w.Margin = &sim.GearMargin{Forward: 0.5, Rearward: 0.5, Gap: 0.5}
		tt.change(&w.Fit)
		if got := strings.Join(w.doubts(), " and "); got != tt.doubt {
			t.Errorf("%s: doubts %q, want %q", name, got, tt.doubt)
		}
		if got := strings.Contains(w.Describe(), "doubtful"); got != (tt.doubt != "") {
			t.Errorf("%s: %s", name, w.Describe())
		}
		if !strings.Contains(w.Describe(), "+- 0.50 pitches") {
			t.Errorf("%s: no errors in %s", name, w.Describe())
		}
	}
	v.Margin = nil
	if d := v.Describe(); strings.Contains(d, "+-") || strings.Contains(d, "doubtful") {
		t.Error(d)
	}
	typical := v
	typical.Knowledge, typical.Fit.Gap, typical.Margin = sim.Typical, 4, &sim.GearMargin{Gap: gearing.MM(7)}
	if d := typical.doubts(); len(d) > 0 {
		t.Errorf("the gap of typical geometry is held against a gear: %v", d)
	}
}

// All four charts name what their geometry rests on, on the page and in the
// description.
func TestChartsNameTheirBasis(t *testing.T) {
	s := solve(t, rigCases[0].build)
	for k, word := range map[sim.Knowledge]string{
		sim.Typical: "typical geometry, not your derailleur's", sim.Measured: "measured geometry",
		sim.FromReadings: "geometry fitted to readings", sim.RatingOnly: "",
	} {
		side, sheet, win, m := s.side(t, 30, 21), NewContactSheet(s.rig, s.answer.Fit), window(s), gapMap(rigCases[0].build, s.answer.Fit)
		side.Knowledge, sheet.Knowledge, win.Knowledge, m.Knowledge = k, k, k, k
		for _, p := range []Picture{side, sheet, win, m} {
			n, _, err := layout(p, Options{})
			if err != nil {
				t.Fatal(err)
			}
			all := strings.Join(n.texts, " ")
			if !strings.Contains(all, word) || !strings.Contains(p.Describe(), word) {
				t.Errorf("%T: %q is not told: %s", p, word, p.Describe())
			}
			if k == sim.RatingOnly && (strings.Contains(all, "geometry") || strings.Contains(p.Describe(), "geometry")) {
				t.Errorf("%T: a basis out of nothing: %s", p, p.Describe())
			}
		}
	}
	if v := s.side(t, 30, 21); v.Knowledge != s.rig.Derailleur.Knowledge || !slices.Contains(v.facts(), typicalWords) {
		t.Error("a new side view does not know its basis")
	}
}
