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
	s.Start, s.startError = c.first, c.firstError
	s.Since = c.RunSince(km)
	if c.Part.FittedKM >= 0 {
		s.KM = c.OwnKM(c.Now.KM) + s.Since
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

// TakesTurns tells that rides name other chains, and were taken off: distances
// of the chain are then its own, not the odometer's.
func (c *ChainWear) TakesTurns() bool { return c.track.turns() }

// OwnKM is how far the chain itself has run where the odometer stands at km:
// since it was fitted, or since its first reading, less what rides name other
// chains for.
func (c *ChainWear) OwnKM(km float64) float64 { return c.track.at(km) }

// RunSince is how far the chain itself has run since its last reading where the
// odometer stands at km; 0 for one that was taken off.
func (c *ChainWear) RunSince(km float64) float64 {
	if isOff(c.Part) {
		return 0
	}
	return max(0, c.track.at(km)-c.track.at(c.Now.KM))
}

// ShapeOf takes the shape of wear over from a forecast, for plans: over the
// chain's own distance, as its rate is, and within what a plan takes.
func ShapeOf(f *Forecast) WearShape {
	s := f.WearShape()
	s.Start = max(leastStart, min(mostStart, s.Start))
	s.Rate, s.Accel = max(0, s.Rate), max(0, s.Accel)
	return s
}

// errorAtStart is the standard error of Start.
func (s ChainState) errorAtStart() gearing.Percent {
	if s.startError > 0 {
		return s.startError
	}
	return NewTolerance
}

// StraightFrom is the straight line from the chain's start to a single reading, for
// plans of an owner who has no more; no forecast rests on it. ok is false
// without a reading, a distance or any wear.
func StraightFrom(s ChainState) (shape WearShape, ok bool) {
	if !s.HasReading || s.KM <= 0 || s.Elongation <= s.Start {
		return WearShape{}, false
	}
	x := s.KM / 1000
	return WearShape{Rate: float64(s.Elongation-s.Start) / x, RateError: math.Hypot(float64(s.Error), float64(s.errorAtStart())) / x}, true
}
