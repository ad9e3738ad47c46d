package wear

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"cagewise/gearing"
)

// track turns odometer distances into those a chain has run itself, for chains
// that take turns. Between knots it is straight; past the last the chain gets
// the share of the distance that it had so far. Without rides on other chains it
// is one knot, and every kilometre since is the chain's own.
type track struct {
	km, own []float64
	share   float64
	words   string // of the turns, for the owner; "" when no ride names another chain
}

// newTrack takes off the distance since from that rides name another chain for;
// distance that no ride names counts as its own. Knots are where the log gives an
// odometer with its day. A chain fitted at no known date cannot be told.
func newTrack(log gearing.WearLog, part gearing.WearPart, groups []group, from float64) track {
	t := track{km: []float64{from}, own: []float64{0}, share: 1}
	others := otherRides(log.Rides, part)
	if len(others) == 0 {
		return t
	}
	since, known := sinceDay(part, groups)
	if !known {
		t.words = "rides name other chains, but it is not said on which date this one was fitted: all distance counts as its own"
		return t
	}
	away, next := 0.0, 0
	for _, d := range dayMarks(log) {
		for next < len(others) && !others[next].On.After(d.on) {
			if !others[next].On.Before(since) {
				away += others[next].KM
			}
			next++
		}
		t.knot(d.km, d.km-from-away)
	}
	entry := latestKM(log) // may have no day
	t.knot(entry, entry-from-away)
	last := len(t.km) - 1
	if away > 0 && t.km[last] > from {
		t.share = t.own[last] / (t.km[last] - from)
		t.words = fmt.Sprintf("of %s up to the last entry %s were its own, the rest other chains' by the rides; its rate, and what it ran since a reading, are in its own distance, and it is taken to get the same share from here on",
			unitsOf(log).exact(t.km[last]-from, 0), unitsOf(log).bare(t.own[last], 0))
	}
	return t
}

// dayMarks are the odometer distances of the log that have a day, by distance:
// those of entries, and after the last of them those at which rides end.
func dayMarks(log gearing.WearLog) []datedKM {
	marks := datedKMs(log)
	end := lastDay(log)
	slices.SortStableFunc(marks, func(a, b datedKM) int { return cmp.Or(cmp.Compare(a.km, b.km), a.on.Compare(b.on)) })
	if end.on.IsZero() {
		return marks
	}
	for _, r := range byDay(log.Rides) {
		if r.On.After(end.on) {
			end = datedKM{end.km + r.KM, r.On}
			marks = append(marks, end)
		}
	}
	return marks
}

func byDay(rides []gearing.WearRide) []gearing.WearRide {
	out := slices.Clone(rides)
	slices.SortStableFunc(out, func(a, b gearing.WearRide) int { return a.On.Compare(b.On) })
	return out
}

// knot adds a distance. A chain runs from nothing to all of what its odometer
// does between knots: where the rides of a day lie on the wrong side of a knot,
// the next one makes good for it.
func (t *track) knot(km, own float64) {
	last := len(t.km) - 1
	ahead := km - t.km[last]
	if ahead <= 0 {
		return
	}
	step := own - t.own[last]
	t.km, t.own = append(t.km, km), append(t.own, t.own[last]+min(max(step, 0), ahead))
}

// distances counts the groups of a kind that lie past the chain's first day and
// apart from each other, in its own distance where it takes turns.
func (t *track) distances(part gearing.WearPart, groups []group, counts func(*group) bool) (n int) {
	last := -1.
	for i := range groups {
		g := &groups[i]
		if !counts(g) || g.km <= part.FittedKM+sameKM {
			continue
		}
		own := t.at(g.km)
		if t.turns() && (part.FittedKM >= 0 && own <= sameKM || last >= 0 && own-last <= sameKM) {
			continue
		}
		n, last = n+1, own
	}
	return n
}

// turns tells that rides on other chains were taken off.
func (t *track) turns() bool { return len(t.km) > 1 }

// reaches is the odometer at which the chain comes to a distance of its own; far
// with no share of what is ridden.
func (t *track) reaches(own, far float64) float64 {
	for i := 1; i < len(t.km); i++ {
		if own <= t.own[i] {
			part := (own - t.own[i-1]) / max(t.own[i]-t.own[i-1], 1e-9)
			return t.km[i-1] + max(0, part)*(t.km[i]-t.km[i-1])
		}
	}
	last := len(t.km) - 1
	if t.share <= 0 {
		return far
	}
	return min(far, t.km[last]+(own-t.own[last])/t.share)
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
	return byDay(out)
}

// sinceDay is the day from which rides on other chains count.
func sinceDay(part gearing.WearPart, groups []group) (day time.Time, known bool) {
	switch {
	case part.FittedKM < 0: // counted from its first reading, the rides of that day behind it
		return groups[0].on.AddDate(0, 0, 1), !groups[0].on.IsZero()
	case part.FittedKM == 0: // there from the first ride
		return part.FittedOn, true
	default:
		day = part.FittedOn
	}
	return day, !day.IsZero()
}

// Overcounted says when chains are taken to have run more together than the bike
// has: distance that no ride names a chain for counts for every chain that is not
// said to be off. "" when they are not. km is the odometer now.
func Overcounted(log gearing.WearLog, chains []ChainWear, km float64) string {
	const slack = 1.05 // of rounded and forgotten rides (invented here)
	sum, from, to := 0.0, km, 0.0
	var names []string
	for i := range chains {
		c := &chains[i]
		end := km
		if isOff(c.Part) {
			end = c.Part.RemovedKM
		}
		sum += c.track.at(end)
		from, to = min(from, c.track.km[0]), max(to, end)
		names = append(names, c.ID)
	}
	u := unitsOf(log)
	if len(chains) < 2 || sum <= slack*(to-from)+sameKM {
		return ""
	}
	return fmt.Sprintf("%s are taken to have run %s together while the bike went %s: distance that no ride names a chain for counts for each of them, so that they seem to wear more slowly and to last longer than they do; name the chain of every ride (chain, --on-chain), or say when one was taken off (removed_at)",
		strings.Join(names, ", "), u.exact(sum, 0), u.exact(to-from, 0))
}
