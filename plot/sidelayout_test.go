package plot

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"cagewise/sim"
)

// sideViews visits the side view of every gear of the test builds, with the
// length advised, and with chains that are too short, tight and too long.
func sideViews(t testing.TB, visit func(name string, v SideView)) {
	t.Helper()
	for _, c := range rigCases {
		own := study(t, c.build)
		for _, more := range []int{0, -6, -2, 8} {
			s := study(t, withChain(c.build, own.Advice.Pitches+more))
			for i := range s.Advice.Gears {
				id := s.Advice.Gears[i].GearID
				visit(fmt.Sprintf("%s %s with %d", c.name, id, s.Advice.Pitches), side(t, s, id.Ring, id.Cog))
			}
		}
	}
}

// as is the view of a gear that is judged to be in another state, for sure.
func (v SideView) as(st sim.State) SideView { return v.advised(sim.GearAdvice{State: st}) }

// advised is the view of a gear that is judged otherwise.
func (v SideView) advised(g sim.GearAdvice) SideView {
	a := *v.Advice
	a.Gears = slices.Clone(a.Gears)
	i := slices.IndexFunc(a.Gears, func(o sim.GearAdvice) bool { return o.GearID == v.Fit.GearID })
	g.GearID = v.Fit.GearID
	a.Gears[i], v.Advice, v.Fit.State = g, &a, g.State
	return v
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
		want := map[sim.State]string{
			sim.Locks: "pitches too short", sim.Slack: "pitches too many", sim.TooShort: "pitches left",
			sim.Hits: "mm: hits", sim.Tight: "pitches over the bare loop",
		}
		for st, word := range want {
			if v.Fit.State == sim.Hits && v.Fit.Gap >= sim.HitGap {
				break // told at the lower run, see TestFaultWords
			}
			if got := strings.Contains(words, word); c.closed && got != (st == v.Fit.State) && !(st == sim.Tight && strings.Contains(v.Fit.Reason(), word)) {
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
	hits := side(t, study(t, rigCases[0].build), 30, 36).as(sim.Hits)
	hits.Fit.Gap = 1.5
	look("hits", hits)
	for st := sim.Clear; st <= sim.Locks; st++ {
		if st != sim.Far && !seen[st] {
			t.Errorf("no gear that is %s was looked at", st)
		}
	}
}

// The lower run says why a pulley hits the cog though its gap is wide enough:
// the least reserve is 1 pitch, the least gap 3 mm.
func TestFaultWords(t *testing.T) {
	for want, g := range map[string]sim.GearFit{
		"":                                {State: sim.Hits, Gap: 2.9, Forward: 0.5, Rearward: 4},
		"only 0.50 pitches left":          {State: sim.Hits, Gap: 3.1, Forward: 0.5, Rearward: 4},
		"0.40 pitches too many":           {State: sim.Hits, Gap: 3.1, Forward: 5, Rearward: -0.4},
		"0.25 pitches too short":          {State: sim.Locks, Forward: -0.25},
		"1.60 pitches over the bare loop": {State: sim.Tight, Forward: 1.4, OverLoop: 1.6, Gap: 9, Rearward: 4},
		"0.30 pitches too many":           {State: sim.Slack, Forward: 9, Rearward: -0.3, Gap: 9},
		"only 0.70 pitches left":          {State: sim.TooShort, Forward: 0.7, Gap: 9, Rearward: 9},
	} {
		if got := faultWords(&g); got != want {
			t.Errorf("%s: %q, want %q", g.State, got, want)
		}
	}
	for _, st := range []sim.State{sim.Clear, sim.Far} {
		if got := faultWords(&sim.GearFit{State: st, Forward: 9, Rearward: 9, Gap: 9}); got != "" {
			t.Errorf("%s: %q", st, got)
		}
	}
}

// Figures have their errors; state, doubt and a pulley left are those of the
// advice, whatever the figures.
func TestSideViewTellsTheAdvice(t *testing.T) {
	s := study(t, rigCases[0].build)
	v := side(t, s, 30, 21)
	v.Fit.Forward, v.Fit.Rearward, v.Fit.Gap = 1.9, 0.2, 3.1 // near every bound
	v.Margin = sim.GearMargin{Forward: 0.5, Rearward: 0.5, Gap: 0.5}
	for want, g := range map[string]sim.GearAdvice{
		"30x21 is clear": {},
		"30x21 is clear, but may hang slack (31 %)":                        {Doubt: true, Slack: 0.31},
		"In 30x21 the chain is too short (chance 62 %)":                    {State: sim.TooShort, Doubt: true, Danger: sim.Danger{Any: 0.62, Short: 0.6}},
		"In 30x21 the guide pulley hits the cog":                           {State: sim.Hits, Danger: sim.Danger{Any: 0.97, Hits: 0.97}},
		"30x21 is tight, but may be too short (12 %) or hang slack (10 %)": {State: sim.Tight, Doubt: true, Danger: sim.Danger{Any: 0.12, Short: 0.12}, Slack: 0.1},
	} {
		w := v.advised(g)
		d := w.Describe()
		if !strings.Contains(d, " "+want+";") {
			t.Errorf("no %q in %s", want, d)
		}
		if !strings.Contains(d, "forward reserve 1.90 +- 0.50 pitches") || !strings.Contains(d, "pulley gap 3.1 +- 0.5 mm") {
			t.Errorf("no errors in %s", d)
		}
		n := noProblems(t, want, w, Options{})
		if all := strings.Join(n.texts, " "); !strings.Contains(all, want) {
			t.Errorf("no %q on the page: %s", want, all)
		}
		if strings.Contains(d, "has left") {
			t.Errorf("a pulley left in %s", d)
		}
		g.Left = "guide pulley"
		if d := v.advised(g).Describe(); !strings.Contains(d, "the chain has left the guide pulley") {
			t.Errorf("no pulley left in %s", d)
		}
	}
}

// All charts name what their geometry rests on, on the page and in the
// description.
func TestChartsNameTheirBasis(t *testing.T) {
	s := study(t, rigCases[0].build)
	for k, word := range map[sim.Knowledge]string{
		sim.Typical: "typical geometry, not your derailleur's", sim.Measured: "measured geometry",
		sim.FromReadings: "geometry fitted to readings", sim.FromRating: "typical geometry for the rated capacity, not your derailleur's", sim.TeethOnly: "",
	} {
		other, a := *s, *s.Answer
		other.Advice.Knowledge, a.Knowledge = k, k
		other.Answer = &a
		for _, p := range []Picture{side(t, &other, 30, 21), NewContactSheet(&other), window(&other), gapMap(&other)} {
			n, _, err := layout(p, Options{})
			if err != nil {
				t.Fatal(err)
			}
			all := strings.Join(n.texts, " ")
			if !strings.Contains(all, word) || !strings.Contains(p.Describe(), word) {
				t.Errorf("%T: %q is not told: %s", p, word, p.Describe())
			}
			if k == sim.TeethOnly && (strings.Contains(all, "geometry") || strings.Contains(p.Describe(), "geometry")) {
				t.Errorf("%T: a basis out of nothing: %s", p, p.Describe())
			}
		}
	}
}
