package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"cagewise/gearing"
)

// bug2 is shared/cases/bug2.toml: a valid chain on a sprung mounting pivot that
// was refused with "a chain of 0 pitches" (invented).
func bug2() gearing.Build {
	b := classBuild("", 448.73, 14.3, []gearing.Teeth{44}, []gearing.Teeth{11, 13, 16, 20, 24, 30, 36, 42, 50})
	b.Chain = gearing.Chain{Pitches: 125, OffsetLink: true}
	b.Rear.PulleyCentres = 101
	b.Rear.Geometry = gearing.Geometry{
		PivotSmallX: 1.85, PivotSmallY: -73, PivotLargeX: 12.7, PivotLargeY: -141.1,
		PivotToGuide: 21.09, PivotToTension: 98.69, PivotSide: "ahead", CageStopRear: -176, CageStopForward: -5.5,
		MountPreload: 1063, MountRate: 16.9,
	}
	return b
}

// jb160 is shared/cases/jb160.toml: 0.3 mm of chainstay turned its body by 4
// degrees (invented).
func jb160() gearing.Build {
	b := classBuild("", 415.2, 59, []gearing.Teeth{26, 36, 48}, []gearing.Teeth{11, 13, 16, 20, 24, 30, 36, 42, 50})
	b.Chain = gearing.Chain{Pitches: 120, Elongation: 0.61, OffsetLink: true}
	b.Rear.PulleyCentres, b.Rear.GuidePulleyTeeth, b.Rear.TensionPulleyTeeth = 98.25, 12, 14
	b.Rear.Geometry = gearing.Geometry{
		HangerBehind: 10.2, HangerBelow: 28, PivotSmallX: -0.7, PivotSmallY: -73.6, PivotLargeX: 4.2, PivotLargeY: -126.1,
		PivotToGuide: 19.8583, PivotToTension: 99.5529, PivotSide: "ahead", CageStopRear: -188.1, CageStopForward: -38.4,
		ScrewRange: 8, TargetGap: 5,
	}
	return b
}

// A valid chain is judged, whatever holds the body, and every count is.
func TestValidChainsAreJudged(t *testing.T) {
	wide := marginBuilds()["measured"]
	wide.Chain.Pitches, wide.Rear.Geometry.ScrewRange = 112, 40
	for name, b := range map[string]gearing.Build{"bug2": bug2(), "jb160": jb160(), "screw of 40 degrees": wide} {
		s, err := NewStudy(b, gearing.TableOptions{})
		if err != nil {
			t.Fatal(name, err)
		}
		a := s.Answer
		if a == nil || a.Pitches != b.Chain.Pitches || a.Length < 3 || a.Fit.Pitches != b.Chain.Pitches || a.Order == NoChain {
			t.Errorf("%s: %+v", name, a)
		}
		checkWindow(t, s.Rig)
		b.Chain.Pitches = 0
		if a, err := Judge(b); err != nil || a.Pitches < 100 || a.Length != a.Pitches {
			t.Errorf("%s without a chain: %d judged, %d to have (%v)", name, a.Pitches, a.Length, err)
		}
	}
}

// mostTurned is by how many degrees 0.3 mm of chainstay may turn a body.
const mostTurned = 3.0

// turned is by how many degrees the body stands otherwise, in the gear in which
// that is most.
func turned(a, b body) float64 {
	most := math.Abs(a.angle - b.angle)
	for i := range a.perGear {
		most = max(most, math.Abs(a.perGear[i]-b.perGear[i]))
	}
	return degrees(most)
}

// 0.3 mm of chainstay never turn the body by degrees, with a chain that is not too
// short over the bare loop: where the target is out of reach it stands where it
// comes nearest. Next to a setting that is met twice, or only just, it turns by
// the square root of what changes, and so by half a degree now and then.
func TestBodyIsContinuous(t *testing.T) {
	n := 3000
	if raced || testing.Short() {
		n = 200
	}
	rng := rand.New(rand.NewPCG(20261305, 1))
	most, looked, beyond := 0.0, 0, 0
	check := func(b gearing.Build, pitches float64) {
		longer := b
		longer.Frame.Chainstay += 0.3
		r, err1 := newReference(b)
		s, err2 := newReference(longer)
		if err1 != nil || err2 != nil {
			return
		}
		x, y := r.setBody(pitches), s.setBody(pitches)
		by := turned(x, y)
		if looked++; by > 0.5 {
			beyond++
		}
		if most = max(most, by); by > mostTurned {
			t.Errorf("%v x %v with %v pitches, sprung %v: turned by %.2f degrees", b.Rings, b.Cogs, pitches, r.sprung, by)
		}
	}
	for i := range n {
		b := workshopGeometry(rng, i)
		if rng.IntN(3) == 0 {
			b.Rear.Geometry.MountPreload, b.Rear.Geometry.MountRate = evenly(rng, 700, 1400), evenly(rng, 8, 18)
		}
		b.Rear.Geometry.ScrewRange = gearing.Degrees(evenly(rng, 2, 40))
		b = chained(b, rng)
		first := math.Ceil((bareLoop(t, b)+2)/2) * 2
		check(b, max(float64(b.Chain.Pitches), first))
	}
	for d := gearing.MM(-6); d <= 6; d += 0.3 {
		for _, b := range []gearing.Build{bug2(), jb160()} {
			b.Frame.Chainstay += d
			check(b, float64(b.Chain.Pitches))
		}
	}
	t.Logf("%d bodies, at most %.2f degrees, %d by over half a degree", looked, most, beyond)
	if beyond > 1+looked/500 {
		t.Errorf("%d of %d bodies turn by more than half a degree", beyond, looked)
	}
}

// workshopGeometry draws a measured geometry about a class.
func workshopGeometry(rng *rand.Rand, i int) gearing.Build {
	b, _ := reliabilityBuild(rng, i)
	c, err := classOf(b.Rear, float64(b.Rear.PulleyCentres))
	if err != nil {
		panic(err)
	}
	g, low := &b.Rear.Geometry, c.lowPivot(float64(b.Rear.LargestCog))
	g.PivotSmallX, g.PivotSmallY = gearing.MM(around(rng, c.pivotSmall.x, 5)), gearing.MM(around(rng, c.pivotSmall.y, 5))
	g.PivotLargeX, g.PivotLargeY = gearing.MM(around(rng, low.x, 5)), gearing.MM(around(rng, low.y, 8))
	g.PivotToGuide, g.PivotToTension, g.PivotSide = gearing.MM(c.toGuide), gearing.MM(c.toTension), "ahead"
	g.CageStopForward = gearing.Degrees(evenly(rng, -50, 40))
	return b
}

// What is left over where the target is out of reach is the gap that the fit
// shows less the target.
func TestMissIsTheGapShown(t *testing.T) {
	rng := rand.New(rand.NewPCG(20261306, 1))
	missed, sprung := 0, 0
	for i := range 400 {
		b := workshopGeometry(rng, i)
		b.Rear.Geometry.ScrewRange = gearing.Degrees(evenly(rng, 1, 12))
		if i%4 == 0 {
			b.Rear.Geometry.MountPreload, b.Rear.Geometry.MountRate = evenly(rng, 700, 1400), evenly(rng, 8, 18)
		}
		r, err := newReference(b)
		if err != nil {
			continue
		}
		first, _ := r.candidates()
		f := r.newFit()
		r.fit(float64(first), &f)
		g := &f.Gears[r.reference]
		if g.NoPath {
			continue
		}
		if miss := float64(g.Gap - f.Target); math.Abs(float64(f.ScrewMiss)-miss) > 0.02 {
			t.Errorf("%d, sprung %v: misses by %.3f, the gap shown by %.3f", i, r.sprung, float64(f.ScrewMiss), miss)
		}
		if r.sprung {
			sprung++
		} else if !f.Screw {
			missed++
		}
	}
	if missed < 20 || sprung < 20 {
		t.Errorf("%d missed, %d sprung", missed, sprung)
	}
}
