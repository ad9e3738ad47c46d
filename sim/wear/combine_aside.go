package wear

import "cagewise/gearing"

// setGaugesAside marks the gauges that read roller play and cannot go together
// with a method at the same distance in which it cancels, whatever the play may
// be: one such gauge would else pull every distance along. They stay listed as
// contradictions. The lift off a ring is too rough to decide against a gauge.
func setGaugesAside(readings []reading, groups []group, prior play) (some bool) {
	var pairs []suspect
	values := 0
	for _, g := range groups {
		pairs = append(pairs, withinGroup(readings, g, prior)...)
		pairs = append(pairs, againstFree(readings, g, prior)...)
		if g.valued {
			values++
		}
	}
	limit := clearly(len(pairs) + max(0, values-1))
	for _, p := range pairs {
		gauge, other, ok := gaugeOf(readings, p)
		if ok && p.net > limit && readings[other].r.Method != gearing.MethodLift {
			readings[gauge].aside, some = true, true
		}
	}
	return some
}

// againstFree compares the gauges of a distance with the most precise value
// there in which play cancels.
func againstFree(readings []reading, g group, k play) (pairs []suspect) {
	free := -1
	for _, i := range g.from {
		m := readings[i].m
		if m.perMM == 0 && m.bound == 0 && (free < 0 || m.sigma < readings[free].m.sigma) {
			free = i
		}
	}
	if free < 0 {
		return nil
	}
	for _, i := range g.from {
		if readings[i].m.perMM > 0 {
			pairs = append(pairs, suspectOf(readings, free, i, k))
		}
	}
	return pairs
}
