package wear

import (
	"strings"
	"testing"

	"cagewise/gearing"
)

// What skips under load, or lifts a new chain, is due and can throw the rider,
// whether or not it can be had: no distance is left to it.
func TestSkipIsDangerous(t *testing.T) {
	for _, c := range []struct {
		name   string
		found  gearing.WearFinding
		danger bool
	}{
		{"cassette skips under load", loaded(finding("cassette-1", gearing.FindSkip, "", 14)), true},
		{"cassette skips", finding("cassette-1", gearing.FindSkip, "", 14), false},
		{"cassette lifts a new chain", finding("cassette-1", gearing.FindLift, ""), true},
		{"ring skips under load", loaded(finding("ring-42", gearing.FindSkip, "")), true},
		{"chain skips under load", loaded(finding("chain-1", gearing.FindSkip, "")), true},
	} {
		for _, source := range []gearing.PartSource{gearing.SourceBuy, gearing.SourceNone} {
			in := bike(eightCogs, withRate(stateAt(0.3, 0.05), 0.2, 0.03))
			for i := range in.Log.Parts {
				in.Log.Parts[i].Source = source
			}
			in.Log.Findings = []gearing.WearFinding{c.found}
			d := decisionOn(t, mustDecide(t, in), c.found.Part)
			if d.Danger != c.danger || d.Watch.HasKM || !d.Watch.EveryRide || len(d.Tests) == 0 {
				t.Errorf("%s, %s: danger %v, watch %+v, tests %q", c.name, source, d.Danger, d.Watch, d.Tests)
			}
		}
	}
}

// A part that is due but not to be had has one verdict and one instruction.
func TestOneInstruction(t *testing.T) {
	in := bike(eightCogs, stateAt(0.4, 0.05))
	in.Log.Parts = append(in.Log.Parts, part("cable", gearing.PartCable, 5), part("pulley", gearing.PartGuidePulley, 5, 11), part("bearing", gearing.PartBearing, 5))
	for i := range in.Log.Parts {
		in.Log.Parts[i].Source = gearing.SourceNone
	}
	in.Log.Findings = []gearing.WearFinding{
		finding("ring-42", gearing.FindTeeth, "hooked"), loaded(finding("cassette-1", gearing.FindSkip, "", 14)), finding("cable", gearing.FindFrayed, ""),
		finding("pulley", gearing.FindRough, "bad"), finding("bearing", gearing.FindRough, "bad"),
	}
	r := mustDecide(t, in)
	for id, want := range map[string][]string{
		"ring-42":    {"do not ride on this ring", "turned round", "quarter turn", "another tooth count"},
		"cassette-1": {"do not push hard on cog 14; the others (11, 12, 16, 18, 21, 26, 32) may be ridden", "single cogs"},
		"cable":      {"do not ride with it", "cut to length"},
		"pulley":     {"ride it on while it turns freely", "same teeth"},
		"bearing":    {"stamped on it"},
	} {
		d := decisionOn(t, r, id)
		if d.Verdict != Replace || !d.NotToBeHad {
			t.Errorf("%s: %s, not to be had %v", id, d.Verdict, d.NotToBeHad)
		}
		for _, w := range want {
			if !strings.Contains(d.Instead, w) {
				t.Errorf("%s: %q lacks %q", id, d.Instead, w)
			}
		}
	}
	in.Log.Parts = append(in.Log.Parts, part("ring-30", gearing.PartRing, 5, 30))
	if d := decisionOn(t, mustDecide(t, in), "ring-42"); !strings.Contains(d.Instead, "ride the 30") {
		t.Errorf("with another ring: %q", d.Instead)
	}
	if d := decisionOn(t, r, "chain-1"); d.NotToBeHad || d.Instead != substitute(gearing.PartChain) {
		t.Errorf("not due: %v, %q", d.NotToBeHad, d.Instead)
	}
}

// Dated rides after the last dated entry move the odometer; others are counted
// apart.
func TestOdometer(t *testing.T) {
	ride := func(on string, km float64) gearing.WearRide {
		if on == "" {
			return gearing.WearRide{KM: km}
		}
		return gearing.WearRide{On: day(on), KM: km}
	}
	for _, c := range []struct {
		name  string
		rides []gearing.WearRide
		want  Odometer
	}{
		{"none", nil, Odometer{KM: 1230, EntryKM: 1230}},
		{"after", []gearing.WearRide{ride("2026-03-18", 400), ride("2026-04-01", 70)}, Odometer{KM: 1700, EntryKM: 1230, RidesKM: 470}},
		{"before and that day", []gearing.WearRide{ride("2026-03-01", 400), ride("2026-03-17", 70)}, Odometer{KM: 1230, EntryKM: 1230}},
		{"undated", []gearing.WearRide{ride("", 60)}, Odometer{KM: 1230, EntryKM: 1230, UndatedKM: 60}},
	} {
		log := cargo()
		log.Rides = c.rides
		got := OdometerOf(log)
		if got != c.want {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
		}
		if r := mustDecide(t, DecideInput{Log: log}); r.KM != c.want.KM {
			t.Errorf("%s: decided at %v km", c.name, r.KM)
		}
	}
	log := cargo()
	log.Rides = []gearing.WearRide{ride("2026-04-01", 100)}
	log.Findings = []gearing.WearFinding{{Part: "c", KM: 2000, Kind: gearing.FindNothing}}
	if got := OdometerOf(log); got != (Odometer{KM: 2000, EntryKM: 2000}) {
		t.Errorf("an undated entry further on: %+v", got)
	}
}

// At a distance past the last reading the state is called a forecast, and the
// chance is the forecast's there.
func TestDecidedOnAForecast(t *testing.T) {
	log := cargo()
	chains, err := Analyse(log)
	if err != nil {
		t.Fatal(err)
	}
	states := StatesOf(chains, 1700)
	r := mustDecide(t, DecideInput{Log: log, Chains: states, KM: 1700, Cogs: 8})
	d := decisionOn(t, r, "c")
	f := chains[0].Forecast.AsOf(1700)
	if d.Past != f.Limits[1].Chance || f.Limits[1].Chance <= chains[0].Forecast.Limits[1].Chance {
		t.Errorf("verdict %v, table %v, at the reading %v", d.Past, f.Limits[1].Chance, chains[0].Forecast.Limits[1].Chance)
	}
	text := strings.Join(append(d.For, d.Against...), " ")
	if !strings.Contains(text, "forecast: about ") || !strings.Contains(text, "last read 470 km ago") || strings.Contains(text, "reads ") {
		t.Error(text)
	}
	log.Miles = true
	chains, err = Analyse(log)
	if err != nil {
		t.Fatal(err)
	}
	d = decisionOn(t, mustDecide(t, DecideInput{Log: log, Chains: StatesOf(chains, 1700), KM: 1700, Cogs: 8}), "c")
	if text := strings.Join(append(append(d.For, d.Against...), d.Watch.Why, chains[0].Forecast.ShapeWords), " "); strings.Contains(text, "km") || !strings.Contains(text, "miles") {
		t.Errorf("in miles: %s", text)
	}
}
