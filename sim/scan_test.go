package sim

import (
	"math"
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

// scanned looks at every cage angle in steps and keeps the longest stretch in
// which the path shortens going forward with nothing touching: the swing as a
// mechanic would find it by hand. It shares the path with the solver and
// nothing of its search.
func scanned(r *Rig, t *train) (short, long float64, ok bool) {
	const step = 0.002
	best, from := 0.0, math.NaN()
	var start, end float64
	close := func(at float64) {
		if at-from > best {
			best, start, end, ok = at-from, from, at, true
		}
		from = math.NaN()
	}
	for x := rearMost; x <= frontMost; x += step {
		p := t.at(x)
		free := p.ok && p.slope < 0 && p.guide.length() > t.contact && p.runClearance(t.tension.radius) > t.guide.radius+r.plate
		switch {
		case free && math.IsNaN(from):
			from = x
		case !free && !math.IsNaN(from):
			close(x - step)
		}
	}
	if !math.IsNaN(from) {
		close(frontMost)
	}
	if !ok {
		return 0, 0, false
	}
	a, b := t.at(start), t.at(end)
	return b.pitches, a.pitches, true
}

// The limits are the ends of the widest free swing, whatever the build.
func TestLimitsAgainstScan(t *testing.T) {
	gears, other := 0, 0
	workshopBuilds(func(b gearing.Build) {
		if b.Frame.Chainstay != 432 {
			return // the chainstay hardly changes a swing; time does
		}
		r, err := NewRig(b)
		if err != nil {
			t.Fatal(err)
		}
		for i := range r.gears {
			tr, _ := r.trainAt(&r.gears[i], 0, 0)
			short, long, ok := scanned(r, &tr)
			l := r.limits(&tr, nil)
			if !ok || long-short < 2 {
				continue // next to no swing
			}
			gears++
			if !l.ok || math.Abs(l.atFront.pitches-short) > 0.1 || math.Abs(l.atRear.pitches-long) > 0.1 {
				other++
				t.Logf("%.0f mm, %s: %.2f to %.2f pitches, a scan finds %.2f to %.2f", float64(b.Rear.PulleyCentres), r.gears[i].id,
					l.atFront.pitches, l.atRear.pitches, short, long)
			}
		}
	})
	t.Logf("%d gears, %d with another swing", gears, other)
	if other > 0 || gears < 3000 {
		t.Errorf("%d of %d gears have another swing than a scan finds", other, gears)
	}
}

// Every way to the recommended chain gives the same, and the counts said to run
// in every gear do.
func TestWindowsAgree(t *testing.T) {
	builds := 0
	workshopBuilds(func(b gearing.Build) {
		r, err := NewRig(b)
		if err != nil {
			t.Fatal(err)
		}
		builds++
		w := r.Window()
		short, _, ok := r.Shortest()
		if ok != (w.Shortest > 0) || ok && short != w.Shortest {
			t.Errorf("%v x %v, %.0f mm: shortest %d (%v), window %d", b.Rings, b.Cogs, float64(b.Rear.PulleyCentres), short, ok, w.Shortest)
		}
		n, f, same := r.Recommended()
		if same != ok || n < short {
			t.Errorf("%v x %v: %d recommended (%v), shortest %d (%v)", b.Rings, b.Cogs, n, same, short, ok)
		}
		if ok && f.Worst().Dangerous() {
			t.Errorf("%v x %v: %d recommended, worst gear %s", b.Rings, b.Cogs, n, f.Worst())
		}
		for _, c := range w.Counts {
			if c.Pitches >= w.ClearFrom && c.Pitches <= w.ClearTo && !c.Worst().Runs() {
				t.Errorf("%v x %v: clear from %d to %d, but %d is %s", b.Rings, b.Cogs, w.ClearFrom, w.ClearTo, c.Pitches, c.Worst())
			}
		}
		a, err := r.Answer()
		if err != nil {
			t.Fatal(err)
		}
		if a.Pitches != max(n, 3) && n > 0 {
			t.Errorf("%v x %v: answer for %d pitches, recommended %d", b.Rings, b.Cogs, a.Pitches, n)
		}
	})
	if builds < 700 {
		t.Errorf("only %d builds", builds)
	}
}

// Typical geometry follows the cassette: whatever the cog, the set gap is met
// or the guide pulley stays farther off; out of reach is only the short cage
// under the very large cog.
func TestTypicalGeometryMeetsItsGap(t *testing.T) {
	met, all := 0, 0
	workshopBuilds(func(b gearing.Build) {
		r, err := NewRig(b)
		if err != nil {
			t.Fatal(err)
		}
		n, f, _ := r.Recommended()
		if n == 0 || b.LargestCog() > 40 && b.Rear.PulleyCentres < 80 {
			return
		}
		all++
		if g := &f.Gears[r.reference]; f.Screw || g.Gap >= f.Target {
			met++
		}
	})
	t.Logf("%d of %d", met, all)
	if met < all*9/10 {
		t.Errorf("the gap is met on %d of %d builds", met, all)
	}
}
