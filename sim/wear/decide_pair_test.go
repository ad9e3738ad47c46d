package wear

import (
	"slices"
	"strings"
	"testing"

	"cagewise/gearing"
)

// Looking clears no skip, and a hook at most to a doubt; only a new chain that
// ran clean under load on that very cog takes a skip back, a step at a time.
func TestWhatClearsACog(t *testing.T) {
	skip := loaded(finding("cassette-1", gearing.FindSkip, "", 14))
	hook := finding("cassette-1", gearing.FindTeeth, "hooked", 14)
	look := later(finding("cassette-1", gearing.FindNothing, ""))
	flanks := later(finding("cassette-1", gearing.FindTeeth, "symmetric"))
	ran := loaded(look)
	elsewhere := loaded(later(finding("cassette-1", gearing.FindNothing, "", 16)))
	for _, c := range []struct {
		name  string
		chain gearing.Percent
		found []gearing.WearFinding
		want  Verdict
	}{
		{"a skip, looked at", 0.1, []gearing.WearFinding{skip, flanks, look, look}, Replace},
		{"a skip, run on another cog", 0.1, []gearing.WearFinding{skip, elsewhere}, Replace},
		{"a skip, run with the worn chain", 0.6, []gearing.WearFinding{skip, ran, ran}, Replace},
		{"a skip, run with a new chain", 0.1, []gearing.WearFinding{skip, ran}, KeepAndTest},
		{"the same twice", 0.1, []gearing.WearFinding{skip, ran, ran}, Keep},
		{"and it skips again", 0.1, []gearing.WearFinding{skip, ran, ran, later(later(skip))}, Replace},
		{"a hook, looked at", 0.1, []gearing.WearFinding{hook, look}, KeepAndTest},
		{"a hook, looked at often", 0.1, []gearing.WearFinding{hook, look, flanks, look}, KeepAndTest},
		{"a hook, run often", 0.1, []gearing.WearFinding{hook, ran, ran, ran}, KeepAndTest},
	} {
		in := bike(eightCogs, stateAt(c.chain, 0.04))
		in.Log.Findings = c.found
		d := decisionOn(t, mustDecide(t, in), "cassette-1")
		if d.Verdict != c.want {
			t.Errorf("%s: %s, want %s", c.name, d.Verdict, c.want)
		}
		if d.Verdict == Keep && len(d.foundCogs()) > 0 {
			t.Errorf("%s: kept while a finding says %v is likely to skip", c.name, d.foundCogs())
		}
		in.Log.Parts = append(in.Log.Parts, part("cog", gearing.PartCog, 8, 14))
		if d = decisionOn(t, mustDecide(t, in), "cog"); d.Verdict != c.want {
			t.Errorf("%s: the cog %s, want %s", c.name, d.Verdict, c.want)
		}
	}
	in := DecideInput{Log: gearing.WearLog{Parts: []gearing.WearPart{part("cassette-1", gearing.PartCassette, 60, eightCogs...)}, Findings: []gearing.WearFinding{hook, look, look}}}
	if d := decisionOn(t, mustDecide(t, in), "cassette-1"); d.Verdict != KeepAndTest {
		t.Errorf("no chain in the log: %s", d.Verdict)
	}
}

// hooked is a worn chain on a hooked cassette.
func hooked() DecideInput {
	in := bike(elevenCogs, stateAt(1.05, 0.05))
	in.Log.Findings = []gearing.WearFinding{finding("cassette-1", gearing.FindTeeth, "hooked")}
	return in
}

// No new chain is bought or fitted onto cogs that are due: without other cogs the
// worn pair stays, a chain on hand waits for them.
func TestChainWaitsForCogs(t *testing.T) {
	in := hooked()
	in.Log.Parts[1].Source = gearing.SourceNone
	r := mustDecide(t, in)
	if d := decisionOn(t, r, "chain-1"); d.Verdict != Keep || !d.WornPair || shopping(r) != "" || !strings.Contains(strings.Join(d.Against, " "), "cassette-1 is due too and cannot be had") {
		t.Errorf("%s, worn pair %v, shopping %q, against %q", d.Verdict, d.WornPair, shopping(r), d.Against)
	}
	in.Chains[0].Elongation = 1.6 // can throw the rider by itself
	if d := decisionOn(t, mustDecide(t, in), "chain-1"); d.Verdict != Replace || d.WornPair {
		t.Errorf("past the last limit: %s", d.Verdict)
	}
	in = hooked()
	in.Log.Parts[0].Source = gearing.SourceOnHand
	for _, budget := range []float64{0, 20, 100} {
		in.Log.Budget = budget
		r = mustDecide(t, in)
		i := slices.IndexFunc(r.Shopping, func(b Buy) bool { return b.ID == "chain-1" })
		if i < 0 || r.Shopping[i].Need != NeedWait || r.Total != 28 || !slices.ContainsFunc(r.Notes, func(s string) bool { return strings.HasPrefix(s, "fit together: ") }) {
			t.Errorf("budget %v: %+v, total %v, notes %q", budget, r.Shopping, r.Total, r.Notes)
		}
	}
	in.Log.Parts[1].Source = gearing.SourceOnHand
	if r = mustDecide(t, in); r.Shopping[0].Need != NeedOnHand || r.Shopping[1].Need != NeedOnHand || r.Total != 0 {
		t.Errorf("both on hand: %+v", r.Shopping)
	}
}

// A new chain that skips is no old chain to ride on with.
func TestNewChainSkips(t *testing.T) {
	for e, want := range map[gearing.Percent]string{0.1: "do not ride on cog 14, it skips with a new chain; the others", 0.5: "do not push hard on cog 14; the others"} {
		in := bike(eightCogs, stateAt(e, 0.03))
		in.Log.Parts[1].Source = gearing.SourceNone
		in.Log.Findings = []gearing.WearFinding{loaded(finding("cassette-1", gearing.FindSkip, "", 14))}
		d := decisionOn(t, mustDecide(t, in), "cassette-1")
		if !strings.HasPrefix(d.Instead, want) || d.SkipsNew != (e == 0.1) || d.SkipsNew && strings.Contains(d.Instead, "old chain") {
			t.Errorf("%v: %q", e, d.Instead)
		}
	}
}

// A new chain on cogs that the one taken off has worn is tested first, until it
// has run clean under load or is new no more.
func TestNewChainUntried(t *testing.T) {
	in := bike(elevenCogs, stateAt(0.03, 0.05))
	in.Log.Parts[0].FittedKM = 3100
	old := part("old", gearing.PartChain, -1)
	old.RemovedKM = 3100
	in.Log.Parts = append(in.Log.Parts, old)
	in.Chains = append(in.Chains, ChainState{ID: "old", Elongation: 0.95, Error: 0.05, HasReading: true, KM: 3100})
	r := mustDecide(t, in)
	d := decisionOn(t, r, "cassette-1")
	if d.Verdict != KeepAndTest || !slices.ContainsFunc(r.Tests, func(x Test) bool { return x.Loaded }) || len(r.Safety) == 0 {
		t.Errorf("%s, tests %+v", d.Verdict, r.Tests)
	}
	in.Log.Findings = []gearing.WearFinding{loaded(later(later(finding("cassette-1", gearing.FindNothing, ""))))}
	if d = decisionOn(t, mustDecide(t, in), "cassette-1"); d.Verdict != Keep {
		t.Errorf("run clean: %s", d.Verdict)
	}
	in.Log.Findings = nil
	in.Chains[0].Elongation = 0.4
	in.Log.Parts[0].FittedKM, in.KM = 3100, 5000
	if d = decisionOn(t, mustDecide(t, in), "cassette-1"); d.Verdict != Keep {
		t.Errorf("long run in: %s", d.Verdict)
	}
}
