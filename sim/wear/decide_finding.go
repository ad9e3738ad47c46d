package wear

import (
	"fmt"

	"cagewise/gearing"
)

// grade is what a finding says about a part.
type grade int

const (
	gradeNone     grade = iota
	gradeGood           // speaks for the part
	gradeMild           // wear, but no reason to act
	gradeDoubtful       // reason to test
	gradeBad            // reason to replace
)

// gradeFinding weighs a finding on a part (common practice, no source).
// Teeth that skip under load, or that a new chain lifts off more than slightly,
// are worn out until something else is found to do it.
func gradeFinding(kind gearing.PartKind, f *gearing.WearFinding) grade {
	bad := f.Degree == gearing.DegreeBad
	switch f.Kind {
	case gearing.FindNothing:
		return gradeGood
	case gearing.FindTeeth:
		return gradeTeeth(kind, f.Degree)
	case gearing.FindFrayed, gearing.FindBroken, gearing.FindBent:
		return gradeBad
	case gearing.FindPlay:
		if kind == gearing.PartGuidePulley && f.Degree == gearing.DegreeSlight {
			return gradeMild // side float is made into it
		}
		return badOr(bad)
	case gearing.FindStiff:
		return badOr(bad && kind == gearing.PartCable)
	case gearing.FindSuck:
		return badOr(bad && kind == gearing.PartRing)
	case gearing.FindRough:
		return badOr(bad)
	case gearing.FindLift:
		return badOr(bad || toothed(kind) && f.Degree != gearing.DegreeSlight)
	case gearing.FindSkip:
		return badOr(f.Loaded && toothed(kind))
	}
	return gradeDoubtful
}

func badOr(bad bool) grade {
	if bad {
		return gradeBad
	}
	return gradeDoubtful
}

// toothed tells of the parts whose teeth carry the pull.
func toothed(kind gearing.PartKind) bool {
	return kind == gearing.PartRing || kind == gearing.PartCassette || kind == gearing.PartCog
}

func gradeTeeth(kind gearing.PartKind, shape string) grade {
	pulley := kind == gearing.PartGuidePulley || kind == gearing.PartTensionPulley
	switch {
	case shape == gearing.DegreeHooked:
		return gradeBad
	case shape == gearing.DegreeSymmetric:
		return gradeGood
	case shape == gearing.DegreePointed && !pulley:
		return gradeMild // still usable
	}
	return gradeDoubtful
}

// remark says what a finding is worth, for the reader.
func remark(kind gearing.PartKind, f *gearing.WearFinding) string {
	switch {
	case f.Kind == gearing.FindTeeth && f.Degree == gearing.DegreePointed && gradeTeeth(kind, f.Degree) == gradeMild:
		return ": pointed alike on both flanks is still usable (common practice)"
	case f.Kind == gearing.FindTeeth && f.Degree == gearing.DegreeSymmetric && kind != gearing.PartRing:
		return ": but teeth skip before hooks show"
	case f.Kind == gearing.FindPlay && kind == gearing.PartGuidePulley:
		return ": a guide pulley has side float by design"
	case f.Kind == gearing.FindSkip && f.Loaded && toothed(kind):
		return ": indexing, a stiff link or a badly closed pin can do it too"
	case f.Kind == gearing.FindBroken, f.Kind == gearing.FindBent:
		return ": a chain breaks there, without warning, where the pull is greatest (common practice)"
	case f.Kind == gearing.FindSnag:
		return ": a hook forms (one report)"
	}
	return ""
}

// counts tells whether a finding belongs to a part: not from before it was
// fitted, nor from after it was taken off.
func counts(p gearing.WearPart, f *gearing.WearFinding) bool {
	return !(p.FittedKM >= 0 && f.KM < p.FittedKM) && !(isOff(p) && f.KM > p.RemovedKM)
}

// evidence sums up the findings on one part.
type evidence struct {
	worst   grade
	cleared bool // a later finding speaks for the part
	any     bool
}

// skipping tells whether a part skips by its latest findings.
type skipping int

const (
	skipsNot skipping = iota
	skipsSome
	skipsLoaded
)

// after takes a finding in; only a good one later ends a skip, one under load a
// skip under load.
func (s skipping) after(f *gearing.WearFinding) skipping {
	switch {
	case f.Kind == gearing.FindNothing && (f.Loaded || s != skipsLoaded):
		return skipsNot
	case f.Kind != gearing.FindSkip:
		return s
	case f.Loaded:
		return skipsLoaded
	}
	return max(s, skipsSome)
}

// weigh puts the findings on a part into words and sums them up.
func (d *decider) weigh(p gearing.WearPart, out *Decision) evidence {
	var e evidence
	var against, without []*gearing.WearFinding // the part, and not
	for _, f := range d.findings[p.ID] {
		if !counts(p, f) {
			continue
		}
		e.any = true
		g := gradeFinding(p.Kind, f)
		if g >= gradeDoubtful {
			against = append(against, f)
		} else {
			without = append(without, f)
		}
		out.skips = out.skips.after(f)
		if g == gradeGood && out.skips == skipsLoaded {
			continue // a look does not undo a skip under load
		}
		e.take(g)
		out.serious = out.serious || g == gradeBad && endangers(p.Kind, f.Kind)
	}
	out.For = append(out.For, d.units.sayFindings(p.Kind, against)...)
	out.Against = append(out.Against, d.units.sayFindings(p.Kind, without)...)
	return e
}

// mostEvidence is how many findings of one tendency are put into words.
const mostEvidence = 6

// sayFindings names the latest findings and counts the others.
func (u lengths) sayFindings(kind gearing.PartKind, list []*gearing.WearFinding) []string {
	var words []string
	if earlier := len(list) - mostEvidence; earlier > 0 {
		words = append(words, fmt.Sprintf("%d earlier findings of this tendency", earlier))
		list = list[earlier:]
	}
	for _, f := range list {
		words = append(words, u.sayFinding(f)+remark(kind, f))
	}
	return words
}

func (e *evidence) take(g grade) {
	switch {
	case g >= gradeMild && g >= e.worst:
		e.worst, e.cleared = g, false
	case g == gradeGood && e.worst > gradeMild:
		e.cleared = true
	}
}

// endangers tells whether a bad finding may throw the rider: a chain that
// lifts or skips, or is about to break, as a cable can be.
func endangers(part gearing.PartKind, f gearing.FindingKind) bool {
	switch f {
	case gearing.FindFrayed, gearing.FindSuck, gearing.FindBroken, gearing.FindBent:
		return true
	case gearing.FindTeeth, gearing.FindLift, gearing.FindSkip:
		return toothed(part)
	}
	return false
}
