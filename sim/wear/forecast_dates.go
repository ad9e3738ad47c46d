package wear

import (
	"fmt"
	"math"
	"time"

	"cagewise/gearing"
)

// datedKM is an odometer distance with its day.
type datedKM struct {
	km float64
	on time.Time
}

const (
	daysPerYear = 365.2425
	leastDays   = 30 // below this a rate a year is not taken from the log
	hoursPerDay = 24
)

// datedKMs lists all odometer distances of the log that have a day.
func datedKMs(log gearing.WearLog) (out []datedKM) {
	add := func(km float64, on time.Time) {
		if km >= 0 && !on.IsZero() {
			out = append(out, datedKM{km, on})
		}
	}
	for _, p := range log.Parts {
		add(p.FittedKM, p.FittedOn)
	}
	for _, r := range log.Readings {
		add(r.KM, r.On)
	}
	for _, f := range log.Findings {
		add(f.KM, f.On)
	}
	return out
}

// lastDay is the latest day of the log with an odometer distance; the furthest
// one if there are several that day. Its day is zero when there is none.
func lastDay(log gearing.WearLog) (last datedKM) {
	for _, d := range datedKMs(log) {
		if d.on.After(last.on) || d.on.Equal(last.on) && d.km > last.km {
			last = d
		}
	}
	return last
}

// calendar is what all chains of a log share.
type calendar struct {
	last datedKM
	year float64 // km; 0: not known
	from string
	ring gearing.Teeth // see onlyRing
}

func calendarOf(log gearing.WearLog) calendar {
	c := calendar{last: lastDay(log), ring: onlyRing(log)}
	c.year, c.from = KMPerYear(log)
	return c
}

// KMPerYear is the distance ridden a year: as the log states it; or from its
// first dated odometer distance to the last, when they are 30 days apart or
// more; or from its rides. from says which; km is 0 when nothing tells.
func KMPerYear(log gearing.WearLog) (km float64, from string) {
	if log.KMPerYear > 0 {
		return log.KMPerYear, "as stated in the log"
	}
	u, last := unitsOf(log), lastDay(log)
	first := last
	for _, d := range datedKMs(log) {
		if d.on.Before(first.on) || d.on.Equal(first.on) && d.km < first.km {
			first = d
		}
	}
	if per, ok := perYear(last.km-first.km, first.on, last.on); ok {
		return per, fmt.Sprintf("from %s on %s to %s on %s", u.exact(first.km, 0), first.on.Format(time.DateOnly), u.exact(last.km, 0), last.on.Format(time.DateOnly))
	}
	return fromRides(log.Rides)
}

func fromRides(rides []gearing.WearRide) (km float64, from string) {
	var first, last time.Time
	sum := 0.0
	for _, r := range rides {
		if r.On.IsZero() {
			continue
		}
		if first.IsZero() || r.On.Before(first) {
			first = r.On
		}
		if r.On.After(last) {
			last = r.On
		}
		sum += r.KM
	}
	if per, ok := perYear(sum, first, last); ok {
		return per, fmt.Sprintf("from the rides of %s to %s", first.Format(time.DateOnly), last.Format(time.DateOnly))
	}
	return 0, "not known: no distance a year, and no two dated distances 30 days apart"
}

func perYear(km float64, first, last time.Time) (per float64, ok bool) {
	days := last.Sub(first).Hours() / hoursPerDay
	if km <= 0 || days < leastDays {
		return 0, false
	}
	return km * daysPerYear / days, true
}

// day is when a distance is reached, at KMPerYear from the log's last day; zero
// without either, or further off than a date is worth.
func (f *Forecast) day(km float64, last datedKM) time.Time {
	if last.on.IsZero() || f.KMPerYear <= 0 {
		return time.Time{}
	}
	days := (km - last.km) / f.KMPerYear * daysPerYear
	const mostYears = 100
	if days > mostYears*daysPerYear || days < -mostYears*daysPerYear {
		return time.Time{}
	}
	return last.on.AddDate(0, 0, int(math.Round(days)))
}
