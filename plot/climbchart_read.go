package plot

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"cagewise/gearing"
	"cagewise/sim/road"
)

// facts are what the chart says in words: what decides it, as far as panels and
// legend do not tell, and the gears that are not there.
func (c ClimbChart) facts() []string {
	r := c.Climb.Rider
	list := []string{
		"Mass " + c.measured(r.MassKG, c.Units.Mass, c.Units.MassUnit()),
		fmt.Sprintf("rolling %s", plain(r.Crr)),
		"drag area " + c.areaWords(r.CdA),
	}
	list = append(list, c.unusual(r)...)
	list = append(list, fmt.Sprintf("least cadence %s rpm", plain(c.Climb.LeastCadence)))
	if len(c.LeftOut) > 0 {
		list = append(list, "left out as lost: "+someGears(c.LeftOut))
	}
	return list
}

// unusual are the values of a rider that need naming only where they are not
// the usual ones.
func (c ClimbChart) unusual(r road.Rider) []string {
	var list []string
	if r.WheelDragArea != 0 {
		list = append(list, "wheel drag area "+c.areaWords(r.WheelDragArea))
	}
	switch wind := road.KmH(r.Headwind); {
	case wind > 0:
		list = append(list, "headwind "+speedIn(c.Units, wind))
	case wind < 0:
		list = append(list, "headwind "+speedIn(c.Units, wind)+", from behind")
	}
	if r.AirDensity != road.DefaultDensity {
		list = append(list, "air density "+c.measured(r.AirDensity, c.Units.Density, strings.Replace(c.Units.DensityUnit(), "3", "³", 1)))
	}
	if r.Efficiency != road.DefaultEfficiency {
		list = append(list, fmt.Sprintf("efficiency %s", plain(r.Efficiency)))
	}
	return list
}

// measured writes a value with its unit: as it was given, or converted to three
// digits.
func (c ClimbChart) measured(v float64, convert func(float64) float64, unit string) string {
	if c.Units != gearing.Metric {
		v, _ = strconv.ParseFloat(strconv.FormatFloat(convert(v), 'g', 3, 64), 64)
	}
	return plain(v) + " " + unit
}

func (c ClimbChart) areaWords(m2 float64) string {
	return c.measured(m2, c.Units.Area, strings.Replace(c.Units.AreaUnit(), "2", "²", 1))
}

// mostListed is how many gears are listed before the rest are counted.
const mostListed = 8

func someGears(gears []gearing.GearID) string {
	names := make([]string, 0, mostListed+1)
	for i, g := range gears {
		if i == mostListed {
			return strings.Join(names, ", ") + fmt.Sprintf(" and %d more", len(gears)-mostListed)
		}
		names = append(names, g.String())
	}
	return strings.Join(names, ", ")
}

// Size is the default page in mm.
func (c ClimbChart) Size() (wMM, hMM float64) { return 160, c.heightAt(160) }

// heightAt implements follower.
func (c ClimbChart) heightAt(wMM float64) float64 {
	const page, panel, standing, perLine = 14.9, 17.9, 4.4, 62 // in lines, and letters
	runes := len([]rune(strings.Join(c.facts(), " · ")))
	lines := page + factLine*float64(runes/perLine)
	for k := range c.Climb.Powers {
		lines += panel
		if _, top := c.named(k); top > 0 {
			lines += standing + leadEach*float64(top)
		}
	}
	return allowed(lines * max(ladderText, ladderPerWidth*wMM))
}

// rings are the rings of the gears drawn, ascending.
func (c ClimbChart) rings() []gearing.Teeth {
	var list []gearing.Teeth
	for _, g := range c.Climb.Gears {
		if !slices.Contains(list, g.Ring) {
			list = append(list, g.Ring)
		}
	}
	slices.Sort(list)
	return list
}

// ringOf is the index of a gear's ring among the rings drawn.
func (c ClimbChart) ringOf(gear int) int {
	return slices.Index(c.rings(), c.Climb.Gears[gear].Ring)
}

// top is the greatest cadence shown, rpm: over the band, and every curve's end
// on the steepest grade.
func (c ClimbChart) top() float64 {
	most := 1.4 * c.CadenceHigh
	for _, g := range c.Climb.Gears {
		for _, row := range g.Cadences {
			most = max(most, 1.1*row[len(row)-1])
		}
	}
	return most
}

// comesDown tells whether a gear's curve comes in through the top of panel k.
func (c ClimbChart) comesDown(k, gear int) bool {
	return c.Climb.Gears[gear].Cadences[k][0] > c.top()
}

// named are the numbers of gears named beside the left edge of panel k and over
// its top one.
func (c ClimbChart) named(k int) (left, top int) {
	for gear := range c.Climb.Gears {
		if c.comesDown(k, gear) {
			top++
		} else {
			left++
		}
	}
	return left, top
}

// mostNamed are the most of any panel.
func (c ClimbChart) mostNamed() (left, top int) {
	for k := range c.Climb.Powers {
		l, t := c.named(k)
		left, top = max(left, l), max(top, t)
	}
	return left, top
}

// entrance is where a gear's curve comes onto panel k.
func (c ClimbChart) entrance(k, gear int) (grade, rpm float64) {
	row, grades, top := c.Climb.Gears[gear].Cadences[k], c.Climb.Grades, c.top()
	i := slices.IndexFunc(row, func(v float64) bool { return v <= top })
	if i == 0 {
		return grades[0], row[0]
	}
	share := (row[i-1] - top) / (row[i-1] - row[i])
	return grades[i-1] + share*(grades[i]-grades[i-1]), top
}

// held tells whether the steepest grade a gear holds is on panel k.
func (c ClimbChart) held(k, gear int) bool {
	grade, grades := c.Climb.Gears[gear].Steepest[k], c.Climb.Grades
	return grade >= grades[0] && grade <= grades[len(grades)-1] && c.Climb.LeastCadence <= c.top()
}

// never tells whether a gear is under the least cadence on every grade of
// panel k.
func (c ClimbChart) never(k, gear int) bool {
	return c.Climb.Gears[gear].Steepest[k] < c.Climb.Grades[0]
}

// anyGear tells whether something is so of a gear on any panel.
func (c ClimbChart) anyGear(is func(k, gear int) bool) bool { return len(c.ringsWhere(is)) > 0 }

// ringsWhere are the indices of the rings with a gear of which something is so
// on any panel.
func (c ClimbChart) ringsWhere(is func(k, gear int) bool) []int {
	var list []int
	for gear := range c.Climb.Gears {
		ring := c.ringOf(gear)
		for k := range c.Climb.Powers {
			if !slices.Contains(list, ring) && is(k, gear) {
				list = append(list, ring)
			}
		}
	}
	slices.Sort(list)
	return list
}

// between reads a row of values over the grades at any grade between.
func between(grades, row []float64, grade float64) float64 {
	i, _ := slices.BinarySearch(grades, grade)
	i = min(max(i, 1), len(grades)-1)
	share := (grade - grades[i-1]) / (grades[i] - grades[i-1])
	return row[i-1] + share*(row[i]-row[i-1])
}

func percentWords(grade float64) string {
	if math.IsInf(grade, 1) {
		return "any grade"
	}
	return fixed(100*grade, 1) + " %"
}
