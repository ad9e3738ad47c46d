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
		about: fmt.Sprintf("Words only, at most %d columns. The chain is the one owned, or else the recommended one. Exit status 1 when the build does not work or no gear is left.", cardColumns),
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
	b := in.build.Build
	p := plan{in: in}
	t, _, err := newTable(b, gearing.TableOptions{})
	if err != nil {
		return 0, err
	}
	if err := p.judge(); err != nil {
		return 0, err
	}
	k, err := newKeepOut(b, t, p.fit, p.rig)
	if err != nil {
		return 0, err
	}
	if err := c.deliver(path, in.path, []byte(k.card(summarise(b), c.units, min(cardColumns, c.width)))); err != nil {
		return 0, err
	}
	if p.fit != nil && p.fit.Verdict.Fails() || len(k.Free) == 0 {
		return exitVerdict, nil
	}
	return exitFine, nil
}

// keepOut sorts the gears of a build by their use with one chain.
type keepOut struct {
	sim.Card
	// Basis is what it rests on, in words; Missing what is not known at all,
	// empty for nothing.
	Basis, Missing string
	// Pulley tells that the cage was looked at, not the chain alone.
	Pulley bool
}

// newKeepOut takes the simulation where there is one, else the ratings.
func newKeepOut(b gearing.Build, t gearing.Table, fit *fitReport, rig *sim.Rig) (keepOut, error) {
	if fit != nil && fit.Simulation != nil && fit.Simulation.Pitches > 0 {
		card, err := rig.Roadside(fit.Simulation.Pitches, 0)
		return keepOut{Card: card, Basis: fit.Simulation.Knowledge.String(), Pulley: true}, err
	}
	k := keepOut{Basis: "the makers' ratings alone", Missing: missingForCard(b, fit)}
	if fit != nil && fit.Owned != nil {
		k.Pitches = fit.Owned.Pitches
		k.Never = append(append(k.Never, fit.Owned.Locked...), fit.Owned.Overstretched...)
	} else if fit != nil {
		k.Pitches = fit.Lengths.Recommended
	}
	for _, g := range t.Gears {
		id := gearing.GearID{Ring: g.Ring, Cog: g.Cog}
		switch {
		case slices.Contains(k.Never, id):
		case g.Lost:
			k.Slack = append(k.Slack, id)
		default:
			k.Free = append(k.Free, id)
		}
	}
	return k, nil
}

// missingForCard names what the ratings alone leave open.
func missingForCard(b gearing.Build, fit *fitReport) string {
	var list []string
	if fit == nil {
		list = append(list, "the chainstay length, so no chain was judged")
	} else if fit.Simulation != nil {
		list = append(list, "a chain that closes any gear")
	}
	if b.Rear.RatedCapacity == 0 {
		list = append(list, "the rated capacity, so slack was not judged")
	}
	return strings.Join(list, "; ")
}

// Words for the uses of gears.
func (k keepOut) neverWords() string {
	if k.Pulley {
		return "too short there, or the pulley runs into the cog: it locks the pedals or tears the derailleur off"
	}
	return "too short there: it locks the pedals or tears the derailleur off"
}

const (
	doubtfulWords = "within the margins they may be as bad: leave them alone"
	slackWords    = "the chain hangs slack and may drop"
)

// uses are the kinds of gears that are named, the worst first.
func (k keepOut) uses() []keptOut {
	return []keptOut{
		{"NEVER", k.Never, k.neverWords()},
		{"DOUBTFUL", k.Doubtful, doubtfulWords},
		{"SLACK", k.Slack, slackWords},
	}
}

type keptOut struct {
	mark  string
	gears []gearing.GearID
	words string
}

// none tells that no gear has to be kept out of.
func (k keepOut) none() bool { return len(k.Never)+len(k.Doubtful)+len(k.Slack) == 0 }

// freeWords close the list.
func (k keepOut) freeWords() string {
	switch {
	case len(k.Free) == 0:
		return "No gear is left."
	case len(k.Never) > 0:
		return "Never ride it so, not even with a promise to keep out of them: one slip of the thumb is enough. `cagewise roadside` tells what gets you home."
	case k.none() && k.Missing != "":
		return "Nothing is known against a gear."
	case k.none():
		return "No gear is forbidden."
	}
	return fmt.Sprintf("The other %s may be ridden.", plural(len(k.Free), "gear"))
}

// write puts the list into a report.
func (k keepOut) write(p *page) {
	for _, u := range k.uses() {
		if len(u.gears) > 0 {
			p.item(u.mark, "%s: %s.", gearList(u.gears), u.words)
		}
	}
	p.para("%s%s Rests on %s.", k.freeWords(), k.missingWords(), k.Basis)
}

func (k keepOut) missingWords() string {
	if k.Missing == "" {
		return ""
	}
	return " Not known: " + k.Missing + "."
}

// card is the list for the stem.
func (k keepOut) card(s buildSummary, u gearing.Units, width int) string {
	var out strings.Builder
	line := func(text, indent string) {
		out.WriteString(indent + wrap(broken(text, width-len(indent)), width-len(indent), indent) + "\n")
	}
	line("KEEP OUT: "+s.heading(), "")
	if k.Pitches > 0 {
		line("Chain of "+u.Chain(gearing.Pitches(k.Pitches)), "")
	}
	for _, u := range k.uses() {
		if len(u.gears) == 0 {
			continue
		}
		line("", "")
		line(u.mark+": "+u.words, "")
		line(gearList(u.gears), "  ")
	}
	line("", "")
	line(k.freeWords()+k.missingWords(), "")
	line("Rests on "+k.Basis+". Try every gear by hand on a stand first.", "")
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
