package wear

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"cagewise/gearing"
)

// cargo is scenario S6, read by a rule along a whole chain of 124 pitches.
func cargo() gearing.WearLog {
	log := gearing.WearLog{
		KMPerYear: 6000, Motor: true,
		Parts: []gearing.WearPart{{ID: "c", Kind: gearing.PartChain, Pitches: 124, RemovedKM: -1, FittedOn: day("2026-01-01")}},
	}
	for _, p := range []struct {
		km, e float64
		on    string
	}{{620, 0.25, "2026-02-08"}, {980, 0.42, "2026-03-02"}, {1230, 0.55, "2026-03-17"}} {
		length := gearing.Pitches(124).MM() * gearing.MM(1+p.e/100)
		log.Readings = append(log.Readings, gearing.WearReading{Part: "c", KM: p.km, On: day(p.on), Method: gearing.MethodRule, Pitches: 124, Length: length})
	}
	return log
}

// TestCargo: S6 as Expected.
func TestCargo(t *testing.T) {
	c := mustAnalyse(t, cargo(), "c")
	if c.Forecast == nil {
		t.Fatal(c.NoForecast)
	}
	if words := c.Forecast.ShapeWords; !strings.Contains(words, "0.40, 0.47, 0.52 % per 1000 km do go up") {
		t.Error(words)
	}
	for i, want := range []float64{0.40, 0.47, 0.52} {
		near(t, "rise", float64(c.Rises[i].RatePer1000KM), want, 0.005)
	}
	f := c.Forecast
	t.Logf("%v, AICc difference %.2f, weight %.2f, rate %.3f +/- %.3f %%/1000 km, next reading %.0f km %s",
		f.Shape, f.AICcDelta, f.AcceleratingWeight, f.RatePer1000KM, f.RateError, f.NextReadingKM, f.NextReadingOn.Format(time.DateOnly))
	for _, l := range f.Limits {
		t.Logf("%.2f %%: passed %v (%.2f), %.0f km (%.0f to %.0f, open %v), %s (%s to %s)", l.Limit, l.Passed, l.Chance, l.KM, l.LowKM, l.HighKM, l.Open,
			l.On.Format(time.DateOnly), l.LowOn.Format(time.DateOnly), l.HighOn.Format(time.DateOnly))
	}
	if !f.Limits[0].Passed || f.Limits[1].Passed || f.Limits[2].Passed {
		t.Error("0.5 % is passed, 0.75 and 1 % are not")
	}
	// 0.20 % to go at 0.45 to 0.55 % per 1000 km
	near(t, "0.75 %", f.Limits[1].KM, 1640, 60)
	if days := f.Limits[1].On.Sub(day("2026-03-17")).Hours() / 24; math.Abs(days-(f.Limits[1].KM-1230)/6000*365.2425) > 1 {
		t.Errorf("0.75 %% on %v", f.Limits[1].On)
	}
	if f.NextReadingKM < 1330 || f.NextReadingKM > 1500 {
		t.Errorf("next reading at %.0f km", f.NextReadingKM)
	}
}

// TestBandAndLimitsAgree: a limit's interval is the band read the other way.
func TestBandAndLimitsAgree(t *testing.T) {
	f := mustAnalyse(t, cargo(), "c").Forecast
	for _, l := range f.Limits {
		_, _, high := f.At(l.LowKM)
		near(t, "upper band", float64(high), float64(l.Limit), 1e-3)
		if !l.Open {
			_, low, _ := f.At(l.HighKM)
			near(t, "lower band", float64(low), float64(l.Limit), 1e-3)
		}
	}
	last := math.Inf(-1)
	for km := 0.; km < 6000; km += 100 {
		mean, low, high := f.At(km)
		if float64(mean) < last || low > mean || mean > high {
			t.Fatalf("at %g km: %g %g %g", km, float64(low), float64(mean), float64(high))
		}
		last = float64(mean)
	}
}

// TestShapes: with clear readings AICc tells the shapes apart.
func TestShapes(t *testing.T) {
	for shape, want := range map[string]Shape{"straight": Straight, "rising": Accelerating} {
		w := truth{shape: shape, life: 4000, bend: 1.5}
		r := rand.New(rand.NewPCG(1, 2))
		log := simulate(r, w, false)
		log.Readings = nil
		for km := 250.; km <= 4000; km += 250 {
			log.Readings = append(log.Readings, w.read(r, km, gearing.MethodRule, 100)...)
		}
		f := mustAnalyse(t, log, "chain").Forecast
		if f.Shape != want {
			t.Errorf("%s taken for %v, AICc difference %.1f", shape, f.Shape, f.AICcDelta)
		}
		slope := (w.at(4000.5) - w.at(3999.5)) * 1000
		near(t, shape+" rate", float64(f.RatePer1000KM), slope, 3*float64(f.RateError))
		near(t, shape+" 1 %", f.Limits[2].KM, w.reach(1), 0.08*w.reach(1))
		near(t, shape+" residual", float64(f.Residual), 0.039, 0.02)
	}
}

// TestLongLineByHand: with many clear readings on a line through the start the
// fit is the weighted least-squares line.
func TestLongLineByHand(t *testing.T) {
	p := problem{length: 1, start: math.Inf(1), prior: newPlay(gearing.WearPart{})}
	var sw, swx, swy, swxx, swxy float64
	r := rand.New(rand.NewPCG(3, 4))
	for i := range 20 {
		x, w := float64(i)/20, 1+9*r.Float64()
		y := 0.1 + 0.5*x + 0.01*r.NormFloat64()
		p.data = append(p.data, observation{row{y: y, weight: w}, x})
		sw, swx, swy, swxx, swxy = sw+w, swx+w*x, swy+w*y, swxx+w*x*x, swxy+w*x*y
	}
	s, ok := p.solve(0)
	if !ok {
		t.Fatal("no solution")
	}
	det := sw*swxx - swx*swx
	near(t, "start", s.theta[0], (swxx*swy-swx*swxy)/det, 1e-9)
	near(t, "rate", s.theta[1], (sw*swxy-swx*swy)/det, 1e-9)
	near(t, "variance of rate", s.cov.At(1, 1), sw/det, 1e-9)
}

// TestNoForecast: every reason is said.
func TestNoForecast(t *testing.T) {
	keep := func(n int) gearing.WearLog {
		log := cargo()
		log.Readings = log.Readings[:n]
		return log
	}
	unknown := keep(2)
	unknown.Parts[0].FittedKM = -1
	bounds := keep(3)
	for i := range bounds.Readings {
		bounds.Readings[i] = gearing.WearReading{Part: "c", KM: float64(500 * (i + 1)), Method: gearing.MethodThreePoint, Mark: 0.5}
	}
	for want, log := range map[string]gearing.WearLog{
		"one single reading": keep(1), "one distance": commuter(), "not said where the chain was fitted": unknown,
		"from above and below": bounds,
	} {
		c := mustAnalyse(t, log, log.Parts[0].ID)
		if c.Forecast != nil || !strings.Contains(c.NoForecast, want) {
			t.Errorf("%q: %q", want, c.NoForecast)
		}
	}
	if c := mustAnalyse(t, keep(2), "c"); c.Forecast == nil {
		t.Error(c.NoForecast)
	}
	whole := cargo()
	whole.Parts[0].FittedKM = -1
	c := mustAnalyse(t, whole, "c")
	if c.Forecast == nil || c.Forecast.FromKM != 620 || c.Forecast.StartKnown {
		t.Errorf("without a start: %+v %s", c.Forecast, c.NoForecast)
	}
}

// TestNotWearing: a chain that reads new time after time has no end in sight,
// and says so.
func TestNotWearing(t *testing.T) {
	log := cargo()
	for i := range log.Readings {
		log.Readings[i].Length = gearing.Pitches(124).MM()
	}
	f := mustAnalyse(t, log, "c").Forecast
	if f == nil || f.RatePer1000KM < 0 {
		t.Fatalf("%+v", f)
	}
	if l := f.Limits[2]; l.LowKM < 1230 || l.Passed || l.Chance > 0.01 || math.IsNaN(l.KM) {
		t.Errorf("%+v", l)
	}
}

// TestScatterWidens: readings that scatter more than stated widen the interval.
func TestScatterWidens(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	w := truth{shape: "straight", life: 4000}
	width := func(noise gearing.MM) gearing.Percent {
		log := gearing.WearLog{Parts: []gearing.WearPart{{ID: "chain", Kind: gearing.PartChain, RemovedKM: -1}}}
		for km := 200.; km < 4000; km += 200 {
			q := w.read(r, km, gearing.MethodRule, 48)
			q[0].Length += noise * gearing.MM(r.NormFloat64())
			log.Readings = append(log.Readings, q...)
		}
		_, low, high := mustAnalyse(t, log, "chain").Forecast.At(5000)
		return high - low
	}
	if honest, sloppy := width(0), width(2); sloppy < 1.5*honest {
		t.Errorf("interval %.2f %% with errors as stated, %.2f with four times as much", honest, sloppy)
	}
}

// TestWearShape: the average curve is the forecast's mean.
func TestWearShape(t *testing.T) {
	f := mustAnalyse(t, cargo(), "c").Forecast
	s := f.WearShape()
	if err := s.Check(); err != nil {
		t.Error(err)
	}
	for _, km := range []float64{0, 300, 1230, 4000} {
		mean, _, _ := f.At(km)
		near(t, "mean", float64(s.At(km)), float64(mean), 1e-9)
	}
}

// TestTurns: a chain that shares the bike with another wears over its own
// distance, and limits are looked up on the odometer.
func TestTurns(t *testing.T) {
	alone := cargo()
	shared := cargo()
	for i := range shared.Readings {
		shared.Readings[i].KM *= 2
		on, ridden := shared.Readings[i].On, shared.Readings[i].KM/2
		if i > 0 {
			ridden -= shared.Readings[i-1].KM / 2
		}
		shared.Rides = append(shared.Rides, gearing.WearRide{On: on, KM: ridden, Chain: "other"}, gearing.WearRide{On: on, KM: ridden, Chain: "c"})
	}
	a, b := mustAnalyse(t, alone, "c"), mustAnalyse(t, shared, "c")
	near(t, "rise", float64(b.Rises[1].RatePer1000KM), float64(a.Rises[1].RatePer1000KM), 1e-9)
	near(t, "rate", float64(b.Forecast.RatePer1000KM), float64(a.Forecast.RatePer1000KM), 1e-6)
	near(t, "1 %", b.Forecast.Limits[2].KM, 2*a.Forecast.Limits[2].KM, 0.3)
	if a.Turns != "" || !strings.Contains(b.Turns, "of 2460 km up to the last entry 1230 were its own") {
		t.Errorf("%q, %q", a.Turns, b.Turns)
	}
	shared.Parts[0].FittedKM, shared.Parts[0].FittedOn = 100, time.Time{}
	if c := mustAnalyse(t, shared, "c"); !strings.Contains(c.Turns, "all distance counts as its own") {
		t.Errorf("%q", c.Turns)
	}
}

func TestKMPerYear(t *testing.T) {
	log := cargo()
	near(t, "stated", first(KMPerYear(log)), 6000, 0)
	log.KMPerYear = 0
	near(t, "dated", first(KMPerYear(log)), 1230/75.*365.2425, 1e-6)
	log.Parts[0].FittedOn = day("2026-03-01")
	log.Readings = log.Readings[1:]
	log.Parts[0].FittedKM = 900
	if km, from := KMPerYear(log); km != 0 || !strings.HasPrefix(from, "not known") {
		t.Errorf("%g %s", km, from)
	}
	log.Rides = []gearing.WearRide{{On: day("2026-01-01"), KM: 100}, {On: day("2026-03-02"), KM: 100}}
	near(t, "rides", first(KMPerYear(log)), 200/60.*365.2425, 1e-6)
}

func first(km float64, _ string) float64 { return km }

// manyReadings is a log of n readings by all methods.
func manyReadings(n int) gearing.WearLog {
	r := rand.New(rand.NewPCG(11, 12))
	w := newTruth(r, "rising")
	log := simulate(r, w, true)
	log.Readings = nil
	for i := range n {
		by := allMethods[r.IntN(len(allMethods))]
		q := w.read(r, w.life*float64(i+1)/float64(n), by.method, by.pitches)
		log.Readings = append(log.Readings, q[0])
	}
	return log
}

// TestManyReadings: 100,000 readings, out of order.
func TestManyReadings(t *testing.T) {
	log := manyReadings(100000)
	rand.New(rand.NewPCG(5, 5)).Shuffle(len(log.Readings), func(i, j int) {
		log.Readings[i], log.Readings[j] = log.Readings[j], log.Readings[i]
	})
	c := mustAnalyse(t, log, "chain")
	if c.Forecast == nil || len(c.Points) > 1000 || c.Now.Error < CommonError {
		t.Errorf("%d points, now %+v, %s", len(c.Points), c.Now, c.NoForecast)
	}
	if len(c.Contradictions) > mostContradictions+1 {
		t.Errorf("%d contradictions listed", len(c.Contradictions))
	}
}

func BenchmarkAnalyse(b *testing.B) {
	for _, n := range []int{10, 1000, 100000} {
		log := manyReadings(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if _, err := AnalyseChain(log, "chain"); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkAt(b *testing.B) {
	f := mustAnalyse(b, cargo(), "c").Forecast
	for b.Loop() {
		f.At(1800)
	}
}
