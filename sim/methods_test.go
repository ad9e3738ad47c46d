package sim

import (
	"errors"
	"math"
	"strings"
	"testing"

	"cagewise/gearing"
)

// Both methods against the taut string of oracle_test.go: the medium class on
// the frame of class_test.go, the cage straight down, and at the angle at
// which the lower run stands 8.6 mm off the guide pulley's pitch circle, 22.539.
func TestPulleyMethods(t *testing.T) {
	c := classFrames[1]
	b := classBuild(c.class, c.chainstay, c.drop, c.rings, c.cogs)
	s := oracleSetup{ring: 46, cog: 11, guide: 11, tension: 11, chainstay: 430, drop: 70, pivotX: 12, pivotY: -71, centres: 75, pivotToGuide: 9.4, pivotDegree: 60}
	vertical, _ := oraclePath(s.wheels(-math.Pi / 2))
	s.ring = 30
	clear, hit := -math.Pi/2, -1.25*math.Pi
	for range 20 {
		if mid := (clear + hit) / 2; oracleRoom(s, mid) > 22.539+8.6 {
			clear = mid
		} else {
			hit = mid
		}
	}
	slack, _ := oraclePath(s.wheels(clear))
	for _, worn := range []gearing.Chain{{}, {Pitches: 112, Elongation: 1}} { // the count is for a new chain
		b.Chain = worn
		got, err := PulleyMethods(b)
		if err != nil || len(got) != 2 {
			t.Fatal(got, err)
		}
		for i, want := range []float64{vertical, slack} {
			m := got[i]
			if math.Abs(float64(m.Raw)-want) > 0.05 {
				t.Errorf("%s: %.3f pitches, oracle %.3f", m.Method, m.Raw, want)
			}
			if off := min(float64(m.ToLonger), float64(m.ToShorter)) * 12.7 / 2; math.Abs(math.Abs(float64(m.Chainstay))-off) > 1e-9 {
				t.Errorf("%s: %.3f mm of chainstay to the edge, want %.3f", m.Method, m.Chainstay, off)
			}
			even := 2 * []float64{math.Ceil(want / 2), math.Floor(want / 2)}[i] // up, down
			if m.Pitches != int(even) || m.Method != []gearing.MethodName{gearing.MethodVertical, gearing.MethodSmallSmall}[i] {
				t.Errorf("%s: cut at %d, want %v", m.Method, m.Pitches, even)
			}
		}
	}
}

func TestPulleyMethodsRefuse(t *testing.T) {
	for _, c := range []struct {
		rings, cogs []gearing.Teeth
		chainstay   gearing.MM
		want        string
	}{
		{[]gearing.Teeth{30, 46}, []gearing.Teeth{11, 36}, 0, gearing.ErrNoChainstay.Error()},
		{[]gearing.Teeth{30, 46}, []gearing.Teeth{11, 36}, 60, "gear 46x11: ring and cog"},
		{[]gearing.Teeth{8, 46}, []gearing.Teeth{80}, 80, "gear 8x80: ring and cog"},
	} {
		b := classBuild("medium", c.chainstay, 0, c.rings, c.cogs)
		if _, err := PulleyMethods(b); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v x %v: %v", c.rings, c.cogs, err)
		}
	}
	if _, err := PulleyMethods(classBuild("medium", 0, 0, nil, nil)); !errors.Is(err, gearing.ErrNoChainstay) {
		t.Error(err)
	}
	inside := classBuild("medium", 430, 70, []gearing.Teeth{30, 46}, []gearing.Teeth{11, 36})
	inside.Rear.Geometry.PivotSmallX, inside.Rear.Geometry.PivotSmallY = 0, -1 // the guide pulley lies in the cog
	if m, err := PulleyMethods(inside); err == nil || !strings.Contains(err.Error(), "does not close") {
		t.Errorf("%+v, %v", m, err)
	}
}

// The run goes back along -x, 20 mm under a clockwise pulley at the
// origin: beside the run its perpendicular distance counts, past its end at the pulley
// the distance to that end (by hand).
func TestRunClearance(t *testing.T) {
	p := pose{lower: strand{100, -math.Pi}}
	for guide, want := range map[vec]float64{{50, 20}: 40, {0, 20}: 40, {-30, 20}: 50, {-9, -8}: 15, {9, -32}: -12} {
		p.guide = guide
		if got := p.runClearance(20); math.Abs(got-want) > 1e-9 {
			t.Errorf("guide at %v: %.3f mm, want %v", guide, got, want)
		}
	}
}

func TestRigBounds(t *testing.T) {
	b := classBuild("medium", 430, 70, []gearing.Teeth{30, 46}, []gearing.Teeth{11, 36})
	tip := gearing.Teeth(11).TipRadius()
	b.Rear.PulleyCentres = 2 * tip
	if _, err := NewRig(b); err != nil {
		t.Errorf("pulleys that just clear each other: %v", err)
	}
	b.Rear.PulleyCentres = 75
	b.Frame.BottomBracketDrop, b.Frame.Chainstay = 0, gearing.Teeth(46).TipRadius()+gearing.Teeth(36).TipRadius()
	if _, err := NewRig(b); err != nil {
		t.Errorf("wheels that just clear each other: %v", err)
	}
	one := plainRig(t, classBuild("medium", 430, 70, []gearing.Teeth{32}, []gearing.Teeth{16}))
	if g := fixedBody(one, 0, 102); g.NoPath || g.Pivot != (Point{12, -71}) {
		t.Errorf("a single cog: %+v", g)
	}
	b = marginBuilds()["measured"]
	b.Rear.Geometry.MountPreload, b.Rear.Geometry.MountRate = 900, 2
	if r := mustRig(t, b); math.Abs(r.mountRate-2*180/math.Pi) > 1e-9 || !r.sprung {
		t.Errorf("2 N mm a degree are %v a radian", r.mountRate)
	}
}
