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

func classBuild(class string, chainstay, drop gearing.MM, rings, cogs []gearing.Teeth) gearing.Build {
	return gearing.Build{
		Frame: gearing.Frame{Chainstay: chainstay, BottomBracketDrop: drop},
		Wheel: gearing.Wheel{MeasuredRollOut: 2100},
		Rings: rings, Cogs: cogs,
		Rear: gearing.RearDerailleur{Geometry: gearing.Geometry{Class: class}},
	}
}

func mustRig(t testing.TB, b gearing.Build) *Rig {
	t.Helper()
	r, err := NewRig(b)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// fixedBody solves one gear with the body at its reference angle.
func fixedBody(r *Rig, i int, pitches float64) GearFit {
	var g GearFit
	r.fitGear(&r.gears[i], pitches, 0, &course{start: middleAngle}, &g, nil)
	return g
}

// The classes leave 6 to 20 mm, to the whole millimetre, in every gear of the
// frames they were tuned on with the body at its reference angle.
func TestClassGaps(t *testing.T) {
	for _, c := range classFrames {
		r := mustRig(t, classBuild(c.class, c.chainstay, c.drop, c.rings, c.cogs))
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
	r := mustRig(t, classBuild(c.class, c.chainstay, c.drop, c.rings, c.cogs))
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
