package plot

import (
	"encoding/xml"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"cagewise/gearing"
	"cagewise/sim"
)

// drawn are the points of the named parts of an SVG in mm on the page, y up.
type drawn map[string][]point

var coordinates = regexp.MustCompile(`[MLZA]|-?\d+(?:\.\d+)?`)

// parts reads an SVG back.
func parts(t *testing.T, svg []byte, height float64) drawn {
	t.Helper()
	found := drawn{}
	var open []string
	d := xml.NewDecoder(strings.NewReader(string(svg)))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return found
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := tok.(type) {
		case xml.StartElement:
			if e.Name.Local == "g" {
				open = append(open, attribute(e, "data-part"))
			}
			if e.Name.Local == "path" && len(open) > 0 {
				name := open[len(open)-1]
				found[name] = append(found[name], pathPoints(t, attribute(e, "d"), height)...)
			}
		case xml.EndElement:
			if e.Name.Local == "g" {
				open = open[:len(open)-1]
			}
		}
	}
}

func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// pathPoints are the ends of the lines and arcs of a path.
func pathPoints(t *testing.T, d string, height float64) []point {
	var pts []point
	var nums []float64
	want := 2
	for _, tok := range append(coordinates.FindAllString(d, -1), "Z") {
		if v, err := strconv.ParseFloat(tok, 64); err == nil {
			if nums = append(nums, v); len(nums) == want {
				x, y := nums[want-2], nums[want-1]
				pts = append(pts, point{x / svgUnitsPerMM, height - y/svgUnitsPerMM})
				nums = nums[:0]
			}
			continue
		}
		if len(nums) != 0 {
			t.Fatalf("odd path %q", d)
		}
		want = 2
		if tok == "A" {
			want = 7
		}
	}
	return pts
}

// onBike turns a part's points back into mm from the rear axle. It takes the
// middle of the cog and the scale, which the scale bar confirms.
type onBike struct {
	parts drawn
	axle  point
	scale float64
}

func readBack(t *testing.T, v SideView) onBike {
	t.Helper()
	pg, err := newPage(v, Options{})
	if err != nil {
		t.Fatal(err)
	}
	svg := svgOf(t, v, Options{})
	b := onBike{parts: parts(t, svg, pg.h), scale: 1}
	b.axle = b.centre("cog")
	b.scale = v.place(newSheet(newSVGCanvas(pg.w, pg.h, "", ""), pg)).view.scale
	label := regexp.MustCompile(`>(\d+) mm</text>`).FindSubmatch(svg)
	if len(label) == 0 || len(b.parts["scale bar"]) != 2 {
		t.Fatal("no scale bar")
	}
	mm, err := strconv.ParseFloat(string(label[1]), 64)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "scale bar", b.length("scale bar"), mm)
	return b
}

func (b onBike) at(p point) point {
	return point{(p.x - b.axle.x) / b.scale, (p.y - b.axle.y) / b.scale}
}

// centre of a toothed wheel: the mean of its evenly spread corners.
func (b onBike) centre(wheel string) point {
	var sum point
	pts := b.parts[wheel]
	for _, p := range pts {
		sum.x, sum.y = sum.x+p.x, sum.y+p.y
	}
	n := float64(len(pts))
	return b.at(point{sum.x / n, sum.y / n})
}

func (b onBike) length(part string) float64 {
	pts := b.parts[part]
	p, q := b.at(pts[0]), b.at(pts[1])
	return math.Hypot(q.x-p.x, q.y-p.y)
}

func within(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 0.1 {
		t.Errorf("%s: drawn %.3f mm, solved %.3f mm", what, got, want)
	}
}

// What is drawn is what was solved: middles of wheels, tips, runs, wraps and
// gap, read back from the SVG, within 0.1 mm on the bike.
func TestSideViewIsToScale(t *testing.T) {
	for _, c := range rigCases {
		s, b := study(t, c.build), c.build
		for _, id := range []gearing.GearID{
			{Ring: b.LargestRing(), Cog: b.LargestCog()}, {Ring: b.Rings[0], Cog: b.Cogs[0]}, {Ring: b.Rings[0], Cog: b.LargestCog()},
		} {
			t.Run(c.name+" "+id.String(), func(t *testing.T) { checkScale(t, side(t, s, id.Ring, id.Cog)) })
		}
	}
}

func checkScale(t *testing.T, v SideView) {
	b, g := readBack(t, v), &v.Fit
	drop := float64(v.Build.Frame.BottomBracketDrop)
	stay := float64(v.Build.Frame.Chainstay)
	for _, w := range []struct {
		name  string
		at    sim.Point
		teeth gearing.Teeth
	}{
		{"ring", sim.Point{X: gearing.MM(math.Sqrt(stay*stay - drop*drop)), Y: gearing.MM(-drop)}, g.Ring}, {"cog", sim.Point{}, g.Cog},
		{"guide pulley", g.Guide, v.GuideTeeth}, {"tension pulley", g.Tension, v.TensionTeeth},
	} {
		at := b.centre(w.name)
		within(t, w.name+" x", at.x, float64(w.at.X))
		within(t, w.name+" y", at.y, float64(w.at.Y))
		tip := 0.0
		for _, p := range b.parts[w.name] {
			q := b.at(p)
			tip = max(tip, math.Hypot(q.x-at.x, q.y-at.y))
		}
		within(t, w.name+" tips", tip, float64(w.teeth.TipRadius()))
		if n := len(b.parts[w.name]); n != 2*6*int(w.teeth) {
			t.Errorf("%s: %d corners in shape and edge for %d teeth", w.name, n, w.teeth)
		}
	}
	within(t, "pulley gap", b.length("pulley gap"), math.Abs(float64(g.Gap)))
	checkPath(t, b, v)
}

// checkPath holds the runs and arcs together with the length of the chain: the
// solver's path is as long as the chain where the cage is free.
func checkPath(t *testing.T, b onBike, v SideView) {
	g := &v.Fit
	pitch := float64(gearing.Pitch)
	lines, err := gearing.ChainLines(v.Build)
	if err != nil {
		t.Fatal(err)
	}
	aside := float64(lines.Gears[slices.IndexFunc(lines.Gears, func(l gearing.GearLine) bool { return l.GearID == g.GearID })].Offset)
	total := 0.0
	at := [4]sim.Point{{}, {X: gearing.MM(crankCentre(v.Build.Frame).x), Y: gearing.MM(crankCentre(v.Build.Frame).y)}, g.Tension, g.Guide}
	signed := [4]gearing.Teeth{g.Cog, g.Ring, v.TensionTeeth, v.GuideTeeth} // radii add up where the spin changes
	for i, run := range runNames {
		j := (i + 1) % 4
		dx, dy := float64(at[j].X-at[i].X), float64(at[j].Y-at[i].Y)
		r := float64(signed[j].Radius() - signed[i].Radius())
		if i >= 2 {
			r = float64(signed[j].Radius() + signed[i].Radius())
		}
		within(t, run, b.length(run), math.Sqrt(dx*dx+dy*dy-r*r))
		length := b.length(run)
		if i < 2 { // the long runs lead aside too, which a side view does not show
			length = math.Hypot(length, aside)
		}
		total += length / pitch
	}
	total += g.OnRing.Teeth + g.OnCog.Teeth + g.OnGuide.Teeth + g.OnTension.Teeth
	if g.State.Runs() && !atLimit(g) {
		within(t, "a quarter of the whole path", total*pitch/4, float64(v.Advice.Pitches)*pitch/4)
	}
	for i, name := range []string{"cog", "ring", "tension pulley", "guide pulley"} {
		arc := b.parts["chain on "+name]
		in, out := b.parts[runNames[(i+3)%4]], b.parts[runNames[i]]
		for what, pair := range map[string][2]point{"starts": {arc[0], in[1]}, "ends": {arc[len(arc)-1], out[0]}} {
			p, q := b.at(pair[0]), b.at(pair[1])
			within(t, "the arc on the "+name+" "+what, math.Hypot(p.x-q.x, p.y-q.y), 0)
		}
	}
}

// Pins lie a pitch apart, on the runs and on the wheels, as far as a side view
// shows it: 25 mm aside on 427 mm, the largest here, are 0.02 mm a pitch.
func TestPins(t *testing.T) {
	for _, c := range rigCases {
		s := study(t, c.build)
		for i := range s.Advice.Gears {
			v, err := NewSideView(s, i)
			if err != nil {
				t.Fatal(err)
			}
			if !v.Fit.State.Runs() || v.Fit.LeftWheel() != "" || atLimit(&v.Fit) {
				continue
			}
			checkPins(t, c.name+" "+v.Fit.String(), v)
		}
	}
}

// atLimit tells a cage whose lower run touches the guide pulley: typical geometry
// may give it more take-up than its pose has, and the chain then is longer than
// the path.
func atLimit(g *sim.GearFit) bool { return g.RunRoom < 0.01 }

func checkPins(t *testing.T, name string, v SideView) {
	c := newChainPath(v.Build, &v.Fit, v.GuideTeeth, v.TensionTeeth)
	var pins []point
	c.walk(func(p point, _ int, _ float64) { pins = append(pins, p) })
	if len(pins) != v.Advice.Pitches {
		t.Errorf("%s: %d pins on %d pitches", name, len(pins), v.Advice.Pitches)
	}
	for i, p := range pins {
		q := pins[(i+1)%len(pins)]
		if d := math.Hypot(q.x-p.x, q.y-p.y); math.Abs(d-12.7) > 0.15 {
			t.Errorf("%s: pins %d and the next are %.2f mm apart", name, i, d)
		}
	}
}

// A gear without a path is drawn without a derailleur, and says so.
func TestSideViewWithoutPath(t *testing.T) {
	v := side(t, study(t, rigCases[0].build), 30, 21)
	v.Fit = sim.GearFit{GearID: v.Fit.GearID, NoPath: true}
	v = v.as(sim.Locks)
	n, pg, err := layout(v, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if p := n.problems(pg); len(p) > 0 {
		t.Error(strings.Join(p, "\n"))
	}
	all := strings.Join(n.texts, "\n")
	if !strings.Contains(all, "no chain path closes") || slices.Contains(n.texts, "guide pulley 11") || slices.Contains(n.texts, "guide pulley") {
		t.Error(all)
	}
}

func TestSideViewRefuses(t *testing.T) {
	good := side(t, study(t, rigCases[0].build), 30, 21)
	for name, spoil := range map[string]func(*SideView){
		"zero":         func(v *SideView) { *v = SideView{} },
		"no pulley":    func(v *SideView) { v.GuideTeeth = 0 },
		"no chainstay": func(v *SideView) { v.Build.Frame.Chainstay = 0 },
		"NaN":          func(v *SideView) { v.Fit.Guide.X = gearing.MM(math.NaN()) },
		"far":          func(v *SideView) { v.Hanger.Y = 1e9 },
		"on the axle":  func(v *SideView) { v.Fit.Guide = sim.Point{X: 0.5} },
		"huge reserve": func(v *SideView) { v.Fit.Forward = math.MaxFloat64 },
		"no advice":    func(v *SideView) { v.Advice = nil },
		"other state":  func(v *SideView) { v.Fit.State = sim.Hits },
		"other gear":   func(v *SideView) { v.Fit.Cog = 22 },
		"no error":     func(v *SideView) { v.Margin.Gap = gearing.MM(math.NaN()) },
	} {
		v := good
		spoil(&v)
		if err := WriteSVG(io.Discard, v, Options{}); err == nil {
			t.Errorf("%s: drawn", name)
		}
	}
}
