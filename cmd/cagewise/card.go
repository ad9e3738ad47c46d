package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/spf13/pflag"

	"cagewise/gearing"
	"cagewise/sim"
)

// cardColumns is the width of a card, for stem or phone.
const cardColumns = 40

func cardCommand() command {
	return command{
		name: "card", args: "[BUILD FILE] [flags]", summary: "the gears to keep out of, as a card for stem or phone",
		about: fmt.Sprintf("Words only, at most %d columns. The chain is the one owned, or else the length that `cagewise fit` names. In brackets stands the chance that the gear is as bad as said. Exit status 0 when the build works or likely works, 1 otherwise.", cardColumns),
		examples: []example{
			{"card tour.toml", "which gears to keep out of, in 40 columns"},
		},
		define: func(flags *pflag.FlagSet) func(*call) (int, error) {
			path := flags.StringP("output", "o", "", "write to this file, whole or not at all, instead of standard output")
			addRulerUnitsFlag(flags)
			buildFlags(flags)
			return func(c *call) (int, error) { return runCard(c, *path) }
		},
	}
}

func runCard(c *call, path string) (int, error) {
	if ext := strings.ToLower(filepath.Ext(path)); !special(path) && !slices.Contains([]string{"", ".md", ".txt"}, ext) {
		return 0, fmt.Errorf("--output: %s ends in none of .md, .txt; a card is text", path)
	}
	in, err := c.load()
	if err != nil {
		return 0, err
	}
	s, err := in.study()
	if err != nil {
		return 0, err
	}
	k := newStemCard(s)
	if err := c.deliver(path, in.path, []byte(k.text(summarise(s.Build), c.units, min(cardColumns, c.width)))); err != nil {
		return 0, err
	}
	return verdictStatus(s.Advice.Verdict), nil
}

// stemCard is what goes on the stem: the gears of a build by their use.
type stemCard struct {
	advice *sim.Advice
	sim.Card
	kept []keptOut
	// basis is what it rests on, in words; missing what is not known at all,
	// empty for nothing.
	basis, missing string
}

func newStemCard(s *sim.Study) stemCard {
	k := stemCard{advice: &s.Advice, Card: s.Advice.Card(), kept: keepOut(&s.Advice), basis: s.Advice.Knowledge.String(), missing: missingForCard(s)}
	if s.Rig == nil {
		k.basis = "the bare loop and the makers' ratings"
	}
	if s.Rated == nil {
		k.byRating(&s.Table)
	}
	return k
}

// byRating takes the gears that the rated capacity loses, where no chain is
// judged.
func (k *stemCard) byRating(t *gearing.Table) {
	for _, g := range t.Gears {
		id := gearing.GearID{Ring: g.Ring, Cog: g.Cog}
		if g.Lost {
			k.Slack = append(k.Slack, id)
		} else {
			k.Free = append(k.Free, id)
		}
	}
	if len(k.Slack) > 0 {
		k.kept = []keptOut{{mark: "SLACK", gears: k.Slack, words: "beyond the rated capacity: the chain may hang slack and drop"}}
	}
	k.basis = "the makers' ratings alone"
}

// missingForCard names what is left open where nothing is known of the cage.
func missingForCard(s *sim.Study) string {
	var list []string
	switch {
	case s.Rated == nil:
		list = append(list, "the chainstay length, so no chain was judged")
	case s.Rig == nil:
		list = append(list, "the cage, so no chance can be given")
	}
	if s.Rig == nil && s.Build.Rear.RatedCapacity == 0 {
		list = append(list, "the rated capacity, so slack was not judged")
	}
	return strings.Join(list, "; ")
}

// freeWords close the list.
func (k *stemCard) freeWords() string {
	switch {
	case len(k.Free) == 0:
		return "No gear is left."
	case len(k.Never) > 0:
		return "Never ride it so, not even with a promise to keep out of them: one slip of the thumb is enough. `cagewise roadside` tells what gets you home."
	case len(k.kept) == 0 && k.missing != "":
		return "Nothing is known against a gear."
	case len(k.kept) == 0:
		return "No gear is forbidden."
	}
	return fmt.Sprintf("The other %s may be ridden.", plural(len(k.Free), "gear"))
}

// write puts the list into a report.
func (k *stemCard) write(p *page) {
	writeKept(p, k.kept, k.advice)
	p.para("%s", sentences(k.freeWords(), k.missingWords(), "Rests on "+k.basis+"."))
}

func (k *stemCard) missingWords() string {
	if k.missing == "" {
		return ""
	}
	return "Not known: " + k.missing + "."
}

// text is the list for the stem.
func (k *stemCard) text(s buildSummary, u gearing.Units, width int) string {
	var out strings.Builder
	line := func(text, indent string) {
		text = strings.ReplaceAll(text, " %", "\x00%") // a figure and its unit stay together
		text = wrap(broken(text, width-len(indent)), width-len(indent), indent)
		out.WriteString(indent + strings.ReplaceAll(text, "\x00", " ") + "\n")
	}
	line("KEEP OUT: "+s.heading(), "")
	if k.advice.Length > 0 {
		line(lengthSentence(k.advice, u), "")
	}
	line(verdictWord(k.advice)+". "+verdictSentence(k.advice), "")
	for _, u := range k.kept {
		line("", "")
		line(u.mark+": "+u.words, "")
		line(u.list(k.advice), "  ")
	}
	line("", "")
	for _, words := range []string{doubtWords(k.advice), leftWords(k.advice)} {
		if words != "" {
			line(words, "")
		}
	}
	line(sentences(k.freeWords(), k.missingWords()), "")
	line("Rests on "+k.basis+". Try every gear by hand on a stand first.", "")
	return out.String()
}

// broken cuts words that no line has room for.
func broken(text string, width int) string {
	var words []string
	for word := range strings.FieldsSeq(text) {
		for utf8.RuneCountInString(word) > width {
			runes := []rune(word)
			words = append(words, string(runes[:width]))
			word = string(runes[width:])
		}
		words = append(words, word)
	}
	return strings.Join(words, " ")
}
