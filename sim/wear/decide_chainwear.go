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
		s.KM = max(0, c.Now.KM-c.Part.FittedKM)
	}
	f := c.Forecast
	if f == nil {
		return s
	}
	s.HasRate, s.Rate, s.RateError = true, min(float64(f.RatePer1000KM), mostRate), min(float64(f.RateError), mostRateError)
	s.forecast = f
	if s.Since > 0 {
		s.Elongation, s.Error = gearing.Percent(bounded(f.mean(km))), f.errorAt(km)
		s.KM += s.Since
		s.Forecasted, s.forecast = true, f.AsOf(km)
	}
	return s
}

// ShapeOf takes the shape of wear over from a forecast: its mean is a parabola
// from where the chain was fitted on, which three points fix.
func ShapeOf(f *Forecast) WearShape {
	const step = 1.0 // 1000 km
	at := func(x float64) float64 { return f.mean(f.FromKM + 1000*x) }
	e0, e1, e2 := at(0), at(step), at(2*step)
	s := WearShape{Start: gearing.Percent(max(leastStart, min(mostStart, e0))), RateError: float64(f.RateError)}
	s.Accel = max(0, (e2-2*e1+e0)/(2*step*step))
	s.Rate = max(0, (e1-e0)/step-s.Accel*step)
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
