package main

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/gearing"
	"cagewise/sim"
)

// keptOut are gears to keep out of, for one reason.
type keptOut struct {
	mark  string
	gears []gearing.GearID
	words string
	// chance of one of them that it is as bad as the words say.
	chance func(g *sim.GearAdvice) float64
}

// keepOut lists the gears to keep out of, the worst first. Every gear stands in
// one list.
func keepOut(a *sim.Advice) []keptOut {
	card := a.Card()
	in := func(s sim.State) func(*sim.GearAdvice) bool {
		return func(g *sim.GearAdvice) bool { return g.State == s }
	}
	tight := in(sim.Tight)
	hits := func(g *sim.GearAdvice) bool { return g.Danger.Hits > g.Danger.Short }
	short := func(g *sim.GearAdvice) bool { return !tight(g) && !hits(g) }
	danger := func(g *sim.GearAdvice) float64 { return g.Danger.Any }
	slack := func(g *sim.GearAdvice) float64 { return g.Slack }
	all := []keptOut{
		{"NEVER", those(a, card.Never, in(sim.Locks)), "the chain does not go round: it locks the pedals or tears the derailleur off", danger},
		{"NEVER", those(a, card.Never, in(sim.TooShort)), "the chain is too short: it can lock the pedals or tear the derailleur off", danger},
		{"NEVER", those(a, card.Never, in(sim.Hits)), "the guide pulley hits the cog: it can tear the derailleur off", danger},
		{"RISKY", those(a, card.Doubtful, tight), "tight, less than a link pair in hand, and perhaps dangerous: keep out", danger},
		{"RISKY", those(a, card.Doubtful, short), "the chain may be too short: keep out", danger},
		{"RISKY", those(a, card.Doubtful, func(g *sim.GearAdvice) bool { return !tight(g) && hits(g) }), "the guide pulley may hit the cog: keep out", danger},
		{"TIGHT", card.Tight, "less than a link pair in hand: it turns, but keep out", danger},
		{"SLACK", card.Slack, "the chain hangs slack, or may: noisy, and it may drop", slack},
	}
	return slices.DeleteFunc(all, func(k keptOut) bool { return len(k.gears) == 0 })
}

// those keeps the gears that are wanted.
func those(a *sim.Advice, gears []gearing.GearID, wanted func(*sim.GearAdvice) bool) []gearing.GearID {
	var list []gearing.GearID
	for i := range a.Gears {
		if g := &a.Gears[i]; slices.Contains(gears, g.GearID) && wanted(g) {
			list = append(list, g.GearID)
		}
	}
	return list
}

// list writes the gears with their chances: 30x11 (31 %).
func (k keptOut) list(a *sim.Advice) string {
	if !a.Judged || k.chance == nil {
		return gearList(k.gears)
	}
	var words []string
	for i := range a.Gears {
		if g := &a.Gears[i]; slices.Contains(k.gears, g.GearID) {
			words = append(words, fmt.Sprintf("%s (%s %%)", g.GearID, percentOf(k.chance(g))))
		}
	}
	return strings.Join(words, ", ")
}

// doubtWords name the gears in doubt; "" for none.
func doubtWords(a *sim.Advice) string {
	gears := a.Doubtful()
	if len(gears) == 0 {
		return ""
	}
	return fmt.Sprintf("In doubt: %s. What is said of %s may be wrong, with a chance of %s or more.",
		gearList(gears), thatGear(len(gears)), num(100*sim.LostChance, 0)+" %")
}

// leftWords name the gears in which the chain leaves a pulley; "" for none.
func leftWords(a *sim.Advice) string {
	var parts []string
	for _, pulley := range []string{"guide pulley", "tension pulley"} {
		var gears []gearing.GearID
		for i := range a.Gears {
			if a.Gears[i].Left == pulley {
				gears = append(gears, a.Gears[i].GearID)
			}
		}
		if len(gears) > 0 {
			parts = append(parts, fmt.Sprintf("the %s in %s", pulley, gearList(gears)))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return "The chain leaves " + strings.Join(parts, " and ") + ": the path is not modelled beyond that."
}
