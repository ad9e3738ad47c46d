package wear

import (
	"math"
	"slices"
	"strings"
	"testing"

	"cagewise/gearing"
)

// saturday is S7: 8 cogs, 42 ring, 3200 km, four readings, prices 18, 28, 60.
func saturday() gearing.WearLog {
	l := bike(eightCogs, ChainState{}).Log
	for _, r := range []gearing.WearReading{
		{Method: gearing.MethodRule, Pitches: 24, Length: 307.2}, {Method: gearing.MethodHung, Pitches: 48, Offset: 614.1 - 609.6},
		{Method: gearing.MethodCaliper, Inside10: 120.80, Inside2: 18.44}, {Method: gearing.MethodTwoPoint, Mark: 1, Falls: true},
	} {
		r.Part, r.KM = "chain-1", 3200
		l.Readings = append(l.Readings, r)
	}
	return l
}

// SCENARIOS.md S7, from the readings on: buy the chain on Saturday, keep the
// cassette and test it; the plans cost 14.7, 19.1 and 11.8 per 1000 km.
func TestSaturday(t *testing.T) {
	l := saturday()
	chains, err := Analyse(l)
	if err != nil {
		t.Fatal(err)
	}
	states := StatesOf(chains, 3200)
	r := mustDecide(t, DecideInput{Log: l, Chains: states})
	chain, cassette := decisionOn(t, r, "chain-1"), decisionOn(t, r, "cassette-1")
	if chain.Verdict != Replace || chain.Limit != LimitFew || cassette.Verdict != KeepAndTest {
		t.Errorf("chain %s, cassette %s", chain.Verdict, cassette.Verdict)
	}
	if chain.Watch == nil || chain.Watch.HasKM || chain.Watch.Limit != LimitCassette {
		t.Errorf("a distance from one day's readings: %+v", chain.Watch)
	}
	if len(cassette.Risk) != 8 || !slices.ContainsFunc(cassette.Risk, func(c CogRisk) bool { return c.Class == RiskLikely }) || cassette.Risk[7].Class != RiskLow {
		t.Errorf("risks %+v", cassette.Risk)
	}
	text := strings.Join(r.Safety, " ") + strings.Join(r.Notes, " ")
	for _, want := range []string{"Seated", "gently", "Off the road", "hands clear", "one cog at a time", "keep the receipt", "Not the day before a trip", "not a promise", Widely, "buy first: chain-1"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not said in %q", want, text)
		}
	}
	if strings.Contains(strings.ToLower(text), "motor") {
		t.Errorf("a motor the bike has not is named in %q", text)
	}
	if got := shopping(r); got != "chain-1 now; cassette-1 if the test fails" || r.Total != 18 {
		t.Errorf("shopping %q, total %v", got, r.Total)
	}
	shape, ok := StraightFrom(states[0])
	if !ok {
		t.Fatal("no shape from S7's readings")
	}
	plans := mustPlans(t, PolicyInput{Prices: PricesOf(l), Shape: shape, Cogs: 8, EndKM: 9000})
	for name, want := range map[string]float64{"change late": 14.7, "chain and cassette together": 19.1, "run all to the end": 11.8} {
		if p := planNamed(t, plans, name); math.Abs(p.Cost-want) > 0.01*want {
			t.Errorf("%s: %.2f per 1000 km, want %v", name, p.Cost, want)
		}
	}
}

func shopping(r Report) string {
	var words []string
	for _, b := range r.Shopping {
		words = append(words, b.ID+" "+string(b.Need))
	}
	return strings.Join(words, "; ")
}

// cargoBike is S6: a mid motor, 10 cogs, the 11 visibly worn and to be had by
// itself.
func cargoBike() DecideInput {
	return DecideInput{
		KM: 1230,
		Log: gearing.WearLog{
			Motor: true,
			Parts: []gearing.WearPart{
				part("chain-1", gearing.PartChain, 30), part("cassette-1", gearing.PartCassette, 60, 11, 13, 15, 17, 19, 21, 24, 28, 32, 36),
				part("cog-11", gearing.PartCog, 9, 11), part("ring-44", gearing.PartRing, 35, 44),
			},
			Findings: []gearing.WearFinding{{Part: "cassette-1", KM: 1230, Kind: gearing.FindTeeth, Degree: "hooked", Cogs: []gearing.Teeth{11}}},
		},
		Chains: []ChainState{withRate(ChainState{ID: "chain-1", Elongation: 0.55, Error: 0.04, HasReading: true, KM: 1230}, 0.53, 0.06)},
		Usage:  []CogUsage{{11, 48}, {13, 20}, {15, 12}, {17, 8}, {19, 5}, {21, 3}, {24, 2}, {28, 1}, {32, 1}, {36, 0}},
	}
}

// SCENARIOS.md S6: 0.5 % is passed, 0.75 % some 380 km off; the 11 alone is
// offered instead of the cassette.
func TestCargoBike(t *testing.T) {
	r := mustDecide(t, cargoBike())
	chain, cassette, cog := decisionOn(t, r, "chain-1"), decisionOn(t, r, "cassette-1"), decisionOn(t, r, "cog-11")
	if chain.Verdict != Keep || cassette.Verdict != Keep || cog.Verdict != Replace {
		t.Errorf("chain %s, cassette %s, cog %s", chain.Verdict, cassette.Verdict, cog.Verdict)
	}
	w := chain.Watch
	if w == nil || !w.HasKM || w.Limit != LimitFew || math.Abs(w.KM-1000*0.2/0.53) > 1e-9 {
		t.Fatalf("%+v", w)
	}
	if want := 1000 / 0.53 * math.Hypot(0.04, 0.2*0.06/0.53); math.Abs(w.Error-want) > 1e-9 || w.LookEvery > lookMotorKM || w.LookEvery > w.KM-w.Error {
		t.Errorf("%+v, want an error of %v", w, want)
	}
	if shopping(r) != "cog-11 now" || r.Total != 9 {
		t.Errorf("shopping %q", shopping(r))
	}
	if !strings.Contains(strings.Join(r.Safety, " "), "Motor off for every test") {
		t.Errorf("safety %q", r.Safety)
	}
	if strings.Contains(strings.Join(r.Notes, " "), Widely) {
		t.Errorf("notes %q call the owner's rides a default", r.Notes)
	}
	in := cargoBike()
	in.Log.Parts = slices.Delete(in.Log.Parts, 2, 3) // no single cog listed
	whole := decisionOn(t, mustDecide(t, in), "cassette-1")
	if whole.Verdict != Replace || !strings.Contains(strings.Join(whole.Against, " "), "single cogs can be bought") {
		t.Errorf("cassette %s, against %q", whole.Verdict, whole.Against)
	}
}

// What is due but cannot be had stays due, with one instruction; what can throw
// the rider has no distance left; what is on hand is not bought.
func TestNotToBeHad(t *testing.T) {
	in := cargoBike()
	in.Chains[0].Elongation = 0.8
	for i := range in.Log.Parts {
		in.Log.Parts[i].Source = gearing.SourceNone
	}
	r := mustDecide(t, in)
	if got := strings.Join(r.NotToBeHad, " "); got != "chain-1 cassette-1 cog-11" || len(r.Shopping) != 0 {
		t.Errorf("not to be had: %q; shopping %q", got, shopping(r))
	}
	for _, id := range r.NotToBeHad {
		d := decisionOn(t, r, id)
		if d.Verdict != Replace || !d.NotToBeHad || d.Instead == "" || !strings.Contains(strings.Join(d.Against, " "), "cannot be had") {
			t.Errorf("%s: %s, %+v, against %q", id, d.Verdict, d.Watch, d.Against)
		}
		if chain := d.Kind == gearing.PartChain; d.Watch.HasKM != chain || d.Watch.EveryRide == chain || chain && d.Watch.Limit != LimitCassette {
			t.Errorf("%s: %+v", id, d.Watch)
		}
	}
	in.Chains[0].Elongation = 1.7
	if w := decisionOn(t, mustDecide(t, in), "chain-1").Watch; w.HasKM || !w.EveryRide || !strings.Contains(w.Why, "throw you") {
		t.Errorf("past all limits: %+v", w)
	}
	in.Log.Parts[0].Source = gearing.SourceOnHand
	r = mustDecide(t, in)
	if shopping(r) != "chain-1 on hand: fit it" || r.Total != 0 {
		t.Errorf("shopping %q, total %v", shopping(r), r.Total)
	}
}

// With a budget the pressing comes first, and a chain is not bought without the
// cogs it needs.
func TestBudget(t *testing.T) {
	worn := bike(eightCogs, stateAt(1.3, 0.04))
	worn.Log.Parts = append(worn.Log.Parts, part("cable", gearing.PartCable, 5), part("bearing", gearing.PartBearing, -1))
	worn.Log.Findings = []gearing.WearFinding{finding("cable", gearing.FindFrayed, ""), finding("bearing", gearing.FindRough, "bad"), finding("cassette-1", gearing.FindTeeth, "hooked", 12)}
	for _, c := range []struct {
		budget float64
		within string
		left   float64
		note   string
	}{
		{0, "cable chain-1 cassette-1 bearing", 0, "fit together: chain-1, cassette-1"},
		{60, "chain-1 cassette-1 cable", 9, "price not given: bearing"},
		{46, "chain-1 cassette-1", 0, "buy first: chain-1"},
		{20, "cable", 15, "leave the old pair on and watch it"},
	} {
		worn.Log.Budget = c.budget
		r := mustDecide(t, worn)
		var within []string
		for _, b := range r.Shopping {
			if b.Within {
				within = append(within, b.ID)
			}
		}
		want := strings.Fields(c.within)
		slices.Sort(within)
		slices.Sort(want)
		if !slices.Equal(within, want) || r.Left != c.left || r.Total != 18+28+5 {
			t.Errorf("budget %v: %q, left %v, total %v", c.budget, within, r.Left, r.Total)
		}
		if notes := strings.Join(r.Notes, "\n"); !strings.Contains(notes, c.note) {
			t.Errorf("budget %v: notes %q, want %q in them", c.budget, notes, c.note)
		}
		if !slices.Equal(r.Missing, []string{"bearing"}) {
			t.Errorf("missing %q", r.Missing)
		}
	}
}

// A chain that skips under load condemns the cogs it skips on, whether it was new
// or not; a new one that runs clean under load clears them.
func TestSkips(t *testing.T) {
	in := bike(eightCogs, stateAt(0.1, 0.04))
	in.Log.Parts[0].FittedKM = 3000
	old := part("chain-0", gearing.PartChain, -1)
	old.RemovedKM = 3000
	in.Log.Parts = append(in.Log.Parts, old)
	in.Chains = append(in.Chains, ChainState{ID: "chain-0", Elongation: 0.9, Error: 0.04, HasReading: true, KM: 3000})
	risk := func(d Decision, cog gearing.Teeth) CogRisk {
		i := slices.IndexFunc(d.Risk, func(r CogRisk) bool { return r.Cog == cog })
		return d.Risk[i]
	}
	d := decisionOn(t, mustDecide(t, in), "cassette-1")
	if d.Verdict != KeepAndTest || !slices.ContainsFunc(d.Tests, func(s string) bool { return strings.Contains(s, "gently") }) || risk(d, 14).Class != RiskLikely || risk(d, 14).Override != "" {
		t.Errorf("history alone: %s, %+v", d.Verdict, risk(d, 14))
	}
	clean := loaded(later(finding("cassette-1", gearing.FindNothing, "", 14)))
	skip := loaded(later(finding("cassette-1", gearing.FindSkip, "", 16)))
	in.Log.Findings = []gearing.WearFinding{clean, skip}
	d = decisionOn(t, mustDecide(t, in), "cassette-1")
	if d.Verdict != Replace || risk(d, 14).Class != RiskLow || risk(d, 16).Class != RiskLikely || risk(d, 16).Override == "" {
		t.Errorf("new chain skips: %s, %+v, %+v", d.Verdict, risk(d, 14), risk(d, 16))
	}
	in.Log.Findings = []gearing.WearFinding{loaded(gearing.WearFinding{Part: "cassette-1", KM: 2900, Kind: gearing.FindSkip, Cogs: []gearing.Teeth{16}})}
	if d = decisionOn(t, mustDecide(t, in), "cassette-1"); d.Verdict != Replace || !d.Danger {
		t.Errorf("the old chain skipped: %s", d.Verdict)
	}
}

// A cassette that ran only a part of the worn chain's distance has taken on
// only that part; one fitted after it was taken off, nothing.
func TestCassetteHistory(t *testing.T) {
	for _, c := range []struct {
		fitted, removed, want float64 // of the cassette, of the chain; taken on
	}{{0, -1, 0.8}, {-1, -1, 0.8}, {2400, -1, 0.2}, {1600, 2000, 0.16}, {2000, 2000, 0}} {
		in := bike(eightCogs, stateAt(0.8, 0.04))
		in.Log.Parts[1].FittedKM, in.Log.Parts[0].RemovedKM = c.fitted, c.removed
		d := newDecider(in)
		if got := float64(d.history.taken()); math.Abs(got-c.want) > 1e-9 || d.history.known != (c.want > 0) {
			t.Errorf("cassette at %v km, chain off at %v: taken on %v, want %v", c.fitted, c.removed, got, c.want)
		}
	}
}

// ISO 606 roller seat at 7.75 mm: 0.505 d1 = 3.914 and 0.505 d1 + 0.069 d1^(1/3)
// = 4.050 mm (from memory), so 0.08 to 0.35 mm of play; at it common practice's
// 0.5 and 0.75 % come out on small cogs.
func TestSeatPlay(t *testing.T) {
	small, large := SeatRadii(gearing.RollerDiameter)
	least, most := SeatPlay(gearing.RollerDiameter)
	for _, c := range []struct{ got, want float64 }{{float64(small), 3.914}, {float64(large), 4.050}, {float64(least), 0.078}, {float64(most), 0.351}} {
		if math.Abs(c.got-c.want) > 0.0015 {
			t.Errorf("%.4f, want %.3f", c.got, c.want)
		}
	}
	for _, cog := range []gearing.Teeth{11, 12, 13, 14} {
		if low, mid, high := classOf(Mismatch(0.35, cog)), classOf(Mismatch(0.6, cog)), classOf(Mismatch(0.9, cog)); low != RiskLow || mid != RiskTry || high != RiskLikely {
			t.Errorf("cog %d: 0.35 %% %s, 0.6 %% %s, 0.9 %% %s", cog, low, mid, high)
		}
	}
	for n := gearing.Teeth(0); n <= 60; n++ {
		if k := BearingPitches(n); !(k >= 0 && k <= float64(n)/2) {
			t.Errorf("%d teeth: %v pitches bear", n, k)
		}
	}
}

// A forecast's mean comes back as a shape, and a chain ridden on after its last
// reading is as worn as the forecast says.
func TestFromForecast(t *testing.T) {
	l := gearing.WearLog{Parts: []gearing.WearPart{part("chain-1", gearing.PartChain, 30)}}
	for _, r := range []struct{ km, e float64 }{{620, 0.25}, {980, 0.42}, {1230, 0.55}} {
		l.Readings = append(l.Readings, gearing.WearReading{Part: "chain-1", KM: r.km, Method: gearing.MethodRule, Pitches: 48, Length: gearing.MM(48 * 12.7 * (1 + r.e/100))})
	}
	chains, err := Analyse(l)
	if err != nil || chains[0].Forecast == nil {
		t.Fatalf("%+v, %v", chains, err)
	}
	f := chains[0].Forecast
	shape := ShapeOf(f)
	for _, km := range []float64{0, 500, 1230, 2500, 6000} {
		mean, _, _ := f.At(f.FromKM + km)
		if got := shape.At(km); math.Abs(float64(got-mean)) > 1e-6 {
			t.Errorf("%.0f km: shape %.4f %%, forecast %.4f", km, got, mean)
		}
	}
	now, later := StatesOf(chains, 0)[0], StatesOf(chains, 1600)[0]
	if !now.HasRate || !later.HasRate || later.Elongation <= now.Elongation || later.Error < now.Error || later.KM != now.KM+370 {
		t.Errorf("now %+v, later %+v", now, later)
	}
	if s := StatesOf([]ChainWear{{ID: "x", NoForecast: "one reading"}}, 0)[0]; s.HasReading || s.NoRate != "one reading" {
		t.Errorf("unread: %+v", s)
	}
	for _, s := range []ChainState{{}, {HasReading: true, KM: 100}, {HasReading: true, Elongation: 0.5}} {
		if _, ok := StraightFrom(s); ok {
			t.Errorf("a shape from %+v", s)
		}
	}
}
