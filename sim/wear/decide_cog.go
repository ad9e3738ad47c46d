package wear

import (
	"slices"

	"cagewise/gearing"
)

// decideCog judges a cog that can be had by itself.
func (d *decider) decideCog(p gearing.WearPart, out *Decision) {
	e := d.weigh(p, out)
	if d.cassette == nil || len(p.Teeth) == 0 || !slices.Contains(d.cassette.Teeth, p.Teeth[0]) {
		d.byFindings(e, out)
		out.tests.add(testLook, testNail)
		return
	}
	cog := p.Teeth[0]
	for _, r := range d.risks {
		if r.Cog == cog {
			out.Risk = []CogRisk{r}
		}
	}
	out.skips = d.skipsOn(p.Teeth[:1])
	d.sayOn(cog, out)
	d.cogVerdict(cog, out)
	d.watchPair(out)
}

// sayOn tells what was seen on the cog as a part of the cassette.
func (d *decider) sayOn(cog gearing.Teeth, out *Decision) {
	var against, without []*gearing.WearFinding
	for _, f := range d.findings[d.cassette.ID] {
		switch {
		case !counts(*d.cassette, f) || !concerns(f, cog):
		case gradeFinding(gearing.PartCassette, f) >= gradeDoubtful:
			against = append(against, f)
		default:
			without = append(without, f)
		}
	}
	out.For = append(out.For, d.units.sayFindings(gearing.PartCassette, against)...)
	out.Against = append(out.Against, d.units.sayFindings(gearing.PartCassette, without)...)
}

func (d *decider) cogVerdict(cog gearing.Teeth, out *Decision) {
	risky := len(out.Risk) > 0 && out.Risk[0].Class != RiskLow
	switch g := d.gradeCog(cog); {
	case g == gradeBad:
		out.Verdict, out.serious = Replace, true
		out.Changes = "a new chain that runs on it under load without skipping"
		out.tests.add(testNail, testIndex, testRoad)
		d.addUsedChain(out)
	case g == gradeDoubtful, risky && d.chainWanted, len(out.foundCogs()) > 0, len(out.likelyCogs()) > 0 && d.untried():
		out.Verdict = KeepAndTest
		out.Changes = "what the tests show"
		out.tests.add(testLook, testNail, testIndex, testLay, testRoad)
	case g == gradeNone && len(out.Risk) == 0:
		out.Verdict = CannotTell
		out.Changes = "a look at its teeth, or a reading of the chain it has run with"
		out.tests.add(testLook, testNail)
	default:
		out.Verdict = Keep
		out.Changes = "hooked teeth, or a skip under load"
	}
	if risky {
		out.For = append(out.For, "risk with a new chain "+out.Risk[0].say())
	}
}

// watchPair lets a cassette or cog stay as long as its chain may.
func (d *decider) watchPair(out *Decision) {
	if d.chain == nil {
		return
	}
	if s := d.states[d.chain.ID]; s.HasReading {
		out.Watch = d.watchChain(s, LimitCassette, out.Verdict != Keep)
	}
}
