package main

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/sim/wear"
)

// warnOdd lists the chains whose readings do not go together, and puts a note on
// each before all others.
func (r *plansReport) warnOdd(chains []wear.ChainWear) {
	r.Odd = []string{}
	var notes []string
	for _, c := range chains {
		if odd := slices.IndexFunc(c.Contradictions, isReal); odd >= 0 {
			r.Odd = append(r.Odd, c.ID)
			notes = append(notes, fmt.Sprintf("the readings of %s contradict each other; read it again before you go by these plans: %s", c.ID, c.Contradictions[odd].Words))
		}
	}
	r.Notes = append(notes, r.Notes...)
}

// isReal leaves out what roller play explains.
func isReal(c wear.Contradiction) bool { return !c.Compatible }

// warnPast lists the chains in use that are past the limit of common practice,
// where the odometer stands, and puts a caution about them before all others.
func (r *plansReport) warnPast(chains []wear.ChainWear, km float64, path string) {
	limit := wear.ReplaceAt(cogsOr11(r.Cogs))
	r.Past = []wear.InTurn{}
	states := wear.StatesOf(chains, km)
	for i, c := range chains {
		if e := states[i].Elongation; c.Part.RemovedKM < 0 && e >= limit {
			r.Past = append(r.Past, wear.InTurn{ID: c.ID, Elongation: e})
		}
	}
	if len(r.Past) == 0 {
		return
	}
	text := fmt.Sprintf("Past the limit of %s %%, at which common practice replaces a chain: %s. Replace it first, whatever the plan. ", num(float64(limit), 2), turnNames(r.Past))
	if slices.ContainsFunc(r.Past, func(t wear.InTurn) bool { return t.Elongation >= wear.LimitDrive }) {
		text += fmt.Sprintf("Do not ride on with one at %s %% or more. ", num(float64(wear.LimitDrive), 1))
	}
	r.Cautions = append([]string{text + fmt.Sprintf("`cagewise wear %s` gives the verdict.", path)}, r.Cautions...)
}

// warningWords close the headline.
func (r plansReport) warningWords() string {
	text := ""
	if len(r.Past) > 0 {
		text = fmt.Sprintf(" First replace %s: past the limit.", turnNames(r.Past))
	}
	if len(r.Odd) > 0 {
		text += fmt.Sprintf(" The readings of %s contradict each other, and the lives rest on them: see the notes.", strings.Join(r.Odd, ", "))
	}
	return text
}

// turnNames writes chains with what they read: c1 (1.62 %).
func turnNames(list []wear.InTurn) string {
	words := make([]string, len(list))
	for i, t := range list {
		words[i] = fmt.Sprintf("%s (%s %%)", t.ID, num(float64(t.Elongation), 2))
	}
	return strings.Join(words, ", ")
}

// togetherWords say that chains come within the band, where they do.
func togetherWords(s wear.Schedule) string {
	switch {
	case s.Chains < 2:
		return ""
	case !s.Together:
		return fmt.Sprintf("They do not come within %s %% of each other in these turns.", num(float64(s.Band), 2))
	case s.TogetherFrom == 0:
		return fmt.Sprintf("All within %s %% of each other from the start.", num(float64(s.Band), 2))
	}
	return fmt.Sprintf("All within %s %% of each other from turn %d on.", num(float64(s.Band), 2), s.TogetherFrom)
}

// leftOutWords name the chains that take no turn.
func leftOutWords(s wear.Schedule) string {
	if len(s.LeftOut) == 0 {
		return ""
	}
	return fmt.Sprintf("Left out, at the limit of %s %% or past it: %s. New chains may skip on cogs that ran with it: test them gently, off the road.", num(float64(s.Limit), 2), turnNames(s.LeftOut))
}
