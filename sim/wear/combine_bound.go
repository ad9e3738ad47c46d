package wear

import "math"

// tie is a bound on elongation: at least, or less than, at, soft by sigma.
type tie struct {
	at, sigma float64
	bound     int
}

// Elongation beforehand, where gauges give bounds alone: chains are mostly read
// between 0 and 1 %, so each further half percent is taken as e times rarer
// (invented here). It only fills the open side of a bound.
const (
	openScale = 0.5
	openLow   = -0.1
)

// Where the elongation is looked for, given bounds.
const (
	boundReach = 4.0 // standard errors past a bound; beyond lie 3 in 100,000
	oddsRoom   = 0.2 // percent on either side of bounds that exclude each other
	widestOpen = 8.0 // percent: no more can be, and the steps stay fine
)

// boundMoments are mean and standard deviation of the elongation given bounds
// alone, by the midpoint rule.
func boundMoments(ties []tie) (mean, sd float64) {
	from, to := openRange(ties)
	const steps = 120 // of 0.07 % at most
	width := (to - from) / steps
	var s0, s1, s2 float64
	for i := range steps {
		e := from + (float64(i)+0.5)*width
		w := math.Exp(-(e - from) / openScale)
		for _, t := range ties {
			w *= phi(float64(t.bound) * (e - t.at) / t.sigma)
		}
		s0, s1, s2 = s0+w, s1+w*e, s2+w*e*e
	}
	if s0 == 0 { // bounds that exclude each other
		return (from + to) / 2, (to - from) / 2
	}
	mean = s1 / s0
	return mean, math.Sqrt(max(s2/s0-mean*mean, 0))
}

// openRange is where the bounds leave any likelihood.
func openRange(ties []tie) (from, to float64) {
	from, to = openLow, float64(MostElongation)
	for _, t := range ties {
		if t.bound > 0 {
			from = max(from, t.at-boundReach*t.sigma)
			continue
		}
		to = min(to, t.at+boundReach*t.sigma)
	}
	if to <= from { // a chain shorter than new, or bounds at odds
		from, to = min(from, to)-oddsRoom, max(from, to)+oddsRoom
	}
	return from, min(to, from+widestOpen)
}

// settle fills in elongation and variance of a group that has bounds alone.
func (g *group) settle(k play) {
	if g.valued {
		return
	}
	mean, sd := boundMoments(g.ties(k))
	g.e, g.variance = bounded(mean), sd*sd
}

// ties are the bounds of a group, corrected for play.
func (g *group) ties(k play) []tie {
	ties := make([]tie, 0, len(g.rows))
	for _, r := range g.rows {
		if r.bound == 0 {
			continue
		}
		at := k.solve(r.y, r.perMM)
		_, sd := k.at(at)
		sigma := math.Hypot(1/math.Sqrt(r.weight), r.perMM*sd) / k.gain(r.perMM)
		ties = append(ties, tie{at: at, sigma: sigma, bound: r.bound})
	}
	return ties
}
