package wear

import (
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
)

// drawReading draws a reading that an owner might write down, true or not.
func drawReading(t *rapid.T) gearing.WearReading {
	number := func(label string, low, high float64) gearing.MM {
		return gearing.MM(rapid.Float64Range(low, high).Draw(t, label))
	}
	r := gearing.WearReading{Part: "c", KM: float64(rapid.IntRange(0, 400).Draw(t, "distance")) * 10}
	if rapid.Bool().Draw(t, "dated") {
		r.On = day("2026-01-01").AddDate(0, 0, rapid.IntRange(0, 700).Draw(t, "day"))
	}
	stretch := 1 + rapid.Float64Range(-0.012, 0.055).Draw(t, "stretch")
	switch r.Method = allMethods[rapid.IntRange(0, len(allMethods)-1).Draw(t, "method")].method; r.Method {
	case gearing.MethodRule:
		r.Pitches = rapid.IntRange(1, 120).Draw(t, "pitches")
		r.Length = gearing.MM(float64(r.Pitches) * float64(gearing.Pitch) * stretch)
	case gearing.MethodHung:
		r.Offset = number("offset", -10, 60)
	case gearing.MethodCaliper:
		r.Inside10, r.Inside2 = number("inside 10", 119, 125), number("inside 2", 17, 20)
	default:
		r.Mark, r.Falls = gearing.Percent(rapid.Float64Range(0.1, 4).Draw(t, "mark")), rapid.Bool().Draw(t, "falls")
		r.HasScale = rapid.Bool().Draw(t, "scale")
		r.Scale = gearing.Percent(rapid.Float64Range(-0.5, 4).Draw(t, "shows"))
	}
	if rapid.Bool().Draw(t, "own error") {
		r.Error = number("error", 0.01, 10)
	}
	return r
}

// TestAnyLog: whatever the readings, the answer is finite, in order and the same
// twice.
func TestAnyLog(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		part := gearing.WearPart{ID: "c", Kind: gearing.PartChain, Pitches: 110, RemovedKM: -1, FittedKM: float64(rapid.IntRange(-1, 30).Draw(t, "fitted")) * 10}
		part.RollerPlay = gearing.MM(rapid.SampledFrom([]float64{0, 0, 0.3, 1.5}).Draw(t, "play"))
		part.HasStart = rapid.Bool().Draw(t, "start")
		log := gearing.WearLog{Parts: []gearing.WearPart{part}, Readings: rapid.SliceOfN(rapid.Custom(drawReading), 1, 30).Draw(t, "readings")}
		c, err := AnalyseChain(log, "c")
		if err != nil {
			return // no reading left
		}
		again, _ := AnalyseChain(log, "c")
		if !reflect.DeepEqual(c, again) {
			t.Fatal("not the same twice")
		}
		checkFinite(t, c)
		for i := 1; i < len(c.Points); i++ {
			if c.Points[i].KM <= c.Points[i-1].KM {
				t.Fatalf("points out of order: %+v", c.Points)
			}
		}
		for _, k := range c.Contradictions {
			if k.A >= k.B || k.B >= len(c.Estimates) || k.A < 0 || k.Words == "" {
				t.Fatalf("contradiction %+v", k)
			}
		}
	})
}

func checkFinite(t *rapid.T, c ChainWear) {
	finite := func(what string, list ...float64) {
		for _, x := range list {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("%s is %v", what, list)
			}
		}
	}
	finite("play", float64(c.RollerPlay), float64(c.RollerPlayError))
	for _, p := range c.Points {
		finite("point", p.KM, float64(p.Elongation), float64(p.Error))
		if p.Error < CommonError {
			t.Fatalf("error of %+v", p)
		}
	}
	for _, e := range c.Estimates {
		finite("estimate", float64(e.Elongation), float64(e.Error), float64(e.Low), float64(e.High))
	}
	for _, r := range c.Rises {
		finite("rise", float64(r.RatePer1000KM), float64(r.Error))
	}
	if (c.Forecast == nil) == (c.NoForecast == "") {
		t.Fatalf("forecast %v, reason %q", c.Forecast, c.NoForecast)
	}
	if c.Forecast != nil {
		checkForecast(t, c.Forecast, finite)
	}
}

func checkForecast(t *rapid.T, f *Forecast, finite func(string, ...float64)) {
	finite("forecast", f.AICcDelta, f.AcceleratingWeight, float64(f.RatePer1000KM), float64(f.RateError), float64(f.Residual), f.Scale, f.NextReadingKM)
	if f.RatePer1000KM < 0 {
		t.Fatalf("rate %v", f.RatePer1000KM)
	}
	for _, l := range f.Limits {
		finite("limit", l.KM, l.LowKM, l.HighKM, l.Chance)
		if l.LowKM > l.KM+0.1 || l.KM > l.HighKM+0.1 || l.LowKM < f.FromKM {
			t.Fatalf("limit %+v", l)
		}
	}
	for _, km := range []float64{0, f.NowKM, f.NowKM * 2, f.NowKM + FarKM} {
		mean, low, high := f.At(km)
		finite("band", float64(mean), float64(low), float64(high))
		if low > high {
			t.Fatalf("band %v to %v at %g km", low, high, km)
		}
	}
}
