package sim

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
)

// 12 mm of chainstay growth is 23.9 mm of chain at 32x51 (derived
// here): the path at the forward limit grows by as much as the loop.
func TestTwelveMillimetresOfGrowth(t *testing.T) {
	for _, cs := range []gearing.MM{435, 440, 450} {
		short, err1 := gearing.NewLoop(32, 51, cs)
		long, err2 := gearing.NewLoop(32, 51, cs+12)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if got := float64(long.Length-short.Length) * pitchMM; math.Abs(got-23.9) > 0.05 {
			t.Errorf("chainstay %.0f: %.2f mm of chain, want 23.9", float64(cs), got)
		}
	}
	b := classBuild("wide", 440, 40, []gearing.Teeth{32}, classFrames[3].cogs)
	b.Rear.Geometry.PivotLargeX, b.Rear.Geometry.PivotLargeY = 2, -125 // held
	rigid := plainRig(t, b)
	b.Frame.Suspension.Chainstays = []gearing.MM{440, 446, 452}
	moving := plainRig(t, b)
	i, _ := rigid.Index(gearing.GearID{Ring: 32, Cog: 51})
	lost := float64(fixedBody(rigid, i, 122).Forward-fixedBody(moving, i, 122).Forward) * pitchMM
	if math.Abs(lost-23.9) > 1.5 { // the cage is not quite in line with the chainstay
		t.Errorf("12 mm of growth take %.2f mm of the forward reserve, want about 23.9", lost)
	}
	if gained := fixedBody(rigid, i, 122).Rearward - fixedBody(moving, i, 122).Rearward; math.Abs(float64(gained)) > 1e-9 {
		t.Errorf("slack is judged at the shortest chainstay, not %.3f pitches off", float64(gained))
	}
}

// A swing arm keeps the axle's distance from the main pivot and lifts the axle
// by the travel, whatever the pivot.
func TestSuspensionPlaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := gearing.Frame{
			Chainstay: gearing.MM(rapid.Float64Range(400, 480).Draw(t, "chainstay")), BottomBracketDrop: gearing.MM(rapid.Float64Range(-20, 60).Draw(t, "drop")),
			Suspension: gearing.Suspension{
				PivotAhead: gearing.MM(rapid.Float64Range(-40, 60).Draw(t, "ahead")), PivotAbove: gearing.MM(rapid.Float64Range(-30, 150).Draw(t, "above")),
				Travel: gearing.MM(rapid.Float64Range(20, 180).Draw(t, "travel")),
			},
		}
		bb := crank(f)
		pivot := bb.add(vec{float64(f.Suspension.PivotAhead), float64(f.Suspension.PivotAbove)})
		list := suspensionPlaces(f, bb)
		if len(list) != suspensionSteps {
			t.Fatalf("%d places", len(list))
		}
		for k, p := range list {
			// Crank and pivot are fixed to the frame.
			if math.Abs(p.crank.sub(pivot).length()-bb.sub(pivot).length()) > 1e-9 {
				t.Fatal("the crank left the frame")
			}
			// Turn the frame back: the axle stands where the arm has swung it.
			turn := math.Atan2(bb.sub(pivot).cross(p.crank.sub(pivot)), bb.sub(pivot).dot(p.crank.sub(pivot)))
			if bb.sub(pivot).length() < 1 {
				continue
			}
			axle := pivot.add(pivot.times(-1).rotated(math.Sincos(-turn)))
			if want := float64(f.Suspension.Travel) * float64(k+1) / suspensionSteps; math.Abs(axle.y-want) > 1e-6 {
				t.Fatalf("axle %.4f mm up, want %.4f", axle.y, want)
			}
		}
	})
}

// A hanger extender moves the derailleur by what it says, no more.
func TestExtender(t *testing.T) {
	b := marginBuilds()["measured"]
	plain := mustRig(t, b)
	b.Rear.Geometry.ExtenderBehind, b.Rear.Geometry.ExtenderBelow = 3, 15
	lowered := mustRig(t, b)
	for i := range plain.gears {
		p, q := fixedBody(plain, i, 114), fixedBody(lowered, i, 114)
		if math.Abs(float64(q.Pivot.X-p.Pivot.X)+3) > 1e-9 || math.Abs(float64(q.Pivot.Y-p.Pivot.Y)+15) > 1e-9 {
			t.Errorf("%s: cage pivot from %v to %v", p.GearID, p.Pivot, q.Pivot)
		}
		if q.Gap < p.Gap+5 {
			t.Errorf("%s: gap %.1f, with an extender %.1f", p.GearID, float64(p.Gap), float64(q.Gap))
		}
	}
}

// A horizontal dropout is judged short at its rear end and slack at its front.
func TestDropout(t *testing.T) {
	b := marginBuilds()["measured"]
	front := mustRig(t, b)
	b.Frame.DropoutRange = 12
	both := mustRig(t, b)
	b.Frame.Chainstay, b.Frame.DropoutRange = b.Frame.Chainstay+12, 0
	for i := range front.gears {
		f, r := fixedBody(front, i, 114), fixedBody(both, i, 114)
		if r.Forward > f.Forward-1 || math.Abs(float64(r.Rearward-f.Rearward)) > 0.8 {
			t.Errorf("%s: reserves %.2f and %.2f, with 12 mm of dropout %.2f and %.2f", f.GearID, float64(f.Forward), float64(f.Rearward), float64(r.Forward), float64(r.Rearward))
		}
	}
}

// One chain for two wheels: the counts that serve both, none else.
func TestBoth(t *testing.T) {
	wide, narrow := marginBuilds()["measured"], marginBuilds()["measured"]
	narrow.Cogs = []gearing.Teeth{11, 12, 13, 14, 15, 17, 19, 21, 23, 25, 28}
	first, second := mustRig(t, wide), mustRig(t, narrow)
	a, b := first.Window(), second.Window()
	both := Both(first, second)
	if len(both.Counts) == 0 {
		t.Fatal("no counts in common")
	}
	for _, c := range both.Counts {
		x, err1 := first.Fit(c.Pitches)
		y, err2 := second.Fit(c.Pitches)
		if err1 != nil || err2 != nil || len(c.States) != len(x.Gears)+len(y.Gears) || c.Worst() != max(x.Worst(), y.Worst()) {
			t.Errorf("%d pitches: %v", c.Pitches, c.States)
		}
	}
	if both.Shortest < max(a.Shortest, b.Shortest) {
		t.Errorf("shortest %d for both, %d and %d alone", both.Shortest, a.Shortest, b.Shortest)
	}
}

// The card names every gear once, by what the chain does in it.
func TestRoadside(t *testing.T) {
	r := mustRig(t, marginBuilds()["measured"])
	for n := 100; n <= 122; n += 2 {
		card, err := r.Roadside(n, 0)
		if err != nil {
			t.Fatal(err)
		}
		f, err := r.Fit(n)
		if err != nil {
			t.Fatal(err)
		}
		if len(card.Never)+len(card.Doubtful)+len(card.Tight)+len(card.Slack)+len(card.Free) != len(f.Gears) {
			t.Errorf("%d pitches: %d, %d, %d, %d and %d gears", n, len(card.Never), len(card.Doubtful), len(card.Tight), len(card.Slack), len(card.Free))
		}
		for _, id := range card.Never {
			if i, _ := r.Index(id); !f.Gears[i].State.Dangerous() {
				t.Errorf("%d pitches: %s is %s", n, id, f.Gears[i].State)
			}
		}
	}
	short, _ := r.Roadside(112, 6)
	long, _ := r.Roadside(112, 0)
	if len(short.Never) <= len(long.Never) {
		t.Errorf("%d gears forbidden with 106 pitches, %d with 112", len(short.Never), len(long.Never))
	}
}
