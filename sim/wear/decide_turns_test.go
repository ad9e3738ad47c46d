package wear

import (
	"strings"
	"testing"

	"cagewise/gearing"
)

// inTurns is a log of a chain fitted at 1000 km and read at 2000, 3000 and 4000 km,
// half of whose distance another chain ran.
func inTurns() gearing.WearLog {
	log := rules(at{2000, 610.4}, at{3000, 611.1}, at{4000, 611.9})
	log.Parts[0].FittedOn = day("2026-01-01")
	log.Parts = append(log.Parts, gearing.WearPart{ID: "other", Kind: gearing.PartChain, FittedKM: 1000, RemovedKM: -1})
	for i, on := range []string{"2026-02-01", "2026-03-01", "2026-04-01"} {
		log.Readings[i].On = day(on)
		log.Rides = append(log.Rides, gearing.WearRide{On: day(on).AddDate(0, 0, -15), KM: 500, Chain: "other"})
	}
	log.Rides = append(log.Rides, gearing.WearRide{On: day("2026-03-31"), KM: 1, Chain: "c"})
	return log
}

// What is left to a chain that takes turns is told on the odometer, error and
// all; its rate and the shape for plans are of its own distance.
func TestTurnsInOneUnit(t *testing.T) {
	log := inTurns()
	c := mustAnalyse(t, log, "c")
	s := StatesOf([]ChainWear{c}, 0)[0]
	near(t, "its own distance", s.KM, 1500, 1)
	shape := ShapeOf(c.Forecast)
	near(t, "shape now", float64(shape.At(1500)), float64(c.Now.Elongation), 1e-9)
	near(t, "rate now", shape.Rate+2*shape.Accel*1.5, s.Rate, 1e-9)

	w := decisionOn(t, mustDecide(t, DecideInput{Log: log, Chains: []ChainState{s}}), "c").Watch
	room := float64(w.Limit - s.Elongation)
	if least := 2 * 1000 / s.Rate * float64(s.Error); w.Error < least || room <= 0 {
		t.Errorf("%.0f +- %.0f km to %v %%; the reading's error alone makes %.0f km", w.KM, w.Error, w.Limit, least)
	}
	if !strings.Contains(w.Why, "a 1000 km of its own;") {
		t.Error(w.Why)
	}
}

// One reading of a chain that takes turns counts over its own distance.
func TestStraightOverOwnDistance(t *testing.T) {
	log := inTurns()
	log.Readings = log.Readings[2:]
	shape, ok := StraightFrom(StatesOf([]ChainWear{mustAnalyse(t, log, "c")}, 0)[0])
	if !ok {
		t.Fatal("no shape")
	}
	near(t, "rate", shape.Rate, 0.374/1.5, 0.01) // 611.9 mm over 48 pitches after 1500 km
}
