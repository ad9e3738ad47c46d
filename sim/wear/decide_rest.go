package wear

import (
	"fmt"

	"cagewise/gearing"
)

// decide gives the verdict on one part.
func (d *decider) decide(p gearing.WearPart) Decision {
	out := Decision{Part: p, ID: p.ID, Kind: p.Kind, Off: isOff(p), Source: p.Source, For: []string{}, Against: []string{}}
	if out.HasPrice = p.Price >= 0; out.HasPrice {
		out.Price = p.Price
	}
	switch p.Kind {
	case gearing.PartChain:
		d.decideChain(p, &out)
		if !out.Off && (out.Verdict == Replace || out.Verdict == KeepAndTest) {
			d.chainWanted = true
		}
	case gearing.PartCassette:
		d.decideCassette(p, &out)
	case gearing.PartCog:
		d.decideCog(p, &out)
	default:
		d.byFindings(d.weigh(p, &out), &out)
		d.addRest(p.Kind, &out)
	}
	d.endanger(&out)
	d.notToBeHad(&out)
	out.Tests = out.tests.words()
	return out
}

// byFindings judges a part by what was seen on it alone.
func (d *decider) byFindings(e evidence, out *Decision) {
	switch {
	case e.worst == gradeBad && !e.cleared:
		out.Verdict = Replace
		out.Changes = "a second look that finds it sound"
	case e.worst == gradeBad:
		out.Verdict = KeepAndTest
		out.Changes = "a third look: the findings contradict each other"
	case e.worst == gradeDoubtful && !e.cleared:
		out.Verdict = KeepAndTest
		out.Changes = "what the tests show"
	case e.any:
		out.Verdict = Keep
		out.Changes = "the next look"
	default:
		out.Verdict = CannotTell
		out.Changes = "a look at it: nothing is written down"
	}
}

// addRest adds tests and the interval to look at parts that no chain reading
// tells of.
func (d *decider) addRest(kind gearing.PartKind, out *Decision) {
	if out.Verdict != Keep {
		out.tests.add(testsOf(kind)...)
	}
	if kind == gearing.PartRing && out.Verdict != Replace {
		out.Against = append(out.Against, "a ring outlasts about 2 to 3 cassettes (common practice, no source)")
	}
	if kind == gearing.PartRing && out.Verdict == Replace {
		out.Against = append(out.Against, turnRing+" (common practice)")
		d.addUsedChain(out)
	}
	look := lookDefault(d.in.Log.Motor)
	if out.Verdict != Keep {
		look /= 2
	}
	out.Watch = &Watch{LookEvery: look, Why: fmt.Sprintf("look every %s (%s): nothing measures its rate", d.units.say(look), Widely)}
}

func testsOf(kind gearing.PartKind) []testKind {
	switch kind {
	case gearing.PartRing:
		return []testKind{testLook, testNail, testLay}
	case gearing.PartCable:
		return []testKind{testCable}
	case gearing.PartGuidePulley, gearing.PartTensionPulley:
		return []testKind{testLook, testHand}
	}
	return []testKind{testHand}
}
