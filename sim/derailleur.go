package sim

import (
	"errors"
	"fmt"
	"math"

	"cagewise/gearing"
)

// Knowledge tells how much is known about a rear derailleur; more is larger.
type Knowledge int

// The depths of knowledge.
const (
	// TeethOnly: nothing is known of the cage; only the bare loop can be
	// computed.
	TeethOnly Knowledge = iota
	// FromRating: only the maker's rating is known; the length of the cage
	// follows from it, the rest is typical geometry.
	FromRating
	// Typical: the pulley centre distance or a class is known, the rest is
	// typical geometry.
	Typical
	// Measured: cage triangle and pivot positions were measured.
	Measured
	// FromReadings: they were fitted to readings on the built bike.
	FromReadings
)

var knowledgeWords = [...]string{"tooth counts only", "typical geometry for the rated capacity", "typical geometry", "measured geometry", "geometry fitted to readings on the built bike"}

// String is the depth in words.
func (k Knowledge) String() string {
	if k < 0 || int(k) >= len(knowledgeWords) {
		return "unknown depth"
	}
	return knowledgeWords[k]
}

// MarshalText gives JSON the words.
func (k Knowledge) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// Point is a place in the side view in millimetres: x forward and y up from
// the rear axle.
type Point struct {
	X gearing.MM `json:"x_mm"`
	Y gearing.MM `json:"y_mm"`
}

func (p Point) vec() vec { return vec{float64(p.X), float64(p.Y)} }

// Derailleur is a rear derailleur with every measure known or assumed.
type Derailleur struct {
	Knowledge Knowledge `json:"knowledge"`
	Class     string    `json:"class"` // nearest class of typical geometry
	Hanger    Point     `json:"hanger_bolt"`
	// PivotSmall and PivotLarge are the cage pivot on the smallest and on
	// the largest cog with the body at its reference angle.
	PivotSmall Point `json:"cage_pivot_smallest_cog"`
	PivotLarge Point `json:"cage_pivot_largest_cog"`
	// The cage triangle. PivotAngle is the direction of the pivot seen from
	// the guide pulley centre, counter-clockwise from the line to the
	// tension pulley: positive when the pivot lies ahead of the pulley line.
	PulleyCentres  gearing.MM      `json:"pulley_centres_mm"`
	PivotToGuide   gearing.MM      `json:"pivot_to_guide_mm"`
	PivotToTension gearing.MM      `json:"pivot_to_tension_mm"`
	PivotAngle     gearing.Degrees `json:"pivot_angle_deg"`
	GuideTeeth     gearing.Teeth   `json:"guide_pulley_teeth"`
	TensionTeeth   gearing.Teeth   `json:"tension_pulley_teeth"`
}

// Hanger bolt of most frames, behind and below the axle (from memory; measure).
const (
	defaultHangerBehind gearing.MM = 9
	defaultHangerBelow  gearing.MM = 28
)

// ErrNoGeometry tells that nothing is known of the derailleur's cage, neither
// its pulley centres nor its class nor its rated capacity, so that no chain path
// can be computed.
var ErrNoGeometry = errors.New("nothing is known of the derailleur's cage")

// NewDerailleur fills the derailleur of a build: measured values where there
// are any, typical geometry for the rest. It fails with ErrNoGeometry when
// pulley centres, class and rating are all unknown, and when the cage triangle
// cannot exist.
func NewDerailleur(b gearing.Build) (Derailleur, error) {
	if name := b.Rear.Geometry.Class; name != "" {
		if _, err := classNamed(name); err != nil {
			return Derailleur{}, err
		}
	}
	centres, _, ok := centresOf(b.Rear)
	if !ok {
		return Derailleur{}, ErrNoGeometry
	}
	c, err := classOf(b.Rear, centres)
	if err != nil {
		return Derailleur{}, err
	}
	g := b.Rear.Geometry
	d := Derailleur{
		Knowledge: knowledge(b.Rear), Class: c.name,
		Hanger:        hanger(g),
		PivotSmall:    pointOr(g.PivotSmallX, g.PivotSmallY, c.pivotSmall),
		PivotLarge:    pointOr(g.PivotLargeX, g.PivotLargeY, c.lowPivot(float64(b.Rear.LargestCog))),
		PulleyCentres: gearing.MM(c.centres),
		GuideTeeth:    orElse(b.Rear.GuidePulleyTeeth, c.guide),
		TensionTeeth:  orElse(b.Rear.TensionPulleyTeeth, c.tension),
	}
	if err := d.setCage(g, c); err != nil {
		return Derailleur{}, err
	}
	d.extend(-g.ExtenderBehind, -g.ExtenderBelow)
	return d, nil
}

// extend moves the hanger bolt and all that hangs on it.
func (d *Derailleur) extend(x, y gearing.MM) {
	for _, p := range []*Point{&d.Hanger, &d.PivotSmall, &d.PivotLarge} {
		p.X, p.Y = p.X+x, p.Y+y
	}
}

// hanger is the hanger bolt; both distances are measured or neither.
func hanger(g gearing.Geometry) Point {
	if g.HangerBelow == 0 {
		return Point{-defaultHangerBehind, -defaultHangerBelow}
	}
	return Point{-g.HangerBehind, -g.HangerBelow}
}

// knowledge asks for the whole cage triangle and both pivot positions before
// it calls a geometry measured.
func knowledge(r gearing.RearDerailleur) Knowledge {
	g := r.Geometry
	cage := g.PivotToGuide > 0 && g.PivotToTension > 0 && r.PulleyCentres > 0
	pivots := g.PivotSmallY != 0 && g.PivotLargeY != 0
	switch {
	case cage && pivots && g.PivotError > 0:
		return FromReadings
	case cage && pivots:
		return Measured
	case r.PulleyCentres == 0 && g.Class == "":
		return FromRating
	}
	return Typical
}

func orElse[T ~int | ~float64](v, def T) T {
	if v == 0 {
		return def
	}
	return v
}

// pointOr keeps a measured point; the cage pivot hangs below the axle, so a y
// of zero means that it was not measured.
func pointOr(x, y gearing.MM, def vec) Point {
	if y == 0 {
		return Point{gearing.MM(def.x), gearing.MM(def.y)}
	}
	return Point{x, y}
}

// setCage closes the triangle of pivot and pulleys from its three sides.
func (d *Derailleur) setCage(g gearing.Geometry, c class) error {
	if g.PivotToGuide == 0 || g.PivotToTension == 0 {
		d.PivotToGuide, d.PivotToTension = gearing.MM(c.toGuide), gearing.MM(c.toTension)
		d.PivotAngle = gearing.Degrees(c.angle)
		return nil
	}
	d.PivotToGuide, d.PivotToTension = g.PivotToGuide, g.PivotToTension
	a, b, s := float64(d.PivotToGuide), float64(d.PivotToTension), float64(d.PulleyCentres)
	cos := (a*a + s*s - b*b) / (2 * a * s)
	if !(math.Abs(cos) <= 1) {
		return fmt.Errorf("cage triangle: %.1f, %.1f and %.1f mm cannot close", a, b, s)
	}
	d.PivotAngle = gearing.DegreesOf(math.Acos(cos))
	if g.PivotSide == "behind" {
		d.PivotAngle = -d.PivotAngle
	}
	return nil
}

// pivotAt is the cage pivot at a share of the way from the smallest (0) to the
// largest cog (1): the parallelogram carries it on a straight line in
// proportion to its travel across the bike (the arc's sagitta is neglected,
// derived here). The B-screw has turned the body about the hanger bolt by
// bodyAngle radians, counter-clockwise positive.
func (d Derailleur) pivotAt(share, bodyAngle float64) vec {
	small, large, h := d.PivotSmall.vec(), d.PivotLarge.vec(), d.Hanger.vec()
	s, c := math.Sincos(bodyAngle)
	arm := small.add(large.sub(small).times(share)).sub(h)
	return h.add(arm.rotated(s, c))
}

// cage gives the pulley centres from the pivot at cage angle 0.
func (d Derailleur) cage() (toGuide, toTension vec) {
	pivot := heading(d.PivotAngle.Radians()).times(float64(d.PivotToGuide))
	return pivot.times(-1), vec{float64(d.PulleyCentres), 0}.sub(pivot)
}

// newTrain sets up the wheels of one gear. share is the cog's place between
// the smallest (0) and the largest (1).
func (d Derailleur) newTrain(b gearing.Build, ring, cog gearing.Teeth, share, bodyAngle float64) (train, error) {
	e := float64(b.Chain.Elongation) / 100
	t := train{
		ring: newWheel(ring, e), cog: newWheel(cog, e),
		guide: newWheel(d.GuideTeeth, e), tension: newWheel(d.TensionTeeth, e),
		crank: crank(b.Frame), pivot: d.pivotAt(share, bodyAngle),
	}
	t.toGuide, t.toTension = d.cage()
	if !t.set() {
		return train{}, fmt.Errorf("gear %s: ring and cog, or the two pulleys, do not clear each other", gearing.GearName(ring, cog))
	}
	return t, nil
}

// crank is the crank centre: chainstay away from the axle, drop below it.
func crank(f gearing.Frame) vec {
	cs, drop := float64(f.Chainstay), float64(f.BottomBracketDrop)
	return vec{math.Sqrt(max(0, cs*cs-drop*drop)), -drop}
}
