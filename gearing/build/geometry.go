package build

import (
	"fmt"

	"cagewise/gearing"
)

// impossible refuses a geometry that no derailleur can have, at the key that
// has to change.
func (d *Draft) impossible(b gearing.Build) Problems {
	g := b.Rear.Geometry
	var problems Problems
	add := func(key, format string, args ...any) {
		problems = append(problems, Problem{d.where(geometrySection + "." + key), fmt.Sprintf(format, args...)})
	}
	guide, tension, centres := g.PivotToGuide, g.PivotToTension, b.Rear.PulleyCentres
	if guide > 0 && tension > 0 && centres > 0 && (guide+tension < centres || guide+centres < tension || tension+centres < guide) {
		low, high := max(centres-guide, guide-centres), centres+guide
		add("pivot_to_tension", "a triangle of pivot_to_guide %s, pivot_to_tension %s and pulley_centres %s mm cannot close; allowed: pivot_to_tension from %s to %s mm",
			trim(float64(guide)), trim(float64(tension)), trim(float64(centres)), trim(float64(low)), trim(float64(high)))
	}
	if forward := geometrySection + ".cage_stop_forward"; d.gave(forward) && g.CageStopForward == 0 {
		add("cage_stop_forward", "0 degrees counts as not read; write 0.1 instead")
	}
	if g.CageStopRear != 0 && g.CageStopForward != 0 && g.CageStopRear >= g.CageStopForward {
		add("cage_stop_rear", "the rear stop at %s degrees is not rearward of the forward stop at %s; allowed: cage_stop_rear under cage_stop_forward",
			trim(float64(g.CageStopRear)), trim(float64(g.CageStopForward)))
	}
	return problems
}

// oddGeometry warns about measures that are likely mixed up.
func (d *Draft) oddGeometry(b gearing.Build) Problems {
	g := b.Rear.Geometry
	var problems Problems
	if g.PivotSmallY != 0 && g.PivotLargeY != 0 && g.PivotLargeY > g.PivotSmallY && len(b.Cogs) > 1 {
		problems = append(problems, Problem{d.where(geometrySection + ".pivot_large_y"),
			"the cage pivot stands higher on the largest cog than on the smallest; are the two mixed up?"})
	}
	if swing := g.CageStopForward - g.CageStopRear; g.CageStopRear != 0 && g.CageStopForward != 0 && swing < 90 {
		problems = append(problems, Problem{d.where(geometrySection + ".cage_stop_rear"),
			fmt.Sprintf("the cage swings only %s degrees between its stops; most swing 150 and more", trim(float64(swing)))})
	}
	return problems
}
