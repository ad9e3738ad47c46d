package sim

import (
	"fmt"
	"math"
	"strings"

	"cagewise/gearing"
)

// class is a typical derailleur geometry: a starting value, never a real
// part (invented for cagewise: tuned so that the pulley gap
// stays within 6 to 20 mm in every gear of one frame).
type class struct {
	name               string
	centres            float64 // guide to tension pulley, mm
	guide, tension     gearing.Teeth
	pivotSmall         vec     // cage pivot on the smallest cog, from the axle, mm
	pivotLarge         vec     // and on the largest cog
	toGuide, toTension float64 // cage pivot to pulley centres, mm
	angle              float64 // of the pivot about the guide centre, from the line to the tension centre, degrees
}

var classes = [...]class{
	{"short", 56, 11, 11, vec{13, -66}, vec{18, -93}, 2.4, 57.8, 138},
	{"medium", 75, 11, 11, vec{12, -71}, vec{29, -109}, 9.4, 70.7, 60},
	{"long", 90, 11, 11, vec{10, -69}, vec{18, -112}, 8.6, 84.2, 45},
	{"wide", 98, 12, 14, vec{1, -74}, vec{2, -125}, 18.3, 99.4, 89},
}

// ClassNames lists the classes of typical geometry, shortest cage first.
func ClassNames() []string {
	names := make([]string, len(classes))
	for i, c := range classes {
		names[i] = c.name
	}
	return names
}

func classNamed(name string) (class, error) {
	for _, c := range classes {
		if c.name == name {
			return c, nil
		}
	}
	return class{}, fmt.Errorf("derailleur class %q; allowed %s", name, strings.Join(ClassNames(), ", "))
}

// classByCentres interpolates between the classes on either side of a pulley
// centre distance; beyond the ends it keeps the end class and only changes the
// centre distance.
func classByCentres(centres float64) class {
	last := len(classes) - 1
	i := 0
	for i < last-1 && centres > classes[i+1].centres {
		i++
	}
	a, b := classes[i], classes[i+1]
	f := min(max((centres-a.centres)/(b.centres-a.centres), 0), 1)
	mix := func(x, y float64) float64 { return x + f*(y-x) }
	near := a
	if f > 0.5 {
		near = b
	}
	c := class{
		name: near.name, centres: centres, guide: near.guide, tension: near.tension,
		pivotSmall: vec{mix(a.pivotSmall.x, b.pivotSmall.x), mix(a.pivotSmall.y, b.pivotSmall.y)},
		pivotLarge: vec{mix(a.pivotLarge.x, b.pivotLarge.x), mix(a.pivotLarge.y, b.pivotLarge.y)},
		toGuide:    mix(a.toGuide, b.toGuide),
		angle:      mix(a.angle, b.angle),
	}
	return c.withCentres(centres)
}

// withCentres is the class with other pulley centres: the pivot keeps its place
// by the guide pulley.
func (c class) withCentres(centres float64) class {
	c.centres = centres
	c.toTension = math.Sqrt(centres*centres + c.toGuide*c.toGuide - 2*centres*c.toGuide*math.Cos(c.angle*math.Pi/180))
	return c
}
