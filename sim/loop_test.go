package sim

import (
	"math"
	"testing"

	"cagewise/gearing"
)

// loops are chains round two wheels: ring, cog, centre distance and drop.
var loops = []struct {
	ring, cog   gearing.Teeth
	centre      float64 // mm
	drop        float64
	rigid, near float64 // rigid links on real polygons (computed apart from this code), 0: none, and how near the smooth path is
}{
	{46, 11, 33.86 * 12.7, 70, 97.1385, 2e-4},
	{46, 36, 33.86 * 12.7, 70, 108.7948, 2e-4},
	{30, 11, 32.3 * 12.7, 0, 85.3833, 2e-4},
	{50, 11, 20 * 12.7, -30, 72.4423, 2e-4},
	{22, 50, 440, 40, 0, 0},
	{32, 32, 500, -20, 0, 0},
	{80, 8, 250, 80, 0, 0},
}

// A closed belt of the package's own runs and wheels round ring and cog alone
// is the loop of package gearing.
func TestTwoWheelsAreTheLoop(t *testing.T) {
	for _, c := range loops {
		loop, err := gearing.NewLoop(c.ring, c.cog, gearing.MM(c.centre))
		if err != nil {
			t.Fatal(err)
		}
		ring, cog := newWheel(c.ring, 0), newWheel(c.cog, 0)
		centre := crank(gearing.Frame{Chainstay: gearing.MM(c.centre), BottomBracketDrop: gearing.MM(c.drop)})
		upper, ok1 := tangent(centre, cw*ring.radius-cw*cog.radius, upperFrom)
		lower, ok2 := tangent(centre.times(-1), cw*cog.radius-cw*ring.radius, lowerFrom)
		if !ok1 || !ok2 {
			t.Fatalf("%dx%d: no runs", c.ring, c.cog)
		}
		got := (upper.length+lower.length)/pitchMM + ring.perRadian*(upper.direction-lower.direction) +
			cog.perRadian*(lower.direction+2*math.Pi-upper.direction)
		if math.Abs(got-float64(loop.Length)) > 1e-9 {
			t.Errorf("%dx%d: belt %.12f, loop %.12f pitches", c.ring, c.cog, got, float64(loop.Length))
		}
		if c.rigid > 0 && math.Abs(got-c.rigid) > c.near {
			t.Errorf("%dx%d: belt %.5f, rigid links %.4f", c.ring, c.cog, got, c.rigid)
		}
	}
}

// Two pulleys of no size that lie on the lower run bend the chain nowhere:
// both wraps vanish and the whole path is the loop (derived here).
func TestPulleysOnTheLowerRunAreTheLoop(t *testing.T) {
	for _, c := range loops {
		loop, err := gearing.NewLoop(c.ring, c.cog, gearing.MM(c.centre))
		if err != nil {
			t.Fatal(err)
		}
		tr, angle := threaded(c.ring, c.cog, c.centre, c.drop)
		p := tr.at(angle)
		if !p.ok || math.Abs(p.pitches-float64(loop.Length)) > 1e-9 {
			t.Errorf("%dx%d: path %.12f, loop %.12f pitches", c.ring, c.cog, p.pitches, float64(loop.Length))
		}
		onRing, onTension, onGuide, onCog := tr.wraps(&p)
		want := [4]float64{float64(loop.WrapRing), 0, 0, float64(loop.WrapCog)}
		for i, w := range [4]float64{onRing, onTension, onGuide, onCog} {
			if math.Abs(degrees(w)-want[i]) > 1e-9 {
				t.Errorf("%dx%d: wrap %d is %.10f degrees, want %.10f", c.ring, c.cog, i, degrees(w), want[i])
			}
		}
	}
}

// threaded puts a guide and a tension pulley of no size on the lower run at
// 1/4 and 3/4 of it. The run's ends come from relaxing: each end is the point of
// its wheel farthest across the line to the other end, to and fro until still.
func threaded(ring, cog gearing.Teeth, centre, drop float64) (train, float64) {
	rr, rc := float64(ring.Radius()), float64(cog.Radius())
	cx, cy := math.Sqrt(centre*centre-drop*drop), -drop
	a, b := vec{cx, cy}, vec{0, 0} // on the ring, on the cog
	for range 200 {
		dx, dy := b.x-a.x, b.y-a.y
		l := math.Hypot(dx, dy)
		nx, ny := -dy/l, dx/l // left of a run that goes back: below the wheels
		a, b = vec{cx + rr*nx, cy + rr*ny}, vec{rc * nx, rc * ny}
	}
	guide := vec{b.x + (a.x-b.x)/4, b.y + (a.y-b.y)/4}
	tension := vec{b.x + 3*(a.x-b.x)/4, b.y + 3*(a.y-b.y)/4}
	angle := math.Atan2(tension.y-guide.y, tension.x-guide.x)
	tr := train{
		ring: newWheel(ring, 0), cog: newWheel(cog, 0),
		crank: vec{cx, cy}, pivot: guide, toTension: vec{math.Hypot(tension.x-guide.x, tension.y-guide.y), 0},
	}
	tr.valid = tr.set()
	return tr, angle
}
