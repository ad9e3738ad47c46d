package main

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/gearing"
	"cagewise/sim/wear"
)

// dangerWords tell what not to do: a worn cog can be left alone, wholly where a
// new chain skips on it; the rest is under load all the time.
func (r wearReport) dangerWords() []string {
	var words, ids []string
	var cogs, banned []gearing.Teeth
	for _, d := range r.Decisions {
		if !slices.Contains(r.Dangerous, d.ID) {
			continue
		}
		switch worn := dangerousCogs(d); {
		case len(worn) == 0:
			ids = append(ids, d.ID)
		case d.SkipsNew:
			banned = append(banned, worn...)
		default:
			cogs = append(cogs, worn...)
		}
	}
	if len(ids) > 0 {
		words = append(words, fmt.Sprintf("Do not ride on with %s: %s can throw you.", strings.Join(ids, ", "), itOrThey(len(ids))))
	}
	words = append(words, cogWords("ride", banned)...)
	return append(words, cogWords("push hard", cogs)...)
}

// cogWords say what not to do on cogs.
func cogWords(what string, cogs []gearing.Teeth) []string {
	if len(cogs) == 0 {
		return nil
	}
	slices.Sort(cogs)
	cogs = slices.Compact(cogs)
	name := "cog"
	if len(cogs) > 1 {
		name = "cogs"
	}
	return []string{fmt.Sprintf("Do not %s on %s %s: %s can skip and throw you.", what, name, joinTeeth(cogs), itOrThey(len(cogs)))}
}

func itOrThey(n int) string {
	if n == 1 {
		return "it"
	}
	return "they"
}

// dangerousCogs are those that a finding shows to be worn out; none when the
// part is not to be ridden at all.
func dangerousCogs(d wear.Decision) []gearing.Teeth {
	if d.Kind == gearing.PartCog {
		return d.Part.Teeth
	}
	var list []gearing.Teeth
	for _, x := range d.Risk {
		if foundWorn(x) {
			list = append(list, x.Cog)
		}
	}
	if len(list) == len(d.Part.Teeth) {
		return nil // all of them: not to be ridden at all
	}
	return list
}

// foundWorn tells that a finding, not a figure, makes a cog's risk likely.
func foundWorn(x wear.CogRisk) bool { return x.Class == wear.RiskLikely && x.Override != "" }
