package sim

import "math"

// body is how the derailleur's body stands: turned by the B-screw to one angle
// for all gears, or, with a sprung mounting pivot, by the balance of two
// springs in each gear.
type body struct {
	angle   float64   // radians, counter-clockwise: forward
	cage    float64   // cage angle in the reference gear, a start for the others
	reaches bool      // the target gap is met
	miss    float64   // gap less target, mm
	perGear []float64 // angles of a sprung body, nil otherwise
	// unbalanced counts the gears in which the two springs of a sprung body
	// find no balance within its swing.
	unbalanced int
}

// angleOf is the body's angle in gear i.
func (b body) angleOf(i int) float64 {
	if b.perGear != nil {
		return b.perGear[i]
	}
	return b.angle
}

// setBody turns the B-screw until the gap on the smallest ring and largest cog
// is the target, or as near as the screw's range comes (common practice for
// where it is set; the solving is ours).
func (r *Rig) setBody(n float64) body {
	if r.sprung {
		return r.balance(n)
	}
	b := body{cage: middleAngle}
	g := &r.gears[r.reference]
	b.angle, b.miss = settle(-r.screw, r.screw, r.gapTol(), func(angle float64) float64 {
		gap, cage, ok := r.gapAt(g, n, angle, b.cage)
		if !ok {
			return math.NaN()
		}
		b.cage = cage
		return gap - r.target
	})
	b.reaches = math.Abs(b.miss) < reached
	if !b.reaches && !r.coarse {
		b.miss = r.missAt(n, b.angle)
	}
	return b
}

// missAt is by how much the gap on the reference gear misses its target, 0 where
// no path closes.
func (r *Rig) missAt(n, bodyAngle float64) float64 {
	g := &r.gears[r.reference]
	t, ok := r.trainAt(g, 0, bodyAngle)
	if !ok {
		return 0
	}
	l := r.limits(&t, nil)
	if !l.ok {
		return 0
	}
	_, p := t.solve(n*r.stretch, middleAngle, &l)
	return p.guide.length() - g.tip - r.guideTip - r.target
}

// noMiss stands for a miss that cannot be measured anywhere.
const noMiss = math.MaxFloat64

// How near to its target a gap is brought, mm: exactly, and in one of many draws.
const (
	exactTol = 1e-9
	drawnTol = 1e-3
)

func (r *Rig) gapTol() float64 {
	if r.coarse {
		return drawnTol
	}
	return exactTol
}

// settleSteps is how finely settle looks where the ends do not bracket a root.
const settleSteps = 8

// settle finds where f is 0 between two angles, or else where it is nearest to
// 0, and what is left of it. f may have no value (NaN) in places and may not be
// monotone; the first change of sign is taken. Without any value the angle is 0
// and noMiss is left. tol is how near to 0 f is brought.
func settle(low, high, tol float64, f func(float64) float64) (angle, left float64) {
	fl, fh := f(low), f(high)
	if opposite(fl, fh) {
		angle = root(f, low, fl, high, fh, tol)
		return angle, f(angle)
	}
	step := (high - low) / settleSteps
	before, fBefore, best, fBest := low, fl, low, fl
	for k := 1; k <= settleSteps; k++ {
		x, fx := low+step*float64(k), fh
		if k < settleSteps {
			fx = f(x)
		}
		if opposite(fBefore, fx) {
			x = root(f, before, fBefore, x, fx, tol)
			return x, f(x)
		}
		if nearer(fx, fBest) || !nearer(fBest, fx) && math.Abs(2*x-low-high) < math.Abs(2*best-low-high) {
			best, fBest = x, fx
		}
		before, fBefore = x, fx
	}
	switch {
	case math.IsNaN(fBest):
		return 0, noMiss
	case fBest == 0:
		return best, 0
	}
	return refined(f, max(best-step, low), best, fBest, min(best+step, high))
}

func opposite(a, b float64) bool { return a > 0 && b < 0 || a < 0 && b > 0 }

// nearer tells whether a is nearer to 0 than b by more than rounding; no value is
// nowhere near.
func nearer(a, b float64) bool {
	return math.Abs(a) < math.Abs(b)-1e-9*(1+math.Abs(b)) || math.IsNaN(b) && !math.IsNaN(a)
}

// Of refined: how near to the least it comes, radians, and the golden section.
const (
	refineTol = 1e-4
	golden    = 0.6180339887498949
)

// refined finds where f is nearest to 0 between low and high by golden section,
// from an angle that is nearer than both, or is one of them. Where f turns out to
// change its sign that is its root.
func refined(f func(float64) float64, low, best, fBest, high float64) (angle, left float64) {
	if best == low || best == high { // an end, unless f comes nearer next to it
		x := best + math.Copysign(refineTol, (low+high)/2-best)
		if fx := f(x); !nearer(fx, fBest) && !opposite(fx, fBest) {
			return best, fBest
		}
	}
	for high-low > refineTol {
		// The wider side of the best is looked into.
		x := best + (1-golden)*(high-best)
		if best-low > high-best {
			x = best - (1-golden)*(best-low)
		}
		fx := f(x)
		switch {
		case opposite(fx, fBest):
			x = root(f, best, fBest, x, fx, 1e-9)
			return x, f(x)
		case nearer(fx, fBest) && x > best:
			low, best, fBest = best, x, fx
		case nearer(fx, fBest):
			high, best, fBest = best, x, fx
		case x > best:
			high = x
		default:
			low = x
		}
	}
	return best, fBest
}

// reached is how near the B-screw has to bring the gap, mm. A gap that jumps
// over its target, where the cage meets a limit, is not set.
const reached = 0.01

// gapAt is the pulley gap of a gear with the body turned, the chain as far as
// it goes where it is too short or too long. Where the cog holds the guide pulley
// up it is how deep that would stand in it, under 0: the cog is no limit here, or
// all settings would be as near.
func (r *Rig) gapAt(g *gear, n, bodyAngle, start float64) (gap, cage float64, ok bool) {
	t, ok := r.trainAt(g, 0, bodyAngle)
	if !ok {
		return 0, 0, false
	}
	t.contact = 0
	want := n * r.stretch
	angle, p, ok := r.quick(&t, want, start)
	if !ok {
		return 0, 0, false
	}
	return p.guide.length() - g.tip - r.guideTip, angle, true
}

// quick solves from a near start without the limits; where that leaves the
// working branch or the stops it falls back on them.
func (r *Rig) quick(t *train, want, start float64) (float64, pose, bool) {
	x := start
	stopRear, stopFront := r.stops(t)
	for range 8 {
		p := t.at(x)
		if !p.ok || p.slope > -0.5 || x > stopFront || x < stopRear || p.runClearance(t.tension.radius) < t.guide.radius+r.plate {
			break
		}
		miss := p.pitches - want
		if math.Abs(miss) <= r.pathTol() {
			return x, p, true
		}
		x -= max(-0.5, min(0.5, miss/p.slope))
	}
	l := r.limits(t, nil)
	if !l.ok {
		return 0, pose{}, false
	}
	angle, p := t.solve(want, start, &l)
	return angle, p, true
}

// Swing of a sprung body either way that is looked at.
const bodySwing = math.Pi / 6

// balance finds the angle of a sprung body in each gear. With the cage angle
// held, turning the body by d(beta) winds the cage spring by as much, lets the
// mounting spring work and changes the path; at rest the sum of the work is
// nothing (virtual work, derived here):
//
//	M_cage - M_mount - T d(path)/d(beta) = 0, T = M_cage / -(d(path)/d(angle))
func (r *Rig) balance(n float64) body {
	b := body{cage: middleAngle, perGear: make([]float64, len(r.gears))}
	for i := range r.gears {
		g := &r.gears[i]
		angle, left := settle(-bodySwing, bodySwing, exactTol, func(angle float64) float64 {
			w, cage := r.bodyWork(g, n, angle, b.cage)
			b.cage = cage
			return w
		})
		b.perGear[i] = angle
		if math.Abs(left) > balanced {
			b.unbalanced++
		}
	}
	b.angle = b.perGear[r.reference]
	if !r.coarse {
		b.miss = r.missAt(n, b.angle)
		b.reaches = math.Abs(b.miss) < sprungReached
	}
	return b
}

// balanced is the moment that may be left over at rest, N mm, sprungReached how
// near to its target the gap of a sprung body counts as reached, mm.
const (
	balanced      = 1.0
	sprungReached = 0.5
)

// bodyWork is the moment on a sprung body that is left over, N mm, positive
// forward; NaN where there is no path.
func (r *Rig) bodyWork(g *gear, n, angle, start float64) (moment, cage float64) {
	t, ok := r.trainAt(g, 0, angle)
	if !ok {
		return math.NaN(), start
	}
	t.contact = 0 // as for gapAt
	cage, p, ok := r.quick(&t, n*r.stretch, start)
	if !ok {
		return math.NaN(), start
	}
	const h = 1e-5
	fore, _ := r.trainAt(g, 0, angle+h)
	aft, _ := r.trainAt(g, 0, angle-h)
	a, b := fore.at(cage), aft.at(cage)
	perBody := (a.pitches - b.pitches) / (2 * h)
	spring := r.spring.moment(cage - angle)
	mount := r.mountPreload + r.mountRate*angle
	slope := min(p.slope, -0.1) // pulled straight, the chain is stiff
	return spring - mount + spring*perBody/slope, cage
}
