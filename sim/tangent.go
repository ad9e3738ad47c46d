package sim

import "math"

// vec is a point or a direction in the frame of reference of the package
// documentation, in millimetres.
type vec struct{ x, y float64 }

func (a vec) add(b vec) vec            { return vec{a.x + b.x, a.y + b.y} }
func (a vec) sub(b vec) vec            { return vec{a.x - b.x, a.y - b.y} }
func (a vec) times(k float64) vec      { return vec{k * a.x, k * a.y} }
func (a vec) dot(b vec) float64        { return a.x*b.x + a.y*b.y }
func (a vec) cross(b vec) float64      { return a.x*b.y - a.y*b.x }
func (a vec) length() float64          { return math.Sqrt(a.x*a.x + a.y*a.y) }
func (a vec) left() vec                { return vec{-a.y, a.x} }
func (a vec) rotated(s, c float64) vec { return vec{c*a.x - s*a.y, s*a.x + c*a.y} }

// heading is the unit vector at an angle from +x, counter-clockwise.
func heading(angle float64) vec {
	s, c := math.Sincos(angle)
	return vec{c, s}
}

// Spins of a wheel as the chain drives it forward.
const (
	cw  = -1.0
	ccw = +1.0
)

// strand is a straight run of chain tangent to two wheels.
type strand struct {
	length    float64 // mm
	direction float64 // of travel, radians, see tangent for the branch
}

// tangent finds the run from wheel 1 to wheel 2, whose centres lie d apart.
// offset is s2 r2 - s1 r1 with s = +1 for a wheel that turns counter-clockwise
// and -1 clockwise: the centre then lies left of the run, or right. With
// k = offset/|d| the run points along (direction of d) - asin k and is
// |d| sqrt(1 - k^2) long (derived here). The direction is
// given in [from, from + 2 pi), so that a caller who keeps the wheels away
// from that branch cut sees it change without jumps. ok is false when one
// wheel holds the other inside and there is no run.
func tangent(d vec, offset, from float64) (run strand, ok bool) {
	dist := d.length()
	if !(math.Abs(offset) < dist) {
		return strand{}, false
	}
	k := offset / dist
	return strand{
		length:    dist * math.Sqrt(1-k*k),
		direction: angleFrom(d, from) - math.Asin(k),
	}, true
}

// angleFrom is the angle of d from +x in [from, from + 2 pi).
func angleFrom(d vec, from float64) float64 {
	a := math.Atan2(d.y, d.x)
	for a < from {
		a += 2 * math.Pi
	}
	for a >= from+2*math.Pi {
		a -= 2 * math.Pi
	}
	return a
}
