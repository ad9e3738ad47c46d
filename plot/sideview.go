package plot

import (
	"fmt"
	"math"
	"strings"

	"cagewise/gearing"
	"cagewise/sim"
)

// SideView shows one gear from the drive side, true to scale: the wheels, the
// cage and the chain where the solver has put them. A chain that does not
// reach round is drawn open, one that is too long sags; the length and the sag
// of that run are for the eye.
type SideView struct {
	Build gearing.Build // its frame, wheel and chain are used
	Fit   sim.GearFit
	// Pitches is the chain's length; 0: not said.
	Pitches int
	Hanger  sim.Point // hanger bolt centre, mm from the rear axle
	// GuideTeeth and TensionTeeth are the pulleys.
	GuideTeeth, TensionTeeth gearing.Teeth
	// Knowledge is what the geometry rests on; RatingOnly: not said.
	Knowledge sim.Knowledge
	// Margin holds the standard errors of Fit's figures; nil: none are shown.
	Margin *sim.GearMargin
	Name   string // heading; empty: "Side view of" and the gear
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
		Knowledge: d.Knowledge,
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
	s := fmt.Sprintf("Side view of gear %s from the drive side, to scale: ring, cog, pulleys, cage and chain. %s; %s.",
		v.Fit.GearID, v.leadWords(), strings.Join(v.facts(), "; "))
	switch {
	case v.Fit.NoPath:
	case v.Fit.State == sim.Locks:
		s += " The lower run is drawn open, it does not reach."
	case v.Fit.State == sim.Slack:
		s += " The lower run is drawn hanging."
	}
	return s
}

// leadWords are the state in words.
func (v SideView) leadWords() string {
	g := &v.Fit
	s := fmt.Sprintf("%s is %s", g.GearID, g.State)
	if g.State == sim.Fouls || g.State == sim.Locks {
		s = fmt.Sprintf("%s %s", g.GearID, g.State)
	}
	if len(v.doubts()) > 0 {
		s += ", but doubtful"
	}
	return s
}

// Size is the default page in mm.
func (v SideView) Size() (wMM, hMM float64) { return 160, v.heightAt(160) }

// facts are what the view says in words.
func (v SideView) facts() []string {
	g := &v.Fit
	list := basis(v.Knowledge)
	if g.State != sim.Clear {
		list = append(list, g.Reason())
	}
	if d := v.doubts(); len(d) > 0 {
		list = append(list, "doubtful: "+strings.Join(d, " and ")+" within 2 standard errors of a bound")
	}
	if v.Pitches > 0 {
		list = append(list, fmt.Sprintf("chain of %d pitches", v.Pitches))
	}
	if g.NoPath {
		return list
	}
	var m sim.GearMargin
	if v.Margin != nil {
		m = *v.Margin
	}
	list = append(list,
		"pulley gap "+v.figure(float64(g.Gap), float64(m.Gap), 1)+" mm",
		fmt.Sprintf("forward reserve %s pitches to %s", v.figure(float64(g.Forward), float64(m.Forward), 2), g.ForwardLimit),
		fmt.Sprintf("rearward reserve %s pitches to %s", v.figure(float64(g.Rearward), float64(m.Rearward), 2), g.RearLimit),
	)
	if c := newChainPath(v.Build, g, v.GuideTeeth, v.TensionTeeth); !c.closed {
		list = append(list, "wheels overlap, so no chain is drawn")
	}
	if left := g.LeftWheel(); left != "" {
		list = append(list, "the chain has left the "+left)
	}
	return list
}

// figure is a value, with its standard error where there is one.
func (v SideView) figure(value, err float64, decimals int) string {
	if v.Margin == nil {
		return fixed(value, decimals)
	}
	return fixed(value, decimals) + " +- " + fixed(err, decimals)
}

// doubtErrors is how many standard errors from its bound a figure is doubtful.
const doubtErrors = 2

// doubts names the figures that could well lie on the other side of a bound and
// would then change the state. The gap of typical geometry is not among them:
// makers shape a derailleur so that its pulley follows the cogs, see
// sim.Margins.Danger.
func (v SideView) doubts() []string {
	g, m := &v.Fit, v.Margin
	if m == nil || g.NoPath {
		return nil
	}
	var list []string
	near := func(value, bound, err float64) bool { return math.Abs(value-bound) < doubtErrors*err }
	forward, err := float64(g.Forward), float64(m.Forward)
	if near(forward, sim.LeastReserve, err) || g.State >= sim.Overstretched && near(forward, 0, err) {
		list = append(list, "forward reserve")
	}
	if g.State <= sim.Fouls && v.Knowledge != sim.Typical && near(float64(g.Gap), sim.FoulGap, float64(m.Gap)) {
		list = append(list, "pulley gap")
	}
	if g.State <= sim.Slack && near(float64(g.Rearward), 0, float64(m.Rearward)) {
		list = append(list, "rearward reserve")
	}
	return list
}
