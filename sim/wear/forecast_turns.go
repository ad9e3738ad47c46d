package wear

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"cagewise/gearing"
)

// track turns odometer distances into those a chain has run itself, for chains
// that take turns. Between knots it is straight; past the last the chain gets
// the share of the distance that it had so far.
type track struct {
	km, own []float64
	share   float64
	words   string // of the turns, for the owner; "" when no ride names another chain
}

// newTrack takes off the distance since from that rides name another chain for.
// Knots are at the groups; a group without a date, or a chain fitted at no
// known date, cannot be told.
func newTrack(log gearing.WearLog, part gearing.WearPart, groups []group, from float64) track {
	t := track{km: []float64{from}, own: []float64{0}, share: 1}
	others := otherRides(log.Rides, part)
	since, known := sinceDay(part, groups)
	if len(others) > 0 && !known {
		t.words = "rides name other chains, but it is not said on which date this one was fitted: all distance counts as its own"
	}
	away, next := 0.0, 0
	for i := range groups {
		g := &groups[i]
		for known && next < len(others) && !others[next].On.After(g.on) {
			if !others[next].On.Before(since) {
				away += others[next].KM
			}
			next++
		}
		t.knot(g.km, g.km-from-away)
	}
	last := len(t.km) - 1
	if away > 0 && t.km[last] > from {
		t.share = t.own[last] / (t.km[last] - from)
		t.words = fmt.Sprintf("of %s up to the last reading %s were its own, the rest other chains' by the rides; its rate is in its own distance, and it is taken to get the same share from here on", unitsOf(log).exact(t.km[last]-from, 0), unitsOf(log).bare(t.own[last], 0))
	}
	return t
}

// knot adds a distance; a chain runs at least a tenth of what its odometer does
// between readings, whatever the rides add up to (invented here).
func (t *track) knot(km, own float64) {
	last := len(t.km) - 1
	ahead := km - t.km[last]
	if ahead <= 0 {
		return
	}
	step := own - t.own[last]
	t.km, t.own = append(t.km, km), append(t.own, t.own[last]+min(max(step, ahead/10), ahead))
}

// at gives the chain's own distance at an odometer distance; 0 before its start.
// A track without knots, of no analysis, is the odometer.
func (t *track) at(km float64) float64 {
	last := len(t.km) - 1
	if last < 0 {
		return km
	}
	if km >= t.km[last] {
		return t.own[last] + t.share*(km-t.km[last])
	}
	i, exact := slices.BinarySearch(t.km, km)
	if exact {
		return t.own[i]
	}
	if i == 0 {
		return 0
	}
	part := (km - t.km[i-1]) / (t.km[i] - t.km[i-1])
	return t.own[i-1] + part*(t.own[i]-t.own[i-1])
}

// otherRides are the dated rides on other chains, by date.
func otherRides(rides []gearing.WearRide, part gearing.WearPart) (out []gearing.WearRide) {
	for _, r := range rides {
		if r.Chain != "" && r.Chain != part.ID && !r.On.IsZero() && r.KM > 0 {
			out = append(out, r)
		}
	}
	slices.SortStableFunc(out, func(a, b gearing.WearRide) int { return cmp.Compare(a.On.Unix(), b.On.Unix()) })
	return out
}

// sinceDay is the day from which rides on other chains count.
func sinceDay(part gearing.WearPart, groups []group) (day time.Time, known bool) {
	switch {
	case part.FittedKM < 0: // counted from its first reading
		day = groups[0].on
	case part.FittedKM == 0: // there from the first ride
		return part.FittedOn, true
	default:
		day = part.FittedOn
	}
	return day, !day.IsZero()
}
