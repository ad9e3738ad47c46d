package wear

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/gearing"
)

// sayPercent prints an elongation or a limit.
func sayPercent(p gearing.Percent) string {
	return strings.TrimSuffix(hundredths(float64(p)), "0") + " %"
}

// sayWithError prints an elongation with its error.
func sayWithError(p, e gearing.Percent) string {
	return fmt.Sprintf("%s +- %.2f %%", hundredths(float64(p)), float64(e))
}

// sayChance rounds a chance from 0 to 1 to whole percent, never to certainty.
func sayChance(c float64) string {
	switch {
	case c < 0.01:
		return "under 1 %"
	case c > 0.99:
		return "over 99 %"
	}
	return fmt.Sprintf("about %.0f %%", 100*c)
}

// sayCogs lists cogs, in rising order, each once.
func sayCogs(cogs []gearing.Teeth) string {
	list := slices.Clone(cogs)
	slices.Sort(list)
	list = slices.Compact(list)
	words := make([]string, len(list))
	for i, c := range list {
		words[i] = fmt.Sprintf("%d", c)
	}
	return strings.Join(words, ", ")
}

// sayFinding prints a finding with where it was made.
func (u lengths) sayFinding(f *gearing.WearFinding) string {
	var b strings.Builder
	fmt.Fprintf(&b, "at %.0f %s: %s", u.of(f.KM), u.name(), f.Kind)
	if f.Degree != "" {
		fmt.Fprintf(&b, ", %s", f.Degree)
	}
	if len(f.Cogs) > 0 {
		fmt.Fprintf(&b, ", on %s", sayCogs(f.Cogs))
	}
	if f.Loaded {
		b.WriteString(", under load")
	}
	return b.String()
}
