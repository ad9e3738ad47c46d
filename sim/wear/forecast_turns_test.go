package wear

import (
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"cagewise/gearing"
)

// inTurn is a bike with chains a, b and c from the start, ridden as the rides
// name them, one a day.
func inTurn(rides ...gearing.WearRide) gearing.WearLog {
	log := gearing.WearLog{Rides: rides}
	for _, id := range []string{"a", "b", "c"} {
		p := part(id, gearing.PartChain, 32)
		p.FittedOn = day("2025-06-01")
		log.Parts = append(log.Parts, p)
	}
	return log
}

func ruled(id string, km float64, on string, pitches int, mm gearing.MM) gearing.WearReading {
	return gearing.WearReading{Part: id, KM: km, On: day(on), Method: gearing.MethodRule, Pitches: pitches, Length: mm}
}

// hangs is chain a after 900 km, read, then on the nail for 4000 km of b, and
// read again.
func hangs(second gearing.MM) gearing.WearLog {
	log := inTurn(gearing.WearRide{On: day("2025-07-10"), KM: 900, Chain: "a"}, gearing.WearRide{On: day("2025-12-20"), KM: 4000, Chain: "b"})
	log.Readings = []gearing.WearReading{ruled("a", 900, "2025-07-10", 96, 1221), ruled("a", 4900, "2025-12-20", 96, second)}
	return log
}

// A chain on the nail runs nothing, and two readings of it say how worn it is,
// not how fast it wears: of 4900 km 900 are its own, not 1300.
func TestChainAtRest(t *testing.T) {
	c := mustAnalyse(t, hangs(1221), "a")
	near(t, "own", c.OwnKM(4900), 900, 1e-9)
	near(t, "since", c.RunSince(4900), 0, 0)
	if c.Forecast != nil || !strings.Contains(c.NoForecast, "from one distance of its own") || !strings.Contains(c.Turns, "of 4900 km up to the last entry 900 were its own") {
		t.Errorf("%+v, %q, %q", c.Forecast, c.NoForecast, c.Turns)
	}
	// Both readings are of 1221 mm over 1219.2 (0.148 %), and one rise leads there.
	near(t, "now", float64(c.Now.Elongation), 0.148, 0.01)
	if len(c.Rises) != 1 || math.Abs(float64(c.Rises[0].RatePer1000KM)-0.148/0.9) > 0.001 {
		t.Errorf("rises %+v", c.Rises)
	}
}

// The age of a reading counts what the chain has run: at rest it is none, however
// far the bike went, and no reason for a test.
func TestRestIsNoAge(t *testing.T) {
	log := hangs(1221)
	log.Readings = append(log.Readings[:1], ruled("b", 4900, "2025-12-20", 96, 1222))
	chains, err := Analyse(log)
	if err != nil {
		t.Fatal(err)
	}
	states := StatesOf(chains, 4900)
	near(t, "a since", states[0].Since, 0, 0)
	near(t, "a has run", states[0].KM, 900, 1e-9)
	near(t, "b has run", states[1].KM, 4000, 1e-9)
	d := decisionOn(t, mustDecide(t, DecideInput{Log: log, Chains: states}), "a")
	if words := strings.Join(append(d.For, d.Against...), "; "); d.Verdict != Keep || !strings.Contains(words, "not ridden since by the rides") || strings.Contains(words, "old") {
		t.Errorf("%s: %s", d.Verdict, words)
	}
	log.Rides = append(log.Rides, gearing.WearRide{On: day("2026-02-01"), KM: 1100, Chain: "a"})
	d = decisionOn(t, mustDecide(t, DecideInput{Log: log, Chains: StatesOf(analysed(t, log), 6000)}), "a")
	if words := strings.Join(d.For, "; "); d.Verdict != KeepAndTest || !strings.Contains(words, "the reading is 1100 km old in its own distance") {
		t.Errorf("ridden on for 1100 km: %s: %s", d.Verdict, words)
	}
}

func analysed(t rapid.TB, log gearing.WearLog) []ChainWear {
	t.Helper()
	chains, err := Analyse(log)
	if err != nil {
		t.Fatal(err)
	}
	return chains
}

// turns300 has a, b and c changed every 300 km, each read after 900 km of its own
// at 0.18 % and after 1800 at 0.36: 0.20 % a 1000 km of its own. Rides go on to
// 6600 km.
func turns300() gearing.WearLog {
	log := inTurn()
	on := day("2025-06-01")
	for i := range 22 {
		on = on.AddDate(0, 0, 13)
		log.Rides = append(log.Rides, gearing.WearRide{On: on, KM: 300, Chain: string(rune('a' + i%3))})
		mm := map[int]gearing.MM{6: 610.7, 7: 610.7, 8: 610.7, 15: 611.8, 16: 611.8, 17: 611.8}[i]
		if mm > 0 {
			log.Readings = append(log.Readings, ruled(string(rune('a'+i%3)), 300*float64(i+1), on.Format(time.DateOnly), 48, mm))
		}
	}
	return log
}

// What chains in turn have run is their own distance: 22 rides of 300 km are 8 on
// a (2400 km) and 7 on b and c (2100). What is left is on the odometer.
func TestOwnDistance(t *testing.T) {
	log := turns300()
	chains := analysed(t, log)
	for i, own := range []float64{2400, 2100, 2100} {
		near(t, chains[i].ID, chains[i].OwnKM(6600), own, 1e-9)
	}
	// a was read at 4800 km, after 1800 of its own.
	near(t, "since", chains[0].RunSince(6600), 600, 1e-9)
	r := mustDecide(t, DecideInput{Log: log, Chains: StatesOf(chains, 6600)})
	w := decisionOn(t, r, "a").Watch
	s := StatesOf(chains, 6600)[0]
	// (limit - e) / rate, over its share of what the bike is ridden; the limit is
	// 0.5 % as no cassette is known.
	near(t, "left", w.KM, 1000*float64(0.5-s.Elongation)/s.Rate*6600/2400, 70)
	if !strings.Contains(w.Why, "% a 1000 km of its own") {
		t.Errorf("%q", w.Why)
	}
}

// A plan's lives are the chain's own: by the readings of turns300 a chain lasts
// 0.75 / 0.216 = 3470 km, and three of them the cassette 10400 km, not three
// times what the bike goes meanwhile.
func TestPlansInTurn(t *testing.T) {
	chains := analysed(t, turns300())
	for i := range chains {
		f := chains[i].Forecast
		s := ShapeOf(f)
		if rate := 1000 * float64(s.At(1800)-s.At(0)) / 1800; s.Accel > 0.02 || math.Abs(rate-0.2) > 0.015 {
			t.Errorf("%s: %+v, %.3f %% a 1000 km", chains[i].ID, s, rate)
		}
		in := PolicyInput{Prices: Prices{Chain: 32, Cassette: 65, Ring: 76}, Shape: s, Cogs: 10}
		p := planNamed(t, mustPlans(t, in), "rotate 3 chains")
		if math.Abs(p.CassetteKM-3*s.KM(0.75)) > 1e-6 || p.ChainKM < 3000 || p.ChainKM > 4000 {
			t.Errorf("%s: %.0f km a chain, %.0f a cassette", chains[i].ID, p.ChainKM, p.CassetteKM)
		}
	}
	// By hand at 0.20 %: 32/3.75 + 65/11.25 + 76/15 = 19.4 a 1000 km.
	in := PolicyInput{Prices: Prices{Chain: 32, Cassette: 65, Ring: 76}, Shape: WearShape{Rate: 0.2}, Cogs: 10}
	near(t, "rotation", planNamed(t, mustPlans(t, in), "rotate 3 chains").Cost, 19.38, 0.01)
	// A single distance counts likewise: 0.18 % after 900 km of its own.
	log := turns300()
	log.Readings = log.Readings[:1]
	shape, ok := StraightFrom(StatesOf(analysed(t, log), 0)[0])
	if !ok || math.Abs(shape.Rate-0.2) > 0.005 {
		t.Errorf("single reading: %+v, %v", shape, ok)
	}
}

// A cassette fitted after 900 km of a, while b ran up to 4900 km and a 100 more,
// has had a tenth of a's distance, not four fifths.
func TestTogetherInTurn(t *testing.T) {
	log := hangs(1221)
	log.Rides = append(log.Rides, gearing.WearRide{On: day("2026-01-10"), KM: 100, Chain: "a"})
	k := part("k", gearing.PartCassette, 50, 11, 13, 15)
	k.FittedKM, k.FittedOn = 900, day("2025-07-11")
	log.Parts = append(log.Parts, k)
	d := newDecider(DecideInput{Log: log, Chains: StatesOf(analysed(t, log), 5000)})
	near(t, "part of its distance", d.history.part, 0.1, 1e-9)
}

// Three chains on the bike from the start and no ride that names one: 3 x 6600 km
// on an odometer of 6600 cannot be, and is said; with the rides it is not.
func TestOvercounted(t *testing.T) {
	log := turns300()
	if note := Overcounted(log, analysed(t, log), 6600); note != "" {
		t.Error(note)
	}
	log.Rides = nil
	note := Overcounted(log, analysed(t, log), 6600)
	if !strings.HasPrefix(note, "a, b, c are taken to have run 19800 km together while the bike went 6600 km: ") {
		t.Errorf("%q", note)
	}
	// One after the other is no overcount.
	log.Parts[0].RemovedKM, log.Parts[1].FittedKM = 2500, 2500
	log.Parts[1].RemovedKM, log.Parts[2].FittedKM = 5200, 5200
	log.Readings = []gearing.WearReading{log.Readings[0], log.Readings[4], log.Readings[5]}
	if note := Overcounted(log, analysed(t, log), 6600); note != "" {
		t.Error(note)
	}
}

// Where rides name the chain for every kilometre, the chains together have run
// what the odometer says, whatever the order and wherever readings lie.
func TestOwnDistancesAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		log := inTurn()
		km, on := 0.0, day("2025-06-01")
		for range rapid.IntRange(1, 30).Draw(t, "rides") {
			on = on.AddDate(0, 0, rapid.IntRange(1, 9).Draw(t, "days"))
			ride := gearing.WearRide{On: on, KM: rapid.Float64Range(25, 900).Draw(t, "km"), Chain: rapid.SampledFrom([]string{"a", "b", "c"}).Draw(t, "chain")}
			km += ride.KM
			log.Rides = append(log.Rides, ride)
			if rapid.Bool().Draw(t, "read") {
				id := rapid.SampledFrom([]string{"a", "b", "c"}).Draw(t, "read")
				log.Readings = append(log.Readings, ruled(id, km, on.Format(time.DateOnly), 48, 610))
			}
		}
		for _, id := range []string{"a", "b", "c"} {
			log.Readings = append(log.Readings, ruled(id, km, on.Format(time.DateOnly), 48, 610))
		}
		sum, ridden := 0.0, map[string]float64{}
		for _, r := range log.Rides {
			ridden[r.Chain] += r.KM
		}
		for _, c := range analysed(t, log) {
			if own := c.OwnKM(km); math.Abs(own-ridden[c.ID]) > 1e-6 {
				t.Fatalf("%s ran %v km, its rides add up to %v", c.ID, own, ridden[c.ID])
			}
			sum += c.OwnKM(km)
		}
		if math.Abs(sum-km) > 1e-6 {
			t.Fatalf("%v km in all on an odometer of %v", sum, km)
		}
	})
}
