package main

import (
	"fmt"
	"slices"

	"cagewise/gearing"
	"cagewise/sim/road"
	"cagewise/sim/wear"
)

// defaultWork is what stands in for rides.
const defaultWork = "work is taken to fall off on both sides of a cog a little to the small side of the middle (" + wear.Widely + ")"

// sayWarnings tells the warnings of the log, the command's argument.
func (use *cogUse) sayWarnings(c *call) {
	for _, w := range use.Warnings {
		fmt.Fprintf(c.err, "cagewise: warning: %s: %s\n", c.args[0], w)
	}
}

// match holds the cassette of the log against that of the build. Rides by a
// build that lacks cogs of the log's cannot tell their shares.
func (use *cogUse) match(log *gearing.WearLog, b gearing.Build, path string) {
	for i := range log.Parts {
		p := &log.Parts[i]
		switch {
		case p.Kind != gearing.PartCassette || p.RemovedKM >= 0:
		case len(p.Teeth) == 0:
			p.Teeth = b.Cogs
		case !slices.Equal(p.Teeth, b.Cogs):
			lacks := slices.ContainsFunc(p.Teeth, func(c gearing.Teeth) bool { return !slices.Contains(b.Cogs, c) })
			use.misfit = use.misfit || lacks
			use.warn("the cogs of %q are %s, those of %s %s: %s", p.ID, cogList(p.Teeth), path, cogList(b.Cogs), matchWords(lacks))
		}
	}
}

func matchWords(lacks bool) string {
	if lacks {
		return "the log's are judged, and rides by the build cannot tell their shares of the work; the default stands in"
	}
	return "only cogs of both count"
}

func (use *cogUse) warn(format string, args ...any) {
	use.Warnings = append(use.Warnings, fmt.Sprintf(format, args...))
}

// tinyPart is the part of a chain's distance below which rides say little of
// how the bike is ridden (invented here).
const tinyPart = 0.05

// warnTiny warns of rides that cover a tiny part of the chain's distance.
func (use *cogUse) warnTiny(log gearing.WearLog, chains []wear.ChainWear, km float64) {
	for _, p := range log.Parts {
		own := km - max(0, p.FittedKM)
		if i := slices.IndexFunc(chains, func(c wear.ChainWear) bool { return c.ID == p.ID && c.TakesTurns() }); i >= 0 {
			own = chains[i].OwnKM(km)
		}
		if p.Kind != gearing.PartChain || p.RemovedKM >= 0 || use.Default || use.km >= tinyPart*own {
			continue
		}
		use.warn("the rides cover %s of the %s that %s has run, %s %%: the shares of the cogs may be others over the whole", inUnit(use.km, log.Miles), inUnit(own, log.Miles), p.ID, num(100*use.km/own, 1))
	}
}

func (use cogUse) fromRides(u road.Usage, rides int, path string) cogUse {
	if use.misfit {
		use.From = "no ride that fits the log's cassette: " + defaultWork
		return use
	}
	sum := 0.0
	for _, cog := range u.All.Cogs {
		use.shares = append(use.shares, wear.CogUsage{Cog: cog.Cog, Share: cog.ToothShare})
		sum += float64(cog.ToothShare)
	}
	if sum == 0 {
		use.shares = nil
		use.From = "rides that show no work on any cog, so " + use.From
		return use
	}
	use.Default, use.Estimated, use.km = false, u.All.EstimatedShare, float64(u.All.Distance)/1000
	use.From = fmt.Sprintf("%s of %s with %s", plural(rides, "recorded ride"), inUnit(use.km, use.miles), path)
	if seen := use.km / (use.km + wear.DefaultUseKM); seen < 0.9 {
		use.From += fmt.Sprintf(", which counts %s %% beside the default", num(100*seen, 0))
	}
	return use
}
