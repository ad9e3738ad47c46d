package plot

import (
	"fmt"
	"image/color"
	"strings"

	"cagewise/gearing"
	"cagewise/sim"
)

// backed writes a text on a ground of its own, so that no line runs through
// it.
func (s *sheet) backed(at point, text string, st textStyle, ground color.Color) {
	if text == "" {
		return
	}
	w, half := s.textWidth(text, st), 0.56*st.size
	x := at.x - st.align.shift(w)
	s.fillRect(rect{x - 0.2*st.size, at.y - half, x + w + 0.2*st.size, at.y + half}, ground)
	s.text(at, text, st)
}

// ground is the colour of a panel.
func (t Theme) ground() color.NRGBA { return t.tint(t.Muted, 0.07) }

// gearFacts are the figures of one build's gears and chain.
func gearFacts(o *sim.Option) []string {
	return []string{
		fmt.Sprintf("range %s %%", fixed(float64(o.Table.Range), 0)),
		fmt.Sprintf("%d of %s useful", o.Useful, count(len(o.Table.Gears), "gear")),
		chainWords(o),
	}
}

// basis is the depth of knowledge that all builds are judged by; ok is false
// when they are judged by different ones.
func (c Comparison) basis() (k sim.Knowledge, ok bool) {
	for i, o := range c.Compared.Options {
		if i == 0 {
			k = o.Knowledge
		}
		if o.Knowledge != k {
			return k, false
		}
	}
	return k, len(c.Compared.Options) > 0
}

// basisFacts tell what all verdicts rest on, or warn of those that rest on
// little.
func (c Comparison) basisFacts() []string {
	k, same := c.basis()
	switch {
	case same && k == sim.Typical:
		return []string{"judged by " + typicalWords}
	case same:
		return []string{"judged by " + k.String()}
	case c.any(func(o *sim.Option) bool { return o.Knowledge == sim.Typical || o.Knowledge == sim.FromRating }):
		return []string{"typical geometry is not your derailleur's"}
	}
	return nil
}

// rideFacts tell whether a build works and how it cruises.
func (c Comparison) rideFacts(o *sim.Option) []string {
	list := []string{verdictWords(o)}
	if _, ok := c.basis(); !ok {
		list[0] += " by " + o.Knowledge.String()
	}
	if o.Cruise.Ring == 0 {
		return append(list, "no gear to cruise in")
	}
	list = append(list, fmt.Sprintf("cruises in %s at %s rpm", o.Cruise.GearID, fixed(o.Cruise.Cadence, 0)))
	if holes := c.holeWords(o); len(holes) > 0 {
		list = append(list, "hole "+strings.Join(holes, ", "))
	}
	return list
}

// verdictWords are the verdict with the number of lost gears, and its chance.
func verdictWords(o *sim.Option) string {
	s := o.Verdict.String()
	if n := len(o.LostIDs); n > 0 && o.Verdict.Yes() {
		s += " without " + count(n, "gear")
	} else if n > 0 {
		s += fmt.Sprintf(", %d lost", n)
	}
	if o.Advice.Judged {
		s += ", chance " + percent(o.Advice.Chance)
	}
	return s
}

// holeWords tell the holes beside the cruising gear.
func (c Comparison) holeWords(o *sim.Option) []string {
	var list []string
	for _, pair := range c.holes(o) {
		step, side := o.Cruise.Up, "above"
		if pair[1] == cruiseGear(o) {
			step, side = o.Cruise.Down, "below"
		}
		list = append(list, fmt.Sprintf("%s %s %%", side, fixed(float64(step), 1)))
	}
	return list
}

// chainWords tell the chain of a build and whether today's can stay.
func chainWords(o *sim.Option) string {
	s := fmt.Sprintf("chain %d pitches", o.Chain)
	switch {
	case o.Chain == 0:
		return "no chain closes it"
	case o.Today == 0:
		return s
	case o.Stays:
		return s + fmt.Sprintf(" (today's %d stays)", o.Today)
	case o.Kept.Order != sim.Replace:
		return s + fmt.Sprintf(" (today's %d too long)", o.Today)
	}
	return s + fmt.Sprintf(" (today's %d too short)", o.Today)
}

// keepFacts name the gears that are or may be dangerous, are tight, or in doubt,
// and the chance of danger where that is no noise.
func keepFacts(o *sim.Option, names func([]gearing.GearID) string) []string {
	var list []string
	if a := &o.Advice; a.Judged && a.Danger.Any >= sim.LostChance {
		list = append(list, fmt.Sprintf("danger with %d pitches %s", a.Pitches, percent(a.Danger.Any)))
	}
	for _, kind := range [...]struct {
		words string
		is    func(g *sim.GearAdvice) bool
	}{
		{"dangerous", func(g *sim.GearAdvice) bool { return g.State.Dangerous() }},
		{"may be dangerous", func(g *sim.GearAdvice) bool { return !g.State.Dangerous() && g.Danger.Any >= sim.LostChance }},
		{"tight", func(g *sim.GearAdvice) bool { return g.State == sim.Tight }},
		{"in doubt", func(g *sim.GearAdvice) bool { return g.Doubt }},
	} {
		var gears []gearing.GearID
		for i := range o.Advice.Gears {
			if g := &o.Advice.Gears[i]; kind.is(g) {
				gears = append(gears, g.GearID)
			}
		}
		if len(gears) > 0 {
			list = append(list, kind.words+": "+names(gears))
		}
	}
	return list
}
