package wear

import "testing"

// A distance that only stands in for one beyond FarKM has no day.
func TestNoDayBeyondFar(t *testing.T) {
	f := &Forecast{
		NowKM: 10000, KMPerYear: 5000, track: track{km: []float64{0, 10000}, own: []float64{0, 10000}, share: 1},
		curves: []curve{{length: 10000, b: 0.001, vbb: 1e-8, freedom: 10, weight: 1}},
	}
	f.limits(datedKM{10000, day("2026-01-01")})
	for _, l := range f.Limits {
		if !l.Open || !l.OpenKM || l.LowKM != 10000+FarKM || !l.On.IsZero() || !l.LowOn.IsZero() || !l.HighOn.IsZero() {
			t.Errorf("%+v", l)
		}
	}
}
