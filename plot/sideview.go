package plot

import (
	"fmt"
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
	// Margin holds the standard errors of Fit's figures.
	Margin sim.GearMargin
	// Advice is the judgement of the build; it says what the gear is, whether
	// that is in doubt, and what to do with the chain.
	Advice *sim.Advice
	Hanger sim.Point // hanger bolt centre, mm from the rear axle
	// GuideTeeth and TensionTeeth are the pulleys.
	GuideTeeth, TensionTeeth gearing.Teeth
	Name                     string // heading; empty: "Side view of" and the gear
}

// NewSideView is the side view of a gear of a study, an index into its table,
// with the chain that the study judges.
func NewSideView(s *sim.Study, gear int) (SideView, error) {
	a := s.Answer
	if a == nil {
		return SideView{}, fmt.Errorf("side view: %w", noAnswer(s))
	}
	if gear < 0 || gear >= len(a.Fit.Gears) {
		return SideView{}, fmt.Errorf("side view: gear %d of %d", gear, len(a.Fit.Gears))
	}
	d := &s.Rig.Derailleur
	return SideView{
		Build: s.Build, Fit: a.Fit.Gears[gear], Margin: a.Margins[gear], Advice: &s.Advice,
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
	s := fmt.Sprintf("Side view of gear %s from the drive side, to scale: ring, cog, pulleys, cage and chain. %s; %s.",
		v.Fit.GearID, v.told().sentence(), strings.Join(v.facts(), "; "))
	switch {
	case v.Fit.NoPath:
	case v.Fit.State == sim.Locks:
		s += " The lower run is drawn open, it does not reach."
	case v.Fit.State == sim.Slack:
		s += " The lower run is drawn hanging."
	}
	return s
}

// told is what the judgement says of the gear.
func (v SideView) told() told {
	t, ok := judgement{v.Advice}.find(v.Fit.GearID)
	if !ok { // refused by check
		return told{GearID: v.Fit.GearID, state: v.Fit.State}
	}
	return t
}

// Size is the default page in mm.
func (v SideView) Size() (wMM, hMM float64) { return 160, v.heightAt(160) }

// facts are what the view says in words.
func (v SideView) facts() []string {
	g, j := &v.Fit, judgement{v.Advice}
	var list []string
	if j.given() {
		list = basis(j.Knowledge)
	}
	if g.State != sim.Clear {
		list = append(list, g.Reason())
	}
	list = append(list, j.facts()...)
	if j.given() && j.Length != j.Pitches {
		list = append(list, fmt.Sprintf("shown with a chain of %d pitches", j.Pitches))
	}
	if left := v.told().left; left != "" {
		list = append(list, leftWords(left))
	}
	if g.NoPath {
		return list
	}
	m := &v.Margin
	list = append(list,
		"pulley gap "+figure(float64(g.Gap), float64(m.Gap), 1)+" mm",
		fmt.Sprintf("forward reserve %s pitches to %s", figure(float64(g.Forward), float64(m.Forward), 2), g.ForwardLimit),
		fmt.Sprintf("rearward reserve %s pitches to %s", figure(float64(g.Rearward), float64(m.Rearward), 2), g.RearLimit),
	)
	if c := newChainPath(v.Build, g, v.GuideTeeth, v.TensionTeeth); !c.closed {
		list = append(list, "wheels overlap, so no chain is drawn")
	}
	return list
}

// figure is a value with its standard error.
func figure(value, err float64, decimals int) string {
	return fixed(value, decimals) + " +- " + fixed(err, decimals)
}
