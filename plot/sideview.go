package plot

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"strings"

	"cagewise/gearing"
	"cagewise/sim"
)

// SideView shows one gear from the drive side, true to scale: the wheels, the
// cage and the chain where the solver has put them.
type SideView struct {
	Build gearing.Build // its frame, wheel and chain are used
	Fit   sim.GearFit
	// Pitches is the chain's length; 0: not said.
	Pitches int
	Hanger  sim.Point // hanger bolt centre, mm from the rear axle
	// GuideTeeth and TensionTeeth are the pulleys.
	GuideTeeth, TensionTeeth gearing.Teeth
	Name                     string // heading; empty: "Side view of" and the gear
}

// NewSideView is the side view of gear i of a fit with the pulleys and the
// hanger of its rig.
func NewSideView(r *sim.Rig, f sim.Fit, i int) (SideView, error) {
	if i < 0 || i >= len(f.Gears) {
		return SideView{}, fmt.Errorf("side view: gear %d of %d", i, len(f.Gears))
	}
	d := r.Derailleur
	return SideView{
		Build: r.Build, Fit: f.Gears[i], Pitches: f.Pitches,
		Hanger: d.Hanger, GuideTeeth: d.GuideTeeth, TensionTeeth: d.TensionTeeth,
	}, nil
}

// Title is the heading.
func (v SideView) Title() string {
	if strings.TrimSpace(v.Name) == "" {
		return "Side view of " + v.Fit.String()
	}
	return v.Name
}

// Describe says what the view shows.
func (v SideView) Describe() string {
	return fmt.Sprintf("Side view of gear %s from the drive side, to scale: ring, cog, pulleys, cage and chain. The gear is %s; %s.",
		v.Fit.GearID, v.Fit.State, strings.Join(v.facts(), "; "))
}

// Size is the default page in mm.
func (v SideView) Size() (wMM, hMM float64) { return 160, 145 }

// facts are what the view says in words.
func (v SideView) facts() []string {
	g := &v.Fit
	var list []string
	if g.State != sim.Clear {
		list = append(list, g.Reason())
	}
	if v.Pitches > 0 {
		list = append(list, fmt.Sprintf("chain of %d pitches", v.Pitches))
	}
	if g.NoPath {
		return list
	}
	list = append(list,
		fmt.Sprintf("pulley gap %s mm", fixed(float64(g.Gap), 1)),
		fmt.Sprintf("forward reserve %s pitches to %s", fixed(float64(g.Forward), 2), g.ForwardLimit),
		fmt.Sprintf("rearward reserve %s pitches to %s", fixed(float64(g.Rearward), 2), g.RearLimit),
	)
	if c := newChainPath(v.Build, g, v.GuideTeeth, v.TensionTeeth); !c.closed {
		list = append(list, "wheels overlap, so no chain is drawn")
	}
	if left := g.LeftWheel(); left != "" {
		list = append(list, "the chain has left the "+left)
	}
	return list
}

// mostAway is how far from the rear axle a side view draws, in mm: far outside
// any bicycle.
const mostAway = 3000.0

// leastAway is how near to the rear axle a guide pulley may be, in mm; nearer,
// the direction of the pulley gap is lost.
const leastAway = 1.0

func (v SideView) check() error {
	if err := checkBuild("side view", v.Build, v.GuideTeeth, v.TensionTeeth); err != nil {
		return err
	}
	if err := checkPlace("hanger bolt", v.Hanger); err != nil {
		return fmt.Errorf("side view: %w", err)
	}
	return checkGear("side view", &v.Fit)
}

// checkBuild refuses what no side of a bicycle can be drawn from.
func checkBuild(what string, b gearing.Build, guide, tension gearing.Teeth) error {
	for _, n := range []gearing.Teeth{guide, tension} {
		if !drawable(n) {
			return fmt.Errorf("%s: a pulley of %d teeth; allowed 3 to %d", what, n, gearing.MaxTeeth)
		}
	}
	c := crankCentre(b.Frame)
	if !(c.x > 0 && math.Hypot(c.x, c.y) < mostAway) {
		return fmt.Errorf("%s: chainstay of %v mm and drop of %v mm", what, b.Frame.Chainstay, b.Frame.BottomBracketDrop)
	}
	return nil
}

func drawable(n gearing.Teeth) bool { return n >= 3 && n <= gearing.MaxTeeth }

func checkPlace(what string, p sim.Point) error {
	if !(math.Hypot(float64(p.X), float64(p.Y)) < mostAway) {
		return fmt.Errorf("%s at %v, %v mm from the axle", what, p.X, p.Y)
	}
	return nil
}

// checkGear refuses a gear that cannot be drawn.
func checkGear(what string, g *sim.GearFit) error {
	if !drawable(g.Ring) || !drawable(g.Cog) {
		return fmt.Errorf("%s: gear %s; allowed 3 to %d teeth", what, g.GearID, gearing.MaxTeeth)
	}
	if err := cmp.Or(checkPlace("cage pivot", g.Pivot), checkPlace("guide pulley", g.Guide), checkPlace("tension pulley", g.Tension)); err != nil {
		return fmt.Errorf("%s: %s: %w", what, g.GearID, err)
	}
	if !finite(float64(g.Forward), float64(g.Rearward), float64(g.Gap)) {
		return fmt.Errorf("%s: %s has no finite figures", what, g.GearID)
	}
	if !g.NoPath && math.Hypot(float64(g.Guide.X), float64(g.Guide.Y)) < leastAway {
		return fmt.Errorf("%s: %s: the guide pulley is on the rear axle", what, g.GearID)
	}
	return nil
}

// finite tells whether all values are numbers of a sane size.
func finite(values ...float64) bool {
	for _, v := range values {
		if !(math.Abs(v) < 1e6) {
			return false
		}
	}
	return true
}

var errNoGears = errors.New("no gears; make them with sim.Rig.Fit")

// sideLayout is where everything of one side view stands.
type sideLayout struct {
	SideView
	s        *sheet
	size     float64 // of the text, mm
	head     heading
	chain    chainPath
	area     rect // what the drawing may take
	view     view
	ground   float64 // of the ground line on the page, mm
	broken   bool    // the ground is drawn nearer than it is
	grounded bool    // there is a ground line
	callouts []callout
	placed   bool // every callout has a good place
}

// place takes the largest text with which every name finds room, if that is
// not much smaller than the first.
func (v SideView) place(s *sheet) *sideLayout {
	first := chartText(s)
	var y *sideLayout
	shrunk(first, func(size float64) bool {
		y = &sideLayout{SideView: v, s: s, size: size}
		y.placeAll(size > 0.7*first)
		return y.fits()
	})
	return y
}

func (y *sideLayout) fits() bool {
	return y.placed && y.head.fits(y.s) && y.area.height() >= 0.55*y.s.h
}

func (y *sideLayout) placeAll(strict bool) {
	y.chain = newChainPath(y.Build, &y.Fit, y.GuideTeeth, y.TensionTeeth)
	y.head = y.s.heading(y.Title(), y.facts(), y.size)
	y.head.lead = &lead{y.Fit.State, fmt.Sprintf("%s is %s", y.Fit.GearID, y.Fit.State)}
	if y.Fit.State == sim.Fouls || y.Fit.State == sim.Locks {
		y.head.lead.text = fmt.Sprintf("%s %s", y.Fit.GearID, y.Fit.State)
	}
	margin := chartMargin * y.size
	y.area = rect{margin, margin, y.s.w - margin, y.s.h - y.head.height() - 0.4*y.size}
	if y.area.height() < 4*y.size {
		return // more than the heading has to fit
	}
	y.placeView()
	y.placeCallouts(strict)
}

// bikeBox is what has to be on the page, in mm from the rear axle.
func (y *sideLayout) bikeBox() rect {
	pts := []point{simPoint(y.Hanger)}
	for i := range y.chain.wheels {
		w := &y.chain.wheels[i]
		if y.Fit.NoPath && (i == onTension || i == onGuide) {
			continue
		}
		pts = append(pts, turned(w.at, float64(w.teeth.TipRadius())+2, 0, 4)...)
	}
	if !y.Fit.NoPath {
		pts = append(pts, cagePlate(&y.Fit, 32)...)
	}
	return around(pts)
}
