package main

import (
	"fmt"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// gearsKnown refuses readings in gears that the build does not have, each at its
// line of the readings file. The error is a build.Problems.
func gearsKnown(file string, list []build.Reading, b gearing.Build) error {
	if b.Rear.PulleyCentres == 0 {
		return nil // what is missing there comes first
	}
	var bad build.Problems
	for i, r := range list {
		if onBuild(b, r.GearID) || r.Stop != "" && r.GearID == (gearing.GearID{}) {
			continue
		}
		where := fmt.Sprintf("%s: reading %d: gear", file, i+1)
		if r.Line > 0 {
			where = fmt.Sprintf("%s:%d: reading %d: gear", file, r.Line, i+1)
		}
		text := fmt.Sprintf("%s is not on this bike; allowed: a ring of %s with a cog of %s", r.GearID, ringsLargeFirst(b.Rings), cogList(b.Cogs))
		if turned := (gearing.GearID{Ring: r.Cog, Cog: r.Ring}); onBuild(b, turned) {
			text = fmt.Sprintf("%s is not on this bike; ring and cog swapped? %s is", r.GearID, turned)
		}
		bad = append(bad, build.Problem{Where: where, Text: text})
	}
	if len(bad) > 0 {
		return bad
	}
	return nil
}
