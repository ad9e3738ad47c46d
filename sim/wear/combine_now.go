package wear

import (
	"math"
	"slices"

	"cagewise/gearing"
)

// settleNow takes the elongation at the last distance over from the curve
// through all readings, and widens its error where they contradict each other:
// to half of what lies between them (invented here).
func (c *ChainWear) settleNow(groups []group, k play) {
	if c.Fitted = len(c.fits.curves) > 0; c.Fitted {
		c.takeCurve()
	} else if c.Now.Bound {
		c.holdAgainst(groups, k)
	}
	least := gearing.Percent(c.widestGap() / 2)
	if least <= c.Now.Error {
		return
	}
	if !c.Fitted {
		c.Now.Error = least
		return
	}
	widen(c.fits.curves, float64(least), float64(c.Now.Error))
	c.takeCurve()
}

// holdAgainst puts a last point of bounds alone beside what was read before, as a
// chain does not shrink: what it was at least once, it is from then on. The last
// value stays the state, at its own distance, unless such a bound lies above it;
// then, and without any value, all bounds count together.
func (c *ChainWear) holdAgainst(groups []group, k play) {
	last := len(groups) - 1
	ties := groups[last].ties(k)
	value := -1
	for i := range groups[:last] {
		if groups[i].valued {
			value = i
			continue
		}
		for _, t := range groups[i].ties(k) {
			if t.bound > 0 {
				ties = append(ties, t)
			}
		}
	}
	if value >= 0 {
		p := c.Points[value]
		over := slices.ContainsFunc(ties, func(t tie) bool { return t.bound > 0 && t.at > float64(p.Elongation) })
		if !over {
			c.Now = p
			return
		}
		ties = append(ties, tie{at: float64(p.Elongation), sigma: float64(p.Error), bound: 1})
	}
	mean, sd := boundMoments(ties)
	c.Now.Elongation, c.Now.Error = gearing.Percent(bounded(mean)), withCommon(sd*sd)
}

// takeCurve reads the curves at the last distance.
func (c *ChainWear) takeCurve() {
	f := Forecast{curves: c.fits.curves, track: c.track}
	c.Now.Elongation, c.Now.Error, c.Now.Bound = gearing.Percent(bounded(f.mean(c.Now.KM))), f.errorAt(c.Now.KM), false
}

// widestGap is the widest contradiction that the last two distances are in.
func (c *ChainWear) widestGap() (gap float64) {
	from := c.Points[max(0, len(c.Points)-2)].KM
	for _, x := range c.Contradictions {
		if x.real() && c.pointOf(x.B).KM >= from {
			gap = max(gap, x.gap)
		}
	}
	return gap
}

// real tells that the two cannot both be right.
func (x Contradiction) real() bool { return !x.Compatible && x.Z > 0 }

// Contradicts tells that some readings cannot all be right, so that the chain
// is to be read again before anything rests on it.
func (c *ChainWear) Contradicts() bool {
	return slices.ContainsFunc(c.Contradictions, Contradiction.real)
}

// widen brings the standard error of curves from now to want.
func widen(curves []curve, want, now float64) {
	common := float64(CommonError * CommonError)
	const least = 1e-6 // of a curve without error, which nothing would widen
	by := (want*want - common) / max(now*now-common, least)
	for i := range curves {
		q := &curves[i]
		q.vaa, q.vab, q.vbb = q.vaa*by, q.vab*by, q.vbb*by
	}
}

// fit puts curves through all readings, where they fix any.
func (c *ChainWear) fit(groups []group, prior play) {
	if fixed(c.Part, groups, &c.track) {
		c.fits = fitShapes(newProblem(c.Part, groups, &c.track, prior))
	}
}

// fixed tells whether readings at several distances fix a curve.
func fixed(part gearing.WearPart, groups []group, t *track) bool {
	if len(groups) < 2 {
		return false
	}
	needed := distancesNeeded
	if part.FittedKM >= 0 {
		needed = 1
	}
	values := t.distances(part, groups, func(g *group) bool { return g.valued })
	return values >= needed || whyNot(part, groups, t, lengths{}) == ""
}

// shortErrors is how far the last distance must fall short of where the earlier
// ones lead to be named: one good log in twenty does by chance.
const shortErrors = 1.645

// shortfall holds the last distance against where the earlier ones lead.
func (c *ChainWear) shortfall(readings []reading, groups []group, prior, k play) []suspect {
	last := len(groups) - 1
	if last < 1 || !fixed(c.Part, groups[:last], &c.track) {
		return nil
	}
	most, _ := stands(readings, groups[last], k)
	if most.reading < 0 {
		return nil
	}
	curves := fitShapes(newProblem(c.Part, groups[:last], &c.track, prior)).curves
	if len(curves) == 0 {
		return nil
	}
	mean, low, high := (&Forecast{curves: curves, track: c.track}).At(groups[last].km)
	gap := float64(mean) - most.e
	z := gap / math.Hypot(most.sigma, float64(high-low)/(2*normal90))
	if z <= shortErrors {
		return nil
	}
	before := groups[last-1].from
	return []suspect{{a: before[len(before)-1], b: most.reading, asRead: z, net: z, gap: gap, kind: fallsShort, expected: float64(mean)}}
}
