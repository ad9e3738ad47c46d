package sim

import "math"

// root finds where f changes sign between a and b, with fa = f(a) and
// fb = f(b) of opposite signs (or zero), by regula falsi with the Illinois
// rule (Dowell and Jarratt 1971). It stops when |f| is at most tol, the bracket
// is as small as numbers go, f has no value, or after 60 evaluations.
func root(f func(float64) float64, a, fa, b, fb, tol float64) float64 {
	side := 0
	for range 60 {
		if math.Abs(b-a) <= angleTol || fa == fb {
			break
		}
		c := b - fb*(b-a)/(fb-fa)
		fc := f(c)
		switch {
		case math.IsNaN(fc):
			return endOf(a, fa, b, fb)
		case math.Abs(fc) <= tol:
			return c
		case (fc > 0) == (fb > 0):
			b, fb = c, fc
			if side == -1 {
				fa /= 2
			}
			side = -1
		default:
			a, fa = c, fc
			if side == +1 {
				fb /= 2
			}
			side = +1
		}
	}
	return endOf(a, fa, b, fb)
}

// endOf is the end of a bracket nearer to the root.
func endOf(a, fa, b, fb float64) float64 {
	if math.Abs(fa) < math.Abs(fb) {
		return a
	}
	return b
}
