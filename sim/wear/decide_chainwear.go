package wear

import (
	"math"

	"cagewise/gearing"
)

// StatesOf takes the states of chains over from their readings. km is the
// odometer now: a chain on the bike that was ridden on after its last reading
// counts as its forecast says; 0: at the last reading. OdometerOf tells it. Decide
// takes states that are behind its own odometer on to there.
func StatesOf(list []ChainWear, km float64) []ChainState {
	states := make([]ChainState, len(list))
	for i := range list {
		states[i] = stateOf(&list[i], km)
	}
	return states
}

// normal90 is how many standard errors an interval of 90 % reaches either way.
const normal90 = 1.645

// A rate, percent a 1000 km, that no chain has; a fit through readings a few
// kilometres apart can say so.
const mostRate, mostRateError = 100.0, 1000.0

func stateOf(c *ChainWear, km float64) ChainState {
	s := ChainState{ID: c.ID, NoRate: c.NoForecast, Start: gearing.Percent(startOf(c.Part)), wear: c, at: km}
	if len(c.Points) == 0 {
		return s
	}
	s.HasReading, s.Elongation, s.Error, s.Contradicts = true, c.Now.Elongation, c.Now.Error, c.Contradicts()
	if !isOff(c.Part) {
		s.Since = max(0, km-c.Now.KM)
	}
	if c.Part.FittedKM >= 0 {
		s.KM = c.track.at(c.Now.KM + s.Since)
	}
	f := c.Forecast
	if f == nil {
		return s
	}
	s.HasRate, s.Rate, s.RateError = true, min(float64(f.RatePer1000KM), mostRate), min(float64(f.RateError), mostRateError)
	s.forecast = f
	if s.Since > 0 {
		s.Elongation, s.Error = gearing.Percent(bounded(f.mean(km))), f.errorAt(km)
		s.Forecasted, s.forecast = true, f.AsOf(km)
	}
	return s
}

// ShapeOf is the shape of wear of a forecast with its start within what plans
// take.
func ShapeOf(f *Forecast) WearShape {
	s := f.WearShape()
	s.Start = max(leastStart, min(mostStart, s.Start))
	return s
}

// StraightFrom is the straight line from the chain's start to a single reading, for
// plans of an owner who has no more; no forecast rests on it. ok is false
// without a reading, a distance or any wear.
func StraightFrom(s ChainState) (shape WearShape, ok bool) {
	if !s.HasReading || s.KM <= 0 || s.Elongation <= s.Start {
		return WearShape{}, false
	}
	x := s.KM / 1000
	return WearShape{Rate: float64(s.Elongation-s.Start) / x, RateError: math.Hypot(float64(s.Error), float64(NewTolerance)) / x}, true
}
