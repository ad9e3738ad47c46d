package wearlog

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// isWheel tells the kinds of parts that have teeth.
func isWheel(k gearing.PartKind) bool {
	switch k {
	case gearing.PartCassette, gearing.PartCog, gearing.PartRing, gearing.PartGuidePulley, gearing.PartTensionPulley:
		return true
	}
	return false
}

// shortChain is the count below which a chain draws a warning: 72 pitches are
// two of 270 mm and half a turn of 44 and 13 teeth (invented here).
const shortChain = 72

// widestStep between two cogs is believed; two that lie further apart draw a
// warning (invented here).
const widestStep = 8

// chainKeys lists the keys of a part that only a chain has.
func chainKeys() []string { return []string{"pitches", "roller_play_mm", "start_elongation_percent"} }

// wheelsOf is how many tooth counts a kind of part has.
func wheelsOf(k gearing.PartKind) (least, most int) {
	switch {
	case k == gearing.PartCassette:
		return 1, gearing.MaxCogs
	case k == gearing.PartCog || k == gearing.PartRing:
		return 1, 1
	case isWheel(k):
		return 0, 1
	}
	return 0, 0
}

// checkPart holds a part's values against its kind.
func (r *reader) checkPart(s *spot, p gearing.WearPart) {
	for _, f := range s.given {
		if p.Kind != gearing.PartChain && slices.Contains(chainKeys(), f.Key) {
			r.report(s, f.Key, fmt.Sprintf("belongs to a chain; the part is a %s", p.Kind))
		}
	}
	least, most := wheelsOf(p.Kind)
	switch {
	case len(p.Teeth) > 0 && most == 0:
		r.report(s, "teeth", fmt.Sprintf("belongs to a wheel; the part is a %s", p.Kind))
	case len(p.Teeth) > most:
		r.report(s, "teeth", fmt.Sprintf("%d counts; allowed: one, the part is a %s", len(p.Teeth), p.Kind))
	case len(p.Teeth) < least:
		r.report(s, "teeth", "is missing; allowed: "+find("part", "teeth").Allowed())
	}
	if p.RemovedKM >= 0 && p.RemovedKM < p.FittedKM {
		r.report(s, "removed_at", "is less than the distance it was fitted at; allowed: that distance or more")
	}
	if p.Kind == gearing.PartCassette && len(p.Teeth) == 2 && p.Teeth[1]-p.Teeth[0] > widestStep {
		r.warn(s, "teeth", fmt.Sprintf("two cogs, %d and %d: of a cassette every cog is wanted, such as %d-%d-%d; is it a range?", p.Teeth[0], p.Teeth[1], p.Teeth[0], p.Teeth[0]+2, p.Teeth[0]+4))
	}
	if p.Pitches > 0 && p.Pitches < shortChain {
		r.warn(s, "pitches", fmt.Sprintf("%d pitches is short for a bicycle; %d link pairs would be %d pitches; is it a slip?", p.Pitches, p.Pitches, 2*p.Pitches))
	}
	if p.Pitches%2 == 1 {
		r.warn(s, "pitches", fmt.Sprintf("%d pitches is odd: that wants an offset link; is it a slip?", p.Pitches))
	}
}

// chain looks the part up that a key names, which has to be a chain; nil when
// it is not.
func (r *reader) chain(s *spot, key, id string) *gearing.WearPart {
	p := r.lookUp(s, key, id, func(p *gearing.WearPart) bool { return p.Kind == gearing.PartChain })
	if p != nil && p.Kind != gearing.PartChain {
		r.report(s, key, fmt.Sprintf("%q is a %s; allowed: the id of a chain", build.Shorten(id), p.Kind))
		return nil
	}
	return p
}

// mostNamed is how many ids a message names (invented here).
const mostNamed = 20

// lookUp finds the part that a key names; nil, and a problem noted that names
// the parts that fit, when there is none.
func (r *reader) lookUp(s *spot, key, id string, fits func(*gearing.WearPart) bool) *gearing.WearPart {
	p, ok := r.parts[id]
	if ok {
		return p
	}
	var ids []string
	for _, known := range slices.Sorted(maps.Keys(r.parts)) {
		if fits(r.parts[known]) && len(ids) < mostNamed {
			ids = append(ids, known)
		}
	}
	allowed := strings.Join(ids, ", ")
	if len(ids) == 0 {
		allowed = "the id of a [[part]]; the log has none that fits"
	}
	r.report(s, key, fmt.Sprintf("%q is no part of this log%s; allowed: %s", build.Shorten(id), build.DidYouMean(id, ids), allowed))
	return nil
}

// checkFinding holds a finding against the part it was made on.
func (r *reader) checkFinding(s *spot, f gearing.WearFinding) {
	p := r.lookUp(s, "part", f.Part, func(*gearing.WearPart) bool { return true })
	if p == nil {
		return
	}
	onTeeth := f.Kind == gearing.FindTeeth || f.Kind == gearing.FindSnag || f.Kind == gearing.FindLift
	switch {
	case onTeeth && !isWheel(p.Kind):
		r.report(s, "kind", fmt.Sprintf("%q is found on a wheel; %q is a %s", f.Kind, build.Shorten(f.Part), p.Kind))
	case (f.Kind == gearing.FindBroken || f.Kind == gearing.FindBent) && p.Kind != gearing.PartChain:
		r.report(s, "kind", fmt.Sprintf("%q is found on a chain; %q is a %s", f.Kind, build.Shorten(f.Part), p.Kind))
	case f.Kind == gearing.FindFrayed && p.Kind != gearing.PartCable:
		r.report(s, "kind", fmt.Sprintf("%q is found on a cable; %q is a %s", f.Kind, build.Shorten(f.Part), p.Kind))
	}
	r.checkDegree(s, f)
	r.checkCogs(s, f, p)
	r.checkTime(s, f.KM, p)
}

// degreesOf lists the degrees that a kind of finding has; of tooth shape one is
// needed.
func degreesOf(kind gearing.FindingKind) (degrees []string, needed bool) {
	switch kind {
	case gearing.FindTeeth:
		return []string{gearing.DegreeSymmetric, gearing.DegreePointed, gearing.DegreeHooked}, true
	case gearing.FindNothing:
		return nil, false
	}
	return []string{gearing.DegreeSlight, gearing.DegreeBad}, false
}

func (r *reader) checkDegree(s *spot, f gearing.WearFinding) {
	degrees, needed := degreesOf(f.Kind)
	allowed := strings.Join(degrees, ", ")
	switch {
	case f.Degree == "" && needed:
		r.report(s, "degree", "is missing; allowed: "+allowed)
	case f.Degree == "" || slices.Contains(degrees, f.Degree):
	case len(degrees) == 0:
		r.report(s, "degree", fmt.Sprintf("%q says nothing about what %s; allowed: none", f.Degree, f.Kind))
	default:
		r.report(s, "degree", fmt.Sprintf("%q is no degree of %q; allowed: %s", f.Degree, f.Kind, allowed))
	}
}

// checkCogs: cogs are those of a cassette, or those a chain was on.
func (r *reader) checkCogs(s *spot, f gearing.WearFinding, p *gearing.WearPart) {
	switch {
	case len(f.Cogs) == 0 || p.Kind == gearing.PartChain:
		return
	case p.Kind != gearing.PartCassette:
		r.report(s, "cogs", fmt.Sprintf("belong to a cassette or a chain; %q is a %s", build.Shorten(f.Part), p.Kind))
		return
	}
	for _, cog := range f.Cogs {
		if !slices.Contains(p.Teeth, cog) {
			r.report(s, "cogs", fmt.Sprintf("%d is no cog of %q; allowed: %s", cog, build.Shorten(f.Part), strings.Trim(fmt.Sprint(p.Teeth), "[]")))
			return
		}
	}
}

// checkTime warns of an entry from before a part was fitted or after it was
// taken off: the distance is then often the chain's and not the odometer's.
func (r *reader) checkTime(s *spot, km float64, p *gearing.WearPart) {
	const slack = 0.5 // km
	switch {
	case p.FittedKM >= 0 && km < p.FittedKM-slack:
		r.warn(s, "at", fmt.Sprintf("is before %q was fitted; is it counted from there and not on the odometer?", build.Shorten(p.ID)))
	case p.RemovedKM >= 0 && km > p.RemovedKM+slack:
		r.warn(s, "at", fmt.Sprintf("is after %q was taken off; is it a slip?", build.Shorten(p.ID)))
	}
}
