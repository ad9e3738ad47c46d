package report

import (
	"cmp"
	"math"

	"cagewise/gearing"
	"cagewise/plot"
	"cagewise/sim"
)

// viewData is what the page's script draws the side views from: places in mm
// from the rear axle, x forward and y up.
type viewData struct {
	Pitch  float64    `json:"pitch"` // of the chain, worn or not, mm
	Hanger [2]float64 `json:"hanger"`
	Gears  []gearData `json:"gears"`
}

// gearData is one gear. Words and figures are shown as they are.
type gearData struct {
	Name  string `json:"name"`
	State string `json:"state"`
	Alt   string `json:"alt"`
	// Wheels are cog, ring, tension and guide pulley, as the chain passes
	// them; Path is false when no chain goes round them.
	Wheels [4]wheelData `json:"wheels"`
	Path   bool         `json:"path"`
	Pivot  [2]float64   `json:"pivot"`
	// Missing and Over are what the chain lacks or has too much, mm.
	Missing float64  `json:"missing"`
	Over    float64  `json:"over"`
	Danger  bool     `json:"danger"`
	Figures []Figure `json:"figures"`
}

type wheelData struct {
	At    [2]float64 `json:"at"`
	R     float64    `json:"r"` // of the circle through the pins
	Root  float64    `json:"root"`
	Tip   float64    `json:"tip"`
	Teeth int        `json:"teeth"`
	Spin  int        `json:"spin"` // -1 clockwise, +1 counter-clockwise
	Wrap  float64    `json:"wrap"` // radians
}

func (v *Views) data() viewData {
	d := viewData{Gears: make([]gearData, len(v.Gears))}
	for i := range v.Gears {
		g := &v.Gears[i]
		d.Pitch, d.Hanger = short(pitchOf(&g.SideView)), place(g.Hanger)
		d.Gears[i] = g.data()
	}
	return d
}

func (v *View) data() gearData {
	f, stretch := &v.Fit, pitchOf(&v.SideView)/float64(gearing.Pitch)
	wheel := func(at [2]float64, n gearing.Teeth, spin int, w sim.Wrap) wheelData {
		return wheelData{
			At: at, Teeth: int(n), Spin: spin, R: short(float64(n.Radius()) * stretch), Wrap: round(max(0, w.Angle.Radians()), 1e5),
			Root: short(float64(gearing.RootDiameter(n, gearing.Pitch, gearing.RollerDiameter)) / 2), Tip: short(float64(n.TipRadius())),
		}
	}
	g := gearData{
		Name: f.String(), State: f.State.String(), Alt: v.Describe(), Path: !f.NoPath, Danger: f.State.Dangerous(), Pivot: place(f.Pivot), Figures: v.Figures,
		Wheels: [4]wheelData{
			wheel([2]float64{}, f.Cog, -1, f.OnCog), wheel(crank(v.Build.Frame), f.Ring, -1, f.OnRing),
			wheel(place(f.Tension), v.TensionTeeth, -1, f.OnTension), wheel(place(f.Guide), v.GuideTeeth, 1, f.OnGuide),
		},
	}
	switch f.State {
	case sim.Locks:
		g.Missing = short(max(0, -float64(f.Forward)) * pitchOf(&v.SideView))
	case sim.Slack:
		g.Over = short(max(0, -float64(f.Rearward)) * pitchOf(&v.SideView))
	}
	return g
}

func pitchOf(v *plot.SideView) float64 {
	return float64(gearing.Pitch) * (1 + float64(v.Build.Chain.Elongation)/100)
}

func crank(f gearing.Frame) [2]float64 {
	c, drop := float64(f.Chainstay), float64(f.BottomBracketDrop)
	return [2]float64{short(math.Sqrt(max(0, c*c-drop*drop))), short(-drop)}
}

func place(p sim.Point) [2]float64 { return [2]float64{short(float64(p.X)), short(float64(p.Y))} }

// short keeps a hundredth of a mm, which is finer than any screen.
func short(mm float64) float64 { return round(mm, 100) }

func round(x, per float64) float64 { return cmp.Or(math.Round(x*per)/per, 0) }

// viewRow is the gears of one ring.
type viewRow struct {
	Ring  gearing.Teeth
	Gears []viewGear
}

type viewGear struct {
	Index       int
	Cog         gearing.Teeth
	Name, State string
	Runs        bool
	Danger      bool
}

// rows are the buttons: the largest ring on top, the largest cog on the left.
func (v *Views) rows() []viewRow {
	var rows []viewRow
	for i := range v.Gears {
		f := &v.Gears[i].Fit
		if len(rows) == 0 || rows[0].Ring != f.Ring {
			rows = append([]viewRow{{Ring: f.Ring}}, rows...)
		}
		rows[0].Gears = append(rows[0].Gears, viewGear{i, f.Cog, f.String(), f.State.String(), f.State.Runs(), f.State.Dangerous()})
	}
	return rows
}
