package gearing

import (
	"math"
	"testing"
)

// Conversions by hand from the international yard and pound agreement of 1959:
// a yard is 0.9144 m and a pound 0.45359237 kg, both exact; a mile is 1760
// yards, a foot a third of one, an inch a twelfth of that.
func TestUnits(t *testing.T) {
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"1 mile of 1760 yards", Imperial.Distance(1760 * 0.9144 / 1000), 1},
		{"26.2 miles and 385 yards are a marathon of 42.195 km", Imperial.Distance(42.195), 26 + 385.0/1760 + 0.000012/1.609344}, // 42.194988 km
		{"25 km/h", Imperial.Speed(25), 15.5342798},                                                                              // 25 / 1.609344
		{"a rate of 0.5 a 1000 km", Imperial.PerDistance(0.5), 0.804672},                                                         // 0.5 x 1.609344
		{"gear inches of 5.67 m", Imperial.Development(5.67), 71.0557896},                                                        // 5.67 / (3.14159265 x 0.0254 = 0.07979645)
		{"a roll-out of 2.1336 m", Imperial.RollOut(2.1336), 7},                                                                  // 7 x 0.3048
		{"95 kg", Imperial.Mass(95), 209.4391},                                                                                   // 95 / 0.45359237
		{"14 stone of 14 pounds", Imperial.Mass(14 * 14 * 0.45359237), 196},
		{"0.5 m2", Imperial.Area(0.5), 5.3819552},        // 0.5 / 0.09290304
		{"1.2 kg/m3", Imperial.Density(1.2), 0.07491355}, // 1.2 x 0.028316846592 / 0.45359237
		{"metric stays", Metric.Speed(25) + Metric.Mass(95), 120},
	} {
		if math.Abs(c.got-c.want) > 1e-6*c.want {
			t.Errorf("%s: %v, want %v", c.what, c.got, c.want)
		}
	}
}

func TestChainInInches(t *testing.T) {
	for p, want := range map[Pitches]string{
		112:    "112 pitches (56 link pairs, 56 in)",
		113:    "113 pitches (56.5 link pairs, 56.5 in)",
		110.13: "110.13 pitches (55.06 link pairs, 55.06 in)",
	} {
		if got := Imperial.Chain(p); got != want {
			t.Errorf("%v pitches are %q, want %q", float64(p), got, want)
		}
	}
	if got := Metric.Chain(112); got != "112 pitches (56 link pairs, 1422.4 mm)" {
		t.Errorf("in metric: %q", got)
	}
}
