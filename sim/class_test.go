package sim

import (
	"math"
	"testing"

	"cagewise/gearing"
)

// classFrames are the frames that the classes were tuned on.
var classFrames = []struct {
	class     string
	chainstay gearing.MM
	drop      gearing.MM
	pitches   int
	rings     []gearing.Teeth
	cogs      []gearing.Teeth
}{
	{"short", 410, 70, 110, []gearing.Teeth{34, 50}, []gearing.Teeth{11, 12, 13, 14, 15, 17, 19, 21, 24, 27, 30}},
	{"medium", 430, 70, 112, []gearing.Teeth{30, 46}, []gearing.Teeth{11, 13, 15, 17, 19, 21, 24, 28, 32, 36}},
	{"long", 440, 65, 112, []gearing.Teeth{22, 32, 44}, []gearing.Teeth{11, 13, 15, 17, 20, 23, 26, 30, 36}},
	{"wide", 440, 40, 118, []gearing.Teeth{32}, []gearing.Teeth{10, 12, 14, 16, 18, 21, 24, 28, 33, 39, 45, 51}},
}

// The classes leave 6 to 20 mm, to the whole millimetre, in every gear of the
// frames they were tuned on with the body at its reference angle.
func TestClassGaps(t *testing.T) {
	for _, c := range classFrames {
		b := classBuild(c.class, c.chainstay, c.drop, c.rings, c.cogs)
		b.Rear.LargestCog = b.LargestCog() // as the class is
		r := plainRig(t, b)
		low, high := math.Inf(1), math.Inf(-1)
		for i := range r.gears {
			g := fixedBody(r, i, float64(c.pitches))
			low, high = min(low, float64(g.Gap)), max(high, float64(g.Gap))
		}
		t.Logf("%s: %.2f to %.2f mm", c.class, low, high)
		if math.Round(low) < 6 || math.Round(high) > 20 {
			t.Errorf("%s: gaps of %.2f to %.2f mm; want 6 to 20", c.class, low, high)
		}
	}
}

// Pulley gaps by hand: the medium class on 46/30 x 11-36,
// chainstay 430, drop 70. The cage angle was found by halving a bracket on the
// path of train.at, written out anew in another language; then the guide
// centre is P - 9.4 (cos, sin)(angle + 60 degrees), and the gap its distance
// from the axle less the tip radii 75.986 and 25.346 (or twice 25.346).
func TestGapsByHand(t *testing.T) {
	c := classFrames[1]
	b := classBuild(c.class, c.chainstay, c.drop, c.rings, c.cogs)
	b.Rear.LargestCog = 36 // as the class is
	r := plainRig(t, b)
	for i := range r.gears {
		tr := &r.gears[i].train
		tr.aside = 0 // by hand in the side view
		tr.valid = tr.set()
	}
	for _, c := range []struct {
		ring, cog gearing.Teeth
		pitches   float64
		angle     float64 // degrees
		guide     Point
		gap       float64
	}{
		{30, 36, 112, -80.469, Point{20.194, -105.713}, 6.292},
		{30, 36, 110, -67.746, Point{19.686, -107.733}, 8.185},
		{46, 36, 112, -28.934, Point{20.948, -113.851}, 14.430},
		{46, 36, 110, -6.175, Point{23.452, -116.588}, 17.591},
		{46, 11, 112, -111.920, Point{6.202, -63.601}, 13.210},
		{46, 11, 110, -98.789, Point{4.673, -65.111}, 14.587},
	} {
		i, _ := r.Index(gearing.GearID{Ring: c.ring, Cog: c.cog})
		g := fixedBody(r, i, c.pitches)
		if math.Abs(float64(g.Gap)-c.gap) > 0.001 || math.Abs(float64(g.CageAngle)-c.angle) > 0.001 ||
			math.Abs(float64(g.Guide.X-c.guide.X)) > 0.001 || math.Abs(float64(g.Guide.Y-c.guide.Y)) > 0.001 {
			t.Errorf("%s with %.0f pitches: gap %.3f, cage %.3f degrees, guide %.3f; by hand %.3f, %.3f, %.3f",
				g.GearID, c.pitches, float64(g.Gap), float64(g.CageAngle), g.Guide, c.gap, c.angle, c.guide)
		}
	}
}

// Pulley centres: as measured, else of the class, else by the rating. Between the
// middles of what classes are usually rated for, 30.5, 37 and 43 teeth, they are
// read off a straight line: 33.75 lies half way from 56 to 75 mm (by hand).
func TestCentresOf(t *testing.T) {
	class := gearing.Geometry{Class: "long"}
	for _, c := range []struct {
		name       string
		rear       gearing.RearDerailleur
		centres, e float64 // 0: nothing tells
	}{
		{"nothing", gearing.RearDerailleur{}, 0, 0},
		{"a usual cog alone", gearing.RearDerailleur{LargestCog: 41}, 0, 0},
		{"measured", gearing.RearDerailleur{PulleyCentres: 71, RatedCapacity: 37, LargestCog: 51, Geometry: class}, 71, 0.7},
		{"class", gearing.RearDerailleur{RatedCapacity: 37, LargestCog: 51, Geometry: class}, 90, 3},
		{"wide by its cog", gearing.RearDerailleur{RatedCapacity: 37, LargestCog: 42}, 98, 5},
		{"medium", gearing.RearDerailleur{RatedCapacity: 37, LargestCog: 41}, 75, 5},
		{"long", gearing.RearDerailleur{RatedCapacity: 43}, 90, 5},
		{"between", gearing.RearDerailleur{RatedCapacity: 40}, 82.5, 5},
		{"beyond the longest", gearing.RearDerailleur{RatedCapacity: 60}, 105, 5},
		{"beyond the shortest", gearing.RearDerailleur{RatedCapacity: 20}, 54, 5},
	} {
		centres, e, ok := centresOf(c.rear)
		if ok != (c.e > 0) || math.Abs(centres-c.centres) > 1e-9 || e != c.e {
			t.Errorf("%s: %v +- %v, %v; want %v +- %v", c.name, centres, e, ok, c.centres, c.e)
		}
	}
	if got := centresByCapacity(33.75); math.Abs(got-65.5) > 1e-9 {
		t.Errorf("a capacity of 33.75: %v mm, want 65.5", got)
	}
}

// A cage is wide by the cog that it is rated for, not by a jump of its length;
// without a rating it turns into one from 90 to 98 mm. Stops follow: half way from
// short to medium they stand at -186 and 15 degrees, half way from long to wide at
// (-192 - 163)/2 and 25 (by hand).
func TestStopPrior(t *testing.T) {
	for _, c := range []struct {
		centres gearing.MM
		cog     gearing.Teeth
		want    stops
	}{
		{56, 0, stops{-184, 15}}, {50, 0, stops{-184, 15}}, {65.5, 28, stops{-186, 15}}, {75, 0, stops{-188, 15}}, {90, 0, stops{-192, 15}},
		{94, 0, stops{-177.5, 25}}, {98, 0, stops{-163, 35}}, {98, 36, stops{-192, 15}}, {98, 41, stops{-192, 15}}, {75, 42, stops{-163, 35}},
	} {
		got := stopPrior(gearing.RearDerailleur{PulleyCentres: c.centres, LargestCog: c.cog})
		if math.Abs(float64(got.rear-c.want.rear)) > 1e-9 || math.Abs(float64(got.front-c.want.front)) > 1e-9 {
			t.Errorf("%v mm, rated %d: %v, want %v", c.centres, c.cog, got, c.want)
		}
	}
	if got := stopPrior(gearing.RearDerailleur{Geometry: gearing.Geometry{Class: "wide"}}); got != classes[3].stops {
		t.Errorf("a wide cage: %v", got)
	}
}

// With other pulley centres the pivot keeps its place by the guide pulley: the
// third side of a triangle with 9.4 mm and 60 degrees, as by hand.
func TestWithCentres(t *testing.T) {
	c := classes[1].withCentres(80)
	if want := math.Sqrt(80*80 + 9.4*9.4 - 80*9.4); c.centres != 80 || c.toGuide != 9.4 || math.Abs(c.toTension-want) > 1e-9 {
		t.Errorf("%+v, want %v to the tension pulley", c, want)
	}
}
