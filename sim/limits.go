package sim

import "math"

// Limit names what stops the cage at either end.
type Limit int

// What stops the cage.
const (
	// LimitNone: the gear cannot be laid out.
	LimitNone Limit = iota
	// LimitForwardStop and LimitRearStop: the cage's own stops.
	LimitForwardStop
	LimitRearStop
	// LimitStraight: the cage is pulled straight, the path at its minimum.
	LimitStraight
	// LimitTouches: the lower run touches the chain on the guide pulley.
	LimitTouches
	// LimitTakenUp: the path is at its maximum; swinging further gives no
	// more take-up.
	LimitTakenUp
	// LimitCog: the teeth of guide pulley and cog touch.
	LimitCog
	// LimitTension: the spring pulls less than the least tension.
	LimitTension
)

var limitWords = [...]string{
	"no path", "the forward cage stop", "the rear cage stop", "the cage pulled straight",
	"the lower run touching the chain on the guide pulley", "the end of the take-up", "the guide pulley reaching the cog", "too little spring tension",
}

// String is the limit in words.
func (l Limit) String() string {
	if l < 0 || int(l) >= len(limitWords) {
		return "unknown limit"
	}
	return limitWords[l]
}

// MarshalText gives JSON the words.
func (l Limit) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// limits are the ends of a cage's swing in one gear.
type limits struct {
	front, rear       float64 // cage angles, radians
	atFront, atRear   pose
	frontWhy, rearWhy Limit
	ok                bool
}

// Search range of the cage angle. Beyond it a pulley would lead the chain the
// wrong way round.
const (
	middleAngle = -math.Pi / 2
	frontMost   = math.Pi / 2
	rearMost    = -1.5 * math.Pi
	sweep       = math.Pi / 6
	fineSteps   = 8    // where the path ends its slope turns steeply; looked at more closely
	nearby      = 0.08 // radians a limit moves from one gear to the next
	angleTol    = 1e-13
)

// limits finds both ends of the swing. Between them the path shortens all the
// way forward: that is the working branch. hint is the neighbouring gear's
// result, or nil; it saves work and does not change the result beyond a few
// hundredths of a pitch, where a path has two minima next to each other.
func (r *Rig) limits(t *train, hint *limits) limits {
	var l limits
	if hint != nil && hint.ok && r.near(t, hint, &l) {
		return l
	}
	mid, p, ok := r.middle(t)
	if !ok {
		return r.besideCog(t)
	}
	return r.limitsFrom(t, mid, &p)
}

// limitsFrom finds both ends of the swing that an angle lies in.
func (r *Rig) limitsFrom(t *train, mid float64, p *pose) (l limits) {
	l.front, l.frontWhy = r.frontLimit(t, mid, p)
	l.rear, l.rearWhy = r.rearLimit(t, mid, p)
	if angle, ok := r.slackAngle(t, l.rear, l.front); ok {
		l.rear, l.rearWhy = angle, LimitTension
	}
	l.atFront, l.atRear = t.at(l.front), t.at(l.rear)
	l.ok = l.atFront.ok && l.atRear.ok && l.front > l.rear
	return l
}

// startTurns are the angles that a swing is looked for at, in sweeps forward of
// the middle.
var startTurns = [...]float64{0, 1, 2, -1}

// middle finds an angle on the working branch to start from: pulleys about
// vertical, or further on where the guide pulley would run into the cog. ok is
// false where it is in the cog at all of them.
func (r *Rig) middle(t *train) (at float64, p pose, ok bool) {
	rear, front := r.stops(t)
	for _, turn := range startTurns {
		at = min(max(middleAngle+turn*sweep, rear), front)
		if p = t.at(at); p.ok && p.guide.length() > t.contact {
			return at, p, true
		}
	}
	return 0, pose{}, false
}

// besideCog takes the wider of the swings on either side of a cog that the guide
// pulley stands in; where it never comes clear of it, the swing in the cog.
func (r *Rig) besideCog(t *train) limits {
	var l limits
	rear, front := r.stops(t)
	from := min(max(middleAngle, rear), front)
	for _, end := range [...]float64{front, rear} {
		if x, p, ok := r.clearOfCog(t, from, end); ok {
			if s := r.limitsFrom(t, x, &p); s.wider(&l) {
				l = s
			}
		}
	}
	if l.ok {
		return l
	}
	for _, turn := range startTurns {
		at := min(max(middleAngle+turn*sweep, rear), front)
		if p := t.at(at); p.ok {
			return r.limitsFrom(t, at, &p)
		}
	}
	return l
}

// wider tells whether a swing takes up more chain than another.
func (l *limits) wider(than *limits) bool {
	return l.ok && (!than.ok || l.atRear.pitches-l.atFront.pitches > than.atRear.pitches-than.atFront.pitches)
}

// clearOfCog looks from an angle at which the teeth of guide pulley and cog are
// in each other towards an end for the first one on the working branch at which
// they are not, and the lower run is clear of the guide pulley.
func (r *Rig) clearOfCog(t *train, from, end float64) (float64, pose, bool) {
	first, second, ok := t.touchAngles()
	if !ok {
		return 0, pose{}, false
	}
	step, x := clearStep, min(upFrom(first, from), upFrom(second, from))
	if end < from {
		step, x = -clearStep, max(upFrom(first, from), upFrom(second, from))-2*math.Pi
	}
	for x += step * 1e-7; (end-x)*step >= 0 && math.Abs(x-from) <= 2*math.Pi; x += step {
		if p := t.at(x); p.ok && p.slope < 0 && p.guide.length() > t.contact && r.edge(t, LimitTouches, x, &p) > 0 {
			return x, p, true
		}
	}
	return 0, pose{}, false
}

// clearStep is how finely clearOfCog looks, radians.
const clearStep = 0.02

// upFrom is the first angle from a limit up that equals x but for whole turns.
func upFrom(x, from float64) float64 { return x + math.Ceil((from-x)/(2*math.Pi))*2*math.Pi }

// stops are the cage's own stops, which turn with the body.
func (r *Rig) stops(t *train) (rear, front float64) { return r.stopRear + t.body, r.stopFront + t.body }

// lastPath is the last angle from a towards b at which there is a path; at b
// there is none.
func (t *train) lastPath(a, b float64) float64 {
	for range 48 {
		mid := (a + b) / 2
		if p := t.at(mid); p.ok {
			a = mid
		} else {
			b = mid
		}
	}
	return a
}

// touchAngles are the two cage angles, but for whole turns, at which the teeth
// of guide pulley and cog touch; ok is false when they never do. The guide
// pulley goes round the pivot P on a circle of radius a, so that the angle
// between P and the arm follows from the law of cosines (derived here).
func (t *train) touchAngles() (first, second float64, ok bool) {
	p, a := t.pivot.length(), t.toGuide.length()
	cos := (t.contact*t.contact - p*p - a*a) / (2 * p * a)
	if !(math.Abs(cos) < 1) {
		return 0, 0, false
	}
	half := math.Acos(cos)
	straight := math.Atan2(t.pivot.y, t.pivot.x) - math.Atan2(t.toGuide.y, t.toGuide.x)
	return straight - half, straight + half, true
}

// inCog tells whether the guide pulley's teeth are in the cog's at an angle.
func (t *train) inCog(angle float64) bool {
	return t.pivot.add(t.toGuide.rotated(math.Sincos(angle))).length() < t.contact
}

// contacts are the nearest cage angles either way from an angle at which the
// teeth of guide pulley and cog touch; infinite where they never do, or where
// they are in each other already.
func (t *train) contacts(from float64) (rear, front float64) {
	rear, front = math.Inf(-1), math.Inf(1)
	first, second, ok := t.touchAngles()
	if !ok || t.inCog(from) {
		return rear, front
	}
	for _, x := range [...]float64{first, second} {
		next := upFrom(x, from)
		rear, front = max(rear, next-2*math.Pi), min(front, next)
	}
	return rear, front
}

// near looks for the limits next to a neighbour's; false when they are not
// there, and the whole swing has to be looked at.
func (r *Rig) near(t *train, hint, l *limits) bool {
	if r.spring.known {
		return false
	}
	rear, front := r.stops(t)
	mid := min(max((hint.front+hint.rear)/2, rear), front)
	if t.inCog(mid) {
		return false
	}
	from, to := t.contacts(mid)
	if !r.nearFront(t, hint, l, min(front, to)) || !r.nearRear(t, hint, l, max(rear, from)) {
		return false
	}
	l.frontWhy, l.rearWhy = named(l.frontWhy, LimitForwardStop, to < front), named(l.rearWhy, LimitRearStop, from > rear)
	l.atFront, l.atRear = t.at(l.front), t.at(l.rear)
	l.ok = l.atFront.ok && l.atRear.ok && l.atRear.slope < 0 && l.front > l.rear
	return l.ok
}

// named is a limit, or the cog where that comes before the stop.
func named(why, stop Limit, cog bool) Limit {
	if why == stop && cog {
		return LimitCog
	}
	return why
}

// nearFront finds the front limit: where the path is straight near the hint's
// place, or the end before that.
func (r *Rig) nearFront(t *train, hint, l *limits, end float64) bool {
	if x, ok := r.bracketed(t, LimitStraight, hint.front); ok && x < end {
		l.front, l.frontWhy = x, LimitStraight
		return true
	}
	p := t.at(end)
	l.front, l.frontWhy = end, LimitForwardStop
	return math.Abs(end-hint.front) < nearby && p.ok && p.slope < 0
}

// nearRear finds the rear limit the same way: where the lower run touches, or
// the end before that.
func (r *Rig) nearRear(t *train, hint, l *limits, end float64) bool {
	if x, ok := r.bracketed(t, LimitTouches, hint.rear); ok && x > end {
		l.rear, l.rearWhy = x, LimitTouches
		return true
	}
	p := t.at(end)
	l.rear, l.rearWhy = end, LimitRearStop
	return math.Abs(end-hint.rear) < nearby && p.ok && p.slope < 0 && r.edge(t, LimitTouches, end, &p) > 0
}

func (r *Rig) bracketed(t *train, why Limit, guess float64) (float64, bool) {
	if r.coarse {
		return r.secant(t, why, guess)
	}
	a, b := guess-nearby, guess+nearby
	fa, fb := r.edgeAt(t, why, a), r.edgeAt(t, why, b)
	if !(fa < 0 && fb > 0) { // both edges rise forward
		return 0, false
	}
	return r.edgeRoot(t, why, a, fa, b, fb), true
}

// secant finds an edge near a guess by two steps of the secant method: within
// some 1e-4 radians, which is enough for a draw.
func (r *Rig) secant(t *train, why Limit, guess float64) (float64, bool) {
	x0, f0 := guess, r.edgeAt(t, why, guess)
	x1 := guess + math.Copysign(nearby/4, -f0) // edges rise forward
	f1 := r.edgeAt(t, why, x1)
	for range 2 {
		if !(f1 != f0) { // nor not a number
			return 0, false
		}
		step := f1 * (x1 - x0) / (f1 - f0)
		x2 := x1 - step
		if !(math.Abs(x2-guess) < nearby) {
			return 0, false
		}
		if math.Abs(step) < nearby/40 {
			return x2, true
		}
		x0, f0, x1, f1 = x1, f1, x2, r.edgeAt(t, why, x2)
	}
	return x1, math.Abs(f1) <= math.Abs(f0)
}

// edge is the quantity that changes sign at a limit: the path's slope where
// the cage is pulled straight or the take-up ends, the room between lower run
// and guide pulley, the tension over the least. Stops have none.
func (r *Rig) edge(t *train, why Limit, angle float64, p *pose) float64 {
	switch why {
	case LimitStraight, LimitTakenUp:
		return p.slope
	case LimitTouches:
		return p.runClearance(t.tension.radius) - t.guide.radius - r.plate
	case LimitTension:
		_, mid, _ := r.spring.lowerTension(angle-t.body, p.slope)
		return mid - r.spring.tension
	case LimitCog:
		return p.guide.length() - t.contact
	}
	return 0
}

// edgeAt is NaN where there is no path.
func (r *Rig) edgeAt(t *train, why Limit, angle float64) float64 {
	switch why {
	case LimitStraight, LimitTakenUp:
		return t.slopeAt(angle)
	case LimitTouches:
		return t.clearanceAt(angle) - t.guide.radius - r.plate
	}
	p := t.at(angle)
	if !p.ok {
		return math.NaN()
	}
	return r.edge(t, why, angle, &p)
}

func (r *Rig) edgeRoot(t *train, why Limit, a, fa, b, fb float64) float64 {
	// At an extreme of the path the angle hardly matters; elsewhere it does.
	tol := 1e-11
	if why == LimitStraight || why == LimitTakenUp {
		tol = 1e-8
	}
	return root(func(x float64) float64 { return r.edgeAt(t, why, x) }, a, fa, b, fb, tol)
}

// stop notes an end that comes before the present one.
type stop struct {
	angle float64
	why   Limit
}

// frontLimit is the first of: the forward stop, the guide pulley reaching the
// cog, the minimum of the path (slope zero).
func (r *Rig) frontLimit(t *train, from float64, p *pose) (float64, Limit) {
	end := stop{frontMost, LimitStraight}
	if _, front := r.stops(t); front < end.angle {
		end = stop{front, LimitForwardStop}
	}
	if _, x := t.contacts(from); x < end.angle {
		end = stop{x, LimitCog}
	}
	a, slope := from, p.slope
	if slope >= 0 {
		return from, LimitStraight
	}
	for step := sweep; a < end.angle; {
		b := min(a+step, end.angle)
		q := t.at(b)
		if !q.ok {
			last := t.lastPath(a, b)
			end, step = stop{last, LimitNone}, max((last-a)/fineSteps, angleTol)
			if b = min(a+step, last); b <= a {
				break
			}
			q = t.at(b)
		}
		if q.slope >= 0 {
			return r.edgeRoot(t, LimitStraight, a, slope, b, q.slope), LimitStraight
		}
		a, slope = b, q.slope
	}
	return end.angle, end.why
}

// rearLimit is the first of: the rear stop, the guide pulley reaching the cog,
// the lower run touching, the path's maximum, too little tension.
func (r *Rig) rearLimit(t *train, from float64, p *pose) (float64, Limit) {
	end := stop{rearMost, LimitTakenUp}
	if rear, _ := r.stops(t); rear > end.angle {
		end = stop{rear, LimitRearStop}
	}
	if x, _ := t.contacts(from); x > end.angle {
		end = stop{x, LimitCog}
	}
	if r.edge(t, LimitTouches, from, p) <= 0 {
		return from, LimitTouches
	}
	step := sweep
	for a, before := from, *p; a > end.angle; {
		b := max(a-step, end.angle)
		q := t.at(b)
		if !q.ok {
			last := t.lastPath(a, b)
			end, step = stop{last, LimitNone}, max((a-last)/fineSteps, angleTol)
			if b = max(a-step, last); b >= a {
				break
			}
			q = t.at(b)
		}
		if x, ok := r.crossing(t, LimitTouches, a, b, &before, &q); ok {
			end = stop{x, LimitTouches}
		}
		if x, ok := r.crossing(t, LimitTakenUp, a, b, &before, &q); ok && x > end.angle {
			end = stop{x, LimitTakenUp}
		}
		a, before = b, q
	}
	return end.angle, end.why
}

// crossing finds where an edge is crossed between two poses, a the forward
// one.
func (r *Rig) crossing(t *train, why Limit, a, b float64, pa, pb *pose) (float64, bool) {
	fa, fb := r.edge(t, why, a, pa), r.edge(t, why, b, pb)
	if why == LimitTouches && fb < 0 || why == LimitTakenUp && fb > 0 {
		return r.edgeRoot(t, why, a, fa, b, fb), true
	}
	return 0, false
}
