package wear

import (
	"cmp"
	"encoding/json"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
)

func mustPlans(t rapid.TB, in PolicyInput) PolicyReport {
	r, err := Policies(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func planNamed(t rapid.TB, r PolicyReport, name string) PlanCost {
	for _, p := range r.Plans {
		if p.Name == name {
			return p
		}
	}
	t.Fatalf("no plan %q", name)
	return PlanCost{}
}

// commuterPlans is S7: 8 cogs, 0.75 % after 3200 km, prices 18, 28, 60.
func commuterPlans() PolicyInput {
	return PolicyInput{
		Prices: Prices{Chain: 18, Cassette: 28, Ring: 60}, KMPerYear: 4000, Cogs: 8,
		Shape: WearShape{Rate: 0.75 / 3.2}, EndKM: 9000,
	}
}

// SCENARIOS.md S7: 14.7, 19.1 and 11.8 per 1000 km, the last with what it
// costs in safety.
func TestPlansOfCommuter(t *testing.T) {
	r := mustPlans(t, commuterPlans())
	for _, c := range []struct {
		name string
		want float64
	}{{"change late", 14.7}, {"chain and cassette together", 19.1}, {"run all to the end", 11.8}} {
		p := planNamed(t, r, c.name)
		if math.Abs(p.Cost-c.want) > 0.05 || math.Abs(p.PerYear-4*p.Cost) > 1e-9 {
			t.Errorf("%s: %.2f per 1000 km, %.2f a year; want %v", c.name, p.Cost, p.PerYear, c.want)
		}
	}
	end := planNamed(t, r, "run all to the end")
	if !strings.Contains(end.Safety, "skips under load, in traffic") {
		t.Errorf("safety of running to the end: %q", end.Safety)
	}
	// Within limits the ranking flips once: rotating takes over where the
	// cassette costs 0.6 chains: (0.3125 - 0.2344) / (0.2344 - 0.1042).
	if len(r.Safer) != 2 || r.Safer[0].Plan != "change late with cassette" || r.Safer[1].Plan != "rotate 3 chains" || math.Abs(r.Safer[0].To-0.6) > 1e-9 {
		t.Errorf("within limits: %+v", r.Safer)
	}
	for _, p := range r.Plans {
		t.Logf("%-28s %6.2f per 1000 km %7.2f a year", p.Name, p.Cost, p.PerYear)
		if !strings.Contains(p.Assumes, Widely) {
			t.Errorf("%s: %q does not say %q", p.Name, p.Assumes, Widely)
		}
	}
}

// cargoPlans is S6: 0.25 % at 620 km, 0.42 at 980, 0.55 at 1230; the quadratic
// through 0 by least squares.
func cargoPlans() PolicyInput {
	return PolicyInput{
		Prices: Prices{Chain: 30, Cassette: 60, Ring: 35}, KMPerYear: 6000, Cogs: 10,
		Shape: WearShape{Rate: 0.357, Accel: 0.0731},
	}
}

// The slopes S6 states between its readings follow from the shape, and the
// plans cost what its lives say; figures computed by hand from
// cost = C/Lc + S/Ls + R/Lr.
func TestPlansOfCargoBike(t *testing.T) {
	in := cargoPlans()
	s := in.Shape
	for _, c := range []struct{ km, e, slope, from float64 }{{620, 0.25, 0.40, 0}, {980, 0.42, 0.47, 620}, {1230, 0.55, 0.52, 980}} {
		if got := float64(s.At(c.km)); math.Abs(got-c.e) > 0.004 {
			t.Errorf("%.0f km: %.3f %%, want %v", c.km, got, c.e)
		}
		if got := 1000 * float64(s.At(c.km)-s.At(c.from)) / (c.km - c.from); math.Abs(got-c.slope) > 0.02 {
			t.Errorf("slope to %.0f km: %.3f, want %v", c.km, got, c.slope)
		}
	}
	r := mustPlans(t, in)
	early, late, whole := s.KM(0.5), s.KM(0.75), s.KM(1)
	t.Logf("lives %.0f, %.0f, %.0f km to 0.5, 0.75, 1 %%", early, late, whole)
	ring := 35 / (4 * late) * 1000
	for _, c := range []struct {
		name string
		want float64
	}{
		{"change early", (30+60/3.0)/early*1000 + ring}, {"change late", (30+60/2.0)/late*1000 + ring},
		{"change late with cassette", 90/whole*1000 + ring}, {"run all to the end", 125 / s.KM(2) * 1000},
		{"rotate 3 chains", (30+60/3.0)/late*1000 + ring},
	} {
		p := planNamed(t, r, c.name)
		t.Logf("%-28s %6.2f per 1000 km %7.2f a year", p.Name, p.Cost, p.PerYear)
		if math.Abs(p.Cost-c.want) > 1e-9 || math.Abs(p.PerYear-6*c.want) > 1e-9 {
			t.Errorf("%s: %.3f, want %.3f", c.name, p.Cost, c.want)
		}
	}
	if !slices.IsSortedFunc(r.Plans, func(a, b PlanCost) int { return cmp.Compare(a.Cost, b.Cost) }) {
		t.Error("plans are not ranked")
	}
}

// q32 is three chains at 0.5 % a cassette against a chain and a cassette to
// 1 %, which comes at so many times the distance.
func q32(late, cassette float64) PolicyInput {
	return PolicyInput{
		Prices: Prices{Chain: 10, Cassette: cassette, Ring: 0}, Shape: WearShape{Rate: 0.5},
		Plans: []Plan{
			{Name: "early", Limit: 0.5, ChainKM: 1000, CassetteKM: 3000, RingKM: 1e6},
			{Name: "late", Limit: 1, ChainKM: 1000 * late, CassetteKM: 1000 * late, RingKM: 1e6},
		},
	}
}

// Linear wear, early wins only if the cassette costs over 3
// chains; when 1 % comes at 1.5 times the distance, as soon as it costs over 1.
func TestBreakEvenByHand(t *testing.T) {
	for _, c := range []struct{ late, ratio float64 }{{2, 3}, {1.5, 1}} {
		for _, cassette := range []float64{c.ratio*10 - 1, c.ratio*10 + 1} {
			r := mustPlans(t, q32(c.late, cassette))
			want := "late"
			if cassette > c.ratio*10 {
				want = "early"
			}
			if r.Plans[0].Name != want {
				t.Errorf("late at %v lives, cassette at %v: %s wins, want %s", c.late, cassette, r.Plans[0].Name, want)
			}
			if len(r.Even) != 1 || math.Abs(r.Even[0].Ratio-c.ratio) > 1e-9 || r.Even[0].Above != "early" {
				t.Errorf("late at %v lives: break-even %+v, want %v", c.late, r.Even, c.ratio)
			}
			if len(r.Spans) != 2 || r.Spans[0].Plan != "late" || math.Abs(r.Spans[0].To-c.ratio) > 1e-9 || r.Spans[1].To != 0 {
				t.Errorf("spans %+v", r.Spans)
			}
		}
		// At the break-even ratio the late chain has just the lives it needs.
		r := mustPlans(t, q32(c.late, 10*c.ratio))
		if len(r.Lives) != 1 || math.Abs(r.Lives[0].Needs-c.late) > 1e-9 || math.Abs(r.Lives[0].Has-c.late) > 1e-9 {
			t.Errorf("lives %+v, want %v", r.Lives, c.late)
		}
	}
}

// Wear that speeds up just so gives the lives of TestBreakEvenByHand from the shape itself.
func TestShapeByHand(t *testing.T) {
	s := WearShape{Rate: 1.0 / 3, Accel: 1.0 / 6} // 0.5 % at 1000 km, 1 % at...
	if got := s.KM(1) / s.KM(0.5); math.Abs(s.KM(0.5)-1000) > 1e-9 || got < 1.5 || got > 2 {
		t.Errorf("0.5 %% at %v km, 1 %% at %v lives", s.KM(0.5), got)
	}
	straight := WearShape{Rate: 0.5}
	if got := straight.KM(1) / straight.KM(0.5); got != 2 {
		t.Errorf("straight: %v lives", got)
	}
}

func TestMissingPrices(t *testing.T) {
	for _, c := range []struct {
		p     Prices
		want  string
		ratio bool
	}{
		{Prices{18, 28, 60}, "", true}, {Prices{-1, 28, 60}, "chain", false}, {Prices{18, -1, 60}, "cassette", false},
		{Prices{18, 28, -1}, "ring", true}, {Prices{-1, -1, -1}, "chain cassette ring", false}, {Prices{math.NaN(), 28, math.Inf(1)}, "chain ring", false},
		{Prices{0, 0, 0}, "", false},
	} {
		in := commuterPlans()
		in.Prices = c.p
		r := mustPlans(t, in)
		if got := strings.Join(r.Missing, " "); got != c.want || r.Priced != (c.want == "") || r.HasRatio != c.ratio {
			t.Errorf("%+v: missing %q, priced %v, ratio %v", c.p, got, r.Priced, r.HasRatio)
		}
		if len(r.Spans) == 0 || r.Spans[0].From != 0 {
			t.Errorf("%+v: not ranked without money: %+v", c.p, r.Spans)
		}
		for _, p := range r.Plans {
			if p.HasCost != r.Priced || p.Chains <= 0 || !r.Priced && p.Cost != 0 {
				t.Errorf("%+v: %+v", c.p, p)
			}
		}
		if notes := strings.Join(r.Notes, "\n"); (c.want != "") != strings.Contains(notes, "price not given: "+strings.ReplaceAll(c.want, " ", ", ")) {
			t.Errorf("%+v: notes %q", c.p, notes)
		}
	}
}

func TestPricesOfLog(t *testing.T) {
	l := gearing.WearLog{Parts: []gearing.WearPart{
		{Kind: gearing.PartChain, Price: 20, FittedKM: 0, RemovedKM: 3000}, {Kind: gearing.PartChain, Price: 25, FittedKM: 3000, RemovedKM: -1},
		{Kind: gearing.PartRing, Price: 35, RemovedKM: -1}, {Kind: gearing.PartRing, Price: 30, RemovedKM: -1}, {Kind: gearing.PartRing, Price: 99, RemovedKM: 100},
		{Kind: gearing.PartCassette, Price: -1, RemovedKM: -1},
	}}
	if got, want := PricesOf(l), (Prices{25, -1, 65}); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	if got, want := PricesOf(gearing.WearLog{}), (Prices{-1, -1, -1}); got != want {
		t.Errorf("empty log: %+v", got)
	}
}

func TestPlansRefused(t *testing.T) {
	for name, change := range map[string]func(*PolicyInput){
		"no wear":    func(in *PolicyInput) { in.Shape = WearShape{} },
		"shrinks":    func(in *PolicyInput) { in.Shape.Rate = -1 },
		"not a rate": func(in *PolicyInput) { in.Shape.Rate = math.NaN() },
		"rate error": func(in *PolicyInput) { in.Shape.RateError = math.Inf(1) },
		"start":      func(in *PolicyInput) { in.Shape.Start = 0.6 },
		"year":       func(in *PolicyInput) { in.KMPerYear = -1 },
		"chains":     func(in *PolicyInput) { in.RotateChains = 1 },
		"end":        func(in *PolicyInput) { in.EndKM = math.Inf(1) },
		"plan":       func(in *PolicyInput) { in.Plans = []Plan{{Name: "x", ChainKM: 1}} },
	} {
		in := commuterPlans()
		change(&in)
		if _, err := Policies(in); !errors.Is(err, ErrPolicy) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// The error of a cost is that of the rate.
func TestPlanError(t *testing.T) {
	in := commuterPlans()
	in.Shape.RateError = in.Shape.Rate / 10
	p := planNamed(t, mustPlans(t, in), "change early")
	if math.Abs(p.Error-p.Cost/10) > 1e-9 {
		t.Errorf("%v +- %v", p.Cost, p.Error)
	}
}

// At takes back KM; the cheapest plan of a price ratio is the one its span
// names; dearer parts never make a plan cheaper.
func TestPolicyProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := PolicyInput{
			Prices: Prices{rapid.Float64Range(1, 100).Draw(t, "chain"), rapid.Float64Range(1, 400).Draw(t, "cassette"), rapid.Float64Range(0, 200).Draw(t, "ring")},
			Shape:  WearShape{Rate: rapid.Float64Range(0.02, 2).Draw(t, "rate"), Accel: rapid.Float64Range(0, 1).Draw(t, "accel")},
			Cogs:   rapid.IntRange(5, 13).Draw(t, "cogs"),
		}
		e := gearing.Percent(rapid.Float64Range(0.05, 3).Draw(t, "e"))
		if got := in.Shape.At(in.Shape.KM(e)); math.Abs(float64(got-e)) > 1e-9 {
			t.Fatalf("%v after the distance to %v", got, e)
		}
		r := mustPlans(t, in)
		for _, s := range r.Spans {
			if s.From <= r.Ratio && (s.To == 0 || r.Ratio < s.To) && planNamed(t, r, s.Plan).Cost > r.Plans[0].Cost*(1+1e-9) {
				t.Fatalf("at %v %s is said to be cheapest, %s is", r.Ratio, s.Plan, r.Plans[0].Name)
			}
		}
		if _, err := json.Marshal(r); err != nil {
			t.Fatal(err) // a number that is none
		}
		dearer := in
		dearer.Prices.Cassette *= 1.5
		for _, p := range mustPlans(t, dearer).Plans {
			if p.Cost < planNamed(t, r, p.Name).Cost {
				t.Fatalf("%s costs less with a dearer cassette", p.Name)
			}
		}
	})
}
