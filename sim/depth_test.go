package sim

import (
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
)

// depths are what may be known of one derailleur, each more than the one before:
// nothing, its rating, its pulley centres, its geometry by a ruler, by readings.
func depths(t *rapid.T, b gearing.Build) [5]gearing.Build {
	var list [5]gearing.Build
	for i := range list {
		list[i] = b
		list[i].Rear = gearing.RearDerailleur{}
	}
	c := classes[rapid.IntRange(0, len(classes)-1).Draw(t, "class")]
	r := gearing.RearDerailleur{
		RatedCapacity: gearing.Teeth(rapid.IntRange(int(c.usual.capacity[0]), int(c.usual.capacity[1])).Draw(t, "rated capacity")),
		LargestCog:    gearing.Teeth(rapid.IntRange(int(c.usual.largest[0]), int(c.usual.largest[1])).Draw(t, "rated cog")),
	}
	list[1].Rear = r
	r.PulleyCentres = gearing.MM(c.centres)
	list[2].Rear = r
	mm := func(label string, at, e float64) gearing.MM {
		return gearing.MM(at + e*rapid.Float64Range(-1, 1).Draw(t, label))
	}
	low := c.lowPivot(float64(r.LargestCog))
	r.GuidePulleyTeeth, r.TensionPulleyTeeth = c.guide, c.tension
	r.Geometry = gearing.Geometry{
		PivotSmallX: mm("small x", c.pivotSmall.x, 5), PivotSmallY: mm("small y", c.pivotSmall.y, 5),
		PivotLargeX: mm("large x", low.x, 5), PivotLargeY: mm("large y", low.y, 8),
		PivotToGuide: gearing.MM(c.toGuide), PivotToTension: gearing.MM(c.toTension), PivotSide: "ahead",
	}
	if rapid.Bool().Draw(t, "stop known") {
		r.Geometry.CageStopForward = gearing.Degrees(rapid.Float64Range(-60, 40).Draw(t, "forward stop"))
	}
	if rapid.IntRange(0, 4).Draw(t, "sprung") == 0 {
		r.Geometry.MountPreload, r.Geometry.MountRate = 1000, 12
	}
	list[3].Rear = r
	r.Geometry.PivotError, r.Geometry.CageError = 0.8, 0.6
	list[4].Rear = r
	return list
}

// drawBike draws gears, a frame and, mostly, a chain of about the right length.
func drawBike(t *rapid.T) gearing.Build {
	b := classBuild("", gearing.MM(rapid.Float64Range(400, 470).Draw(t, "chainstay")), gearing.MM(rapid.Float64Range(20, 80).Draw(t, "drop")),
		teethUp(t, "rings", rapid.IntRange(1, 3).Draw(t, "number of rings"), 28, 50),
		teethUp(t, "cogs", rapid.IntRange(2, 9).Draw(t, "number of cogs"), 11, 36))
	switch rapid.IntRange(0, 5).Draw(t, "frame") {
	case 0:
		b.Frame.DropoutRange = 15
	case 1:
		b.Frame.Suspension = gearing.Suspension{PivotAhead: 10, PivotAbove: 60, Travel: 100}
	}
	b.Chain = gearing.Chain{OffsetLink: rapid.IntRange(0, 3).Draw(t, "offset link") == 0}
	l, err := gearing.NewLoop(b.LargestRing(), b.LargestCog(), b.Frame.LongestChainstay())
	if err != nil {
		t.Skip(err)
	}
	if more := rapid.IntRange(-6, 12).Draw(t, "pitches over the bare loop"); more < 9 {
		b.Chain.Pitches = int(l.Length) + more
		b.Chain.Pitches += b.Chain.Pitches % gearing.CountStep(b.Chain)
		b.Chain.Elongation = gearing.Percent(rapid.Float64Range(0, 1).Draw(t, "elongation"))
	}
	return b
}

// shortSide ranks a state by how short the chain is: tight, too short, locks.
func shortSide(s State) int {
	switch s {
	case Tight:
		return 1
	case TooShort:
		return 2
	case Locks:
		return 3
	}
	return 0
}

// long leaves a test out where it would take minutes: what it races others do.
func long(t *testing.T) {
	t.Helper()
	if raced || testing.Short() {
		t.Skip("takes long")
	}
}

// asked checks fewer builds than rapid's hundred where each takes long.
func asked(n int) int {
	if raced || testing.Short() {
		return n / 5
	}
	return n
}

// Knowing more never makes a gear better on the short side, an order to cut or to
// stay stands only where shared/design/MODEL.md section 7 allows one, and the
// length named is never under big-big + 2 nor tight, at every depth of knowledge.
func TestDepthsOfKnowledge(t *testing.T) {
	orders, worse, hidden := map[Order]int{}, 0, 0
	bikes := rapid.Custom(func(t *rapid.T) [5]gearing.Build { return depths(t, drawBike(t)) })
	for k := range asked(60) {
		list := bikes.Example(k)
		bare, err := NewStudy(list[0], gearing.TableOptions{})
		if err != nil {
			continue // wheels that run into each other
		}
		checkAdvice(t, &bare.Advice)
		checkLength(t, list[0], &bare.Advice)
		for depth, b := range list[1:] {
			s, err := NewStudy(b, gearing.TableOptions{})
			if err != nil {
				continue
			}
			a := &s.Advice
			if want := Knowledge(depth + 1); a.Knowledge != want || !a.Judged {
				t.Fatalf("depth %d: %s, judged %v", depth+1, a.Knowledge, a.Judged)
			}
			orders[a.Order]++
			checkAdvice(t, a)
			checkLength(t, b, a)
			if a.Pitches != bare.Advice.Pitches {
				continue // another chain to hang
			}
			for i := range a.Gears {
				less, more := bare.Advice.Gears[i].State, a.Gears[i].State
				switch {
				case more == Hits && less == Tight:
					hidden++ // worse than tight
				case shortSide(more) < shortSide(less):
					t.Errorf("%v x %v with %d pitches: %s is %s over the bare loop and %s by %s", b.Rings, b.Cogs, a.Pitches, a.Gears[i].GearID, less, more, a.Knowledge)
				case shortSide(more) > shortSide(less):
					worse++
				}
				if over := s.Answer.Fit.Gears[i]; !over.NoPath && over.Forward > over.OverLoop+1e-9 {
					t.Errorf("%s: %v pitches forward, %v over the bare loop", over.GearID, over.Forward, over.OverLoop)
				}
			}
			if bare.Advice.Order == Replace && a.Order == Stay && a.Owned {
				t.Errorf("%v x %v: a chain of %d pitches is replaced by the bare loop and stays by %s", b.Rings, b.Cogs, a.Pitches, a.Knowledge)
			}
		}
		if t.Failed() {
			t.Fatalf("%+v", list[3])
		}
	}
	t.Logf("orders %v; %d gears worse by the cage, %d tight ones hit the cog", orders, worse, hidden)
	if !raced && !testing.Short() && (min(orders[Cut], orders[Stay], orders[Hang], orders[Replace]) < 5 || worse < 20) {
		t.Error("these prove little")
	}
}

// checkLength holds the length named against the bare loop, as a new chain.
func checkLength(t testing.TB, b gearing.Build, a *Advice) {
	t.Helper()
	if a.Order == Stay || a.Order == NoChain {
		return
	}
	if over := float64(a.Length) - bareLoop(t, b); over < 2 {
		t.Errorf("%v x %v at %s: %d pitches named (%s), %.3f over big-big", b.Rings, b.Cogs, a.Knowledge, a.Length, a.Order, over)
	}
	b.Chain = gearing.Chain{OffsetLink: b.Chain.OffsetLink, Pitches: a.Length}
	f, err := gearing.NewRatedFit(b)
	if err != nil {
		t.Fatal(err)
	}
	if o := f.Owned; o.State != gearing.OwnedLongEnough || len(o.Tight)+len(o.TooShort)+len(o.Locked) > 0 {
		t.Errorf("%v x %v at %s: %d pitches named (%s) are %s", b.Rings, b.Cogs, a.Knowledge, a.Length, a.Order, o.State)
	}
	if a.Length%gearing.CountStep(b.Chain) != 0 {
		t.Errorf("%d pitches do not close", a.Length)
	}
}
