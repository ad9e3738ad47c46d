package wear

import (
	"math"
	"slices"
	"time"

	"cagewise/gearing"
)

// limits looks every limit up.
func (f *Forecast) limits(day datedKM) {
	for _, limit := range Limits() {
		l := LimitForecast{Limit: limit, Chance: f.chance(f.NowKM, float64(limit))}
		l.Passed = l.Chance >= 0.5
		l.LowKM, l.LowOn, _ = f.reachedOn(limit, tail, day)
		l.KM, l.On, l.OpenKM = f.reachedOn(limit, 0.5, day)
		l.HighKM, l.HighOn, l.Open = f.reachedOn(limit, 1-tail, day)
		f.Limits = append(f.Limits, l)
	}
}

// reachedOn is reaches with the day; zero when open.
func (f *Forecast) reachedOn(limit gearing.Percent, p float64, last datedKM) (km float64, on time.Time, open bool) {
	if km, open = f.reaches(limit, p); !open {
		on = f.day(km, last)
	}
	return km, on, open
}

// AsOf is the forecast with its chances seen from a distance further on than the
// last reading; nearer ones change nothing, nor does distance that other chains
// have run.
func (f *Forecast) AsOf(km float64) *Forecast {
	g := *f
	if f.track.at(km) > f.track.at(f.NowKM) {
		g.SeenKM = max(km, f.NowKM)
	}
	g.Limits = slices.Clone(f.Limits)
	for i := range g.Limits {
		l := &g.Limits[i]
		l.Chance = f.chance(g.SeenKM, float64(l.Limit))
		l.Passed = l.Chance >= 0.5
	}
	return &g
}

// reaches finds where the limit is first reached with probability p: outward in
// growing steps, then by halving. open tells that it is not within FarKM.
func (f *Forecast) reaches(limit gearing.Percent, p float64) (km float64, open bool) {
	e := float64(limit)
	end := f.NowKM + FarKM
	low, high := f.FromKM, f.FromKM
	if f.chance(low, e) >= p {
		return low, false
	}
	const finest, growth, settled = 1. / 32, 1.15, 0.05 // of the readings' reach; a step; km
	for step := finest * (f.NowKM - f.FromKM); ; step *= growth {
		low, high = high, min(high+step, end)
		if f.chance(high, e) >= p {
			break
		}
		if high >= end {
			return end, true
		}
	}
	for high-low > settled {
		if mid := (low + high) / 2; f.chance(mid, e) >= p {
			high = mid
		} else {
			low = mid
		}
	}
	return high, false
}

// When to read again.
const (
	leastToNext = 100.  // km
	mostToNext  = 1000. // km
	mostMotor   = 500.  // km, with a motor (common practice, no source)
)

const nextReadingWords = "where the chance to have reached the next limit is 1 in 20, or half the way to it, whichever comes first; "

// NextReadingRule says how NextReadingKM comes about (invented here, but for
// the check every 500 km with a motor: common practice, no source).
const NextReadingRule = nextReadingWords + "100 to 1000 km of its own after the last reading, with a motor at most 500"

// NextReadingRuleMiles is NextReadingRule for an owner who rides in miles.
const NextReadingRuleMiles = nextReadingWords + "62 to 621 miles of its own after the last reading, with a motor at most 311"

// nextReading follows NextReadingRule.
func (f *Forecast) nextReading(motor bool, day datedKM) {
	most := mostToNext
	if motor {
		most = mostMotor
	}
	for _, l := range f.Limits {
		if l.Passed {
			continue
		}
		now := f.track.at(f.NowKM)
		due := min(f.track.at(l.LowKM)-now, (f.track.at(l.KM)-now)/2)
		next := f.track.reaches(now+min(max(due, leastToNext), most), f.NowKM+FarKM)
		f.NextReadingKM = f.NowKM + math.Round(next-f.NowKM)
		f.NextReadingOn = f.day(f.NextReadingKM, day)
		return
	}
}
