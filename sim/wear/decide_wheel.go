package wear

import (
	"cmp"
	"fmt"
	"slices"

	"cagewise/gearing"
)

// cassetteFindings are the findings on the cassette and on its cogs that are
// listed by themselves, by distance; those of such a cog name it.
func (d *decider) cassetteFindings() []*gearing.WearFinding {
	if d.cassette == nil {
		return nil
	}
	var list []*gearing.WearFinding
	for _, f := range d.findings[d.cassette.ID] {
		if counts(*d.cassette, f) {
			list = append(list, f)
		}
	}
	for _, p := range d.in.Log.Parts {
		if p.Kind != gearing.PartCog || len(p.Teeth) == 0 {
			continue
		}
		for _, f := range d.findings[p.ID] {
			if counts(p, f) && counts(*d.cassette, f) {
				named := *f
				named.Cogs = p.Teeth[:1]
				list = append(list, &named)
			}
		}
	}
	slices.SortStableFunc(list, func(a, b *gearing.WearFinding) int { return cmp.Compare(a.KM, b.KM) })
	return list
}

// wornCogs are the cogs that findings show to be worn out, and those in doubt:
// a hook, a new chain that lifts off, a skip under load.
func (d *decider) wornCogs() (worn, doubt []gearing.Teeth) {
	for _, c := range d.cassette.Teeth {
		switch d.gradeCog(c) {
		case gradeBad:
			worn = append(worn, c)
		case gradeDoubtful:
			doubt = append(doubt, c)
		}
	}
	return worn, doubt
}

// gradeCog is what the findings say of one cog.
func (d *decider) gradeCog(c gearing.Teeth) grade {
	b := d.bookOf(c)
	return max(b.skip, b.teeth, b.rest)
}

// decideCassette judges a cassette by its findings and by the chains it has run
// with.
func (d *decider) decideCassette(p gearing.WearPart, out *Decision) {
	e := d.weigh(p, out)
	if d.cassette == nil || p.ID != d.cassette.ID { // of another wheel, or taken off
		d.byFindings(e, out)
		out.tests.add(testLook, testNail)
		return
	}
	out.Risk, out.skips = d.risks, d.skipsOn(p.Teeth)
	d.sayHistory(out)
	worn, doubt := d.wornCogs()
	switch single := d.singles(worn); {
	case len(worn) > 0 && single:
		out.Verdict = Keep
		out.Against = append(out.Against, fmt.Sprintf("only %s worn out, and to be had singly", sayCogs(worn)))
		out.Changes = "hooks or skips on cogs that cannot be had singly"
	case len(worn) > 0:
		d.wornCassette(worn, out)
	case len(doubt) > 0:
		d.testCogs(doubt, out)
	default:
		out.serious = false
		d.byHistory(out)
	}
	if left := out.foundCogs(); out.Verdict == Keep && len(left) > 0 && !d.singles(left) {
		d.testCogs(left, out)
	}
	d.watchPair(out)
}

// testCogs asks for the tests of cogs.
func (d *decider) testCogs(cogs []gearing.Teeth, out *Decision) {
	out.Verdict = KeepAndTest
	out.Changes = "what the tests of " + sayCogs(cogs) + " show"
	out.tests.add(testLook, testNail, testIndex, testRhythm, testLay, testRoad)
}

func (d *decider) wornCassette(worn []gearing.Teeth, out *Decision) {
	out.Verdict, out.serious = Replace, true
	out.Changes = "a new chain that runs on " + sayCogs(worn) + " under load without skipping"
	out.tests.add(testNail, testIndex, testRoad)
	d.addUsedChain(out)
	if len(worn) < len(d.cassette.Teeth) {
		out.Against = append(out.Against, fmt.Sprintf("only %s worn out: single cogs can be bought for many cassettes (common practice): ask first", sayCogs(worn)))
	}
}

// singles tells whether every cog of a list can be had by itself.
func (d *decider) singles(cogs []gearing.Teeth) bool {
	for _, c := range cogs {
		if !slices.ContainsFunc(d.in.Log.Parts, func(p gearing.WearPart) bool {
			return p.Kind == gearing.PartCog && len(p.Teeth) > 0 && p.Teeth[0] == c && p.Source != gearing.SourceNone && !isOff(p)
		}) {
			return false
		}
	}
	return len(cogs) > 0
}

// sayHistory puts what the cassette has run with into words.
func (d *decider) sayHistory(out *Decision) {
	h := d.history
	if !h.known {
		return
	}
	text := fmt.Sprintf("has run with %s at %s", h.chain, sayWithError(h.elongation, h.sigma))
	if d.states[h.chain].Forecasted {
		text += " (a forecast)"
	}
	stale := d.stale(d.states[h.chain])
	if stale {
		text += fmt.Sprintf(" (read %s ago%s, and there is no forecast)", d.units.say(d.states[h.chain].Since), d.states[h.chain].ofItsOwn())
	}
	if h.part < 1 {
		text += fmt.Sprintf(", for %.0f %% of that chain's distance", 100*h.part)
	}
	if h.chains > 1 {
		text += fmt.Sprintf("; %d chains in all", h.chains)
	}
	if len(d.cogsAt(RiskTry)) == 0 {
		if !stale {
			text += ": a new chain should mesh"
		}
		out.Against = append(out.Against, text)
		return
	}
	text += "; risk that a new chain skips:"
	sep := ""
	for _, class := range []RiskClass{RiskLikely, RiskTry} {
		if list := d.cogsOf(class); len(list) > 0 {
			text += fmt.Sprintf("%s %s on %s", sep, class, sayCogs(list))
			sep = ";"
		}
	}
	out.For = append(out.For, text)
	if d.defaultUse {
		out.Against = append(out.Against, "which cogs did the work is not known: "+Widely)
	}
}

// untried tells that a new chain is on cogs that one taken off has worn so far
// that it is likely to skip; a clean run under load takes them off that list.
func (d *decider) untried() bool {
	h := d.history
	return h.known && h.off && d.chainWasNew(d.km) && len(d.cogsAt(RiskLikely)) > 0
}

// byHistory judges a cassette that nothing was seen on.
func (d *decider) byHistory(out *Decision) {
	h := d.history
	switch {
	case !h.known && len(out.For)+len(out.Against) == 0:
		out.Verdict = CannotTell
		out.Changes = "a look at its teeth, or a reading of the chain it has run with"
		out.tests.add(testLook, testNail, testLay, testRoad)
	case h.known && h.part == 1 && chancePast(d.states[h.chain], LimitCassette) > surelyGone:
		out.Verdict = Replace
		out.For = append(out.For, fmt.Sprintf("past %s: %s", sayPercent(LimitCassette), meaning(LimitCassette)))
		out.Against = append(out.Against, "only a new chain under load is sure")
		out.Changes = "a new chain that runs on every cog under load without skipping"
		out.tests.add(testLook, testNail, testRoad)
	case d.untried():
		likely := d.cogsAt(RiskLikely)
		out.Verdict = KeepAndTest
		out.For = append(out.For, fmt.Sprintf("the chain that is on is new, and nothing says yet that it runs under load on %s", sayCogs(likely)))
		out.Changes = "the new chain skipping on it, or running clean under load on " + sayCogs(likely)
		out.tests.add(testLook, testNail, testRoad)
	case h.known && d.stale(d.states[h.chain]):
		out.Verdict = KeepAndTest
		out.Changes = "a new reading of the chain it runs with"
		out.tests.add(testRead, testLook, testNail)
	case len(d.cogsAt(RiskTry)) > 0 && d.chainWanted:
		out.Verdict = KeepAndTest
		out.Changes = "a new chain that skips on it, or one that runs clean on every cog"
		out.tests.add(testLook, testNail, testLay, testRoad)
	default:
		out.Verdict = Keep
		out.Changes = "a new chain: then test it first"
		if len(d.cogsAt(RiskTry)) == 0 {
			out.Changes = "hooked teeth, or a skip under load"
		}
	}
}
