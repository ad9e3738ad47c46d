package plot

import (
	"math"
	"slices"

	"cagewise/gearing"
	"cagewise/sim"
)

// pathWheel is one wheel that the chain goes round. Places are in mm from the
// rear axle, x forward and y up, here and in all that follows.
type pathWheel struct {
	name  string
	at    point
	teeth gearing.Teeth
	r     float64 // of the circle through the pins, mm
	spin  float64 // -1 clockwise, +1 counter-clockwise
	wrap  float64 // radians, not under 0
	phase float64 // direction of one pin, radians
}

// pathRun is a straight run of chain from one wheel to the next.
type pathRun struct {
	from, to  point
	direction float64 // of travel, radians
}

// The wheels in the order the chain passes them; run i leads from wheel i to
// the next one.
const (
	onCog = iota
	onRing
	onTension
	onGuide
)

var runNames = [...]string{onCog: "upper run", onRing: "lower run", onTension: "middle run", onGuide: "back run"}

// chainPath is the way of the chain in one gear.
type chainPath struct {
	wheels [4]pathWheel
	runs   [4]pathRun
	pitch  float64 // of the chain, worn or not, mm
	aside  float64 // of the ring from the cog, across the bike, mm
	closed bool    // there is a run between any two wheels
}

// crankCentre is where the ring turns.
func crankCentre(f gearing.Frame) point {
	c, drop := float64(f.Chainstay), float64(f.BottomBracketDrop)
	return point{math.Sqrt(max(0, c*c-drop*drop)), -drop}
}

func simPoint(p sim.Point) point { return point{float64(p.X), float64(p.Y)} }

// newChainPath lays out the runs between the wheels where the solver has put
// them. It is left open in a gear without a path, and where a locked cage has
// pushed one wheel into another.
func newChainPath(b gearing.Build, g *sim.GearFit, guide, tension gearing.Teeth) chainPath {
	stretch := 1.0
	if b.Chain.Pitches > 0 {
		stretch += float64(b.Chain.Elongation) / 100
	}
	c := chainPath{pitch: float64(gearing.Pitch) * stretch, aside: asideOf(b, g.GearID)}
	wheel := func(name string, at point, n gearing.Teeth, spin float64, w sim.Wrap) pathWheel {
		return pathWheel{name: name, at: at, teeth: n, r: float64(n.Radius()) * stretch, spin: spin, wrap: max(0, w.Angle.Radians())}
	}
	c.wheels = [4]pathWheel{
		onCog:     wheel("cog", point{}, g.Cog, -1, g.OnCog),
		onRing:    wheel("ring", crankCentre(b.Frame), g.Ring, -1, g.OnRing),
		onTension: wheel("tension pulley", simPoint(g.Tension), tension, -1, g.OnTension),
		onGuide:   wheel("guide pulley", simPoint(g.Guide), guide, 1, g.OnGuide),
	}
	if g.NoPath {
		return c
	}
	c.closed = true
	for i := range c.wheels {
		var ok bool
		c.runs[i], ok = runBetween(&c.wheels[i], &c.wheels[(i+1)%4])
		c.closed = c.closed && ok
	}
	if c.closed {
		c.setPhases()
	}
	return c
}

// runBetween finds the tangent of two circles: with k = (s2 r2 - s1 r1)/d it
// points along the line of centres turned back by asin k.
func runBetween(a, b *pathWheel) (pathRun, bool) {
	dx, dy := b.at.x-a.at.x, b.at.y-a.at.y
	k := (b.spin*b.r - a.spin*a.r) / math.Hypot(dx, dy)
	if !(math.Abs(k) < 1) {
		return pathRun{}, false
	}
	dir := math.Atan2(dy, dx) - math.Asin(k)
	return pathRun{a.touch(dir), b.touch(dir), dir}, true
}

// touch is where a run in a direction leaves or meets the wheel.
func (w *pathWheel) touch(direction float64) point {
	sin, cos := math.Sincos(direction - w.spin*math.Pi/2)
	return point{w.at.x + w.r*cos, w.at.y + w.r*sin}
}

// arc is the chain on wheel i: where it starts, from the wheel's centre, and
// how far it goes, counter-clockwise positive, both in radians.
func (c *chainPath) arc(i int) (from, sweep float64) {
	w := &c.wheels[i]
	return c.runs[(i+3)%4].direction - w.spin*math.Pi/2, w.spin * w.wrap
}

// pitchOn is a pitch as the side view shows it on run i of a length in mm: the two
// long runs lead aside too.
func (c *chainPath) pitchOn(i int, length float64) float64 {
	if i != onCog && i != onRing {
		return c.pitch
	}
	return c.pitch * length / math.Hypot(length, c.aside)
}

// asideOf is how far the ring of a gear stands outwards of the cog, mm; 0 for one
// that is not on the bike.
func asideOf(b gearing.Build, g gearing.GearID) float64 {
	i, j := slices.Index(b.Rings, g.Ring), slices.Index(b.Cogs, g.Cog)
	if i < 0 || j < 0 {
		return 0
	}
	l := b.Lines.WithDefaults(len(b.Rings), len(b.Cogs))
	return float64(l.RingOffset(i, len(b.Rings)) - l.CogOffset(j))
}

// pinsMeet is how near two pins of a closed chain are that are one, mm.
const pinsMeet = 1e-3

// walk visits every pin, with the wheel it sits on or -1-i on run i, from where
// the chain meets the cog.
func (c *chainPath) walk(visit func(p point, wheel int, angle float64)) {
	next := 0.0 // pitches from here to the next pin
	for i := range c.wheels {
		w, run := &c.wheels[i], &c.runs[i]
		from, sweep := c.arc(i)
		step := 2 * math.Pi / float64(w.teeth)
		for ; next*step < w.wrap; next++ {
			a := from + math.Copysign(next*step, sweep)
			sin, cos := math.Sincos(a)
			visit(point{w.at.x + w.r*cos, w.at.y + w.r*sin}, i, a)
		}
		next -= w.wrap / step
		dx, dy := run.to.x-run.from.x, run.to.y-run.from.y
		length := math.Hypot(dx, dy)
		pitch, end := c.pitchOn(i, length), length
		if i == onGuide {
			end -= pinsMeet // the pin that closes the chain is its first one
		}
		for ; next*pitch < end; next++ {
			t := next * pitch / length
			visit(point{run.from.x + t*dx, run.from.y + t*dy}, -1-i, 0)
		}
		next -= length / pitch
	}
}

// setPhases turns every wheel so that the pins sit between its teeth.
func (c *chainPath) setPhases() {
	c.walk(func(_ point, wheel int, angle float64) {
		if wheel >= 0 {
			c.wheels[wheel].phase = angle
		}
	})
}

// toothed is the outline of a wheel: flat teeth between the root circle and the
// tip circle, a simple shape and no cutter's.
func (w *pathWheel) toothed() []point {
	root := float64(gearing.RootDiameter(w.teeth, gearing.Pitch, gearing.RollerDiameter)) / 2
	tip := float64(w.teeth.TipRadius())
	flank := root + 0.3*(tip-root)
	shape := [...][2]float64{{-0.27, flank}, {-0.14, root}, {0.14, root}, {0.27, flank}, {0.39, tip}, {0.61, tip}}
	pts := make([]point, 0, len(shape)*int(w.teeth))
	for k := range int(w.teeth) {
		for _, v := range shape {
			sin, cos := math.Sincos(w.phase + 2*math.Pi*(float64(k)+v[0])/float64(w.teeth))
			pts = append(pts, point{w.at.x + v[1]*cos, w.at.y + v[1]*sin})
		}
	}
	return pts
}

// Radii of the cage plate round the cage pivot and the pulley centres, mm, for
// the eye only.
const plateAtPivot, plateAtPulley = 10.0, 8.0

// cagePlate is the outline of a plate that holds the cage pivot and both
// pulleys, round corners in so many steps a turn.
func cagePlate(g *sim.GearFit, steps int) []point {
	var pts []point
	for _, c := range [...]struct {
		at sim.Point
		r  float64
	}{{g.Pivot, plateAtPivot}, {g.Guide, plateAtPulley}, {g.Tension, plateAtPulley}} {
		pts = append(pts, turned(simPoint(c.at), c.r, 0, steps)...)
	}
	return hull(pts)
}

// view maps mm on the bike to mm on the page, equal in x and y.
type view struct {
	scale  float64
	origin point // of the rear axle on the page
}

func (v view) at(p point) point { return point{v.origin.x + v.scale*p.x, v.origin.y + v.scale*p.y} }

func (v view) all(pts []point) []point {
	out := make([]point, len(pts))
	for i, p := range pts {
		out[i] = v.at(p)
	}
	return out
}
