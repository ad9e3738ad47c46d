package sim

import (
	"math"

	"cagewise/gearing"
)

const pitchMM = float64(gearing.Pitch)

// wheel is a toothed wheel as the path sees it.
type wheel struct {
	radius    float64 // pitch radius, mm
	perRadian float64 // pitches of chain on one radian of wrap
}

// newWheel seats a chain worn by the fraction e on n teeth: it sits at
// r (1 + e), and still n pitches go round. perRadian counts
// pitches of 12.7 mm, hence the factor there too.
func newWheel(n gearing.Teeth, e float64) wheel {
	return wheel{
		radius:    float64(n.Radius()) * (1 + e),
		perRadian: float64(n) / (2 * math.Pi) * (1 + e),
	}
}

// train is one gear's four wheels and the cage, with all that the cage angle
// does not change: what solving for the cage angle works on.
type train struct {
	ring, cog, guide, tension wheel
	crank                     vec     // ring centre; the cog is at the origin
	aside                     float64 // of the ring from the cog, across the bike, mm
	pivot                     vec     // cage pivot
	toGuide, toTension        vec     // from the pivot, in the cage's own frame (cage angle 0)
	upper                     strand  // cog to ring
	upperLength               float64 // of the upper run, its way aside included
	middleLength              float64 // tension to guide pulley
	middleAsin                float64 // asin k of that run
	contact                   float64 // distance at which the teeth of guide pulley and cog touch
	body                      float64 // how far the derailleur's body is turned, radians
	valid                     bool    // set found all fixed runs
}

// pose is a train at one cage angle.
type pose struct {
	guide, tension      vec
	lower, middle, back strand // ring to tension, tension to guide, guide to cog
	// pitches is the length of the whole path, slope its derivative by the
	// cage angle in radians; forward is positive, so slope is negative on
	// the working branch.
	pitches, slope float64
	ok             bool
}

// Lower ends of the 2 pi intervals in which the directions of the runs are
// taken. Along the chain the direction falls by 2 pi in all, from near 0 on
// the upper run over -180 degrees on the lower run to near -210 on the way
// into the cog; the cuts lie where no bicycle brings a run: the tension pulley
// level with the cranks and ahead of them, the guide pulley level with the
// axle and ahead of it.
const (
	upperFrom = -math.Pi
	lowerFrom = -2 * math.Pi
	backFrom  = -2.5 * math.Pi
)

// set fixes the runs that do not move with the cage; ok is false when the ring
// and cog, or the pulleys, are one inside the other.
func (t *train) set() (ok bool) {
	if t.upper, ok = tangent(t.crank, cw*t.ring.radius-cw*t.cog.radius, upperFrom); !ok {
		return false
	}
	t.upperLength = math.Hypot(t.upper.length, t.aside)
	centres := t.toTension.sub(t.toGuide).length()
	k := (ccw*t.guide.radius - cw*t.tension.radius) / centres
	if !(k < 1) {
		return false
	}
	t.middleLength = centres * math.Sqrt(1-k*k)
	t.middleAsin = math.Asin(k)
	return true
}

// at places the cage at an angle (direction from guide to tension pulley,
// radians) and measures the path (derived here):
//
//	path = sum of runs / p + sum of wrap x N / (2 pi)
//
// The two long runs also go aside by the chain line's offset dz: they are
// sqrt(L^2 + dz^2) long (derived here).
//
// Wraps are differences of the runs' directions and go negative, rather than
// jump by 2 pi, when a run leaves its wheel.
func (t *train) at(angle float64) pose {
	s, c := math.Sincos(angle)
	g, w := t.toGuide.rotated(s, c), t.toTension.rotated(s, c)
	p := pose{guide: t.pivot.add(g), tension: t.pivot.add(w)}
	dGuide, dTension := g.left(), w.left() // by the cage angle

	toTension := p.tension.sub(t.crank)
	offLower := cw*t.tension.radius - cw*t.ring.radius
	var okLower, okBack bool
	p.lower, okLower = tangent(toTension, offLower, lowerFrom)
	toCog := p.guide.times(-1)
	offBack := cw*t.cog.radius - ccw*t.guide.radius
	p.back, okBack = tangent(toCog, offBack, backFrom)
	if p.ok = okLower && okBack; !p.ok {
		return p
	}
	p.middle = strand{t.middleLength, angle - math.Pi - t.middleAsin}

	lower := math.Hypot(p.lower.length, t.aside)
	length := t.upperLength + lower + p.middle.length + p.back.length
	onRing, onTension, onGuide, onCog := t.wraps(&p)
	p.pitches = length/pitchMM + t.ring.perRadian*onRing + t.tension.perRadian*onTension +
		t.guide.perRadian*onGuide + t.cog.perRadian*onCog

	lowerLen, lowerDir := runSlopes(toTension, dTension, offLower, p.lower.length)
	backLen, backDir := runSlopes(toCog, dGuide.times(-1), offBack, p.back.length)
	p.slope = (lowerLen*p.lower.length/lower+backLen)/pitchMM - t.ring.perRadian*lowerDir + t.tension.perRadian*(lowerDir-1) +
		t.guide.perRadian*(backDir-1) + t.cog.perRadian*backDir
	return p
}

// slopeAt is at's slope alone: it needs no direction, and so no arcs. NaN where
// there is no path.
func (t *train) slopeAt(angle float64) float64 {
	s, c := math.Sincos(angle)
	g, w := t.toGuide.rotated(s, c), t.toTension.rotated(s, c)
	toTension, toCog := t.pivot.add(w).sub(t.crank), t.pivot.add(g).times(-1)
	offLower, offBack := cw*t.tension.radius-cw*t.ring.radius, cw*t.cog.radius-ccw*t.guide.radius
	lower, back := runLength(toTension, offLower), runLength(toCog, offBack)
	lowerLen, lowerDir := runSlopes(toTension, w.left(), offLower, lower)
	backLen, backDir := runSlopes(toCog, g.left().times(-1), offBack, back)
	aside := lower / math.Hypot(lower, t.aside)
	return (lowerLen*aside+backLen)/pitchMM - t.ring.perRadian*lowerDir + t.tension.perRadian*(lowerDir-1) +
		t.guide.perRadian*(backDir-1) + t.cog.perRadian*backDir
}

// clearanceAt is runClearance alone, likewise.
func (t *train) clearanceAt(angle float64) float64 {
	s, c := math.Sincos(angle)
	g, w := t.toGuide.rotated(s, c), t.toTension.rotated(s, c)
	d := t.pivot.add(w).sub(t.crank)
	off := cw*t.tension.radius - cw*t.ring.radius
	length, square := runLength(d, off), d.dot(d)
	// The run's direction is d's, turned by -asin(off/|d|).
	h := d.rotated(-off, length).times(1 / square)
	if back := runLength(t.pivot.add(g), cw*t.cog.radius-ccw*t.guide.radius); !(back > 0) {
		return math.NaN()
	}
	return clearance(h, g.sub(w), t.tension.radius)
}

// runLength is the length of a run as tangent finds it; NaN where there is none.
func runLength(d vec, offset float64) float64 { return math.Sqrt(d.dot(d) - offset*offset) }

// wraps are the turning angles on the four wheels in radians.
func (t *train) wraps(p *pose) (ring, tension, guide, cog float64) {
	return t.upper.direction - p.lower.direction,
		p.lower.direction - p.middle.direction,
		p.back.direction - p.middle.direction,
		p.back.direction + 2*math.Pi - t.upper.direction
}

// runSlopes are the derivatives of a run's length and direction when its
// centre line d changes at the rate v (derived here from the formulas of
// tangent).
func runSlopes(d, v vec, offset, length float64) (dLength, dDirection float64) {
	along := d.dot(v)
	return along / length, (d.cross(v) + offset*along/length) / d.dot(d)
}
