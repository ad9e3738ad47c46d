package plot

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"cagewise/gearing"
	"cagewise/sim/wear"
)

// wearPart is an invented chain, fitted with the bike when new.
func wearPart(fittedKM float64) gearing.WearPart {
	p := gearing.WearPart{ID: "chain-1", Kind: gearing.PartChain, Pitches: 110, Price: -1, RemovedKM: -1, FittedKM: fittedKM}
	if fittedKM >= 0 {
		p.FittedOn = wearDay(0)
	}
	return p
}

// wearDay is a day at which an invented rider has ridden so far, 12 km a day.
func wearDay(km float64) time.Time {
	return time.Date(2025, 3, 20, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(km/12))
}

// reads are readings of one chain: a rule over 48 pitches, hung off the bike,
// and so on, each of a chain of e percent with no error but what is given.
func reads(km, e float64, methods ...gearing.ReadingMethod) []gearing.WearReading {
	var list []gearing.WearReading
	const pitch = float64(gearing.Pitch)
	for _, m := range methods {
		r := gearing.WearReading{Part: "chain-1", KM: km, On: wearDay(km), Method: m}
		switch m {
		case gearing.MethodRule:
			r.Pitches, r.Length = 48, gearing.MM(48*pitch*(1+e/100))
		case gearing.MethodHung:
			r.Pitches, r.Offset = 110, gearing.MM(110*pitch*e/100)
		case gearing.MethodCaliper:
			r.Inside2, r.Inside10 = 18, gearing.MM(18+8*pitch*(1+e/100))
		case gearing.MethodThreePoint:
			r.HasScale, r.Scale = true, gearing.Percent(e)
		case gearing.MethodTwoPoint:
			r.Mark = 0.75
			r.Falls = e+0.35 > 0.75
		case gearing.MethodLift:
			r.Ring, r.Lift = 42, 3
		}
		list = append(list, r)
	}
	return list
}

func analysed(t testing.TB, p gearing.WearPart, readings ...[]gearing.WearReading) WearChart {
	t.Helper()
	return analysedLog(t, gearing.WearLog{Parts: []gearing.WearPart{p}, Readings: slices.Concat(readings...)})
}

func analysedLog(t testing.TB, log gearing.WearLog) WearChart {
	t.Helper()
	c, err := wear.AnalyseChain(log, "chain-1")
	if err != nil {
		t.Fatal(err)
	}
	return NewWearChart(c, 0, log.Miles)
}

const (
	rule    = gearing.MethodRule
	hung    = gearing.MethodHung
	caliper = gearing.MethodCaliper
	two     = gearing.MethodTwoPoint
	three   = gearing.MethodThreePoint
	lift    = gearing.MethodLift
)

// mixedWear is a chain read in many ways over most of its life.
func mixedWear(t testing.TB) WearChart {
	c := analysed(t, wearPart(0),
		reads(420, 0.09, rule), reads(900, 0.14, rule, two), reads(1500, 0.24, hung), reads(2050, 0.36, rule, caliper, three),
		reads(2600, 0.43, rule), reads(3100, 0.55, rule, two, caliper, three))
	c.Name = "Invented touring bike, chain-1"
	return c
}

// eveningWear is one chain read in four ways on one evening.
func eveningWear(t testing.TB) WearChart {
	at := func(r gearing.WearReading) gearing.WearReading {
		r.Part, r.KM, r.On = "chain-1", 3200, wearDay(3200)
		return r
	}
	return analysed(t, wearPart(0), []gearing.WearReading{
		at(gearing.WearReading{Method: rule, Pitches: 24, Length: 307.2}), at(gearing.WearReading{Method: rule, Pitches: 48, Length: 614.1}),
		at(gearing.WearReading{Method: caliper, Inside10: 120.8, Inside2: 18.44}), at(gearing.WearReading{Method: two, Mark: 1, Falls: true}),
	})
}

// manyWear is a chain with n readings, invented with a fixed seed.
func manyWear(t testing.TB, n, each int) WearChart {
	r := rand.New(rand.NewPCG(7, 1))
	var list [][]gearing.WearReading
	methods := []gearing.ReadingMethod{rule, hung, caliper, three, rule, two}
	for i := range n {
		km := 4000 * float64(i/each+1) / float64(n/each)
		e := 0.6*km/4000 + 0.08*r.NormFloat64()
		list = append(list, reads(km, e, methods[i%len(methods)]))
	}
	return analysed(t, wearPart(0), list...)
}

// oddWear is a chain whose readings do not go together.
func oddWear(t testing.TB) WearChart {
	late := reads(2200, 0.2, rule)
	late[0].On = wearDay(200)
	return analysed(t, wearPart(0), reads(600, 0.1, rule, three), reads(1100, 0.6, hung), reads(1600, 0.2, rule, caliper), late,
		reads(2500, 0.32, hung, two), reads(2900, 0.9, rule, three), reads(2900, 0.3, hung))
}

// turnsWear is a chain that takes turns with another.
func turnsWear(t testing.TB) WearChart {
	log := gearing.WearLog{Parts: []gearing.WearPart{wearPart(0)}}
	log.Readings = slices.Concat(reads(800, 0.1, rule), reads(1600, 0.13, rule), reads(2400, 0.25, hung), reads(3200, 0.28, rule))
	for _, km := range []float64{1000, 1300, 2600, 2900} {
		log.Rides = append(log.Rides, gearing.WearRide{On: wearDay(km), KM: 300, Chain: "chain-2"})
	}
	return analysedLog(t, log)
}

func wears(t testing.TB) map[string]WearChart {
	miles := gearing.WearLog{Parts: []gearing.WearPart{wearPart(-1)}, Miles: true}
	miles.Readings = slices.Concat(reads(8200, 0.31, rule), reads(9300, 0.37, hung), reads(10100, 0.48, hung), reads(10900, 0.53, hung))
	worn := analysed(t, wearPart(0), reads(1500, 0.4, rule), reads(3000, 0.9, rule, lift), reads(4500, 1.45, rule, hung))
	worn.Name = longName
	return map[string]WearChart{
		"single":  analysed(t, wearPart(0), reads(3200, 0.62, rule)),
		"unknown": analysed(t, wearPart(-1), reads(3200, 0.62, two)),
		"evening": eveningWear(t),
		"mixed":   mixedWear(t),
		"cargo":   analysed(t, wearPart(0), reads(620, 0.25, rule), reads(980, 0.42, hung), reads(1230, 0.55, caliper)),
		"many":    manyWear(t, 1000, 1),
		"piles":   manyWear(t, 1000, 50),
		"pairs":   manyWear(t, 1000, 2),
		"odd":     oddWear(t),
		"turns":   turnsWear(t),
		"miles":   analysedLog(t, miles),
		"young":   analysed(t, wearPart(5200), reads(5420, 0.02, rule), reads(5800, 0.05, rule)),
		"worn":    worn,
		"gauges":  analysed(t, wearPart(0), reads(700, 0.2, two), reads(1500, 0.3, two), reads(2300, 0.5, two), reads(3100, 0.6, two)),
	}
}

// TestShowWear writes the charts of wear for the eye, as TestShow does.
func TestShowWear(t *testing.T) {
	for name, c := range wears(t) {
		showPicture(t, "wear_"+name, c)
	}
}

// showPicture writes a picture in every theme and as wide as a phone.
func showPicture(t *testing.T, name string, p Picture) {
	t.Helper()
	dir := os.Getenv("PLOT_SHOW")
	if dir == "" {
		t.Skip("PLOT_SHOW is not set")
	}
	show := func(name string, o Options) {
		var b bytes.Buffer
		if err := WritePNG(&b, p, o); err != nil {
			t.Fatal(name, err)
		}
		if err := os.WriteFile(filepath.Join(dir, name+".png"), b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	w, _ := p.Size()
	for _, theme := range ThemeNames() {
		show(name+"_"+theme, Options{Theme: theme})
	}
	show(name+"_phone", Options{DPI: int(360 * mmPerInch / w)})
	show(name+"_narrow", Options{WidthMM: phoneMM, DPI: 96})
}

func TestWearLayout(t *testing.T) {
	for name, c := range wears(t) {
		for _, o := range oddPages {
			noProblems(t, name, c, o)
		}
	}
}

// anyReadings draws readings of a chain, its start known or not.
func anyReadings(rt *rapid.T) (gearing.WearLog, error) {
	log := gearing.WearLog{Miles: rapid.Bool().Draw(rt, "miles")}
	fitted := rapid.SampledFrom([]float64{-1, 0, 0, 5200}).Draw(rt, "fitted")
	log.Parts = []gearing.WearPart{wearPart(fitted)}
	km, e := max(fitted, 0), 0.0
	for range rapid.IntRange(1, 9).Draw(rt, "distances") {
		km += rapid.SampledFrom([]float64{5, 90, 400, 1100, 6000}).Draw(rt, "step")
		e += rapid.Float64Range(-0.05, 0.3).Draw(rt, "rise")
		n := rapid.IntRange(1, 6).Draw(rt, "readings")
		for range n {
			m := rapid.SampledFrom(gearing.ReadingMethods()).Draw(rt, "method")
			log.Readings = append(log.Readings, reads(km, max(0, e+rapid.Float64Range(-0.1, 0.1).Draw(rt, "error")), m)...)
		}
	}
	log.Readings[0].On = wearDay(rapid.Float64Range(0, 9000).Draw(rt, "day"))
	_, err := wear.AnalyseChain(log, "chain-1")
	return log, err
}

// Whatever the readings and the page, no words of a chart of wear meet or leave
// the page, and every limit has its name.
func TestAnyWearLayout(t *testing.T) {
	for name, side := range anyPages {
		t.Run(name, rapid.MakeCheck(func(rt *rapid.T) {
			log, err := anyReadings(rt)
			if err != nil {
				rt.Skip(err)
			}
			c := analysedLog(t, log)
			c.Name = rapid.StringN(0, 80, 200).Draw(rt, "name")
			n := noProblems(rt, name, c, anyPage(rt, side))
			for _, l := range wear.Limits() {
				if !slices.Contains(n.texts, limitName(l)) {
					rt.Fatalf("no name for the limit of %v %%", l)
				}
			}
			for k := range min(mostNoted, len(c.Wear.Contradictions)) {
				if !slices.Contains(n.texts, fmt.Sprint(k+1)) {
					rt.Fatalf("no note %d", k+1)
				}
			}
		}))
	}
}

// The cone as it is drawn is the forecast's, its middle meets each limit where
// the forecast has it, and its edges where the interval ends.
func TestWearCone(t *testing.T) {
	worst := 0.0
	for name, c := range wears(t) {
		f := c.Wear.Forecast
		if f == nil {
			continue
		}
		kms, lows, mids, highs := []float64{}, []float64{}, []float64{}, []float64{}
		for _, p := range c.fit.ahead {
			_, low, high := f.At(p.km)
			worst = max(worst, math.Abs(p.low-float64(low)), math.Abs(p.high-float64(high)))
			kms, lows, mids, highs = append(kms, p.km), append(lows, p.low), append(mids, p.mid), append(highs, p.high)
		}
		for _, l := range f.Limits {
			for _, e := range []struct {
				what string
				km   float64
				row  []float64
			}{{"middle", l.KM, mids}, {"upper edge", l.LowKM, highs}, {"lower edge", l.HighKM, lows}} {
				if e.km <= f.NowKM || e.km >= c.fit.end {
					continue
				}
				if got := between(kms, e.row, e.km); math.Abs(got-float64(l.Limit)) > 0.012 {
					t.Errorf("%s: the %s is at %.3f %% where it should meet %v %%", name, e.what, got, l.Limit)
				}
			}
		}
	}
	t.Logf("the cone is drawn to within %.4f %%", worst)
	if worst > 0.005 {
		t.Errorf("the cone is off by %.4f %%", worst)
	}
}

// What a chart says of now is what `cagewise wear` says: by the forecast where the
// chain was ridden on, of its last reading where it was not, and a rate in the
// chain's own distance where it takes turns.
func TestWearNow(t *testing.T) {
	says := func(w wear.ChainWear, km float64) string {
		return strings.Join(NewWearChart(w, km, false).facts(), "; ")
	}
	cargo := wears(t)["cargo"].Wear
	mean, _, _ := cargo.Forecast.At(1600)
	want := fmt.Sprintf("now, by the forecast, %.2f %% (90 %%: ", float64(mean))
	if got := says(cargo, 1600); !strings.Contains(got, want) || strings.Contains(got, "of its own") {
		t.Errorf("ridden on: %q, want %q", got, want)
	}
	if got := says(cargo, 0); !strings.Contains(got, fmt.Sprintf("now %.2f %% (90 %%: ", float64(cargo.Now.Elongation))) {
		t.Errorf("at the last reading: %q", got)
	}
	if got := says(wears(t)["single"].Wear, 4000); !strings.Contains(got, "at 3200 km 0.62 %") {
		t.Errorf("without a forecast: %q", got)
	}
	if got := says(turnsWear(t).Wear, 0); !strings.Contains(got, "% per 1000 km of its own") {
		t.Errorf("in turn: %q", got)
	}
	if end := NewWearChart(cargo, 4000, false).fit.end; end < 4000 {
		t.Errorf("the axis ends at %v km, before the odometer", end)
	}
}

// Readings, bounds, meeting points and the next reading stand at their figures.
func TestWearPlaces(t *testing.T) {
	for _, name := range []string{"mixed", "miles", "cargo"} {
		c := wears(t)[name]
		pg, err := newPage(c, Options{})
		if err != nil {
			t.Fatal(err)
		}
		y := c.place(newSheet(newSVGCanvas(pg.w, pg.h, "", ""), pg))
		found := nestedParts(svgOf(t, c, Options{}))
		same := func(what string, got, want float64) {
			t.Helper()
			if math.Abs(got-want) > 0.011 {
				t.Errorf("%s, %s: drawn at %.3f, want %.3f mm", name, what, got, want)
			}
		}
		for i := range c.Wear.Estimates {
			e := &c.Wear.Estimates[i]
			box := around(pathPoints(t, found[fmt.Sprintf("reading %d", i+1)], pg.h))
			if e.Interval {
				foot := box.y1
				if e.Reading.Falls {
					foot = box.y0
				}
				same("bound", foot, y.on(0, shownAt(e)).y)
				continue
			}
			want := float64(e.Elongation + barSigmas*e.Error)
			same("bar", box.y1, min(y.on(0, want).y, y.plot.y1))
		}
		for _, l := range c.Wear.Forecast.Limits {
			box := around(pathPoints(t, found[fmt.Sprintf("meets %v", l.Limit)], pg.h))
			same("first km", box.x0, y.x.at(l.LowKM/c.unitKM()))
			same("last km", box.x1, min(y.x.at(l.HighKM/c.unitKM()), y.plot.x1))
			same("limit", box.y0, y.on(0, float64(l.Limit)).y)
		}
		same("next reading", around(pathPoints(t, found["next reading"], pg.h)).x0, y.x.at(c.Wear.Forecast.NextReadingKM/c.unitKM()))
		if y.size < 0.024*pg.w {
			t.Errorf("%s: text of %.2f mm on %.0f mm", name, y.size, pg.w)
		}
	}
}

// The chart says why there is no cone, when each limit is met, and explains
// what occurs and nothing else.
func TestWearWords(t *testing.T) {
	all := wears(t)
	cone, meets := "fit, and ahead with its 90 % cone", "where it meets a limit, 90 %"
	tests := map[string]struct{ has, hasNot []string }{
		"single":  {[]string{"rule, bars of 90 %", "1 reading at 1 distance · now 0.62 % (90 %: 0.48 to 0.76 %)"}, []string{cone, meets, "hung beside a new chain", "readings at odds"}},
		"mixed":   {[]string{cone, meets, "caliper", "three-point gauge", "gauge falls in: at least that", "does not fall in: less", "4184 km · Mar 2026", "likely passed: 2847 km · Nov 2025", "read again at 3635 km · Jan 2026"}, []string{"lift off the ring"}},
		"miles":   {[]string{"odometer, miles", "8173 miles · Mar 2028"}, []string{"odometer, km"}},
		"young":   {[]string{"1 % further on: 10289 km · Jun 2036", "7854 km · Jan 2031"}, nil},
		"odd":     {[]string{"readings at odds", "3", "caliper 0.20 % at 1600 km and rule 0.20 % at 2200 km: their dates run backwards", "and 1 more pair of readings at odds"}, nil},
		"gauges":  {[]string{"two-point gauge"}, []string{cone, "two-point gauge, bars of 90 %"}},
		"worn":    {[]string{"lift off the ring"}, []string{"read again"}},
		"unknown": {[]string{"1 reading at 1 distance · now only known by gauges that fall in or not"}, []string{"does not fall in: less"}},
	}
	for name, tt := range tests {
		n := noProblems(t, name, all[name], Options{})
		for _, w := range tt.has {
			if !slices.Contains(n.texts, w) {
				t.Errorf("%s: %q is not on the page: %q", name, w, n.texts)
			}
		}
		for _, w := range tt.hasNot {
			if slices.ContainsFunc(n.texts, func(s string) bool { return strings.HasPrefix(s, w) }) {
				t.Errorf("%s: %q is on the page", name, w)
			}
		}
	}
	single := strings.Join(noProblems(t, "single", all["single"], Options{}).texts, " ")
	if !strings.Contains(single, "No forecast: "+all["single"].Wear.NoForecast) {
		t.Errorf("it is not said why there is no forecast: %s", single)
	}
	if s := all["mixed"].Describe(); !strings.Contains(s, "0.75 %: replace, up to 10 cogs: expected at 4184 km · Mar 2026, 90 % between 3635 and 4900 km.") {
		t.Error(s)
	}
}

// Every limit says where it is met, on a page of its own size and on a phone's.
func TestWearLabels(t *testing.T) {
	for name, c := range wears(t) {
		f := c.Wear.Forecast
		if f == nil {
			continue
		}
		for _, o := range []Options{{}, {WidthMM: phoneMM}} {
			n := noProblems(t, name, c, o)
			for i := range f.Limits {
				if !slices.Contains(n.texts, c.meetsLabel(&f.Limits[i])) {
					t.Errorf("%s on %v mm: %q is not on the page", name, o.WidthMM, c.meetsLabel(&f.Limits[i]))
				}
			}
		}
	}
}

// Without dates in the log none is made up.
func TestWearWithoutDates(t *testing.T) {
	log := gearing.WearLog{Parts: []gearing.WearPart{wearPart(0)}, Readings: slices.Concat(reads(1000, 0.2, rule), reads(2000, 0.4, rule))}
	log.Parts[0].FittedOn = time.Time{}
	for i := range log.Readings {
		log.Readings[i].On = time.Time{}
	}
	n := noProblems(t, "undated", analysedLog(t, log), Options{})
	for _, s := range n.texts {
		if strings.Contains(s, "· 0001") || strings.Contains(s, "· Jan") {
			t.Errorf("%q has a date", s)
		}
	}
}

func TestWearRefuses(t *testing.T) {
	broken := func(change func(*WearChart)) WearChart {
		c := mixedWear(t)
		c.Wear.Points, c.Wear.Estimates = slices.Clone(c.Wear.Points), slices.Clone(c.Wear.Estimates)
		f := *c.Wear.Forecast
		f.Limits = slices.Clone(f.Limits)
		c.Wear.Forecast = &f
		change(&c)
		return c
	}
	for name, c := range map[string]WearChart{
		"none":          {},
		"nothing":       NewWearChart(wear.ChainWear{}, 0, false),
		"not read":      {Wear: mixedWear(t).Wear},
		"no number":     broken(func(c *WearChart) { c.Wear.Points[1].Elongation = gearing.Percent(math.NaN()) }),
		"far":           broken(func(c *WearChart) { c.Wear.Points[1].KM = math.Inf(1) }),
		"from nowhere":  broken(func(c *WearChart) { c.Wear.Points[1].From = []int{99} }),
		"endless error": broken(func(c *WearChart) { c.Wear.Estimates[2].Error = gearing.Percent(math.Inf(1)) }),
		"odd pair":      broken(func(c *WearChart) { c.Wear.Contradictions = []wear.Contradiction{{A: 0, B: 77}} }),
		"limit":         broken(func(c *WearChart) { c.Wear.Forecast.Limits[1].KM = math.NaN() }),
	} {
		if err := WriteSVG(io.Discard, c, Options{}); err == nil || !strings.HasPrefix(err.Error(), "wear chart: ") {
			t.Errorf("%s: %v", name, err)
		}
		_, _ = c.Size()
	}
}

func TestWearGolden(t *testing.T) {
	all := wears(t)
	golden(t, "wear_mixed", all["mixed"], Options{})
	golden(t, "wear_single_narrow", all["single"], Options{WidthMM: phoneMM})
	golden(t, "wear_odd_dark", all["odd"], Options{Theme: ThemeDark})
	golden(t, "wear_many_print", all["many"], Options{Theme: ThemePrint})
}

// BenchmarkWearSVG counts reading the forecast too.
func BenchmarkWearSVG(b *testing.B) {
	w := mixedWear(b).Wear
	b.ReportAllocs()
	for b.Loop() {
		if err := WriteSVG(io.Discard, NewWearChart(w, 0, false), Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWearDrawSVG(b *testing.B) { benchmarkSVG(b, mixedWear(b)) }

func BenchmarkWearDrawPNG(b *testing.B) { benchmarkPNG(b, mixedWear(b)) }

func BenchmarkWearOf1000SVG(b *testing.B) { benchmarkSVG(b, manyWear(b, 1000, 1)) }

func BenchmarkWearOf1000PNG(b *testing.B) { benchmarkPNG(b, manyWear(b, 1000, 1)) }
