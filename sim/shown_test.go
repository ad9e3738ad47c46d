package sim

import (
	"errors"
	"math"
	"testing"

	"cagewise/gearing"
)

// What a gear shows besides its reserves, against the taut string of
// oracle_test.go and against plain sums of its points: the medium class on the
// frame of class_test.go, wheel 2100 mm round, tip radius of 11 teeth 25.346.
func TestShownFigures(t *testing.T) {
	c := classFrames[1]
	b := classBuild(c.class, c.chainstay, c.drop, c.rings, c.cogs)
	r := plainRig(t, b)
	for _, gear := range []gearing.GearID{id(30, 36), id(30, 19), id(46, 36), id(46, 17), id(46, 11)} {
		i, _ := r.Index(gear)
		g := fixedBody(r, i, 112)
		s := oracleSetup{ring: int(gear.Ring), cog: int(gear.Cog), guide: 11, tension: 11, chainstay: 430, drop: 70,
			pivotX: float64(g.Pivot.X), pivotY: float64(g.Pivot.Y), centres: 75, pivotToGuide: 9.4, pivotDegree: 60}
		angle := float64(g.CageAngle) * math.Pi / 180
		_, wraps := oraclePath(s.wheels(angle))
		for k, w := range [4]Wrap{g.OnCog, g.OnRing, g.OnTension, g.OnGuide} {
			teeth := [4]gearing.Teeth{gear.Cog, gear.Ring, 11, 11}[k]
			if math.Abs(float64(w.Angle)-degrees(wraps[k])) > 0.75 || math.Abs(w.Teeth-float64(w.Angle)/360*float64(teeth)) > 1e-9 {
				t.Errorf("%s: wrap %d %+v, oracle %.2f degrees", gear, k, w, degrees(wraps[k]))
			}
		}
		if want := 2100/(2*math.Pi) + float64(g.Tension.Y) - 25.346; math.Abs(float64(g.GroundRoom)-want) > 0.001 {
			t.Errorf("%s: %.3f mm over the ground, want %.3f", gear, g.GroundRoom, want)
		}
		if gear == id(46, 36) {
			continue // there the guide pulley lies past the run's end
		}
		if want := oracleRoom(s, angle) - 22.539 - 8.6; math.Abs(float64(g.RunRoom)-want) > 0.15 { // 12.7 / (2 sin(180/11))
			t.Errorf("%s: lower run clears by %.3f mm, oracle %.3f", gear, g.RunRoom, want)
		}
	}
}

// The spring turns with the body: its moment is that of the cage's angle from
// the body, and the tension that over the lever arm, dpath/dangle.
func TestTensionShown(t *testing.T) {
	b := marginBuilds()["measured"]
	b.Rear.Geometry.SpringPreload, b.Rear.Geometry.SpringRate, b.Rear.Geometry.ClutchTorque = 800, 6, 200
	r := mustRig(t, b)
	i, _ := r.Index(id(46, 19))
	const body, h = 0.15, 1e-5
	g := heldBody(r, i, 112, body)
	tr, _ := r.trainAt(&r.gears[i], 0, body)
	at := g.CageAngle.Radians()
	arm := -(tr.at(at+h).pitches - tr.at(at-h).pitches) / (2 * h) * 12.7
	moment := 800 + 6*(float64(g.CageAngle)-degrees(body)+180) // level behind the pivot without stops
	for _, c := range [][2]float64{{g.LowerTensionLow, moment - 200}, {g.LowerTension, moment}, {g.LowerTensionHigh, moment + 200}} {
		if math.Abs(c[0]*arm-c[1]) > 0.01 {
			t.Errorf("%.4f N on an arm of %.3f mm, moment %.2f N mm", c[0], arm, c[1])
		}
	}
}

// The pulley line's length and the pivot's side close the cage triangle.
func TestCageTriangle(t *testing.T) {
	for side, sign := range map[string]float64{"ahead": 1, "": 1, "behind": -1} {
		b := marginBuilds()["measured"]
		b.Rear.Geometry.PivotSide = side
		d, err := NewDerailleur(b)
		if err != nil {
			t.Fatal(err)
		}
		// cos = (11^2 + 76^2 - 71^2) / (2 x 11 x 76): 59.2054 degrees (by hand)
		if math.Abs(float64(d.PivotAngle)-sign*59.2054) > 0.0001 {
			t.Errorf("%q: pivot at %.3f degrees", side, d.PivotAngle)
		}
		g, w := d.cage()
		if math.Abs(g.length()-11) > 1e-9 || math.Abs(w.length()-71) > 1e-9 || math.Abs(w.sub(g).length()-76) > 1e-9 || w.sub(g).y != 0 || g.y*sign > 0 {
			t.Errorf("%q: pulleys at %v and %v from the pivot", side, g, w)
		}
		if d.Hanger != (Point{-9, -28}) {
			t.Errorf("hanger bolt at %v", d.Hanger)
		}
	}
	for _, sides := range [][2]gearing.MM{{11, 65}, {11, 87}} { // flat triangles still close
		b := marginBuilds()["measured"]
		b.Rear.Geometry.PivotToGuide, b.Rear.Geometry.PivotToTension = sides[0], sides[1]
		if _, err := NewDerailleur(b); err != nil {
			t.Error(err)
		}
	}
	b := classBuild("long", 440, 65, []gearing.Teeth{32}, []gearing.Teeth{11, 36})
	b.Rear.Geometry.HangerBehind, b.Rear.Geometry.HangerBelow = 5, 24
	if d, err := NewDerailleur(b); err != nil || d.Hanger != (Point{-5, -24}) {
		t.Errorf("%v, %v", d.Hanger, err)
	}
}

func TestKnowledgeDepth(t *testing.T) {
	full := gearing.RearDerailleur{PulleyCentres: 76, Geometry: gearing.Geometry{PivotSmallY: -70, PivotLargeY: -110, PivotToGuide: 11, PivotToTension: 71}}
	tests := []struct {
		change func(r *gearing.RearDerailleur)
		want   Knowledge
	}{
		{func(*gearing.RearDerailleur) {}, Measured}, {func(r *gearing.RearDerailleur) { r.Geometry.PivotError = 0.5 }, FromReadings},
		{func(r *gearing.RearDerailleur) { r.Geometry.PivotToGuide = 0 }, Typical}, {func(r *gearing.RearDerailleur) { r.Geometry.PivotToTension = 0 }, Typical},
		{func(r *gearing.RearDerailleur) { r.Geometry.PivotSmallY = 0 }, Typical},
		{func(r *gearing.RearDerailleur) { r.Geometry.PivotLargeY, r.Geometry.PivotError = 0, 1 }, Typical},
		{func(r *gearing.RearDerailleur) { *r = gearing.RearDerailleur{PulleyCentres: 76} }, Typical},
		{func(r *gearing.RearDerailleur) {
			*r = gearing.RearDerailleur{RatedCapacity: 37}
			r.Geometry.Class = "long"
		}, Typical},
		{func(r *gearing.RearDerailleur) { *r = gearing.RearDerailleur{RatedCapacity: 37} }, FromRating},
		{func(r *gearing.RearDerailleur) { *r = gearing.RearDerailleur{LargestCog: 50} }, FromRating},
	}
	for i, tt := range tests {
		r := full
		tt.change(&r)
		if got := knowledge(r); got != tt.want {
			t.Errorf("%d: %s, want %s", i, got, tt.want)
		}
	}
	for _, r := range []gearing.RearDerailleur{{}, {LargestCog: 36}, {GuidePulleyTeeth: 11}} { // nothing tells of the cage
		if _, err := NewDerailleur(gearing.Build{Rear: r}); !errors.Is(err, ErrNoGeometry) {
			t.Errorf("%+v: %v", r, err)
		}
	}
}

// The table of classes: its centres give its distances from pivot to
// tension pulley, to 0.1 mm, as its angles are
// printed to a degree; and between two classes every
// measure lies in between.
func TestClassesBetween(t *testing.T) {
	for _, c := range classes {
		if got := c.withCentres(c.centres).toTension; math.Abs(got-c.toTension) > 0.1 {
			t.Errorf("%s: pivot to tension pulley %.3f mm, the table says %.1f", c.name, got, c.toTension)
		}
	}
	tests := []struct {
		centres      float64
		name         string
		small, large vec
		guide, angle float64
		tension      gearing.Teeth
	}{
		{50, "short", vec{13, -66}, vec{18, -93}, 2.4, 138, 11},
		{56, "short", vec{13, -66}, vec{18, -93}, 2.4, 138, 11},
		{65.5, "short", vec{12.5, -68.5}, vec{23.5, -101}, 5.9, 99, 11},
		{75, "medium", vec{12, -71}, vec{29, -109}, 9.4, 60, 11},
		{82.4, "medium", vec{11.013, -70.013}, vec{23.573, -110.480}, 9.005, 52.6, 11},
		{82.6, "long", vec{10.987, -69.987}, vec{23.427, -110.520}, 8.995, 52.4, 11},
		{94, "long", vec{5.5, -71.5}, vec{10, -118.5}, 13.45, 67, 11},
		{94.1, "wide", vec{5.388, -71.563}, vec{9.8, -118.663}, 13.571, 67.55, 14},
		{110, "wide", vec{1, -74}, vec{2, -125}, 18.3, 89, 14},
	}
	for _, tt := range tests {
		c, err := classOf(gearing.RearDerailleur{}, tt.centres)
		if err != nil {
			t.Fatal(err)
		}
		far := math.Max(c.pivotSmall.sub(tt.small).length(), c.pivotLarge.sub(tt.large).length())
		if c.name != tt.name || c.centres != tt.centres || far > 0.002 || math.Abs(c.toGuide-tt.guide) > 0.001 || math.Abs(c.angle-tt.angle) > 0.001 || c.tension != tt.tension {
			t.Errorf("%v mm: %+v, want %+v", tt.centres, c, tt)
		}
		// The three sides close: by the cosine rule from the other corner.
		a, b, s := c.toGuide, c.toTension, c.centres
		if got := math.Acos((a*a+s*s-b*b)/(2*a*s)) * 180 / math.Pi; math.Abs(got-tt.angle) > 0.001 {
			t.Errorf("%v mm: the triangle closes at %.3f degrees, not %.3f", tt.centres, got, tt.angle)
		}
	}
}
