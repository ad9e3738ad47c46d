package plot

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/gearing"
	"cagewise/sim"
)

// ContactSheet shows the cage in every gear at one scale: a row for each ring,
// the largest on top, a column for each cog, the largest on the left. On a
// narrow page a row goes on in the next line.
type ContactSheet struct {
	Build gearing.Build // its frame and chain are used
	Fits  []sim.GearFit // ring by ring from the smallest, each from the largest cog
	// Advice is the judgement of the build with this chain.
	Advice *sim.Advice
	// GuideTeeth and TensionTeeth are the pulleys.
	GuideTeeth, TensionTeeth gearing.Teeth
	Name                     string // heading; empty: "The cage in every gear"
}

// NewContactSheet is the contact sheet of a study with the chain that it judges.
// One without an answer has no gears to draw, and the sheet is refused when it is
// written.
func NewContactSheet(s *sim.Study) ContactSheet {
	c := ContactSheet{Build: s.Build, Advice: &s.Advice}
	if s.Answer != nil {
		c.Fits = s.Answer.Fit.Gears
		c.GuideTeeth, c.TensionTeeth = s.Rig.Derailleur.GuideTeeth, s.Rig.Derailleur.TensionTeeth
	}
	return c
}

// Title is the heading.
func (c ContactSheet) Title() string {
	if strings.TrimSpace(c.Name) == "" {
		return "The cage in every gear"
	}
	return c.Name
}

// Describe says what the sheet shows.
func (c ContactSheet) Describe() string {
	return fmt.Sprintf("Cog, pulleys, cage and chain of %s at one scale, seen from the drive side. %s.%s",
		count(len(c.Fits), "gear"), strings.Join(c.facts(), "; "), judgement{c.Advice}.listing())
}

func (c ContactSheet) facts() []string {
	j := judgement{c.Advice}
	if !j.given() {
		return nil
	}
	return slices.Concat(basis(j.Knowledge), j.facts(), []string{j.withChain()}, j.gearFacts(), []string{"pulley gap in mm"})
}

// Size is the default page in mm: so wide that a row of gears is one line, as
// far as a printer's page allows.
func (c ContactSheet) Size() (wMM, hMM float64) {
	wide := min(max(22*float64(c.columns())+8, 130), 290)
	return wide, c.heightAt(wide)
}

// columns is the number of gears of one ring.
func (c ContactSheet) columns() int { return columnsOf(c.Fits) }

func (c ContactSheet) rings() int { return ringsOf(c.Fits) }

// columnsOf is the number of gears of one ring, ringsOf that of the rings.
func columnsOf(gears []sim.GearFit) int {
	n := 0
	for n < len(gears) && gears[n].Ring == gears[0].Ring {
		n++
	}
	return n
}

func ringsOf(gears []sim.GearFit) int { return len(gears) / max(1, columnsOf(gears)) }

func (c ContactSheet) check() error {
	if err := checkGears("contact sheet", c.Fits); err != nil {
		return err
	}
	if err := checkBuild("contact sheet", c.Build, c.GuideTeeth, c.TensionTeeth); err != nil {
		return err
	}
	for i := range c.Fits {
		if err := checkGear("contact sheet", &c.Fits[i]); err != nil {
			return err
		}
	}
	return judgement{c.Advice}.checkFits("contact sheet", c.Fits)
}

// checkGears wants rows of one ring each and of one length.
func checkGears(what string, gears []sim.GearFit) error {
	if len(gears) == 0 {
		return fmt.Errorf("%s: %w", what, errNoGears)
	}
	n := columnsOf(gears)
	if n > gearing.MaxCogs || len(gears)%n != 0 || len(gears)/n > gearing.MaxRings {
		return fmt.Errorf("%s: %d gears in rows of %d; allowed whole rows, at most %d of %d", what, len(gears), n, gearing.MaxRings, gearing.MaxCogs)
	}
	for i := range gears {
		if gears[i].Ring != gears[i/n*n].Ring {
			return fmt.Errorf("%s: %s is not of ring %d", what, gears[i].GearID, gears[i/n*n].Ring)
		}
	}
	return nil
}

// tileBox is what every tile shows, mm from the rear axle.
func (c ContactSheet) tileBox() rect {
	var pts []point
	for i := range c.Fits {
		g := &c.Fits[i]
		pts = append(pts, turned(point{}, float64(g.Cog.TipRadius())+3, 0, 4)...)
		if g.NoPath {
			continue
		}
		pts = append(pts, turned(simPoint(g.Pivot), plateAtPivot, 0, 4)...)
		pts = append(pts, turned(simPoint(g.Guide), float64(c.GuideTeeth.TipRadius())+3, 0, 4)...)
		pts = append(pts, turned(simPoint(g.Tension), float64(c.TensionTeeth.TipRadius())+3, 0, 4)...)
	}
	if len(pts) == 0 {
		return rect{0, 0, 1, 1}
	}
	return around(pts).grown(4)
}
