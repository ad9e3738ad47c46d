package wear

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
)

// slow is a chain read three times up to 1500 km, on a bike that stands at km.
func slow(t testing.TB, km float64) (gearing.WearLog, []ChainWear) {
	t.Helper()
	log := gearing.WearLog{Parts: []gearing.WearPart{part("c", gearing.PartChain, 20), part("k", gearing.PartCassette, 50, elevenCogs...), part("cable", gearing.PartCable, 5)}}
	for _, r := range []at{{500, 1220.8}, {1000, 1222.3}, {1500, 1223.5}} {
		log.Readings = append(log.Readings, gearing.WearReading{Part: "c", KM: r.km, Method: gearing.MethodRule, Pitches: 96, Length: gearing.MM(r.mm)})
	}
	log.Findings = []gearing.WearFinding{{Part: "cable", KM: km, Kind: gearing.FindNothing}}
	chains, err := Analyse(log)
	if err != nil {
		t.Fatal(err)
	}
	return log, chains
}

// States of the last reading are taken on to where the log says the bike is.
func TestOneOdometer(t *testing.T) {
	log, chains := slow(t, 4000)
	a := mustDecide(t, DecideInput{Log: log, Chains: StatesOf(chains, 0)})
	b := mustDecide(t, DecideInput{Log: log, Chains: StatesOf(chains, 4000), KM: 4000})
	x, y := decisionOn(t, a, "c"), decisionOn(t, b, "c")
	if a.KM != 4000 || x.Verdict != Replace || y.Verdict != Replace || x.Past != y.Past {
		t.Errorf("%v km: %s, %v; with the distance given: %s, %v", a.KM, x.Verdict, x.Past, y.Verdict, y.Past)
	}
}

// An old reading without a forecast is no reason to keep, and says its age.
func TestOldReading(t *testing.T) {
	log, _ := slow(t, 1000)
	log.Readings = log.Readings[:1]
	chains, err := Analyse(log)
	if err != nil {
		t.Fatal(err)
	}
	for km, want := range map[float64]Verdict{1000: Keep, 1500: Keep, 1501: KeepAndTest, 12000: KeepAndTest} {
		r := mustDecide(t, DecideInput{Log: log, Chains: StatesOf(chains, km), KM: km})
		chain, cassette := decisionOn(t, r, "c"), decisionOn(t, r, "k")
		if chain.Verdict != want || cassette.Verdict != want {
			t.Errorf("%v km: chain %s, cassette %s, want %s", km, chain.Verdict, cassette.Verdict, want)
		}
		if km == 12000 && !strings.Contains(strings.Join(chain.For, " "), "the reading is 11500 km old") {
			t.Errorf("%q", chain.For)
		}
	}
}

// A longer distance gives neither an error nor a milder verdict.
func TestVerdictMonotone(t *testing.T) {
	rank := map[Verdict]int{CannotTell: 0, Keep: 0, KeepAndTest: 1, Replace: 2}
	rapid.Check(t, func(t *rapid.T) {
		log := gearing.WearLog{Parts: []gearing.WearPart{part("c", gearing.PartChain, 20), part("k", gearing.PartCassette, 50, elevenCogs...)}}
		e, rate := 0.0, rapid.Float64Range(0.02, 0.6).Draw(t, "rate")
		n := rapid.IntRange(1, 5).Draw(t, "readings")
		for i := range n {
			e = rate*0.5*float64(i+1) + rapid.Float64Range(-0.05, 0.05).Draw(t, "off")
			log.Readings = append(log.Readings, gearing.WearReading{Part: "c", KM: 500 * float64(i+1), Method: gearing.MethodRule, Pitches: rapid.SampledFrom([]int{24, 48, 96}).Draw(t, "span")})
			r := &log.Readings[i]
			r.Length = gearing.MM(float64(r.Pitches) * 12.7 * (1 + e/100))
		}
		chains, err := Analyse(log)
		if err != nil {
			t.Fatal(err)
		}
		last, past, worn := 0, 0.0, LeastElongation
		for km := 500 * float64(n); km < 60000; km = km*1.13 + 20 {
			r, err := Decide(DecideInput{Log: log, Chains: StatesOf(chains, km), KM: km})
			if err != nil {
				t.Fatal(err)
			}
			d, s := r.Decisions[0], StatesOf(chains, km)[0]
			if rank[d.Verdict] < last || d.Past < past-1e-12 || s.Elongation < worn-1e-9 || s.Elongation > MostElongation {
				t.Fatalf("%v km: %s, past %v after %v, %v %% after %v", km, d.Verdict, d.Past, past, s.Elongation, worn)
			}
			last, past, worn = rank[d.Verdict], d.Past, s.Elongation
		}
	})
}

// Far past the readings it says so; a chain whose removal was forgotten is named
// and kills no report.
func TestFarBeyond(t *testing.T) {
	log, chains := slow(t, 1500)
	text := func(km float64) string {
		d := decisionOn(t, mustDecide(t, DecideInput{Log: log, Chains: StatesOf(chains, km), KM: km}), "c")
		return strings.Join(append(d.For, d.Against...), " ")
	}
	if strings.Contains(text(2500), "far beyond") || !strings.Contains(text(8000), "far beyond the readings") {
		t.Error(text(2500), text(8000))
	}
	newer := part("new", gearing.PartChain, 20)
	newer.FittedKM = 3000
	log.Parts = append(log.Parts, newer)
	r := mustDecide(t, DecideInput{Log: log, Chains: StatesOf(chains, 900000), KM: 900000})
	if !strings.Contains(strings.Join(r.Notes, "\n"), "c is not said to be off the bike, though new was fitted") {
		t.Errorf("%q", r.Notes)
	}
}

// A chain fitted used is judged by its pitch, not by what it gained since; its
// rate counts from its start.
func TestFittedUsed(t *testing.T) {
	log := gearing.WearLog{Parts: []gearing.WearPart{part("c", gearing.PartChain, 30), part("k", gearing.PartCassette, 60, elevenCogs...)}}
	log.Parts[0].HasStart, log.Parts[0].StartElongation = true, 0.6
	log.Readings = []gearing.WearReading{{Part: "c", KM: 3000, Method: gearing.MethodRule, Pitches: 96, Length: 1229.4}}
	c := mustAnalyse(t, log, "c")
	near(t, "pitch", float64(c.Now.Elongation), 0.837, 0.01)
	near(t, "rate", float64(c.Rises[0].RatePer1000KM), 0.237/3, 0.005)
	if !strings.Contains(c.Start, "fitted used") {
		t.Error(c.Start)
	}
	if c.Rises[0].Error*3 <= StartError {
		t.Errorf("the start's error is left out: %v", c.Rises[0].Error)
	}
	r := mustDecide(t, DecideInput{Log: log, Chains: StatesOf([]ChainWear{c}, 0)})
	if chain, cassette := decisionOn(t, r, "c"), decisionOn(t, r, "k"); chain.Verdict != Replace || cassette.Verdict != KeepAndTest || cassette.Risk[0].Taken < 0.8 {
		t.Errorf("%s, %s, %+v", chain.Verdict, cassette.Verdict, cassette.Risk[0])
	}
	shape, ok := StraightFrom(StatesOf([]ChainWear{c}, 0)[0])
	near(t, "straight", shape.Rate, 0.237/3, 0.005)
	log.Readings = append(log.Readings, gearing.WearReading{Part: "c", KM: 1500, Method: gearing.MethodRule, Pitches: 96, Length: 1227.95})
	if f := mustAnalyse(t, log, "c").Forecast; f == nil || !ok || f.RatePer1000KM < 0.06 || f.RatePer1000KM > 0.12 {
		t.Errorf("%+v", f)
	}
}
