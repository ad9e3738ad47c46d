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
	// GuideTeeth and TensionTeeth are the pulleys.
	GuideTeeth, TensionTeeth gearing.Teeth
	Pitches                  int           // of the chain; 0: not said
	Knowledge                sim.Knowledge // what the geometry rests on; RatingOnly: not said
	Name                     string        // heading; empty: "The cage in every gear"
}

// NewContactSheet is the contact sheet of a fit with the pulleys of its rig.
func NewContactSheet(r *sim.Rig, f sim.Fit) ContactSheet {
	return ContactSheet{
		Build: r.Build, Fits: f.Gears, Pitches: f.Pitches,
		GuideTeeth: r.Derailleur.GuideTeeth, TensionTeeth: r.Derailleur.TensionTeeth,
		Knowledge: r.Derailleur.Knowledge,
	}
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
	s := fmt.Sprintf("Cog, pulleys, cage and chain of %s at one scale, seen from the drive side. %s.",
		count(len(c.Fits), "gear"), strings.Join(c.facts(), "; "))
	if list := failing(c.Fits); len(list) > 0 {
		s += " Failing: " + strings.Join(list, ", ") + "."
	}
	return s
}

func (c ContactSheet) facts() []string {
	return slices.Concat(basis(c.Knowledge), stateFacts(c.Fits, c.Pitches), []string{"pulley gap in mm"})
}

// stateFacts count the gears by state.
func stateFacts(gears []sim.GearFit, pitches int) []string {
	var list []string
	if pitches > 0 {
		list = append(list, fmt.Sprintf("chain of %d pitches", pitches))
	}
	for st := sim.Clear; st <= sim.Locks; st++ {
		n := sim.Fit{Gears: gears}.Count(st)
		if n > 0 {
			list = append(list, fmt.Sprintf("%d %s", n, st))
		}
	}
	return list
}

// Size is the default page in mm: so wide that a row of gears is one line, as
// far as a printer's page allows.
func (c ContactSheet) Size() (wMM, hMM float64) {
	wide := min(max(22*float64(c.columns())+8, 130), 290)
	return wide, c.heightAt(wide)
}

// columns is the number of gears of one ring.
func (c ContactSheet) columns() int {
	n := 0
	for n < len(c.Fits) && c.Fits[n].Ring == c.Fits[0].Ring {
		n++
	}
	return n
}

func (c ContactSheet) rings() int { return len(c.Fits) / max(1, c.columns()) }

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
	return nil
}

// checkGears wants rows of one ring each and of one length.
func checkGears(what string, gears []sim.GearFit) error {
	if len(gears) == 0 {
		return fmt.Errorf("%s: %w", what, errNoGears)
	}
	n := ContactSheet{Fits: gears}.columns()
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
