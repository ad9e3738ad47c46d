package wear

import (
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"cagewise/gearing"
)

func mustDecide(t testing.TB, in DecideInput) Report {
	t.Helper()
	r, err := Decide(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func decisionOn(t testing.TB, r Report, id string) Decision {
	t.Helper()
	for _, d := range r.Decisions {
		if d.ID == id {
			return d
		}
	}
	t.Fatalf("no decision on %q", id)
	return Decision{}
}

// part is a part on the bike since the start, with a price and to be bought.
func part(id string, kind gearing.PartKind, price float64, teeth ...gearing.Teeth) gearing.WearPart {
	return gearing.WearPart{ID: id, Kind: kind, Teeth: teeth, RemovedKM: -1, Price: price, Source: gearing.SourceBuy}
}

var (
	eightCogs  = []gearing.Teeth{11, 12, 14, 16, 18, 21, 26, 32}
	elevenCogs = []gearing.Teeth{11, 13, 15, 17, 19, 21, 23, 25, 28, 30, 34}
)

// bike is a chain, a cassette and a ring at 3200 km.
func bike(cogs []gearing.Teeth, state ChainState) DecideInput {
	state.ID = "chain-1"
	return DecideInput{
		KM: 3200, Chains: []ChainState{state},
		Log: gearing.WearLog{Parts: []gearing.WearPart{
			part("chain-1", gearing.PartChain, 18), part("cassette-1", gearing.PartCassette, 28, cogs...), part("ring-42", gearing.PartRing, 60, 42),
		}},
	}
}

func stateAt(e, err gearing.Percent) ChainState {
	return ChainState{Elongation: e, Error: err, HasReading: true, KM: 3200}
}

func withRate(s ChainState, rate, err float64) ChainState {
	s.HasRate, s.Rate, s.RateError = true, rate, err
	return s
}

// Verdicts on chains by reading, error and number of cogs.
func TestChainVerdicts(t *testing.T) {
	for _, c := range []struct {
		name  string
		cogs  []gearing.Teeth
		state ChainState
		want  Verdict
	}{
		{"past, well read", eightCogs, stateAt(0.85, 0.04), Replace},
		{"at the limit, well read", eightCogs, stateAt(0.745, 0.04), Replace},
		{"at the limit, badly read", eightCogs, stateAt(0.745, 0.16), KeepAndTest},
		{"far past, badly read", eightCogs, stateAt(1.2, 0.3), Replace},
		{"under, well read", eightCogs, stateAt(0.6, 0.04), Keep},
		{"under, badly read", eightCogs, stateAt(0.6, 0.16), KeepAndTest},
		{"under, but the limit is near", eightCogs, withRate(stateAt(0.7, 0.02), 0.4, 0.02), Replace},
		{"the same with 11 cogs", elevenCogs, stateAt(0.6, 0.04), Replace},
		{"under with 11 cogs", elevenCogs, stateAt(0.4, 0.04), Keep},
		{"shrinks", eightCogs, withRate(stateAt(-0.1, 0.05), -0.1, 0.05), Keep},
		{"exact", eightCogs, stateAt(0.75, 0), Replace},
		{"never read", eightCogs, ChainState{}, CannotTell},
	} {
		d := decisionOn(t, mustDecide(t, bike(c.cogs, c.state)), "chain-1")
		if d.Verdict != c.want {
			t.Errorf("%s: %s, want %s; for %q, against %q", c.name, d.Verdict, c.want, d.For, d.Against)
		}
		if d.Changes == "" || len(d.For)+len(d.Against) == 0 {
			t.Errorf("%s: no evidence, or nothing would change it: %+v", c.name, d)
		}
		if d.Verdict != CannotTell && !strings.Contains(strings.Join(append(d.For, d.Against...), " "), "disputed") {
			t.Errorf("%s: the limit is not called disputed", c.name)
		}
	}
}

// The state of an unread chain in the log, and one without a state at all.
func TestUnreadChain(t *testing.T) {
	in := bike(eightCogs, ChainState{})
	for _, states := range [][]ChainState{in.Chains, nil} {
		in.Chains = states
		r := mustDecide(t, in)
		d := decisionOn(t, r, "chain-1")
		if d.Verdict != CannotTell || len(d.Tests) != 1 || d.Watch == nil || d.Watch.HasKM {
			t.Errorf("%+v", d)
		}
		if got := decisionOn(t, r, "cassette-1"); got.Verdict != CannotTell {
			t.Errorf("cassette: %s", got.Verdict)
		}
	}
}

func finding(part string, kind gearing.FindingKind, degree string, cogs ...gearing.Teeth) gearing.WearFinding {
	return gearing.WearFinding{Part: part, KM: 3000, Kind: kind, Degree: degree, Cogs: cogs}
}

func loaded(f gearing.WearFinding) gearing.WearFinding { f.Loaded = true; return f }

func later(f gearing.WearFinding) gearing.WearFinding { f.KM += 100; return f }

// Verdicts by findings alone.
func TestFindingVerdicts(t *testing.T) {
	for _, c := range []struct {
		name  string
		kind  gearing.PartKind
		found []gearing.WearFinding
		want  Verdict
	}{
		{"nothing seen", gearing.PartRing, nil, CannotTell},
		{"hooked ring", gearing.PartRing, []gearing.WearFinding{finding("x", gearing.FindTeeth, "hooked")}, Replace},
		{"pointed ring", gearing.PartRing, []gearing.WearFinding{finding("x", gearing.FindTeeth, "pointed")}, Keep},
		{"symmetric ring", gearing.PartRing, []gearing.WearFinding{finding("x", gearing.FindTeeth, "symmetric")}, Keep},
		{"chain lifts off the ring", gearing.PartRing, []gearing.WearFinding{finding("x", gearing.FindLift, "bad")}, Replace},
		{"chain suck", gearing.PartRing, []gearing.WearFinding{finding("x", gearing.FindSuck, "")}, KeepAndTest},
		{"a snag", gearing.PartRing, []gearing.WearFinding{finding("x", gearing.FindSnag, "")}, KeepAndTest},
		{"hooked, then fine", gearing.PartRing, []gearing.WearFinding{finding("x", gearing.FindTeeth, "hooked"), later(finding("x", gearing.FindNothing, ""))}, KeepAndTest},
		{"fine, then hooked", gearing.PartRing, []gearing.WearFinding{later(finding("x", gearing.FindTeeth, "hooked")), finding("x", gearing.FindNothing, "")}, Replace},
		{"a snag, then fine", gearing.PartRing, []gearing.WearFinding{finding("x", gearing.FindSnag, ""), later(finding("x", gearing.FindNothing, ""))}, Keep},
		{"guide float", gearing.PartGuidePulley, []gearing.WearFinding{finding("x", gearing.FindPlay, "slight")}, Keep},
		{"guide play", gearing.PartGuidePulley, []gearing.WearFinding{finding("x", gearing.FindPlay, "bad")}, Replace},
		{"tension play", gearing.PartTensionPulley, []gearing.WearFinding{finding("x", gearing.FindPlay, "slight")}, KeepAndTest},
		{"pointed pulley", gearing.PartTensionPulley, []gearing.WearFinding{finding("x", gearing.FindTeeth, "pointed")}, KeepAndTest},
		{"notchy bearing", gearing.PartBearing, []gearing.WearFinding{finding("x", gearing.FindRough, "bad")}, Replace},
		{"rough bearing", gearing.PartBearing, []gearing.WearFinding{finding("x", gearing.FindRough, "slight")}, KeepAndTest},
		{"frayed cable", gearing.PartCable, []gearing.WearFinding{finding("x", gearing.FindFrayed, "slight")}, Replace},
		{"stiff cable", gearing.PartCable, []gearing.WearFinding{finding("x", gearing.FindStiff, "bad")}, Replace},
		{"shifts badly", gearing.PartCable, []gearing.WearFinding{finding("x", gearing.FindShift, "")}, KeepAndTest},
		{"hooked cassette", gearing.PartCassette, []gearing.WearFinding{finding("x", gearing.FindTeeth, "hooked", 11)}, Replace},
		{"pointed cassette", gearing.PartCassette, []gearing.WearFinding{finding("x", gearing.FindTeeth, "pointed")}, Keep},
		{"old chain skips", gearing.PartCassette, []gearing.WearFinding{loaded(finding("x", gearing.FindSkip, "", 12))}, Replace},
		{"skips, then fine", gearing.PartCassette, []gearing.WearFinding{loaded(finding("x", gearing.FindSkip, "", 12)), loaded(later(finding("x", gearing.FindNothing, "")))}, Replace}, // with what chain?
		{"skips, then looks fine", gearing.PartCassette, []gearing.WearFinding{loaded(finding("x", gearing.FindSkip, "", 12)), later(finding("x", gearing.FindNothing, ""))}, Replace},
		{"skips without load", gearing.PartCassette, []gearing.WearFinding{finding("x", gearing.FindSkip, "", 12)}, KeepAndTest},
		{"ring skips", gearing.PartRing, []gearing.WearFinding{loaded(finding("x", gearing.FindSkip, ""))}, Replace},
		{"a new chain lifts", gearing.PartCassette, []gearing.WearFinding{finding("x", gearing.FindLift, "")}, Replace},
		{"a new chain lifts slightly", gearing.PartCassette, []gearing.WearFinding{finding("x", gearing.FindLift, "slight")}, KeepAndTest},
	} {
		in := DecideInput{Log: gearing.WearLog{Parts: []gearing.WearPart{part("x", c.kind, 10, eightCogs...)}, Findings: c.found}}
		d := decisionOn(t, mustDecide(t, in), "x")
		if d.Verdict != c.want {
			t.Errorf("%s: %s, want %s; for %q, against %q", c.name, d.Verdict, c.want, d.For, d.Against)
		}
		if d.Changes == "" || len(d.For)+len(d.Against) < len(c.found) {
			t.Errorf("%s: evidence %q, %q; changes %q", c.name, d.For, d.Against, d.Changes)
		}
		if d.Verdict != Keep && len(d.Tests) == 0 {
			t.Errorf("%s: no test", c.name)
		}
	}
}

// A finding from before the part was fitted, or after it was taken off, is not
// the part's.
func TestFindingOfAnotherPart(t *testing.T) {
	p := part("x", gearing.PartRing, 10, 42)
	p.FittedKM, p.RemovedKM = 3500, 4000
	late := finding("x", gearing.FindTeeth, "hooked")
	late.KM = 4100
	in := DecideInput{Log: gearing.WearLog{Parts: []gearing.WearPart{p}, Findings: []gearing.WearFinding{finding("x", gearing.FindTeeth, "hooked"), late}}}
	if d := decisionOn(t, mustDecide(t, in), "x"); d.Verdict != CannotTell || !d.Off {
		t.Errorf("%+v", d)
	}
}

func TestDecideRefused(t *testing.T) {
	for name, change := range map[string]func(*DecideInput){
		"unknown chain": func(in *DecideInput) { in.Chains[0].ID = "other" },
		"kind":          func(in *DecideInput) { in.Log.Parts[0].Kind = "bell" },
		"elongation":    func(in *DecideInput) { in.Chains[0].Elongation = gearing.Percent(math.NaN()) },
		"error":         func(in *DecideInput) { in.Chains[0].Error = -1 },
		"rate":          func(in *DecideInput) { in.Chains[0].HasRate, in.Chains[0].Rate = true, math.Inf(1) },
		"distance":      func(in *DecideInput) { in.KM = math.NaN() },
		"chain's km":    func(in *DecideInput) { in.Chains[0].KM = -1 },
		"share":         func(in *DecideInput) { in.Usage = []CogUsage{{11, 101}} },
	} {
		in := bike(eightCogs, stateAt(0.5, 0.05))
		change(&in)
		if _, err := Decide(in); !errors.Is(err, ErrDecide) || !strings.Contains(err.Error(), "allowed") && !strings.Contains(err.Error(), "no part") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// An empty log, and parts that nothing is known of, give no verdict but say so.
func TestEmptyLog(t *testing.T) {
	r := mustDecide(t, DecideInput{})
	if len(r.Decisions) != 0 || len(r.Shopping) != 0 || !strings.Contains(strings.Join(r.Notes, " "), "no part") || len(r.Safety) == 0 {
		t.Errorf("%+v", r)
	}
	var in DecideInput
	for _, k := range gearing.PartKinds() {
		in.Log.Parts = append(in.Log.Parts, gearing.WearPart{ID: string(k), Kind: k, Price: -1, FittedKM: -1, RemovedKM: -1})
	}
	slices.Reverse(in.Log.Parts)
	r = mustDecide(t, in)
	for i, d := range r.Decisions {
		if d.Verdict != CannotTell || d.Changes == "" || d.Kind != gearing.PartKinds()[i] {
			t.Errorf("%s: %+v", d.ID, d)
		}
	}
	if !strings.Contains(strings.Join(r.Notes, " "), "number of cogs not known") {
		t.Errorf("notes %q", r.Notes)
	}
}

// More elongation never makes a chain's verdict gentler, nor a cog's risk less;
// a verdict is the same every time.
func TestDecideProperties(t *testing.T) {
	rank := map[Verdict]int{Keep: 0, KeepAndTest: 1, Replace: 2}
	rapid.Check(t, func(t *rapid.T) {
		e, err := rapid.Float64Range(-0.2, 2).Draw(t, "e"), rapid.Float64Range(0, 0.3).Draw(t, "error")
		in := bike(eightCogs, withRate(stateAt(gearing.Percent(e), gearing.Percent(err)), rapid.Float64Range(-0.1, 2).Draw(t, "rate"), 0.05))
		for _, c := range eightCogs {
			in.Usage = append(in.Usage, CogUsage{c, gearing.Percent(rapid.Float64Range(0, 100).Draw(t, "share"))})
		}
		a, _ := Decide(in)
		if again, _ := Decide(in); !reflect.DeepEqual(a, again) {
			t.Fatal("the same log gave another report")
		}
		if _, err := json.Marshal(a); err != nil {
			t.Fatal(err) // a number that is none
		}
		in.Chains[0].Elongation += gearing.Percent(rapid.Float64Range(0, 0.5).Draw(t, "more"))
		b, _ := Decide(in)
		if rank[a.Decisions[0].Verdict] > rank[b.Decisions[0].Verdict] {
			t.Fatalf("%v %%: %s; more worn: %s", e, a.Decisions[0].Verdict, b.Decisions[0].Verdict)
		}
		for i, r := range a.Decisions[1].Risk {
			if worse := b.Decisions[1].Risk[i]; r.Class.rank() > worse.Class.rank() || r.Class.rank() > r.Worst.rank() {
				t.Fatalf("%+v, more worn %+v", r, worse)
			}
		}
	})
}

// A log of 1,000 readings' worth of findings and parts is judged within the
// 20 ms of the issue; the figure is logged, as a timing is never a test.
func TestManyFindings(t *testing.T) {
	in := bike(eightCogs, stateAt(0.7, 0.04))
	for i := range 100000 {
		f := finding("cassette-1", gearing.FindNothing, "", eightCogs[i%8])
		f.KM = float64(i % 3000)
		in.Log.Findings = append(in.Log.Findings, f)
	}
	start := time.Now()
	mustDecide(t, in)
	t.Logf("100,000 findings: %v", time.Since(start))
}

func BenchmarkDecide(b *testing.B) {
	in := bike(eightCogs, withRate(stateAt(0.74, 0.04), 0.23, 0.02))
	for i := range 1000 {
		f := finding("cassette-1", gearing.FindTeeth, "symmetric", eightCogs[i%8])
		f.KM = float64(i)
		in.Log.Findings = append(in.Log.Findings, f)
	}
	for b.Loop() {
		mustDecide(b, in)
	}
}
