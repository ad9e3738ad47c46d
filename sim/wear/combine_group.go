package wear

import (
	"math"
	"time"
)

// sameKM is the distance within which readings count as taken at the same one:
// a chain that wears 0.5 % in 1000 km moves by 0.01 % (invented here).
const sameKM = 20

// row is the readings of a group that measure alike, as one.
type row struct {
	y, weight float64 // percent and 1 / standard error squared
	perMM     float64
	bound     int
}

// group is what was read at one distance.
type group struct {
	km     float64
	on     time.Time
	from   []int // indices of estimates
	rows   []row
	valued bool // some reading gives a value, not a bound alone
	// e and variance of the chain's elongation here, by fitPlay.
	e, variance float64
	// scatter is the chi-square of readings against their row's mean, with its
	// degrees of freedom.
	scatter float64
	free    int
}

type rowKey struct {
	perMM, mark float64
	bound       int
}

// groupReadings puts readings together that were taken at the same distance.
// They must be in order of distance.
func groupReadings(list []reading) (groups []group) {
	for i := 0; i < len(list); {
		n := i + 1
		for n < len(list) && list[n].r.KM-list[i].r.KM <= sameKM {
			n++
		}
		groups = append(groups, newGroup(list[i:n]))
		i = n
	}
	return groups
}

func newGroup(list []reading) (g group) {
	places := map[rowKey]int{}
	for _, q := range list {
		g.km += q.r.KM / float64(len(list))
		g.from = append(g.from, q.index)
		if q.r.On.After(g.on) {
			g.on = q.r.On
		}
		if !q.aside {
			g.add(places, q.m)
		}
	}
	return g
}

// add pools a reading with those that measure alike. A gauge's mark that falls
// in once more says nothing new.
func (g *group) add(places map[rowKey]int, m measured) {
	key := rowKey{perMM: m.perMM, bound: m.bound}
	if m.bound != 0 {
		key.mark = m.value
	}
	weight := 1 / (m.sigma * m.sigma)
	at, known := places[key]
	if !known {
		places[key] = len(g.rows)
		g.rows = append(g.rows, row{y: m.value, weight: weight, perMM: m.perMM, bound: m.bound})
		g.valued = g.valued || m.bound == 0
		return
	}
	if m.bound != 0 {
		return
	}
	r := &g.rows[at]
	off, sum := m.value-r.y, r.weight+weight
	g.scatter += off * off * r.weight * weight / sum
	g.free++
	r.y, r.weight = r.y+off*weight/sum, sum
}

// startValue is a first guess at the elongation.
func (g *group) startValue(k play) {
	sum, weights := 0.0, 0.0
	for _, r := range g.rows {
		if r.bound == 0 {
			sum += r.weight * k.solve(r.y, r.perMM)
			weights += r.weight
		}
	}
	if g.valued {
		g.e = bounded(sum / weights)
	}
}

// bounded keeps an elongation within what one can be.
func bounded(e float64) float64 {
	return min(max(e, float64(LeastElongation)), float64(MostElongation))
}

// groupSums are a group's part of the normal equations: of its elongation, of
// the play, and across.
type groupSums struct {
	weight, residual float64
	cross, pull      [2]float64
	play             [2][2]float64
}

func (g *group) sums(k play) (q groupSums) {
	for _, r := range g.rows {
		off, w := r.linear(k.reads(g.e, r.perMM))
		gain := k.gain(r.perMM)
		slope := [2]float64{r.perMM, r.perMM * (g.e - k.ref)}
		q.weight += w * gain * gain
		q.residual += w * gain * off
		for i := range 2 {
			q.cross[i] += w * gain * slope[i]
			q.pull[i] += w * off * slope[i]
			for j := range 2 {
				q.play[i][j] += w * slope[i] * slope[j]
			}
		}
	}
	return q
}

// step moves the elongation from where it was along with the play, a part of the
// way, and keeps its variance.
func (g *group) step(q groupSums, from, part, dp, dg float64, cov [2][2]float64) {
	h := [2]float64{q.cross[0] / q.weight, q.cross[1] / q.weight}
	g.e = bounded(from + part*q.residual/q.weight - h[0]*dp - h[1]*dg)
	g.variance = 1/q.weight + h[0]*h[0]*cov[0][0] + 2*h[0]*h[1]*cov[0][1] + h[1]*h[1]*cov[1][1]
}

// twoSided tells whether the group pins the elongation from above and below.
func (g *group) twoSided() bool {
	above, below := g.valued, g.valued
	for _, r := range g.rows {
		above, below = above || r.bound > 0, below || r.bound < 0
	}
	return above && below
}

// linear gives the residual and weight of a row where the method reads eta. A
// bound counts with its likelihood, Phi of the distance past the mark: one step
// of Newton on it is a value with the residual and weight returned (derived
// here).
func (r row) linear(eta float64) (off, weight float64) {
	if r.bound == 0 {
		return r.y - eta, r.weight
	}
	root := math.Sqrt(r.weight)
	z := float64(r.bound) * (eta - r.y) * root
	mills := millsRatio(z)
	return float64(r.bound) / (root * (z + mills)), max(mills*(z+mills), 1e-12) * r.weight
}

// millsRatio is phi(z) / Phi(z).
func millsRatio(z float64) float64 {
	if z < -30 {
		return -z - 1/z
	}
	return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) / phi(z)
}

// phi is the distribution function of the normal law.
func phi(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }
