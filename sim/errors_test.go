package sim

import (
	"errors"
	"math"
	"strings"
	"testing"

	"cagewise/gearing"
)

// Geometry that cannot be is refused by name.
func TestRigRefuses(t *testing.T) {
	good := marginBuilds()["measured"]
	for _, c := range []struct {
		name   string
		change func(b *gearing.Build)
		want   string
	}{
		{"nothing", func(b *gearing.Build) { *b = gearing.Build{} }, "rings"},
		{"no chainstay", func(b *gearing.Build) { b.Frame.Chainstay = 0 }, gearing.ErrNoChainstay.Error()},
		{"no geometry", func(b *gearing.Build) { b.Rear = gearing.RearDerailleur{LargestCog: 34, SmallestCog: 11} }, ErrNoGeometry.Error()},
		{"class", func(b *gearing.Build) { b.Rear = gearing.RearDerailleur{Geometry: gearing.Geometry{Class: "huge"}} }, "allowed short, medium, long, wide"},
		{"triangle too short", func(b *gearing.Build) { b.Rear.Geometry.PivotToTension = 20 }, "cage triangle: 11.0, 20.0 and 76.0 mm cannot close"},
		{"triangle too long", func(b *gearing.Build) { b.Rear.Geometry.PivotToGuide = 200 }, "cannot close"},
		{"stops crossed", func(b *gearing.Build) { b.Rear.Geometry.CageStopRear, b.Rear.Geometry.CageStopForward = -5, -205 }, "rear cage stop"},
		{"stops equal", func(b *gearing.Build) { b.Rear.Geometry.CageStopRear, b.Rear.Geometry.CageStopForward = -90, -90 }, "rear cage stop"},
		{"pulleys overlap", func(b *gearing.Build) {
			b.Rear.PulleyCentres, b.Rear.Geometry.PivotToGuide, b.Rear.Geometry.PivotToTension = 40, 20, 30
		}, "pulleys of 11 and 11 teeth overlap"},
		{"wheels overlap", func(b *gearing.Build) { b.Frame.Chainstay = 100 }, "do not clear each other"},
		{"chainstay under the drop", func(b *gearing.Build) { b.Frame.Chainstay, b.Frame.BottomBracketDrop = 290, 300 }, "less than the chainstay"},
		{"not a number", func(b *gearing.Build) { b.Rear.Geometry.PivotSmallX = gearing.MM(math.NaN()) }, "not a number"},
		{"endless", func(b *gearing.Build) { b.Rear.Geometry.SpringRate = math.Inf(1) }, "not a number"},
	} {
		b := good
		c.change(&b)
		if _, err := NewRig(b); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v; want %q in it", c.name, err, c.want)
		}
	}
}

// A chain of 2 or 10,001 pitches is refused, 3 and 10,000 are answered.
func TestChainCounts(t *testing.T) {
	r := mustRig(t, marginBuilds()["measured"])
	for _, n := range []int{math.MinInt, -1, 0, 2, 10001, math.MaxInt} {
		if _, err := r.Fit(n); err == nil || !strings.Contains(err.Error(), "allowed 3 to 10000") {
			t.Errorf("fit with %d pitches: %v", n, err)
		}
		if _, err := r.Roadside(n, 0); err == nil {
			t.Errorf("card with %d pitches", n)
		}
	}
	short, err1 := r.Fit(3)
	long, err2 := r.Fit(10000)
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	if short.Count(Locks) != r.Gears() || long.Count(Slack)+long.Count(Hits) != r.Gears() {
		t.Errorf("3 pitches: %v; 10,000: %v", short.Worst(), long.Worst())
	}
}

// A pulley inside a cog is a state with a reason, not an error: the chain may
// still be judged in the other gears.
func TestPulleyInsideCog(t *testing.T) {
	b := marginBuilds()["measured"]
	b.Rear.Geometry.PivotLargeX, b.Rear.Geometry.PivotLargeY = 10, -60
	r := mustRig(t, b)
	f, err := r.Fit(112)
	if err != nil {
		t.Fatal(err)
	}
	g := &f.Gears[r.reference]
	if !g.NoPath || g.State != Hits || !strings.Contains(g.Reason(), "the guide pulley lies in the cog") {
		t.Errorf("%s: %v %s: %s", g.GearID, g.NoPath, g.State, g.Reason())
	}
	if f.Count(Locks) == len(f.Gears) {
		t.Error("not every gear is lost")
	}
}

func TestNoRearDerailleurIsNamed(t *testing.T) {
	b := marginBuilds()["measured"]
	b.Rear = gearing.RearDerailleur{}
	if _, err := Judge(b); !errors.Is(err, ErrNoGeometry) {
		t.Error(err)
	}
	if _, err := PulleyMethods(b); !errors.Is(err, ErrNoGeometry) {
		t.Error(err)
	}
}
