package wear

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"cagewise/gearing"
)

type tableRow map[string]string

// table reads a published table; every table has a source column.
func table(t *testing.T, name string) (rows []tableRow) {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	for _, rec := range records[1:] {
		r := tableRow{}
		for i, key := range records[0] {
			r[key] = rec[i]
		}
		rows = append(rows, r)
	}
	return rows
}

func (r tableRow) num(t *testing.T, key string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[key], 64)
	if err != nil {
		t.Fatalf("column %s: %v (%s)", key, err, r["source"])
	}
	return v
}

const inch = gearing.MM(gearing.MMPerInch)

func elongation(t *testing.T, r gearing.WearReading) float64 {
	t.Helper()
	e, err := Elongation(r, gearing.WearPart{Pitches: 110}, 0)
	if err != nil {
		t.Fatal(err)
	}
	return float64(e.Elongation)
}

// TestWorkedExamples runs every row of elongation_worked.csv through the method
// it belongs to.
func TestWorkedExamples(t *testing.T) {
	worked := map[string]func(t *testing.T) float64{
		"24 pitches measured 307.2 mm (nominal 304.8)": func(t *testing.T) float64 {
			return elongation(t, gearing.WearReading{Method: gearing.MethodRule, Length: 307.2})
		},
		"0.19 in over 54.5 in": func(t *testing.T) float64 { // as inches in a foot
			e := elongation(t, gearing.WearReading{Method: gearing.MethodHung, Pitches: 109, Offset: 0.19 * inch})
			return e / 100 * 12
		},
		"5 mm over 1370 mm":          func(*testing.T) float64 { return float64(ElongationOf(1375, 1370)) },
		"0.075 mm per 12.7 mm pitch": func(*testing.T) float64 { return float64(ElongationOf(12.775, gearing.Pitch)) },
		"2 mm over 254 mm": func(t *testing.T) float64 {
			return elongation(t, gearing.WearReading{Method: gearing.MethodRule, Pitches: 20, Length: 256})
		},
		"1/16 in over 12 in": func(t *testing.T) float64 {
			return elongation(t, gearing.WearReading{Method: gearing.MethodRule, Length: (12 + 1./16) * inch})
		},
		"roller-to-roller 4.020 in over 4.000 in (two inside caliper readings subtracted)": func(t *testing.T) float64 {
			return elongation(t, gearing.WearReading{Method: gearing.MethodCaliper, Inside10: 4.75 * inch, Inside2: 0.73 * inch})
		},
		// a chain of another pitch, so the sum alone
		"106 pitches of 7.774 mm": func(*testing.T) float64 { return 0.01 * 106 * 7.774 },
	}
	rows := table(t, "elongation_worked.csv")
	if len(rows) != len(worked) {
		t.Fatalf("%d rows, %d cases", len(rows), len(worked))
	}
	for _, r := range rows {
		compute, ok := worked[r["inputs"]]
		if !ok {
			t.Errorf("no case for %q", r["inputs"])
			continue
		}
		got, step := compute(t), r.num(t, "printed_step")
		near(t, r["inputs"]+", computed", got, r.num(t, "computed"), 6e-5)
		within := step/2 + 1e-6
		if r["agrees"] == "last digit" {
			within = step
		}
		near(t, r["inputs"]+", printed by "+r["source"], got, r.num(t, "printed"), within)
	}
}

// TestRules runs every row of elongation_rules.csv that states an elongation.
func TestRules(t *testing.T) {
	for _, r := range table(t, "elongation_rules.csv") {
		what := r["rule"] + " of " + r["source"]
		switch {
		case r["value"] == "200/N":
			near(t, what, float64(MakersLimit(100)), 2, 1e-9)
		case r["rule"] == "max_elongation_formula_AS_PRINTED": // as a fraction, so says its note
			near(t, what, float64(MakersLimit(80))/100, 2./80, 1e-9)
		case strings.HasPrefix(r["rule"], "max_elongation_general"), r["rule"] == "max_elongation_absolute_percent":
			near(t, what, float64(MakersLimit(40)), r.num(t, "value"), 1e-9)
		case r["rule"] == "life_limit_percent":
			limits := Limits()
			near(t, what, float64(limits[len(limits)-1]), r.num(t, "value"), 1e-9)
		case r["value"] == "1/16 in":
			near(t, what, elongation(t, gearing.WearReading{Method: gearing.MethodRule, Length: (12 + 1./16) * inch}), 0.52, 0.005)
		case r["value"] == "1/8 in":
			near(t, what, elongation(t, gearing.WearReading{Method: gearing.MethodRule, Length: (12 + 1./8) * inch}), 1.04, 0.005)
		case r["value"] == "12 1/16 in":
			near(t, what, elongation(t, gearing.WearReading{Method: gearing.MethodRule, Length: 12.0625 * inch}), 0.521, 5e-4)
		case strings.HasPrefix(r["value"], "256 mm"):
			near(t, what, elongation(t, gearing.WearReading{Method: gearing.MethodRule, Pitches: 20, Length: 256}), 0.787, 5e-4)
		case strings.HasPrefix(r["value"], "255 mm"):
			near(t, what, elongation(t, gearing.WearReading{Method: gearing.MethodRule, Pitches: 20, Length: 255}), 0.394, 5e-4)
		case r["rule"] == "new_length_tolerance": // 0 to +0.15 % within two standard errors
			if 2*NewTolerance < 0.135 {
				t.Errorf("%s: tolerance %g", what, float64(NewTolerance))
			}
		case r["rule"] == "wear_limit_by_teeth": // stricter than 200/N, from memory
			for i, n := range []gearing.Teeth{60, 80, 100} {
				if limit := []gearing.Percent{1.5, 1.2, 1}[i]; limit > MakersLimit(n) {
					t.Errorf("%s: %g %% at %d teeth, makers %g %%", what, float64(limit), n, float64(MakersLimit(n)))
				}
			}
		default:
			t.Logf("not of elongation alone, not tested: %s", what)
		}
	}
}

// TestConstantRise: the makers' 200/N % is one rise, p / pi, on every wheel.
func TestConstantRise(t *testing.T) {
	want := float64(gearing.Pitch) / math.Pi
	for n := gearing.Teeth(17); n <= 150; n++ {
		near(t, "rise", float64(RideUp(n, gearing.Percent(200/float64(n)))), want, 0.006*want)
	}
	near(t, "200/N at 67 teeth", float64(MakersLimit(67)), 2.985, 5e-4)
	near(t, "66 teeth", float64(MakersLimit(66)), 3, 1e-9)
}

// TestWearRates runs every row of wear_rates.csv: rates through the analysis,
// lives against the limits.
func TestWearRates(t *testing.T) {
	rows := table(t, "wear_rates.csv")
	first := rows[0] // 0.19 in over 109 pitches beside a new one at 2414 km
	log := gearing.WearLog{
		Parts:    []gearing.WearPart{{ID: "c", Kind: gearing.PartChain, RemovedKM: -1}},
		Readings: []gearing.WearReading{{Part: "c", KM: first.num(t, "distance_km"), Method: gearing.MethodHung, Pitches: 109, Offset: 0.19 * inch}},
	}
	c := mustAnalyse(t, log, "c")
	near(t, first["source"], float64(c.Now.Elongation), first.num(t, "elongation_percent"), 5e-4)
	near(t, first["source"], float64(c.Rises[0].RatePer1000KM), first.num(t, "percent_per_1000_km_computed"), 5e-4)
	for _, r := range rows[1:] {
		switch {
		case r["elongation_percent"] == "<0.5":
			rate := 0.5 / r.num(t, "distance_km") * 1000
			near(t, r["source"], rate, 0.052, 5e-4)
		case strings.HasPrefix(r["measured_as_printed"], "no elongation seen"):
			worn := gearing.WearReading{Method: gearing.MethodTwoPoint, Mark: 0.5, Falls: true}
			e, err := Elongation(worn, gearing.WearPart{}, 0)
			if err != nil || e.Low > 0.25 { // a gauge may call a chain worn that a rule does not
				t.Errorf("%s: %+v %v", r["source"], e, err)
			}
		case strings.HasPrefix(r["measured_as_printed"], "about 0.205 in"):
			grown := (0.235 - 0.205) * float64(inch) // over under 0.5 %
			k := newPlay(gearing.WearPart{})
			if z := (grown/0.5 - k.g) / math.Sqrt(k.cov[1][1]); z > 4 {
				t.Errorf("%s: growth of play lies %.1f standard errors off", r["source"], z)
			}
		default:
			t.Logf("a life, no reading: %s, %s km", r["distance_as_printed"], r["distance_km"])
		}
	}
}

// TestGauges: a new chain with 0.45 mm of play reads 0.35 % worn over 10
// pitches; a true 0.75 % chain with 0.6 mm reads 1.2 %.
func TestGauges(t *testing.T) {
	two := gearing.WearReading{Method: gearing.MethodTwoPoint, HasScale: true}
	for _, c := range []struct{ play, shows, want float64 }{{0.45, 0.354, 0}, {0.6, 1.222, 0.75}} {
		two.Scale = gearing.Percent(c.shows)
		e, err := Elongation(two, gearing.WearPart{RollerPlay: gearing.MM(c.play)}, 0)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "two-point", float64(e.Elongation), c.want, 0.001)
		near(t, "its error", float64(e.Error), math.Hypot(0.05, 0.05*100/127), 1e-6)
	}
	three := gearing.WearReading{Method: gearing.MethodThreePoint, HasScale: true, Scale: 0.75}
	near(t, "three-point", elongation(t, three), 0.75, 1e-9)
}

// TestErrors: 0.5 mm is 0.16 % over 24 pitches, 0.08 over 48, 0.05 over 80
// (geometry).
func TestErrors(t *testing.T) {
	for n, want := range map[int]float64{24: 0.164, 48: 0.082, 80: 0.049} {
		r := gearing.WearReading{Method: gearing.MethodRule, Pitches: n, Length: gearing.MM(float64(n) * 12.75)}
		e, err := Elongation(r, gearing.WearPart{}, 0)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "error", float64(e.Error), want, 5e-4)
	}
}

// TestLift against an elongation worked backwards: a half turn of 42 teeth is
// 266.7 mm; 1 % of it, 2.667 mm, lifts the chain off a circle of 84.97 mm by
// 5.65 mm, found by halving 2 R (tan f - f).
func TestLift(t *testing.T) {
	near(t, "lift", float64(LiftElongation(5.648, 42)), 1, 0.001)
	e, err := Elongation(gearing.WearReading{Method: gearing.MethodLift, Lift: 5.648}, gearing.WearPart{}, 42)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "less a new chain's", float64(e.Elongation), 0.85, 0.001)
	if e.Error < 0.5 {
		t.Errorf("error %.2f is not wide", e.Error)
	}
	if _, err = Elongation(gearing.WearReading{Method: gearing.MethodLift, Lift: 5}, gearing.WearPart{}, 0); err == nil || !strings.Contains(err.Error(), "name the ring") {
		t.Error(err)
	}
	step := (LiftElongation(3.001, 42) - LiftElongation(2.999, 42)) / 0.002
	radius := pitchRadius(42)
	slope := 2 * math.Sqrt(1-math.Pow(radius/(radius+3), 2)) / float64(halfWrap(42)) * 100
	near(t, "slope 2 sin f", float64(step), slope, 1e-4)
}

// TestFirstDay: a reading counts from 12.7 mm a pitch, whatever was read on the
// chain's first day.
func TestFirstDay(t *testing.T) {
	chain := gearing.WearPart{Pitches: 110, HasStart: true, StartElongation: 0.1}
	e, err := Elongation(gearing.WearReading{Method: gearing.MethodRule, Length: 306.324}, chain, 0)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rule", float64(e.Elongation), 0.5, 1e-6)
	if want := "306.32 mm over 24 pitches of 304.8 mm: 0.50 +/- 0.16 %"; e.Explanation != want {
		t.Errorf("%q, want %q", e.Explanation, want)
	}
	e, err = Elongation(gearing.WearReading{Method: gearing.MethodHung, Offset: 5.588}, chain, 0)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "hung", float64(e.Elongation), 0.4, 1e-6)
}
