package sim

import (
	"fmt"
	"math"
	"strings"

	"cagewise/gearing"
)

// class is a typical derailleur geometry: a starting value, never a real
// part (invented for cagewise: tuned so that the pulley gap
// stays within 6 to 20 mm in every gear of its frame).
type class struct {
	name               string
	centres            float64 // guide to tension pulley, mm
	guide, tension     gearing.Teeth
	pivotSmall         vec     // cage pivot on the smallest cog, from the axle, mm
	pivotLarge         vec     // and on the largest cog
	toGuide, toTension float64 // cage pivot to pulley centres, mm
	angle              float64 // of the pivot about the guide centre, from the line to the tension centre, degrees
	cog                float64 // largest cog it was tuned on, teeth
	stops              stops
	usual              usual
}

// stops are the cage's stops where nobody has read them, degrees (invented
// here): the forward one about 30 degrees beyond where the cage is straight on
// the largest ring and cog that are rated. Both are known within stopError.
type stops struct{ rear, front gearing.Degrees }

// usual is what makers usually rate a cage of this length for, from and to
// (from memory), and the drivetrain and frame that it is made for.
type usual struct {
	capacity, largest [2]float64
	smallest          gearing.Teeth // cog
	ring              gearing.Teeth // largest
	chainstay, drop   gearing.MM
}

var classes = [...]class{
	{
		"short", 56, 11, 11, vec{13, -66}, vec{18, -93}, 2.4, 57.8, 138, 30, stops{-184, 15},
		usual{[2]float64{28, 33}, [2]float64{28, 34}, 11, 50, 410, 70},
	}, {
		"medium", 75, 11, 11, vec{12, -71}, vec{29, -109}, 9.4, 70.7, 60, 36, stops{-188, 15},
		usual{[2]float64{35, 39}, [2]float64{34, 36}, 11, 46, 430, 70},
	}, {
		"long", 90, 11, 11, vec{10, -69}, vec{18, -112}, 8.6, 84.2, 45, 36, stops{-192, 15},
		usual{[2]float64{41, 45}, [2]float64{34, 36}, 11, 48, 440, 65},
	}, {
		"wide", 98, 12, 14, vec{1, -74}, vec{2, -125}, 18.3, 99.4, 89, 51, stops{-163, 35},
		usual{[2]float64{41, 47}, [2]float64{46, 52}, 10, 32, 440, 40},
	},
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

// Rated figures from which a derailleur counts as one for very wide cassettes,
// and the pulley centres between which an unrated one turns into it.
const (
	wideCog            gearing.Teeth = 42
	longFrom, wideFull               = 90.0, 98.0
)

// classOf is the typical geometry of a derailleur with its pulleys centres mm
// apart: between the two classes on either side, the class it names, or the
// wide one where its rated cog says so.
func classOf(r gearing.RearDerailleur, centres float64) (class, error) {
	if name := r.Geometry.Class; name != "" {
		c, err := classNamed(name)
		return c.withCentres(centres), err
	}
	wide := min(max((centres-longFrom)/(wideFull-longFrom), 0), 1)
	if r.LargestCog > 0 {
		wide = 0
	}
	if r.LargestCog >= wideCog {
		wide = 1
	}
	return between(byCentres(centres), classes[3], wide).withCentres(centres), nil
}

// byCentres interpolates between the short, medium and long class; beyond the
// ends it keeps the end class.
func byCentres(centres float64) class {
	i := 0
	if centres > classes[1].centres {
		i = 1
	}
	a, b := classes[i], classes[i+1]
	return between(a, b, min(max((centres-a.centres)/(b.centres-a.centres), 0), 1))
}

// between is the class a share of the way from a to b.
func between(a, b class, share float64) class {
	mix := func(x, y float64) float64 { return x + share*(y-x) }
	deg := func(x, y gearing.Degrees) gearing.Degrees { return gearing.Degrees(mix(float64(x), float64(y))) }
	c := a // names and teeth are those of the nearer one
	if share > 0.5 {
		c = b
	}
	c.centres = mix(a.centres, b.centres)
	c.pivotSmall = a.pivotSmall.times(1 - share).add(b.pivotSmall.times(share))
	c.pivotLarge = a.pivotLarge.times(1 - share).add(b.pivotLarge.times(share))
	c.toGuide, c.angle = mix(a.toGuide, b.toGuide), mix(a.angle, b.angle)
	c.cog = mix(a.cog, b.cog)
	c.stops = stops{deg(a.stops.rear, b.stops.rear), deg(a.stops.front, b.stops.front)}
	for k := range c.usual.capacity {
		c.usual.capacity[k] = mix(a.usual.capacity[k], b.usual.capacity[k])
		c.usual.largest[k] = mix(a.usual.largest[k], b.usual.largest[k])
	}
	c.usual.chainstay = gearing.MM(mix(float64(a.usual.chainstay), float64(b.usual.chainstay)))
	c.usual.drop = gearing.MM(mix(float64(a.usual.drop), float64(b.usual.drop)))
	return c
}

// withCentres is the class with other pulley centres: the pivot keeps its place
// by the guide pulley.
func (c class) withCentres(centres float64) class {
	c.centres = centres
	c.toTension = math.Sqrt(centres*centres + c.toGuide*c.toGuide - 2*centres*c.toGuide*math.Cos(c.angle*math.Pi/180))
	return c
}

// Standard errors of pulley centres that nobody has measured, mm (invented
// here): of a cage whose class is known, and of one of which only the rating is.
const (
	classCentresError = 3.0
	ratedCentresError = 5.0
)

// centresOf are the pulley centres of a derailleur and their standard error: as
// measured, those of its class, or what makers usually pair with its rating. ok
// is false when nothing tells.
func centresOf(r gearing.RearDerailleur) (centres, e float64, ok bool) {
	switch {
	case r.PulleyCentres > 0:
		return float64(r.PulleyCentres), measuredError[InputPulleyCentres], true
	case r.Geometry.Class != "":
		c, err := classNamed(r.Geometry.Class)
		return c.centres, classCentresError, err == nil
	case r.LargestCog >= wideCog:
		return classes[3].centres, ratedCentresError, true
	case r.RatedCapacity > 0:
		return centresByCapacity(float64(r.RatedCapacity)), ratedCentresError, true
	}
	return 0, 0, false
}

// leastCentres are the shortest pulley centres that a rating alone stands for, mm:
// pulleys of 11 teeth need 50.7.
const leastCentres = 54.0

// centresByCapacity interpolates between the middles of what the classes are
// usually rated for.
func centresByCapacity(capacity float64) float64 {
	middle := func(i int) float64 { return (classes[i].usual.capacity[0] + classes[i].usual.capacity[1]) / 2 }
	i := 0
	if capacity > middle(1) {
		i = 1
	}
	share := (capacity - middle(i)) / (middle(i+1) - middle(i))
	return min(max(classes[i].centres+share*(classes[i+1].centres-classes[i].centres), leastCentres), 105)
}

// stopPrior are the stops of a derailleur where they were not read.
func stopPrior(r gearing.RearDerailleur) stops {
	centres, _, ok := centresOf(r)
	if !ok {
		centres = classes[1].centres
	}
	c, err := classOf(r, centres)
	if err != nil {
		return classes[1].stops
	}
	return c.stops
}
