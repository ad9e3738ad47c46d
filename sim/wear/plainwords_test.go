package wear

import (
	"math"
	"strings"
	"testing"

	"cagewise/gearing"
)

// 100 km are 62.137 miles, a rate of 0.1 a km 0.16093 a mile (international mile
// of 1959).
func TestUnits(t *testing.T) {
	km, mi := lengths{}, lengths{miles: true}
	for got, want := range map[string]string{
		km.say(94.6): "95 km", km.say(104): "100 km", km.say(106): "110 km", km.say(-106): "-110 km", km.say(100): "100 km", km.say(99.4): "99 km", mi.say(200): "120 miles", mi.say(100): "62 miles",
		km.withError(1234, 41): "1230 +- 50 km", mi.withError(1609.344, 80.4672): "1000 +- 50 miles", km.withError(995, 40): "1000 +- 40 km",
		sayPercent(0.5): "0.5 %", sayPercent(0.75): "0.75 %", sayPercent(-0.001): "0.0 %", sayWithError(0.5, 0.05): "0.50 +- 0.05 %",
		sayChance(0.0099): "under 1 %", sayChance(0.01): "about 1 %", sayChance(0.99): "about 99 %", sayChance(0.991): "over 99 %", sayChance(0.5): "about 50 %",
		sayCogs([]gearing.Teeth{21, 15, 21, 17}):                                                                                  "15, 17, 21",
		Estimate{Elongation: 0.4, Error: 0.05}.words(0):                                                                           "0.40 +/- 0.05 %",
		Estimate{Interval: true, Low: 0.5, High: MostElongation}.words(1):                                                         "at least 0.50 %",
		Estimate{Interval: true, Low: 0, High: 0.5}.words(-1):                                                                     "under 0.50 %",
		Estimate{Interval: true, Low: 1, High: MostElongation - 1}.words(-1):                                                      "under " + strings.TrimSuffix(sayWithError(MostElongation-1, 0), " +- 0.00 %") + " %",
		km.sayFinding(&gearing.WearFinding{KM: 1200, Kind: "skip", Degree: "often", Cogs: []gearing.Teeth{15, 13}, Loaded: true}): "at 1200 km: skip, often, on 13, 15, under load",
		mi.sayFinding(&gearing.WearFinding{KM: 1609.344, Kind: "snag"}):                                                           "at 1000 miles: snag",
	} {
		if got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
	if got := mi.per(0.1); math.Abs(got-0.1609344) > 1e-12 || km.per(0.1) != 0.1 || math.Abs(mi.of(100)-62.1371) > 0.0001 {
		t.Errorf("%v a mile", got)
	}
}

func TestShapeWords(t *testing.T) {
	rises := []Rise{{RatePer1000KM: 0.1}, {RatePer1000KM: 0.2}}
	level := []Rise{{RatePer1000KM: 0.2}, {RatePer1000KM: 0.2}}
	const alike, accelerating, straight, up = "straight and accelerating fit about alike", "the rate rises with distance", "a straight line is enough", "; the rises of 0.10, 0.20 % per 1000 km do go up, but by no more than their errors"
	for _, c := range []struct {
		delta float64
		rises []Rise
		want  string
	}{
		{2, rises, alike + " (AICc of straight less accelerating 2.0)" + up}, {2.1, rises, accelerating + " (AICc of straight less accelerating 2.1)"},
		{-2, level, alike + " (AICc of straight less accelerating -2.0)"}, {-2.1, rises, straight + " (AICc of straight less accelerating -2.1)" + up},
		{0, rises[:1], alike + " (AICc of straight less accelerating 0.0)"}, {0, nil, alike + " (AICc of straight less accelerating 0.0)"},
	} {
		f := &Forecast{AICcDelta: c.delta, AcceleratingWeight: 0.25}
		if got := f.shapeWords(c.rises, lengths{}); got != c.want+"; the intervals count accelerating with 25 %" {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
	long := make([]Rise, 9)
	for i := range long {
		long[i].RatePer1000KM = gearing.Percent(i)
	}
	if growing(long) || !growing(long[:8]) {
		t.Error("up to eight rises are listed")
	}
}

// Plans of 1 + 2 q, 2 + q and 4 chains: the first is cheapest up to 1, the second
// up to 2, then the third; where lines meet at once the flattest goes on.
func TestEnvelopeByHand(t *testing.T) {
	a, b, c := line{"a", 1, 2}, line{"b", 2, 1}, line{"c", 4, 0}
	d, e := line{"d", 3, 0}, line{"e", 5, 3} // d meets a and b at 1, e is never cheapest
	tests := []struct {
		lines []line
		want  []Span
	}{
		{[]line{a, b, c}, []Span{{0, 1, "a"}, {1, 2, "b"}, {From: 2, Plan: "c"}}}, {[]line{c, b, a}, []Span{{0, 1, "a"}, {1, 2, "b"}, {From: 2, Plan: "c"}}},
		{[]line{a, b, d}, []Span{{0, 1, "a"}, {From: 1, Plan: "d"}}}, {[]line{a, d, b}, []Span{{0, 1, "a"}, {From: 1, Plan: "d"}}}, {[]line{d, b, a, e}, []Span{{0, 1, "a"}, {From: 1, Plan: "d"}}},
		{[]line{a}, []Span{{From: 0, Plan: "a"}}}, {nil, []Span{}}, {[]line{a, {"flat", 1, 0}}, []Span{{From: 0, Plan: "flat"}}}, {[]line{{"flat", 1, 0}, a}, []Span{{From: 0, Plan: "flat"}}},
	}
	for _, tt := range tests {
		got := envelope(tt.lines)
		same := len(got) == len(tt.want)
		for i := range got {
			same = same && got[i] == tt.want[i]
		}
		if !same {
			t.Errorf("%v: %+v, want %+v", tt.lines, got, tt.want)
		}
	}
	for _, c := range []struct {
		a, b  line
		ok    bool
		ratio float64
		above string
	}{{a, b, true, 1, "b"}, {b, a, true, 1, "b"}, {a, c, true, 1.5, "c"}, {a, e, false, 0, ""}, {a, line{"par", 2, 2}, false, 0, ""}, {a, line{"same", 1, 1}, false, 0, ""}, {a, a, false, 0, ""}} {
		if got, ok := c.a.meets(c.b); ok != c.ok || ok && (got.Ratio != c.ratio || got.Above != c.above) {
			t.Errorf("%v and %v: %+v, %v", c.a, c.b, got, ok)
		}
	}
	if a.at(3) != 7 {
		t.Error("1 + 2 3 is 7")
	}
}
