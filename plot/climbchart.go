package plot

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/gearing"
	"cagewise/sim/road"
)

// ClimbChart shows the cadence in the lowest gears over the grade: a panel for
// each power, in it a curve for each gear, the comfortable cadence as a band,
// the steepest grade each gear holds at the least cadence as a mark, and the
// grades on which the speed is under road.BalanceKmH hatched. A gear is named
// where its curve comes in, on the left or on top, as there the curves are
// farthest apart. Under each panel stands the speed, which does not depend on
// the gear.
type ClimbChart struct {
	Climb road.Climb // its grades rise; 1 to 12 gears
	// LeftOut are the lost gears that are as low as those drawn; the heading
	// names them.
	LeftOut []gearing.GearID
	// CadenceLow and CadenceHigh are the ends of the comfortable band, crank
	// turns a minute.
	CadenceLow, CadenceHigh float64
	// BalanceGrades are the grades, rise over run, beyond which the speed is
	// under road.BalanceKmH: one a power; +Inf: none.
	BalanceGrades []float64
	Name          string // heading; empty: "Cadence on the hill"
	// Units are those of speeds, masses and developments; metric, when not said.
	Units gearing.Units
}

// MostClimbGears bounds the gears of a climb chart: more curves cannot be
// told apart.
const MostClimbGears = 12

// NewClimbChart is the chart of a climb with the grades at which balance ends.
// Low and high are the ends of the comfortable cadence, crank turns a minute.
func NewClimbChart(c road.Climb, low, high float64) ClimbChart {
	chart := ClimbChart{Climb: c, CadenceLow: low, CadenceHigh: high}
	for _, p := range c.Powers {
		chart.BalanceGrades = append(chart.BalanceGrades, c.Rider.Grade(p, road.BalanceKmH/3.6))
	}
	return chart
}

// Title is the heading.
func (c ClimbChart) Title() string {
	if strings.TrimSpace(c.Name) == "" {
		return "Cadence on the hill"
	}
	return c.Name
}

// Describe says what the chart shows.
func (c ClimbChart) Describe() string {
	s := fmt.Sprintf("Cadence over grade in %s. %s.", count(len(c.Climb.Gears), "gear"), strings.Join(c.facts(), "; "))
	for k, p := range c.Climb.Powers {
		s += fmt.Sprintf(" %s W: %s.", plain(p), c.hillWords(k))
		for _, g := range c.Climb.Gears {
			s += fmt.Sprintf(" %s holds %s.", g.GearID, percentWords(g.Steepest[k]))
		}
	}
	return s
}

// hillWords say what the steepest grade asks for at power k.
func (c ClimbChart) hillWords(k int) string {
	w, grades := c.Climb.Wanted[k], c.Climb.Grades
	s := plain(100*grades[len(grades)-1]) + " % "
	switch wants := s + "wants " + developmentIn(c.Units, gearing.Metres(w.Development)) + " or less: "; {
	case w.TooSlow:
		return s + "is under balancing speed in any gear"
	case w.Have:
		return wants + c.Climb.Gears[0].String() + " has it"
	default:
		return wants + "no gear is so low"
	}
}

func (c ClimbChart) check() error {
	k := c.Climb
	switch n := len(k.Gears); {
	case n == 0 || n > MostClimbGears:
		return fmt.Errorf("climb chart: %d gears; allowed 1 to %d", n, MostClimbGears)
	case len(k.Powers) == 0 || len(k.Powers) > 4:
		return fmt.Errorf("climb chart: %d powers; allowed 1 to 4", len(k.Powers))
	case len(k.Speeds) != len(k.Powers) || len(k.Wanted) != len(k.Powers) || len(c.BalanceGrades) != len(k.Powers):
		return fmt.Errorf("climb chart: not every power is computed; make the climb with road.NewClimb and the chart with NewClimbChart")
	case !(c.CadenceLow > 0 && c.CadenceLow < c.CadenceHigh && c.CadenceHigh <= 300):
		return fmt.Errorf("climb chart: a comfortable cadence of %v to %v rpm; allowed rising, over 0 to 300", c.CadenceLow, c.CadenceHigh)
	case !(k.LeastCadence > 0 && k.LeastCadence <= 300):
		return fmt.Errorf("climb chart: a least cadence of %v rpm; allowed over 0 to 300", k.LeastCadence)
	}
	if err := c.checkGrades(); err != nil {
		return err
	}
	return c.checkRows()
}

func (c ClimbChart) checkGrades() error {
	grades := c.Climb.Grades
	if len(grades) < 2 {
		return fmt.Errorf("climb chart: %d grades; allowed 2 or more", len(grades))
	}
	for i, g := range grades {
		if !finite(g) || i > 0 && !(g > grades[i-1]) {
			return fmt.Errorf("climb chart: grades that do not rise: %v", grades)
		}
	}
	if span := grades[len(grades)-1] - grades[0]; span < 1e-4 || span > 10 {
		return fmt.Errorf("climb chart: grades over a span of %v", span)
	}
	return nil
}

// mostRPM is the greatest cadence a climb chart reads.
const mostRPM = 1e5

// checkRows holds speeds and cadences against what can be drawn.
func (c ClimbChart) checkRows() error {
	rows := slices.Clone(c.Climb.Speeds)
	for _, g := range c.Climb.Gears {
		if len(g.Cadences) != len(c.Climb.Powers) || len(g.Steepest) != len(c.Climb.Powers) {
			return fmt.Errorf("climb chart: %s is not computed for every power", g.GearID)
		}
		rows = append(rows, g.Cadences...)
	}
	for _, row := range rows {
		if len(row) != len(c.Climb.Grades) {
			return fmt.Errorf("climb chart: %d values for %d grades", len(row), len(c.Climb.Grades))
		}
		for _, v := range row {
			if !(v >= 0 && v <= mostRPM) {
				return fmt.Errorf("climb chart: a speed or cadence of %v", v)
			}
		}
	}
	return nil
}
