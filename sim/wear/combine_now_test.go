package wear

import (
	"strings"
	"testing"

	"cagewise/gearing"
)

// rules is a log of a chain fitted at 1000 km, read by a rule over 48 pitches.
func rules(list ...struct{ km, mm float64 }) gearing.WearLog {
	log := gearing.WearLog{Parts: []gearing.WearPart{{ID: "c", Kind: gearing.PartChain, FittedKM: 1000, RemovedKM: -1}}}
	for _, r := range list {
		log.Readings = append(log.Readings, gearing.WearReading{Part: "c", KM: r.km, Method: gearing.MethodRule, Pitches: 48, Length: gearing.MM(r.mm)})
	}
	return log
}

type at = struct{ km, mm float64 }

// stateAndForecast checks that one figure and one chance are everywhere.
func stateAndForecast(t *testing.T, c ChainWear) ChainState {
	t.Helper()
	s := StatesOf([]ChainWear{c}, 0)[0]
	mean, low, high := c.Forecast.At(c.Now.KM)
	near(t, "now", float64(c.Now.Elongation), float64(mean), 1e-9)
	near(t, "error", float64(c.Now.Error), float64(high-low)/(2*normal90), 1e-9)
	for _, l := range c.Forecast.Limits {
		near(t, "chance", chancePast(s, l.Limit), l.Chance, 1e-12)
	}
	return s
}

// One weak late reading neither overrides better earlier ones nor lengthens the
// life left; it is named where it clearly falls short.
func TestOneLateReading(t *testing.T) {
	log := rules(at{2000, 611.1}, at{2500, 611.7}, at{3000, 612.3})
	before := mustAnalyse(t, log, "c")
	log.Readings = append(log.Readings, gearing.WearReading{Part: "c", KM: 3260, Method: gearing.MethodTwoPoint, HasScale: true, Scale: 0.6})
	c := mustAnalyse(t, log, "c")
	s := stateAndForecast(t, c)
	near(t, "now", float64(c.Now.Elongation), 0.44, 0.03) // 0.27 by the last reading alone
	if c.Now.Error <= before.Now.Error {
		t.Errorf("error %.3f with the clash, %.3f without", c.Now.Error, before.Now.Error)
	}
	if len(c.Contradictions) != 1 || c.Contradictions[0].B != 3 || !strings.Contains(c.Contradictions[0].Words, "the readings before it lead to 0.5") {
		t.Errorf("%+v", c.Contradictions)
	}
	if !s.Contradicts || c.Forecast.NextReadingKM != c.Forecast.NowKM {
		t.Errorf("next reading at %v km", c.Forecast.NextReadingKM)
	}
	log.Readings[3].Scale = 0.9 // about 0.54 %
	if c = mustAnalyse(t, log, "c"); c.Contradicts() {
		t.Errorf("in line: %+v", c.Contradictions)
	}
	log.Readings[3] = gearing.WearReading{Part: "c", KM: 3260, Method: gearing.MethodThreePoint, Mark: 0.25}
	if c = mustAnalyse(t, log, "c"); !c.Contradicts() {
		t.Error("a mark of 0.25 % that stands on a chain of 0.5 % is not named")
	}
}

// A bound is conditioned on the curve through all readings, with a forecast or
// without.
func TestBoundOnTheCurve(t *testing.T) {
	bound := gearing.WearReading{Part: "c", KM: 3260, Method: gearing.MethodThreePoint, Mark: 0.75, Falls: true}
	log := rules(at{2000, 611.1}, at{2500, 611.7}, at{3000, 612.3})
	log.Readings = append(log.Readings, bound)
	c := mustAnalyse(t, log, "c")
	stateAndForecast(t, c)
	if c.Now.Bound || c.Now.Elongation < 0.6 || c.Now.Elongation > 0.85 || c.Now.Error > 0.15 {
		t.Errorf("%+v", c.Now)
	}
	one := rules(at{3000, 612.3})
	one.Readings = append(one.Readings, bound)
	c = mustAnalyse(t, one, "c")
	if c.Forecast != nil || !c.Fitted || c.Now.Elongation > 0.85 || c.Now.Error > 0.25 {
		t.Errorf("one value and a bound: forecast %v, %+v", c.Forecast, c.Now)
	}
}

// Readings that contradict each other widen the error to what lies between them
// and leave no firm verdict.
func TestOddsWiden(t *testing.T) {
	for name, log := range map[string]gearing.WearLog{
		"same day": rules(at{2000, 611.1}, at{2000, 615.0}),
		"shrinks":  rules(at{2000, 612.9}, at{2500, 612.0}, at{3000, 611.1}),
	} {
		c := mustAnalyse(t, log, "c")
		if !c.Contradicts() {
			t.Fatalf("%s: %+v", name, c.Contradictions)
		}
		if c.Now.Error < gearing.Percent(c.Contradictions[0].gap/2-0.01) || c.Now.Error < 0.14 {
			t.Errorf("%s: error %.3f", name, c.Now.Error)
		}
		if c.Forecast != nil {
			stateAndForecast(t, c)
		}
		log.Parts = append(log.Parts, part("k", gearing.PartCassette, 10, eightCogs...))
		r := mustDecide(t, DecideInput{Log: log, Chains: StatesOf([]ChainWear{c}, 0)})
		d := decisionOn(t, r, "c")
		if d.Verdict != KeepAndTest || d.Watch.LookEvery != lookAgainKM || !strings.Contains(strings.Join(d.For, " "), "contradict each other") {
			t.Errorf("%s: %s, look every %v, for %q", name, d.Verdict, d.Watch.LookEvery, d.For)
		}
	}
}
