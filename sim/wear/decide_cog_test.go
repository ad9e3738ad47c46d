package wear

import (
	"slices"
	"strings"
	"testing"

	"cagewise/gearing"
)

// A cog that can be had by itself is judged by what was seen on it, on the
// cassette, and by its risk.
func TestCogVerdicts(t *testing.T) {
	for _, c := range []struct {
		name  string
		chain ChainState
		teeth gearing.Teeth
		found []gearing.WearFinding
		want  Verdict
	}{
		{"nothing known", ChainState{}, 14, nil, CannotTell},
		{"hooked, seen on the cog", ChainState{}, 14, []gearing.WearFinding{finding("cog", gearing.FindTeeth, "hooked")}, Replace},
		{"hooked, seen on the cassette", ChainState{}, 14, []gearing.WearFinding{finding("cassette-1", gearing.FindTeeth, "hooked", 14)}, Replace},
		{"another cog is hooked", ChainState{}, 14, []gearing.WearFinding{finding("cassette-1", gearing.FindTeeth, "hooked", 16)}, CannotTell},
		{"a snag", stateAt(0.1, 0.03), 14, []gearing.WearFinding{finding("cog", gearing.FindSnag, "")}, KeepAndTest},
		{"hooked, then good", stateAt(0.1, 0.03), 14, []gearing.WearFinding{finding("cog", gearing.FindTeeth, "hooked"), later(finding("cassette-1", gearing.FindNothing, ""))}, KeepAndTest},
		{"a snag, then good", stateAt(0.1, 0.03), 14, []gearing.WearFinding{finding("cog", gearing.FindSnag, ""), later(finding("cog", gearing.FindNothing, ""))}, Keep},
		{"worn chain due", stateAt(0.9, 0.03), 14, nil, KeepAndTest},
		{"chain worn, not due", stateAt(0.6, 0.03), 14, nil, Keep},
		{"chain young", stateAt(0.1, 0.03), 14, nil, Keep},
		{"of no cassette", stateAt(0.9, 0.03), 99, nil, CannotTell},
	} {
		in := bike(eightCogs, c.chain)
		in.Log.Parts = append(in.Log.Parts, part("cog", gearing.PartCog, 8, c.teeth))
		in.Log.Findings = c.found
		d := decisionOn(t, mustDecide(t, in), "cog")
		if d.Verdict != c.want || d.Changes == "" {
			t.Errorf("%s: %s, want %s; for %q, against %q", c.name, d.Verdict, c.want, d.For, d.Against)
		}
	}
}

// The chain that is on is the one the last ride names, else the one fitted last.
func TestChainNow(t *testing.T) {
	in := bike(eightCogs, stateAt(0.1, 0.03))
	second := part("chain-2", gearing.PartChain, 18)
	second.FittedKM = 500
	gone := part("chain-3", gearing.PartChain, 18)
	gone.FittedKM, gone.RemovedKM = 600, 700
	in.Log.Parts = append(in.Log.Parts, second, gone)
	for _, c := range []struct {
		rides []string
		want  string
	}{{nil, "chain-2"}, {[]string{""}, "chain-2"}, {[]string{"chain-2", "chain-1", ""}, "chain-1"}, {[]string{"chain-1", "chain-3"}, "chain-1"}} {
		in.Log.Rides = nil
		for _, id := range c.rides {
			in.Log.Rides = append(in.Log.Rides, gearing.WearRide{Chain: id})
		}
		if got := newDecider(in).chain; got == nil || got.ID != c.want {
			t.Errorf("rides %q: %+v, want %s", c.rides, got, c.want)
		}
	}
}

// Many findings are summed up; the last ones are named.
func TestManyFindingsSaid(t *testing.T) {
	in := DecideInput{Log: gearing.WearLog{Money: "euro", Parts: []gearing.WearPart{part("ring", gearing.PartRing, 10, 42)}}}
	for i := range 20 {
		f := finding("ring", gearing.FindSnag, "")
		f.KM = float64(100 * i)
		in.Log.Findings = append(in.Log.Findings, f)
	}
	slices.Reverse(in.Log.Findings)
	r := mustDecide(t, in)
	d := decisionOn(t, r, "ring")
	if len(d.For) != mostEvidence+1 || d.For[0] != "14 earlier findings of this tendency" || !strings.Contains(d.For[mostEvidence], "at 1900 km: nail snags") || r.Money != "euro" {
		t.Errorf("%q", d.For)
	}
}

// A finding that contradicts a skip, and shapes that look like wear, are said
// for what they are.
func TestAsides(t *testing.T) {
	for _, c := range []struct {
		kind gearing.PartKind
		f    gearing.WearFinding
		want string
	}{
		{gearing.PartRing, finding("x", gearing.FindTeeth, "pointed"), "still usable"},
		{gearing.PartCassette, finding("x", gearing.FindTeeth, "symmetric"), "skip before hooks show"},
		{gearing.PartGuidePulley, finding("x", gearing.FindPlay, "slight"), "by design"},
		{gearing.PartRing, finding("x", gearing.FindSnag, ""), "one report"},
	} {
		if got := remark(c.kind, &c.f); !strings.Contains(got, c.want) {
			t.Errorf("%s, %s: %q, want %q in it", c.kind, c.f.Kind, got, c.want)
		}
	}
	if got := sayPercent(-0.001); got != "0.0 %" {
		t.Errorf("%q", got)
	}
}
