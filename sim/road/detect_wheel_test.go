package road

import (
	"math"
	"strings"
	"testing"

	"cagewise/gearing"
)

// tableOf is the table of rings and cogs on a wheel of a roll-out.
func tableOf(t testing.TB, rollOut float64, rings, cogs []gearing.Teeth) gearing.Table {
	t.Helper()
	b := gearing.Build{Rings: rings, Cogs: cogs, Wheel: gearing.Wheel{MeasuredRollOut: gearing.MM(rollOut)}}
	table, err := gearing.NewTable(b, gearing.TableOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return table
}

// A wheel that is too far off, or a ride that shows too little, changes
// nothing.
func TestWheelNotFound(t *testing.T) {
	ride := rideTruth(rideTable(t), 3600, 14)
	for _, c := range []struct {
		name     string
		wheel    float64
		seconds  int
		o        DetectOptions
		why      string
		doubtful bool
	}{
		{"larger", 1.07, 3600, DetectOptions{}, "the wheel is off by about 7 %: a larger one, of about 2300 mm, one cog along, fits clearly better; check tyre or roll-out, and the wheel set in the recorder", true},
		{"smaller", 0.90, 3600, DetectOptions{}, "the wheel is off by about 10 %: a smaller one, of about 1940 mm, one cog along, fits clearly better; check tyre or roll-out, and the wheel set in the recorder", true},
		{"m/s for km/h", 1 / 3.6, 3600, DetectOptions{}, "the developments recorded fit no wheel within 16 % of the build's", true},
		{"short", 1.01, 200, DetectOptions{}, "too few pedalled samples", false},
		{"kept", 1.01, 3600, DetectOptions{KeepWheel: true}, "not asked for", false},
	} {
		o := usual(14)
		o.wheel = c.wheel
		_, w := detectAll(t, rideTable(t), c.o, o.of(ride)[:c.seconds])
		if want := (WheelFit{Scale: 1, Why: c.why, Doubtful: c.doubtful}); w != want {
			t.Errorf("%s: %+v\nwant %+v", c.name, w, want)
		}
	}
}

// One gear fits a wheel that is a cog larger or smaller as well: it takes a tape.
func TestWheelOneCogAlong(t *testing.T) {
	_, w := detectAll(t, rideTable(t), DetectOptions{}, even(t, 46, 17, 80, 600, 100))
	if w.Found || !w.Rival || w.Doubtful || w.Scale != 1 || !strings.HasSuffix(w.Why, ", one cog along, fits as well: measure the roll-out") {
		t.Errorf("%+v", w)
	}
}

// No wheel is found with confidence but the right one, however far the build's
// is off.
func TestNoWrongWheelIsFound(t *testing.T) {
	for name, table := range map[string]gearing.Table{
		"2x11": rideTable(t),
		"2x10": tableOf(t, 2183, []gearing.Teeth{30, 46}, []gearing.Teeth{11, 13, 15, 17, 19, 21, 24, 28, 32, 36}),
		"1x12": tableOf(t, 2200, []gearing.Teeth{38}, []gearing.Teeth{10, 12, 14, 16, 18, 21, 24, 28, 32, 36, 42, 50}),
		"3x9":  tableOf(t, 2200, []gearing.Teeth{26, 36, 48}, []gearing.Teeth{11, 13, 15, 17, 20, 23, 26, 30, 34}),
	} {
		ride := rideTruth(table, 3600, 18)
		for _, wheel := range []float64{0.86, 0.91, 0.94, 0.965, 1.035, 1.06, 1.1, 1.17} {
			o := usual(18)
			o.wheel = wheel
			samples := o.of(ride)
			_, w := detectAll(t, table, DetectOptions{}, samples)
			_, short := detectAll(t, table, DetectOptions{}, samples[:900])
			if near := math.Abs(wheel-1) < 0.04; w.Found != near || w.Doubtful == near {
				t.Errorf("%s: wheel %v: %+v", name, wheel, w)
			}
			for _, w := range []WheelFit{w, short} {
				if w.Found && math.Abs(w.Scale-wheel) > 0.01 {
					t.Errorf("%s: wheel %v: %+v", name, wheel, w)
				}
			}
		}
	}
}
