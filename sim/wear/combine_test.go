package wear

import (
	"math"
	"strings"
	"testing"
	"time"

	"cagewise/gearing"
)

// commuter is scenario S7: three readings without play and a gauge whose 1.0
// falls in, all at 3200 km.
func commuter() gearing.WearLog {
	at := func(r gearing.WearReading) gearing.WearReading {
		r.Part, r.KM = "chain-1", 3200
		return r
	}
	return gearing.WearLog{
		Parts: []gearing.WearPart{
			{ID: "chain-1", Kind: gearing.PartChain, RemovedKM: -1, Price: 18},
			{ID: "ring", Kind: gearing.PartRing, Teeth: []gearing.Teeth{42}, RemovedKM: -1, Price: 60},
		},
		Readings: []gearing.WearReading{
			at(gearing.WearReading{Method: gearing.MethodRule, Pitches: 24, Length: 307.2, Line: 10}),
			at(gearing.WearReading{Method: gearing.MethodRule, Pitches: 48, Length: 614.1, Line: 16}),
			at(gearing.WearReading{Method: gearing.MethodCaliper, Inside10: 120.80, Inside2: 18.44, Line: 22}),
			at(gearing.WearReading{Method: gearing.MethodTwoPoint, Mark: 1, Falls: true, Line: 29}),
		},
	}
}

func mustAnalyse(t testing.TB, log gearing.WearLog, id string) ChainWear {
	t.Helper()
	c, err := AnalyseChain(log, id)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.4f, want %.4f +/- %.4f", what, got, want, within)
	}
}

// TestCommuter: S7 as Expected.
func TestCommuter(t *testing.T) {
	c := mustAnalyse(t, commuter(), "chain-1")
	for i, want := range []struct{ e, sd float64 }{{0.79, 0.16}, {0.74, 0.08}, {0.75, 0.07}} {
		near(t, "reading", float64(c.Estimates[i].Elongation), want.e, 0.005)
		near(t, "its error", float64(c.Estimates[i].Error), want.sd, 0.005)
	}
	if e := c.Now.Elongation; e < 0.74 || e >= 0.755 {
		t.Errorf("combined to %.3f %%, want 0.74 to 0.75", e)
	}
	t.Logf("S7: %.3f +/- %.3f %%, play %.2f +/- %.2f mm", c.Now.Elongation, c.Now.Error, c.RollerPlay, c.RollerPlayError)
	near(t, "play", float64(c.RollerPlay), 0.6, 0.05)
	if len(c.Contradictions) != 1 || !c.Contradictions[0].Compatible {
		t.Fatalf("contradictions: %+v", c.Contradictions)
	}
	for _, want := range []string{"mark 1 % falls in", "about 0.6 mm", "about 1.2 %", "both can be right"} {
		if words := c.Contradictions[0].Words; !strings.Contains(words, want) {
			t.Errorf("%q lacks %q", words, want)
		}
	}
	if c.Forecast != nil || !strings.Contains(c.NoForecast, "one distance") {
		t.Errorf("forecast %v, reason %q", c.Forecast, c.NoForecast)
	}
	near(t, "rise since new", float64(c.Rises[0].RatePer1000KM), 0.745/3.2, 0.003)
}

// TestHalfALinkPair: a whole chain of 110 pitches that is longer by almost half
// a link pair is worn a bit under 1 %; a drop-in gauge then reads over 1 %
// (common practice). Both must be found compatible.
func TestHalfALinkPair(t *testing.T) {
	log := gearing.WearLog{
		Parts: []gearing.WearPart{{ID: "c", Kind: gearing.PartChain, Pitches: 110, RemovedKM: -1}},
		Readings: []gearing.WearReading{
			{Part: "c", KM: 5000, Method: gearing.MethodHung, Offset: 12.3},
			{Part: "c", KM: 5000, Method: gearing.MethodTwoPoint, HasScale: true, Scale: 1.35},
			{Part: "c", KM: 5000, Method: gearing.MethodTwoPoint, Mark: 1, Falls: true},
		},
	}
	c := mustAnalyse(t, log, "c")
	if e := c.Now.Elongation; e < 0.8 || e >= 1 {
		t.Errorf("combined to %.2f %%, want a bit under 1", e)
	}
	if len(c.Contradictions) != 1 || !c.Contradictions[0].Compatible {
		t.Errorf("contradictions: %+v", c.Contradictions)
	}
	t.Log(c.Contradictions[0].Words)
}

// TestPlayFoundTogether: with readings of both kinds the play comes out of the
// difference, and the gauge then adds no false certainty.
func TestPlayFoundTogether(t *testing.T) {
	log := commuter()
	log.Readings[3] = gearing.WearReading{Part: "chain-1", KM: 3200, Method: gearing.MethodTwoPoint, HasScale: true, Scale: 1.50}
	c := mustAnalyse(t, log, "chain-1")
	alone := commuter()
	alone.Readings = alone.Readings[:3]
	before := mustAnalyse(t, alone, "chain-1")
	if c.RollerPlay < 0.75 || c.RollerPlayError > 0.15 {
		t.Errorf("play %.2f +/- %.2f mm, want about 0.9", c.RollerPlay, c.RollerPlayError)
	}
	if c.Now.Error > before.Now.Error || c.Now.Error < 0.8*before.Now.Error {
		t.Errorf("error %.4f with the gauge, %.4f without", c.Now.Error, before.Now.Error)
	}
	// by hand: 0.745 +/- 0.0505 and 1.5 -> (1.5 - 0.787*0.325)/(1 + 0.787*0.37)
	// = 0.964 +/- 0.184/1.291... weighed 1 to 11
	near(t, "elongation", float64(c.Now.Elongation), 0.767, 0.01)
}

// TestOddsNamed: what no play explains is called wrong, with what to check.
func TestOddsNamed(t *testing.T) {
	log := commuter()
	log.Readings[0].Length = 309.5 // 1.54 %
	log.Readings[3] = gearing.WearReading{Part: "chain-1", KM: 3200, Method: gearing.MethodThreePoint, Mark: 0.5, Falls: false}
	c := mustAnalyse(t, log, "chain-1")
	if len(c.Contradictions) != 2 {
		t.Fatalf("contradictions: %+v", c.Contradictions)
	}
	for _, k := range c.Contradictions {
		if k.Compatible || k.Z < 2 || !strings.Contains(k.Words, "one of them is wrong. Check") {
			t.Errorf("%+v", k)
		}
	}
	if words := c.Contradictions[0].Words; !strings.Contains(words, "tape's hook") {
		t.Error(words)
	}
}

func day(s string) time.Time {
	d, _ := time.Parse(time.DateOnly, s)
	return d
}

// TestDisorder: order in the file does not matter; a shrinking chain and a clock
// that goes backwards are named.
func TestDisorder(t *testing.T) {
	rule := func(km float64, length gearing.MM, on string) gearing.WearReading {
		return gearing.WearReading{Part: "c", KM: km, On: day(on), Method: gearing.MethodRule, Pitches: 96, Length: length}
	}
	log := gearing.WearLog{
		Parts: []gearing.WearPart{{ID: "c", Kind: gearing.PartChain, RemovedKM: -1}},
		Readings: []gearing.WearReading{
			rule(3000, 1222.0, "2026-07-01"), rule(1000, 1223.0, "2026-03-01"), rule(2000, 1227.0, "2026-05-01"), rule(1500, 1225.2, "2026-06-01"),
		},
	}
	c := mustAnalyse(t, log, "c")
	for i, km := range []float64{1000, 1500, 2000, 3000} {
		if c.Points[i].KM != km || c.Estimates[i].Reading.KM != km {
			t.Errorf("point %d at %g km", i, c.Points[i].KM)
		}
	}
	if len(c.Contradictions) != 2 {
		t.Fatalf("contradictions: %+v", c.Contradictions)
	}
	if k := c.Contradictions[0]; !strings.Contains(k.Words, "clock goes backwards") || k.A != 1 || k.B != 2 {
		t.Errorf("%+v", k)
	}
	if k := c.Contradictions[1]; !strings.Contains(k.Words, "does not shrink") || k.B != 3 {
		t.Errorf("%+v", k)
	}
}

// TestBoundsAlone: gauges that fall in or not, and nothing else.
func TestBoundsAlone(t *testing.T) {
	gauge := func(mark gearing.Percent, falls bool) gearing.WearReading {
		return gearing.WearReading{Part: "c", KM: 2000, Method: gearing.MethodThreePoint, Mark: mark, Falls: falls}
	}
	log := gearing.WearLog{Parts: []gearing.WearPart{{ID: "c", Kind: gearing.PartChain, RemovedKM: -1}}}
	log.Readings = []gearing.WearReading{gauge(0.5, true), gauge(0.75, false)}
	c := mustAnalyse(t, log, "c")
	if e := c.Now.Elongation; !c.Now.Bound || e < 0.57 || e > 0.65 || c.Now.Error < 0.06 || c.Now.Error > 0.12 {
		t.Errorf("between 0.5 and 0.75: %+v", c.Now)
	}
	if a, b := c.Estimates[0], c.Estimates[1]; !a.Interval || a.Low != 0.5 || a.High != MostElongation || b.Low != LeastElongation || b.High != 0.75 {
		t.Errorf("bounds %+v %+v", a, b)
	}
	log.Readings = log.Readings[:1]
	if c = mustAnalyse(t, log, "c"); c.Now.Elongation < 0.75 || c.Now.Error < 0.3 {
		t.Errorf("above 0.5 alone: %+v", c.Now)
	}
	log.Readings = append(log.Readings, gauge(0.25, false))
	if c = mustAnalyse(t, log, "c"); len(c.Contradictions) != 1 || c.Contradictions[0].Compatible {
		t.Errorf("falls at 0.5 but not at 0.25: %+v", c.Contradictions)
	}
}

// TestMeasuredPlay: a measured play beats the default.
func TestMeasuredPlay(t *testing.T) {
	log := commuter()
	log.Readings = log.Readings[3:]
	log.Readings[0].HasScale, log.Readings[0].Scale = true, 1.22
	wide := mustAnalyse(t, log, "chain-1")
	log.Parts[0].RollerPlay = 0.6
	c := mustAnalyse(t, log, "chain-1")
	near(t, "elongation", float64(c.Now.Elongation), 1.22-0.4724, 0.005)
	near(t, "play", float64(c.RollerPlay), 0.6, 0.005)
	if c.Now.Error > 0.09 || wide.Now.Error < 0.15 {
		t.Errorf("errors %.3f with play measured, %.3f without", c.Now.Error, wide.Now.Error)
	}
}

// TestSetAside: readings that cannot be are named and not used.
func TestSetAside(t *testing.T) {
	for want, change := range map[string]func(*gearing.WearLog){
		`line 10: rule reading of "chain-1" at 3200 km: elongation cannot be: it is 8.27 %, allowed -1 to 5 %; count the pitches again`: func(l *gearing.WearLog) { l.Readings[0].Length = 330 },
		`line 10: reading of "chain-1" at 3100 km cannot be: it was fitted at 3150 km`:                                                  func(l *gearing.WearLog) { l.Parts[0].FittedKM, l.Readings[0].KM = 3150, 3100 },
		`line 10: reading of "chain-1" at 3500 km cannot be: it was taken off at 3210 km`:                                               func(l *gearing.WearLog) { l.Parts[0].RemovedKM, l.Readings[0].KM = 3210, 3500 },
	} {
		log := commuter()
		change(&log)
		c := mustAnalyse(t, log, "chain-1")
		if len(c.SetAside) != 1 || c.SetAside[0].Words != want || c.SetAside[0].Line != 10 {
			t.Errorf("%+v, want %s", c.SetAside, want)
		}
		if len(c.Estimates) != 3 || len(c.Points) != 1 {
			t.Errorf("%d readings used at %d distances", len(c.Estimates), len(c.Points))
		}
	}
}

func TestLogRefused(t *testing.T) {
	for _, c := range []struct {
		change func(*gearing.WearLog)
		want   string
	}{
		{func(l *gearing.WearLog) { l.Readings[0].Part = "chian" }, `line 10: reading of "chian", which is no chain of the log; chains: "chain-1"`},
		{func(l *gearing.WearLog) { l.Parts[0].FittedKM = 4000 }, `no reading of "chain-1" can be used, such as: line 10`},
		{func(l *gearing.WearLog) { l.Readings[0].Length = gearing.MM(math.NaN()) }, "measured value is missing: the length over 24 pitches"},
		{func(l *gearing.WearLog) { l.Readings[2].Inside2 = 0 }, "line 22: caliper reading"},
		{func(l *gearing.WearLog) { l.Readings[0].KM = math.Inf(1) }, "not usable"},
		{func(l *gearing.WearLog) { l.Readings[0].Pitches = -3 }, "-3, allowed 1 to 1000"},
		{func(l *gearing.WearLog) { l.Readings[0].Method = "eye" }, "allowed: rule, hung, caliper"},
		{func(l *gearing.WearLog) { l.Readings[3].Mark = 0 }, "the mark and whether it falls in"},
		{func(l *gearing.WearLog) { l.Readings[0].Method = gearing.MethodHung; l.Readings[0].Pitches = 0 }, "give the count"},
		{func(l *gearing.WearLog) { l.Readings[0].Method = gearing.MethodLift; l.Readings[0].Lift = -1 }, "allowed 0 to 100 mm"},
	} {
		log := commuter()
		c.change(&log)
		_, err := Analyse(log)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, want %q", err, c.want)
		}
	}
	if _, err := AnalyseChain(commuter(), "ring"); err == nil || !strings.Contains(err.Error(), `"ring" is no chain of the log; chains: "chain-1"`) {
		t.Error(err)
	}
	empty := commuter()
	empty.Readings = nil
	if _, err := AnalyseChain(empty, "chain-1"); err == nil || !strings.Contains(err.Error(), "no readings yet") {
		t.Error(err)
	}
}
