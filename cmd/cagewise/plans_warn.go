package main

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/gearing"
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

// chainDue is a chain whose verdict is not to keep it.
type chainDue struct {
	ID         string          `json:"chain"`
	Elongation gearing.Percent `json:"elongation_percent"`
	Error      gearing.Percent `json:"standard_error_percent"`
	Read       bool            `json:"has_elongation"`
	// Past is the chance that it is past the limit, 0 to 1.
	Past float64 `json:"chance_past_limit"`
}

// verdictOn is what `cagewise wear` says of a part.
func (r *plansReport) verdictOn(id string) wear.Decision {
	for _, d := range r.decisions {
		if d.ID == id {
			return d
		}
	}
	return wear.Decision{}
}

// warnPast lists the chains in use that are due, or to be tested, by the same
// verdicts as those of `cagewise wear`, and puts a caution about the due ones
// before all others.
func (r *plansReport) warnPast(path string) {
	r.Past, r.Test = []chainDue{}, []chainDue{}
	danger := false
	for _, d := range r.decisions {
		if d.Off || d.Kind != gearing.PartChain {
			continue
		}
		due := chainDue{ID: d.ID, Read: d.HasElongation, Elongation: d.Elongation, Error: d.Error, Past: d.Past}
		switch d.Verdict {
		case wear.Replace:
			r.Past, danger = append(r.Past, due), danger || d.Danger
		case wear.KeepAndTest:
			r.Test = append(r.Test, due)
		}
	}
	if len(r.Past) == 0 {
		return
	}
	limit := wear.ReplaceAt(cogsOr11(r.Cogs))
	text := fmt.Sprintf("Due, by the limit of %s %% at which common practice replaces a chain or by what was found: %s. Replace it first, whatever the plan. ", num(float64(limit), 2), dueNames(r.Past))
	if danger {
		text += fmt.Sprintf("Do not ride on with one that is broken or bent, skips under load, or is at %s %% or more. ", num(float64(wear.LimitDrive), 1))
	}
	r.Cautions = append([]string{text + fmt.Sprintf("`cagewise wear %s` gives the verdict and its reasons.", path)}, r.Cautions...)
}

// warningWords close the headline.
func (r plansReport) warningWords() string {
	text := ""
	if len(r.Past) > 0 {
		text = fmt.Sprintf(" First replace %s, as `cagewise wear` says.", dueNames(r.Past))
	}
	if len(r.Test) > 0 {
		text += fmt.Sprintf(" Keep and test %s, as `cagewise wear` says.", dueNames(r.Test))
	}
	if len(r.Odd) > 0 {
		text += fmt.Sprintf(" The readings of %s contradict each other, and the lives rest on them: see the notes.", strings.Join(r.Odd, ", "))
	}
	return text
}

// dueNames writes chains with what they read: c1 (1.62 +- 0.08 %).
func dueNames(list []chainDue) string {
	words := make([]string, len(list))
	for i, t := range list {
		words[i] = fmt.Sprintf("%s (%s)", t.ID, wornWords(t.Elongation, t.Error, t.Read))
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

// unsaidError is the standard error from which a figure says nothing: limits lie
// closer.
const unsaidError gearing.Percent = 1

// wornWords write an elongation as far as it is known.
func wornWords(e, err gearing.Percent, read bool) string {
	switch {
	case !read:
		return "never read"
	case err >= unsaidError:
		return "no figure"
	}
	return withError(e, err)
}

// leftOutWords name the chains that take no turn, and those of them that a new
// reading may bring back.
func (r plansReport) leftOutWords() string {
	s := r.Rotation
	if len(s.LeftOut) == 0 {
		return ""
	}
	var out []chainDue
	var unsure []string
	for _, t := range s.LeftOut {
		d := r.verdictOn(t.ID)
		out = append(out, chainDue{ID: t.ID, Elongation: t.Elongation, Error: d.Error, Read: d.HasElongation})
		if d.Verdict != wear.Replace {
			unsure = append(unsure, t.ID)
		}
	}
	text := fmt.Sprintf("Left out, at the limit of %s %% or past it: %s. New chains may skip on cogs that ran with it: test them gently, off the road.", num(float64(s.Limit), 2), dueNames(out))
	if len(unsure) > 0 {
		text += fmt.Sprintf(" That is not sure of %s: a better reading may bring it back.", strings.Join(unsure, ", "))
	}
	return text
}
