package main

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/gearing"
	"cagewise/sim"
)

// The words of the one judgement of a build, for every command that speaks of it.

// chanceWords write a chance of 0 to 1: about 87 %.
func chanceWords(chance float64) string {
	switch text := percentOf(chance); text[0] {
	case '<':
		return "under " + text[1:] + " %"
	case '>':
		return "over " + text[1:] + " %"
	default:
		return "about " + text + " %"
	}
}

// percentOf writes a chance of 0 to 1 in percent, for tables: 87, or <1 where a
// sample resolves no more.
func percentOf(chance float64) string {
	switch {
	case chance < sim.ResolvedChance:
		return "<1"
	case chance > 1-sim.ResolvedChance:
		return ">99"
	}
	return num(100*chance, 0)
}

// verdictWord is the verdict in capitals, with the gears that it leaves out.
func verdictWord(a *sim.Advice) string {
	word := strings.ToUpper(a.Verdict.String())
	if lost := a.Lost(); a.Verdict.Yes() && len(lost) > 0 {
		word += " without " + gearList(lost)
	}
	return word
}

// verdictSentence gives the chance behind the verdict.
func verdictSentence(a *sim.Advice) string {
	lost, all := len(a.Lost()), len(a.Gears)
	switch {
	case all == 0:
		return "Without the chainstay length no chain can be judged."
	case !a.Judged:
		return "No chance can be given, as nothing is known of the cage."
	case lost == 0:
		return fmt.Sprintf("The chance is %s that %s.", chanceWords(a.AllGears), allRun(all))
	case lost == all:
		return fmt.Sprintf("No gear is left of %d.", all)
	}
	s := ""
	if !a.Verdict.Yes() {
		s = fmt.Sprintf("%d of %d gears %s lost: %s. ", lost, all, isOrAre(lost), gearList(a.Lost()))
	}
	s += fmt.Sprintf("The chance is %s that the other %s", chanceWords(a.Chance), gearsRun(all-lost))
	if a.Chance >= sim.ResolvedChance {
		s += fmt.Sprintf(", %s that all %d do", chanceWords(a.AllGears), all)
	}
	return s + "."
}

func allRun(n int) string {
	switch n {
	case 1:
		return "the one gear runs"
	case 2:
		return "both gears run"
	}
	return fmt.Sprintf("all %d gears run", n)
}

func gearsRun(n int) string {
	if n == 1 {
		return "gear runs"
	}
	return fmt.Sprintf("%d gears run", n)
}

func isOrAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

// lengthSentence says what to do with the chain.
func lengthSentence(a *sim.Advice, u gearing.Units) string {
	if a.Length == 0 {
		return "No chain length can be named."
	}
	length := u.Chain(gearing.Pitches(a.Length))
	switch a.Order {
	case sim.Cut:
		return fmt.Sprintf("Cut the chain to %s.", length)
	case sim.Hang:
		if a.Verdict >= gearing.LikelyDoesNot {
			return fmt.Sprintf("Shorten no chain for it; to try it, hang one uncut, closed at %s.", length)
		}
		return fmt.Sprintf("Do not shorten a chain yet: hang it uncut, closed at %s, until more is known.", length)
	case sim.Stay:
		if tooShort(a) {
			return fmt.Sprintf("Your chain of %s stays only because no longer one is less dangerous.", length)
		}
		return fmt.Sprintf("Your chain of %s stays.", length)
	case sim.Replace:
		return replaceSentence(a, length)
	}
	return "No chain length can be named."
}

// replaceSentence says which chain takes the place of one that is too short.
func replaceSentence(a *sim.Advice, length string) string {
	is := "is too short"
	if !shortEnd(a) {
		is = fmt.Sprintf("may be too short, a chance of %s", chanceWords(a.Danger.Short))
	}
	if a.LengthDanger.Any >= mostDanger {
		return fmt.Sprintf("Your chain of %d pitches %s. No other is without danger; the least dangerous is one of %s.", a.Pitches, is, length)
	}
	return fmt.Sprintf("Your chain of %d pitches %s: put on one of %s.", a.Pitches, is, length)
}

// mostDanger is the chance of danger from which no chain is told to be put on: the
// verdict on it would be no yes.
const mostDanger = 0.25

// tooShort tells that the chain judged is too short in some gear, or likely
// enough to be.
func tooShort(a *sim.Advice) bool { return shortEnd(a) || a.Danger.Short >= sim.StayChance }

func shortEnd(a *sim.Advice) bool { return len(a.In(sim.Locks))+len(a.In(sim.TooShort)) > 0 }

// dangerSentence gives the chance of danger by cause: with the chain judged, and
// with the one that is to take its place.
func dangerSentence(a *sim.Advice) string {
	switch {
	case !a.Judged:
		return ""
	case a.Order != sim.Replace:
		return fmt.Sprintf("The chance that some gear is dangerous is %s.", causes(a.Danger))
	}
	s := fmt.Sprintf("The chance that some gear is dangerous is then %s", causes(a.LengthDanger))
	if shortEnd(a) {
		return s + "."
	}
	return fmt.Sprintf("%s; with yours it is %s.", s, causes(a.Danger))
}

// causes writes a chance of danger with what it comes from.
func causes(d sim.Danger) string {
	s := chanceWords(d.Any)
	if d.Any < sim.ResolvedChance {
		return s
	}
	part := func(chance float64) string { return strings.TrimPrefix(chanceWords(chance), "about ") }
	return fmt.Sprintf("%s (too short %s, guide pulley in the cog %s)", s, part(d.Short), part(d.Hits))
}

// dangerLine warns of the gears that are dangerous with the chain judged; "" for
// none.
func dangerLine(a *sim.Advice) string {
	var parts []string
	for _, s := range [...]struct {
		state sim.State
		words string
	}{{sim.Locks, "locks the pedals"}, {sim.TooShort, "is too short"}, {sim.Hits, "brings the guide pulley into the cog"}} {
		if gears := a.In(s.state); len(gears) > 0 {
			parts = append(parts, s.words+" in "+gearList(gears))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	whose := "A chain"
	if a.Owned {
		whose = "Your chain"
	}
	return fmt.Sprintf("%s of %d pitches %s. Never ride it so, not even with a promise to keep out of %s.",
		whose, a.Pitches, strings.Join(parts, "; it "), thatGear(len(a.Dangerous())))
}

func thatGear(n int) string {
	if n == 1 {
		return "that gear"
	}
	return "those gears"
}

// ownedDanger is the warning of a chain at hand that is dangerous; "" where
// there is nothing to warn of.
func ownedDanger(a *sim.Advice) string {
	if !a.Owned {
		return ""
	}
	return dangerLine(a)
}

// stateWords are the state of a gear, and whether that is in doubt.
func stateWords(g *sim.GearAdvice) string {
	s := g.State.String()
	if g.Doubt {
		s += ", doubtful"
	}
	return s
}

// adviceWords are the verdict's chance, what to do with the chain and the danger
// left, in this order; a danger that is certain comes first.
func adviceWords(a *sim.Advice, u gearing.Units) string {
	return sentences(dangerLine(a), verdictSentence(a), lengthSentence(a, u), dangerSentence(a))
}

// sentences joins those that are not empty.
func sentences(list ...string) string {
	return strings.Join(slices.DeleteFunc(list, func(s string) bool { return s == "" }), " ")
}

// lostBy says what marks the gears of a study's table as lost.
func lostBy(s *sim.Study) string {
	switch {
	case s.LostBy == sim.LostByCage:
		return fmt.Sprintf("the simulated cage with %d pitches", s.Advice.Pitches)
	case len(s.Advice.In(sim.Clear)) < len(s.Advice.Gears): // over the bare loop
		return "the rated capacity or the chain"
	}
	return "the rated capacity"
}
