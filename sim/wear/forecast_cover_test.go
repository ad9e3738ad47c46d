package wear

import (
	"math"
	"math/rand/v2"
	"testing"

	"cagewise/gearing"
)

// truth is a simulated chain whose elongation is known at every distance.
type truth struct {
	shape  string
	offset float64 // of the new chain, percent
	life   float64 // km to 0.75 % of wear
	bend   float64 // of "rising": the rate at life is 1 + 2 bend times the first
	power  float64 // of "power"
	play   float64 // mm, new
	growth float64 // mm a percent
}

func (w truth) at(km float64) float64 {
	u := km / w.life
	switch w.shape {
	case "rising":
		u = (u + w.bend*u*u) / (1 + w.bend)
	case "power":
		u = math.Pow(u, w.power)
	}
	return w.offset + 0.75*u
}

// reach is where the truth reaches a limit.
func (w truth) reach(limit float64) float64 {
	low, high := 0.0, 100*w.life
	for high-low > 0.01 {
		if mid := (low + high) / 2; w.at(mid) >= limit {
			high = mid
		} else {
			low = mid
		}
	}
	return high
}

func between(r *rand.Rand, low, high float64) float64 { return low + (high-low)*r.Float64() }

// newTruth draws a chain. Its new length is spread as owners read it, its life
// as threads have it, and rollers wear as the two-point gauges met there show;
// none of it is taken from the fit.
func newTruth(r *rand.Rand, shape string) truth {
	return truth{
		shape: shape, offset: between(r, -0.10, 0.15),
		life: 1500 * math.Pow(8000./1500, r.Float64()),
		bend: between(r, 0.25, 1.25), power: between(r, 1.2, 2.2),
		play: between(r, 0.2, 0.45), growth: between(r, 0.1, 0.7),
	}
}

// read takes a reading with the method's honest error.
func (w truth) read(r *rand.Rand, km float64, method gearing.ReadingMethod, pitches int) []gearing.WearReading {
	e := w.at(km)
	out := gearing.WearReading{Part: "chain", KM: km, Method: method, Pitches: pitches}
	stretch := func(n float64) float64 { return n * float64(gearing.Pitch) * (1 + e/100) }
	play := w.play + w.growth*(e-w.offset)
	switch method {
	case gearing.MethodRule:
		out.Length = gearing.MM(stretch(float64(pitches)) + 0.5*r.NormFloat64())
	case gearing.MethodHung:
		out.Offset = gearing.MM((e-between(r, -0.10, 0.15))/100*float64(pitches)*float64(gearing.Pitch) + 0.5*r.NormFloat64())
	case gearing.MethodCaliper:
		out.Inside10 = gearing.MM(stretch(10) - 7.9 + play + 0.05*r.NormFloat64())
		out.Inside2 = gearing.MM(stretch(2) - 7.9 + play + 0.05*r.NormFloat64())
	case gearing.MethodThreePoint:
		out.HasScale, out.Scale = true, gearing.Percent(e+0.05*r.NormFloat64())
	case gearing.MethodTwoPoint:
		shows := e + 100*play/(float64(pitches)*float64(gearing.Pitch)) + 0.05*r.NormFloat64()
		if r.IntN(2) == 0 {
			out.HasScale, out.Scale = true, gearing.Percent(shows)
			break
		}
		return marks(out, shows)
	}
	return []gearing.WearReading{out}
}

// marks tries a gauge's two marks.
func marks(r gearing.WearReading, shows float64) []gearing.WearReading {
	a, b := r, r
	a.Mark, a.Falls = 0.75, shows >= 0.75
	b.Mark, b.Falls = 1, shows >= 1
	return []gearing.WearReading{a, b}
}

var allMethods = []struct {
	method  gearing.ReadingMethod
	pitches int
}{
	{gearing.MethodRule, 24}, {gearing.MethodRule, 48}, {gearing.MethodHung, 110},
	{gearing.MethodCaliper, 0}, {gearing.MethodThreePoint, 10}, {gearing.MethodTwoPoint, 10},
}

// simulate draws a log of 3 to 12 distances read by one method throughout, or
// by any, up to 0.4 to 1 times the life to 0.75 %.
func simulate(r *rand.Rand, w truth, mixed bool) gearing.WearLog {
	log := gearing.WearLog{Parts: []gearing.WearPart{{ID: "chain", Kind: gearing.PartChain, Pitches: 110, Price: -1, RemovedKM: -1}}}
	n := 3 + r.IntN(10)
	end := w.life * between(r, 0.4, 1)
	by := allMethods[r.IntN(len(allMethods)-1)]
	for i := range n {
		if mixed {
			by = allMethods[r.IntN(len(allMethods))]
		}
		km := end * (float64(i) + between(r, 0.6, 1)) / float64(n)
		log.Readings = append(log.Readings, w.read(r, km, by.method, by.pitches)...)
	}
	return log
}

// tally counts intervals that hold the truth.
type tally struct{ logs, ahead, limits, limitHits int }

const coverSeed = 20260314

// TestIntervalsHoldTheTruth: on 2,000 logs of known shape the 90 % interval of
// the elongation ahead, and of the distance to the next limit, holds the truth
// in 85 to 95 %.
func TestIntervalsHoldTheTruth(t *testing.T) {
	r := rand.New(rand.NewPCG(coverSeed, 0))
	var all tally
	by := map[string]*tally{}
	names := []string{"straight", "rising", "power"}
	none := 0
	for i := range 2000 {
		shape, mixed := names[i%3], i/3%2 == 1
		w := newTruth(r, shape)
		log := simulate(r, w, mixed)
		ahead := log.Readings[len(log.Readings)-1].KM * between(r, 1.1, 1.6)
		c, err := AnalyseChain(log, "chain")
		if err != nil {
			t.Fatal(err)
		}
		if c.Forecast == nil {
			none++
			continue
		}
		name := shape + " one method"
		if mixed {
			name = shape + " mixed"
		}
		if by[name] == nil {
			by[name] = &tally{}
		}
		for _, k := range []*tally{&all, by[name]} {
			k.count(c.Forecast, w, ahead)
		}
	}
	t.Logf("seed %d, 2000 logs, %d without a forecast", coverSeed, none)
	report := func(name string, k tally) (ahead, limit float64) {
		ahead, limit = 100*float64(k.ahead)/float64(k.logs), 100*float64(k.limitHits)/float64(k.limits)
		t.Logf("%-20s %5d logs: elongation ahead %.1f %%, distance of the next limit %.1f %% of %d", name, k.logs, ahead, limit, k.limits)
		return ahead, limit
	}
	for _, shape := range names {
		for _, kind := range []string{" one method", " mixed"} {
			if ahead, limit := report(shape+kind, *by[shape+kind]); min(ahead, limit) < 80 || max(ahead, limit) > 99 {
				t.Errorf("%s: coverage %.1f and %.1f %%, want 80 to 99", shape+kind, ahead, limit)
			}
		}
	}
	ahead, limit := report("all", all)
	if ahead < 85 || ahead > 95 || limit < 85 || limit > 95 {
		t.Errorf("coverage %.1f and %.1f %%, want 85 to 95", ahead, limit)
	}
}

func (k *tally) count(f *Forecast, w truth, ahead float64) {
	k.logs++
	_, low, high := f.At(ahead)
	if e := gearing.Percent(w.at(ahead)); low <= e && e <= high {
		k.ahead++
	}
	for _, l := range f.Limits {
		if l.Passed {
			continue
		}
		k.limits++
		km := w.reach(float64(l.Limit))
		if l.LowKM <= km && (km <= l.HighKM || l.Open) {
			k.limitHits++
		}
		return
	}
}
