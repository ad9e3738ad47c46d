package sim

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"cagewise/gearing"
)

// workshopBuilds are typical builds in steps over all that is usual: pulley
// centres, cassettes, rings and chainstays.
func workshopBuilds(do func(b gearing.Build)) {
	cassettes := [][]gearing.Teeth{
		{11, 13, 15, 17, 19, 21, 24, 28}, {11, 13, 15, 17, 19, 21, 24, 28, 32, 36},
		{11, 13, 15, 17, 19, 21, 24, 28, 32, 36, 40}, {10, 12, 14, 16, 18, 21, 24, 28, 33, 39, 45, 51},
	}
	for centres := gearing.MM(55); centres <= 103; centres += 4 {
		for _, cogs := range cassettes {
			for _, rings := range [][]gearing.Teeth{{32}, {40}, {30, 46}, {34, 50}, {22, 32, 44}} {
				for _, cs := range []gearing.MM{410, 432, 460} {
					b := classBuild("", cs, 65, rings, cogs)
					b.Rear.PulleyCentres = centres
					do(b)
				}
			}
		}
	}
}

// freeSwing is a stretch of cage angles in which nothing stops the cage.
type freeSwing struct{ from, to, short, long float64 }

// scanned looks at every cage angle between the stops in steps and lists the
// stretches in which the path shortens going forward with nothing touching: the
// swings as a mechanic would find them by hand. It shares the path with the
// solver and nothing of its search.
func scanned(r *Rig, t *train) (list []freeSwing) {
	const step = 0.002
	rear, front := r.stops(t)
	from, last := math.NaN(), math.NaN()
	end := func() {
		if !math.IsNaN(from) {
			list = append(list, freeSwing{from, last, t.at(last).pitches, t.at(from).pitches})
		}
		from = math.NaN()
	}
	for x := max(rear, rearMost); x <= min(front, frontMost); x += step {
		if !isFree(r, t, x) {
			end()
			continue
		}
		if last = x; math.IsNaN(from) {
			from = x
		}
	}
	end()
	return list
}

// widestSwing is the swing that takes up most chain.
func widestSwing(list []freeSwing) (best freeSwing) {
	for _, s := range list {
		if s.long-s.short > best.long-best.short {
			best = s
		}
	}
	return best
}

// checkScan holds a gear's limits against a scan: they are the ends of a free
// swing, widest tells whether of the widest. ok is false when there is next to no
// swing.
func checkScan(t *testing.T, r *Rig, i int, body, least float64) (widest, ok bool) {
	t.Helper()
	tr, laid := r.trainAt(&r.gears[i], 0, body)
	list := scanned(r, &tr)
	best := widestSwing(list)
	if !laid || best.long-best.short < least {
		return false, false
	}
	l := r.limits(&tr, nil)
	same := func(s freeSwing) bool {
		return l.ok && math.Abs(l.atFront.pitches-s.short) <= 0.1 && math.Abs(l.atRear.pitches-s.long) <= 0.1
	}
	if !slices.ContainsFunc(list, same) {
		t.Errorf("%.0f mm, %s, body at %.1f degrees: %.2f to %.2f pitches (%s, %s), a scan finds %.2f to %.2f", float64(r.Derailleur.PulleyCentres), r.gears[i].id, degrees(body),
			l.atFront.pitches, l.atRear.pitches, l.frontWhy, l.rearWhy, best.short, best.long)
	}
	return same(best), true
}

// The limits are the ends of the widest free swing, whatever the build.
func TestLimitsAgainstScan(t *testing.T) {
	gears := 0
	workshopBuilds(func(b gearing.Build) {
		if b.Frame.Chainstay != 432 {
			return // the chainstay hardly changes a swing; time does
		}
		r := plainRig(t, b)
		for i := range r.gears {
			widest, ok := checkScan(t, r, i, 0, 2)
			if !ok {
				continue
			}
			if gears++; !widest {
				t.Errorf("%.0f mm, %s: not the widest swing", float64(b.Rear.PulleyCentres), r.gears[i].id)
			}
		}
	})
	if gears < 3000 {
		t.Errorf("only %d gears", gears)
	}
}

// strange draws a derailleur far from any class, whose guide pulley may stand in
// the cog at every usual angle and come clear of it on either side (invented).
func strange(rng *rand.Rand, i int) gearing.Build {
	b, _ := reliabilityBuild(rng, i)
	c, err := classOf(b.Rear, float64(b.Rear.PulleyCentres))
	if err != nil {
		panic(err)
	}
	g, guide := &b.Rear.Geometry, evenly(rng, 1, 24)
	low := c.lowPivot(float64(b.Rear.LargestCog))
	g.PivotSmallX, g.PivotSmallY = gearing.MM(around(rng, c.pivotSmall.x, 10)), gearing.MM(around(rng, c.pivotSmall.y, 5))
	g.PivotLargeX, g.PivotLargeY = gearing.MM(around(rng, low.x, 10)), gearing.MM(around(rng, low.y, 10))
	g.PivotToGuide, g.PivotSide = gearing.MM(guide), [...]string{"ahead", "behind"}[rng.IntN(2)]
	g.PivotToTension = gearing.MM(max(c.toTension, c.centres-guide+0.5) + evenly(rng, -0.4, 0.4))
	g.CageStopForward = gearing.Degrees(evenly(rng, -50, 40))
	return b
}

// The same for derailleurs out of the ordinary with the body turned: the search
// never starts in the cog and stays there while there is a swing beside it. With
// a swing on either side that near the middle is taken, hardly ever the lesser.
func TestLimitsAgainstScanOutOfTheOrdinary(t *testing.T) {
	n := 1200
	if raced || testing.Short() {
		n = 60
	}
	rng := rand.New(rand.NewPCG(20261301, 1))
	gears, beside, lesser := 0, 0, 0
	for i := range n {
		r, err := newReference(strange(rng, i))
		if err != nil {
			continue
		}
		body := evenly(rng, -0.25, 0.25)
		for k := range r.gears {
			widest, ok := checkScan(t, r, k, body, 0.5)
			if !ok {
				continue
			}
			if gears++; !widest {
				lesser++
			}
			tr, _ := r.trainAt(&r.gears[k], 0, body)
			if _, _, ok := r.middle(&tr); !ok {
				beside++
			}
		}
	}
	t.Logf("%d gears, %d with a swing only beside the cog, %d in the lesser of two swings", gears, beside, lesser)
	if lesser > 1+gears/500 {
		t.Error("too many stand in the lesser swing")
	}
	if !raced && !testing.Short() && (gears < 5000 || beside < 50) {
		t.Error("these prove little")
	}
}

// The counts said to run in every gear do, and the shortest without danger is the
// same from the window and alone.
func TestWindowsAgree(t *testing.T) {
	builds := 0
	workshopBuilds(func(b gearing.Build) {
		r := plainRig(t, b)
		builds++
		checkWindow(t, r)
	})
	if builds < 700 {
		t.Errorf("only %d builds", builds)
	}
}

// checkWindow holds a window against itself and against Shortest.
func checkWindow(t testing.TB, r *Rig) {
	t.Helper()
	b, w := &r.Build, r.Window()
	if short := r.Shortest(); short != w.Shortest {
		t.Errorf("%v x %v, %.0f mm: shortest %d, window %d", b.Rings, b.Cogs, float64(b.Rear.PulleyCentres), short, w.Shortest)
	}
	for _, c := range w.Counts {
		if c.Pitches >= w.ClearFrom && c.Pitches <= w.ClearTo && !c.Worst().Runs() {
			t.Errorf("%v x %v: clear from %d to %d, but %d is %s", b.Rings, b.Cogs, w.ClearFrom, w.ClearTo, c.Pitches, c.Worst())
		}
	}
}

// Window.Shortest and Shortest are one, with screwed and with sprung bodies, of
// derailleurs in and out of the ordinary.
func TestShortestIsTheWindows(t *testing.T) {
	n := 500
	if raced || testing.Short() {
		n = 60
	}
	rng := rand.New(rand.NewPCG(20261302, 1))
	found, none, sprung := 0, 0, 0
	for i := range n {
		b := strange(rng, i)
		if i%2 == 0 {
			b, _ = reliabilityBuild(rng, i)
		}
		if rng.IntN(3) == 0 {
			b.Rear.Geometry.MountPreload, b.Rear.Geometry.MountRate = evenly(rng, 700, 1400), evenly(rng, 8, 18)
		}
		b.Rear.Geometry.ScrewRange, b.Chain.OffsetLink = gearing.Degrees(evenly(rng, 1, 40)), rng.IntN(3) == 0
		r, err := newReference(chained(b, rng))
		if err != nil {
			continue
		}
		checkWindow(t, r)
		if r.sprung {
			sprung++
		}
		if r.Shortest() > 0 {
			found++
		} else {
			none++
		}
	}
	t.Logf("%d with a length, %d without; %d sprung", found, none, sprung)
	if !raced && !testing.Short() && min(found, none, sprung) < 50 {
		t.Error("these prove little")
	}
}
