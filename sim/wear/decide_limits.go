package wear

import (
	"fmt"
	"math"

	"cagewise/gearing"
)

// Limits of elongation (common practice, no source, disputed; see
// testdata/elongation_rules.csv).
const (
	LimitMany     gearing.Percent = 0.5  // replace, with 11 or more cogs
	LimitFew      gearing.Percent = 0.75 // replace, with up to 10
	LimitCassette gearing.Percent = 1.0  // the cassette is seen as gone too
	// LimitDrive is the industrial limit for drives with fixed centres,
	// "approximately" (a chain maker's, in testdata/elongation_rules.csv).
	LimitDrive gearing.Percent = 1.5

	manyCogs = 11
)

// ReplaceAt is the elongation at which common practice replaces a chain that
// runs on so many cogs: 0.5 % for 11 or more, 0.75 % up to 10 (no source,
// disputed).
func ReplaceAt(cogs int) gearing.Percent {
	if cogs >= manyCogs {
		return LimitMany
	}
	return LimitFew
}

// Watch tells how long a part may stay.
type Watch struct {
	// Limit that is watched for, and the distance on the odometer left to it with its
	// standard error; used when HasKM.
	Limit gearing.Percent `json:"limit_percent,omitempty"`
	KM    float64         `json:"km_left"`
	Error float64         `json:"km_left_error"`
	HasKM bool            `json:"has_km_left"`
	// LookEvery is how often to look until then; 0 with EveryRide.
	LookEvery float64 `json:"look_every_km"`
	// EveryRide: the part can throw the rider; it is to be looked at before
	// every ride, and no distance is left to it.
	EveryRide bool   `json:"look_before_every_ride"`
	Why       string `json:"why"`
}

// How often to look where nothing better is known (common practice for motors,
// 500 km, no source; the other invented here; default, widely varying).
const (
	lookMotorKM = 500.0
	lookKM      = 1000.0
	leastLookKM = 50.0
	lookAgainKM = 100.0 // while the readings contradict each other

	// Under this rate, percent a 1000 km, readings show no wear: 0.5 % would
	// take 500,000 km (invented here).
	leastRate = 0.001

	leastStep gearing.Percent = 0.01 // no two limits lie so close
)

func lookDefault(motor bool) float64 {
	if motor {
		return lookMotorKM
	}
	return lookKM
}

// meaning says what lies behind a limit.
func meaning(limit gearing.Percent) string {
	switch {
	case limit >= LimitDrive:
		return "the limit of industrial drives"
	case limit >= LimitCassette:
		return "beyond it the cassette is seen as gone too (common practice, disputed)"
	}
	return "common practice replaces the chain there (no source, disputed)"
}

// nextLimit is the first limit that an elongation has not reached, from the
// given one on; ok is false past the last.
func nextLimit(e, first gearing.Percent) (gearing.Percent, bool) {
	for _, l := range append(Limits(), LimitDrive) {
		if l >= first && e < l {
			return l, true
		}
	}
	return 0, false
}

// watchChain is (limit - e) / rate with its error, to the next limit from first
// on, in km of the odometer (errors by first derivatives; derived here); the
// distance is the forecast's where there is one. In doubt it looks twice as
// often, with readings at odds sooner still.
func (d *decider) watchChain(s ChainState, first gearing.Percent, doubt bool) *Watch {
	w := &Watch{LookEvery: lookDefault(d.in.Log.Motor)}
	if doubt {
		w.LookEvery /= 2
	}
	if s.Contradicts {
		w.LookEvery = lookAgainKM
	}
	limit, ok := nextLimit(s.Elongation, first)
	if !ok {
		w.LookEvery = leastLookKM
		w.Why = fmt.Sprintf("past %s, the last limit anybody states: ride it only where a skip or a broken chain does no harm", sayPercent(LimitDrive))
		return w
	}
	w.Limit = limit
	if !s.HasRate || s.Rate < leastRate {
		w.Why = fmt.Sprintf("no distance to %s is promised: %s; look every %s (%s)", sayPercent(limit), noRate(s), d.units.say(w.LookEvery), Widely)
		return w
	}
	room := float64(limit - s.Elongation)
	w.HasKM, w.KM = true, room*s.perPercent()
	if f := s.forecast; f != nil { // the same figure as in its table
		if km, open := f.reaches(limit, 0.5); !open {
			w.KM = max(0, km-max(f.SeenKM, s.at)) // it may have rested since
		}
	}
	w.Error = s.perPercent() * math.Hypot(float64(s.Error), room*s.RateError/s.Rate)
	w.LookEvery = lookBefore(w.KM-w.Error, w.LookEvery)
	own := ""
	if s.share() < 1 {
		own = " of its own"
	}
	w.Why = fmt.Sprintf("%s to %s at %.2f %% a 1000 %s%s; %s; look every %s", d.units.withError(w.KM, w.Error), sayPercent(limit), d.units.per(s.Rate), d.units.name(), own, meaning(limit), d.units.say(w.LookEvery))
	return w
}

// lookBefore is half of the distance that is surely left, in tens of
// kilometres, within bounds.
func lookBefore(left, most float64) float64 {
	return min(most, max(leastLookKM, 10*math.Floor(left/20)))
}

func noRate(s ChainState) string {
	switch {
	case s.HasRate:
		return "the readings show no wear"
	case s.NoRate != "":
		return s.NoRate
	}
	return "the readings give no rate"
}
