package wear

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
)

func threePoint(km, mark float64, falls bool) gearing.WearReading {
	return gearing.WearReading{Part: "c", KM: km, Method: gearing.MethodThreePoint, Mark: gearing.Percent(mark), Falls: falls}
}

// A correct "does not fall in" after good readings leaves the chain due, with a
// forecast or without.
func TestBoundForgetsNothing(t *testing.T) {
	worn := rules(at{1500, 610.7}, at{2000, 611.8}, at{2500, 612.9}, at{3000, 614.0}, at{3500, 615.1}) // to 0.9 %
	single := rules(at{3500, 615.1})
	unfitted := rules(at{3500, 615.1})
	unfitted.Parts[0].FittedKM = -1
	for name, log := range map[string]gearing.WearLog{"five": worn, "one": single, "fitted nobody knows when": unfitted} {
		for _, mark := range []float64{1, 0.95, 2} {
			log := log
			log.Readings = append(log.Readings[:len(log.Readings):len(log.Readings)], threePoint(3530, mark, false))
			log.Parts = append(log.Parts[:1:1], part("k", gearing.PartCassette, 10, eightCogs...))
			c := mustAnalyse(t, log, "c")
			if c.Now.Elongation < 0.8 || c.Now.Elongation > 1 || c.Now.Error > 0.15 {
				t.Errorf("%s, mark %v: %+v", name, mark, c.Now)
			}
			if d := decisionOn(t, mustDecide(t, DecideInput{Log: log, Chains: StatesOf([]ChainWear{c}, 0)}), "c"); d.Verdict != Replace {
				t.Errorf("%s, mark %v: %s", name, mark, d.Verdict)
			}
		}
	}
}

// Without a curve a bound above the last value counts on top of it, bounds alone
// count together, and one that lies clearly under the value is named.
func TestBoundsWithoutACurve(t *testing.T) {
	log := rules(at{3500, 611.7}) // 0.34 %
	log.Parts[0].FittedKM = -1
	value := log.Readings[0]
	log.Readings = append(log.Readings, threePoint(5000, 0.75, true))
	if c := mustAnalyse(t, log, "c"); c.Now.Elongation < 0.75 || c.Now.KM != 5000 {
		t.Errorf("falls in: %+v", c.Now)
	}
	log.Readings = []gearing.WearReading{threePoint(2000, 0.75, true), threePoint(5000, 1, false)}
	if c := mustAnalyse(t, log, "c"); c.Now.Elongation < 0.75 || c.Now.Elongation > 1.02 {
		t.Errorf("between two bounds: %+v", c.Now)
	}
	value.Length = 615.1
	log.Readings = []gearing.WearReading{value, threePoint(5000, 0.5, false)}
	if c := mustAnalyse(t, log, "c"); !c.Contradicts() || c.Now.Elongation < 0.8 || c.Now.Error < 0.15 {
		t.Errorf("a mark that stands on a longer chain: %+v, %+v", c.Now, c.Contradictions)
	}
}

// stuck is a gauge whose figure hardly moves while the rule's does.
func stuck(span int, falls bool) gearing.WearLog {
	log := gearing.WearLog{Parts: []gearing.WearPart{{ID: "c", Kind: gearing.PartChain, Pitches: 110, RemovedKM: -1}}}
	for k, shows := range []gearing.Percent{0.66, 0.55, 0.64, 0.50, 0.54} {
		km, e := float64(500*(k+1)), 0.2*float64(k+1)
		log.Readings = append(log.Readings,
			gearing.WearReading{Part: "c", KM: km, Method: gearing.MethodRule, Pitches: 48, Length: gearing.MM(609.6 * (1 + e/100))},
			gearing.WearReading{Part: "c", KM: km, Method: gearing.MethodTwoPoint, Pitches: span, HasScale: true, Scale: shows})
	}
	log.Readings = append(log.Readings, gearing.WearReading{Part: "c", KM: 3000, Method: gearing.MethodTwoPoint, Pitches: span, Mark: 0.75, Falls: falls})
	return log
}

// A gauge that cannot be right is set aside, whatever it spans: the rule's 1 %
// stands and no verdict is firm.
func TestStuckGauge(t *testing.T) {
	for _, span := range []int{2, 3, 4, 6, 8, 10} {
		for _, falls := range []bool{true, false} {
			log := stuck(span, falls)
			c := mustAnalyse(t, log, "c")
			if c.Now.Elongation < 0.7 || c.Now.Elongation > 1.5 || c.RollerPlay < 0 || c.RollerPlay > mostPlay || !c.Contradicts() {
				t.Errorf("span %d, falls %v: %+v, play %.2f, %d contradictions", span, falls, c.Now, c.RollerPlay, len(c.Contradictions))
			}
			if d := decisionOn(t, mustDecide(t, DecideInput{Log: log, Chains: StatesOf([]ChainWear{c}, 0)}), "c"); d.Verdict == Keep {
				t.Errorf("span %d, falls %v: keep", span, falls)
			}
		}
	}
}

// Whatever rule and gauges say, play and elongation stay what they can be, and a
// gauge reads more on a longer chain.
func TestPlayStaysPossible(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		part := gearing.WearPart{ID: "c", Kind: gearing.PartChain, Pitches: 110, RemovedKM: -1}
		part.RollerPlay = gearing.MM(rapid.SampledFrom([]float64{0, 0, 0.3, 2.9}).Draw(t, "play"))
		log := gearing.WearLog{Parts: []gearing.WearPart{part}}
		slope := rapid.Float64Range(-4, 4).Draw(t, "slope")
		for range rapid.IntRange(2, 9).Draw(t, "readings") {
			e := rapid.Float64Range(0, 3).Draw(t, "e")
			r := gearing.WearReading{Part: "c", KM: 1000 * e, Method: gearing.MethodTwoPoint, Pitches: rapid.IntRange(2, 10).Draw(t, "span"), Error: gearing.MM(rapid.Float64Range(0.001, 0.1).Draw(t, "error"))}
			switch rapid.IntRange(0, 2).Draw(t, "method") {
			case 0:
				r.Method, r.Pitches, r.Length = gearing.MethodRule, 96, gearing.MM(96*12.7*(1+e/100))
			case 1:
				r.HasScale, r.Scale = true, gearing.Percent(1.3+slope*e)
			default:
				r.Mark, r.Falls = gearing.Percent(0.1+e), rapid.Bool().Draw(t, "falls")
			}
			log.Readings = append(log.Readings, r)
		}
		c, err := AnalyseChain(log, "c")
		if err != nil {
			return
		}
		for _, p := range append(c.Points, c.Now) {
			if !(p.Elongation >= LeastElongation && p.Elongation <= MostElongation) || !(p.Error > 0 && p.Error < 10) {
				t.Fatalf("%+v", p)
			}
		}
		for _, e := range c.Estimates {
			if !(e.Elongation >= LeastElongation && e.Elongation <= MostElongation && e.Error > 0) {
				t.Fatalf("%+v", e)
			}
		}
		if !(c.RollerPlay >= 0 && c.RollerPlay <= mostPlay && c.RollerPlayError >= 0) || math.IsNaN(float64(c.RollerPlayError)) {
			t.Fatalf("play %v +- %v", c.RollerPlay, c.RollerPlayError)
		}
		readings, _, _ := inOrder(log.Readings, part, 0, lengths{})
		if k := fitPlay(groupReadings(readings), newPlay(part)); k.gain(100) < 1 || k.p < 0 || k.p > mostPlay {
			t.Fatalf("play %+v", k)
		}
	})
}

// A mark that once fell in holds later readings to it, as a chain does not
// shrink, be they values or marks that do not fall in.
func TestShrinksFromABound(t *testing.T) {
	value, fell := rules(at{3000, 610}).Readings[0], threePoint(2000, 0.75, true)
	for name, c := range map[string]struct {
		later gearing.WearReading
		words string
	}{
		"value": {value, "at least 0.75 % at 2000 km and 0.07 % at 3000 km"},
		"bound": {threePoint(3000, 0.5, false), "at least 0.75 % at 2000 km and under 0.50 % at 3000 km"},
	} {
		log := rules()
		log.Readings = []gearing.WearReading{fell, c.later}
		got := mustAnalyse(t, log, "c")
		if len(got.Contradictions) != 1 || !strings.HasPrefix(got.Contradictions[0].Words, c.words) || got.Now.Error < 0.12 {
			t.Errorf("%s: %+v, %+v", name, got.Now, got.Contradictions)
		}
		c.later.Falls, c.later.Length = true, 614.4
		log.Readings[1] = c.later
		if got = mustAnalyse(t, log, "c"); got.Contradicts() {
			t.Errorf("%s, no shorter: %+v", name, got.Contradictions)
		}
	}
}

// A gauge that is set aside does not make a bound a value that falls short.
func TestOpenBoundFallsNotShort(t *testing.T) {
	log := rules(at{2000, 612.6}, at{2500, 613.8}, at{3000, 615.0}, at{3500, 616.2}) // to 1.1 %
	log.Readings = append(log.Readings, threePoint(4500, 0.1, true),
		gearing.WearReading{Part: "c", KM: 4500, Method: gearing.MethodTwoPoint, HasScale: true, Scale: -0.6})
	for _, x := range mustAnalyse(t, log, "c").Contradictions {
		if x.B == 5 && strings.Contains(x.Words, "the readings before it lead to") {
			t.Error(x.Words)
		}
	}
}
