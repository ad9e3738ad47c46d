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

// A chain that is broken and worn stays worn when the bad pitches are out: the
// evidence names its elongation, the cogs that a new one may skip on are named,
// and mending it alone does not change the verdict. Of one that is not worn,
// mending does.
func TestBrokenAndWornChain(t *testing.T) {
	for mm, worn := range map[gearing.MM]bool{1240: true, 1220: false} {
		log := gearing.WearLog{
			Parts:    []gearing.WearPart{part("c", gearing.PartChain, 30), part("k", gearing.PartCassette, 60, 11, 13, 15, 17, 19, 21, 24, 28)},
			Findings: []gearing.WearFinding{{Part: "c", KM: 1600, Kind: gearing.FindBroken}},
			Readings: []gearing.WearReading{ruled("c", 1600, "2026-01-01", 96, mm)},
		}
		d := decisionOn(t, mustDecide(t, DecideInput{Log: log, Chains: StatesOf(analysed(t, log), 1600)}), "c")
		evidence, against := strings.Join(d.For, " "), strings.Join(d.Against, " ")
		if d.Verdict != Replace || strings.Contains(evidence, "reads 1.71") != worn || strings.Contains(against, "reads 0.07") == worn {
			t.Errorf("%v mm: %s, for %q, against %q", mm, d.Verdict, evidence, against)
		}
		if strings.Contains(against, "likely to skip on 11, 13") != worn || strings.Contains(d.Changes, "worn too, a reading clearly under 0.75 %") != worn {
			t.Errorf("%v mm: against %q, changes %q", mm, against, d.Changes)
		}
	}
}

// What was mended stays mended when something else is found later that throws
// nobody.
func TestMendedChainIsNoDangerLater(t *testing.T) {
	find := func(km float64, kind gearing.FindingKind, degree string) gearing.WearFinding {
		return gearing.WearFinding{Part: "c", KM: km, Kind: kind, Degree: degree}
	}
	log := gearing.WearLog{Parts: []gearing.WearPart{part("c", gearing.PartChain, 30)}, Findings: []gearing.WearFinding{
		find(300, gearing.FindBroken, ""), find(310, gearing.FindNothing, ""), find(900, gearing.FindRough, gearing.DegreeBad),
	}}
	if d := decisionOn(t, mustDecide(t, DecideInput{Log: log}), "c"); d.Danger || d.Verdict == Replace {
		t.Errorf("mended, then rough: %s, danger %v", d.Verdict, d.Danger)
	}
	log.Findings = append(log.Findings, find(950, gearing.FindBent, ""))
	if d := decisionOn(t, mustDecide(t, DecideInput{Log: log}), "c"); !d.Danger || d.Verdict != Replace {
		t.Errorf("bent after it was mended: %s, danger %v", d.Verdict, d.Danger)
	}
}
