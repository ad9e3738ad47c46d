package wear

import (
	"strings"
	"testing"

	"cagewise/gearing"
)

// A chain with a cracked plate, or a bent one, is not to be ridden on, however
// little it has worn, and read or not; a good look after the repair clears it.
func TestBrokenChain(t *testing.T) {
	for _, kind := range []gearing.FindingKind{gearing.FindBroken, gearing.FindBent} {
		for _, read := range []bool{true, false} {
			log := gearing.WearLog{Parts: []gearing.WearPart{part("c", gearing.PartChain, 30)}}
			log.Findings = []gearing.WearFinding{{Part: "c", KM: 1600, Kind: kind}}
			in := DecideInput{Log: log}
			if read {
				log.Readings = []gearing.WearReading{ruled("c", 1500, "2026-01-01", 96, 1220)}
				in.Log, in.Chains = log, StatesOf(analysed(t, log), 1600)
			}
			d := decisionOn(t, mustDecide(t, in), "c")
			if d.Verdict != Replace || !d.Danger || !d.Watch.EveryRide || d.HasElongation != read || !strings.Contains(strings.Join(d.For, " "), "breaks there, without warning") {
				t.Errorf("%s, read %v: %+v", kind, read, d)
			}
			in.Log.Findings = append(in.Log.Findings, gearing.WearFinding{Part: "c", KM: 1610, Kind: gearing.FindNothing})
			if d = decisionOn(t, mustDecide(t, in), "c"); d.Verdict == Replace || d.Danger {
				t.Errorf("%s, read %v, mended: %s", kind, read, d.Verdict)
			}
		}
	}
}
