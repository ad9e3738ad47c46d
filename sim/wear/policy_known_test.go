package wear

import (
	"math"
	"testing"

	"cagewise/gearing"
)

// Plans take the chain whose rate is known best: b, read over 48 pitches after
// 1800 km, 0.33 +- 0.09 %, so 0.18 +- 0.06 % a 1000 km, and not a, of which one
// mark of a gauge is all there is (0.87 +- 0.51 % after 2900 km, +- 0.18), nor c,
// read over 24 pitches (0.23 +- 0.17 % after 1900, +- 0.10).
func TestBestRate(t *testing.T) {
	log := inTurn(
		gearing.WearRide{On: day("2025-10-11"), KM: 2900, Chain: "a"},
		gearing.WearRide{On: day("2025-12-20"), KM: 1800, Chain: "b"},
		gearing.WearRide{On: day("2026-03-25"), KM: 1900, Chain: "c"},
	)
	gauge := gearing.WearReading{Part: "a", KM: 2900, On: day("2025-10-11"), Method: gearing.MethodTwoPoint, Mark: 0.75, Falls: true}
	log.Readings = []gearing.WearReading{gauge, ruled("b", 4700, "2025-12-20", 48, 611.6), ruled("c", 6600, "2026-03-25", 24, 305.5)}
	k, ok := BestRate(analysed(t, log))
	if !ok || k.Chain.ID != "b" || !k.Straight || k.Of != 3 {
		t.Fatalf("%+v, %v", k, ok)
	}
	near(t, "rate", k.Shape.Rate, 0.328/1.8, 0.001)
	near(t, "its error", k.Shape.RateError, math.Hypot(0.087, 0.07)/1.8, 0.002)
	// One side of a gauge counts only where there is nothing else.
	log.Readings = log.Readings[:1]
	if k, ok = BestRate(analysed(t, log)); !ok || k.Chain.ID != "a" || k.Of != 1 {
		t.Errorf("%+v, %v", k, ok)
	}
	if _, ok = BestRate(nil); ok {
		t.Error("a rate from no chain")
	}
}

// Of equal rates the chain on the bike counts, and of those the one fitted last.
func TestBestRateOfEquals(t *testing.T) {
	log := gearing.WearLog{}
	for i, id := range []string{"old", "off", "new"} {
		p := part(id, gearing.PartChain, 32)
		p.FittedKM = 2000 * float64(i)
		if id == "off" {
			p.FittedKM, p.RemovedKM = 9000, 11000
		}
		log.Parts = append(log.Parts, p)
		log.Readings = append(log.Readings, ruled(id, p.FittedKM+1500, "2026-01-01", 48, 611.6))
	}
	if k, ok := BestRate(analysed(t, log)); !ok || k.Chain.ID != "new" {
		t.Errorf("%+v, %v", k, ok)
	}
}

// A reading on the first day is the chain's start beside what any new chain is:
// 0.033 +- 0.087 % and 0 +- 0.07 % come to 0.013 +- 0.055 %.
func TestFirstDayReading(t *testing.T) {
	log := gearing.WearLog{Parts: []gearing.WearPart{part("c", gearing.PartChain, 32)}}
	log.Readings = []gearing.WearReading{ruled("c", 0, "2025-06-01", 48, 609.8), ruled("c", 1500, "2025-09-01", 48, 611.4)}
	c := mustAnalyse(t, log, "c")
	if want := "counted from 12.7 mm a pitch; its first-day reading of 0.03 % (+/- 0.08 %) counts beside the 0 +/- 0.07 % of any new chain"; c.Start != want {
		t.Errorf("%q", c.Start)
	}
	s := StatesOf([]ChainWear{c}, 0)[0]
	near(t, "start", float64(s.Start), 0.0129, 0.0005)
	near(t, "its error", float64(s.errorAtStart()), 0.0546, 0.0005)
	log.Readings[0].KM = 300
	if c = mustAnalyse(t, log, "c"); c.first != 0 || c.Start != startWords(log.Parts[0], []group{{km: 300}}) {
		t.Errorf("%v, %q", c.first, c.Start)
	}
}
