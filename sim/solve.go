package sim

import "math"

// pathTol is how near to the chain's length a solution's path comes, pitches;
// coarseTol where one of many draws is solved.
const (
	pathTol   = 1e-9
	coarseTol = 1e-4
)

// solve finds the cage angle between the limits at which the path is as long
// as the chain, want pitches of 12.7 mm, by Newton's method kept inside a
// bracket. A chain that is too short leaves the cage at the forward limit, one
// that is too long at the rear limit.
func (t *train) solve(want, start float64, l *limits) (float64, pose) {
	return t.solveTo(want, start, l, pathTol/10)
}

// solveTo does so to a tolerance in pitches.
func (t *train) solveTo(want, start float64, l *limits, tol float64) (float64, pose) {
	if want <= l.atFront.pitches {
		return l.front, l.atFront
	}
	if want >= l.atRear.pitches {
		return l.rear, l.atRear
	}
	return t.newton(want, start, l.rear, l.front, tol)
}

// newton works between a rear angle with too much path and a front angle with
// too little.
func (t *train) newton(want, start, rear, front, tol float64) (float64, pose) {
	x := start
	if !(x > rear && x < front) {
		x = (rear + front) / 2
	}
	var p pose
	for range 80 {
		p = t.at(x)
		miss := p.pitches - want
		if math.Abs(miss) <= tol {
			break
		}
		if miss > 0 {
			rear = x
		} else {
			front = x
		}
		next := x - miss/p.slope
		if !(next > rear && next < front) {
			next = (rear + front) / 2
		}
		if next == x || front-rear < 1e-15 {
			break
		}
		x = next
	}
	return x, p
}

// pathTol is the tolerance of a path's length for this rig.
func (r *Rig) pathTol() float64 {
	if r.coarse {
		return coarseTol
	}
	return pathTol
}
