package main

import (
	"fmt"
	"strings"

	"github.com/spf13/pflag"

	"cagewise/gearing/build"
)

func manCommand() command {
	return command{
		name: "man", summary: "the manual page: every command, flag and key",
		about: "It is made from the same words as this help. Read it with `cagewise man | man -l -`, or keep it: `cagewise man > cagewise.1`, in a directory man1 where your manual pages are.",
		examples: []example{
			{"man", "the page, for `man -l -` or a file"},
		},
		define: func(*pflag.FlagSet) func(*call) (int, error) { return runMan },
	}
}

func runMan(c *call) (int, error) {
	if len(c.args) > 0 {
		return 0, fmt.Errorf("%q: man takes no argument; allowed: `cagewise man`", c.args[0])
	}
	return exitFine, c.deliver("", "", []byte(manPage()))
}

// manDate is the day the words of the page that are no help were last changed.
const manDate = "2026-11-28"

// manPage is the page in the man macros of roff, from what --help says.
func manPage() string {
	var m roff
	m.line(`.TH CAGEWISE 1 "` + manDate + `" "cagewise" "User Commands"`)
	m.head("SH", "NAME")
	m.text(`cagewise - gears, chain length and derailleur of wide-range drivetrains`)
	m.head("SH", "SYNOPSIS")
	m.line(".B cagewise")
	m.line(`.I command`)
	m.text("[build file] [flags]")
	m.head("SH", "DESCRIPTION")
	m.text("cagewise computes wide-range derailleur drivetrains: gears, chain length, and whether the derailleur carries them. It says what it assumed, by how much it may be wrong, and which measurement would help most.")
	m.paragraph("Every command takes --help (-h), which says about it what stands here.")
	m.head("SH", "COMMANDS")
	for _, c := range commands() {
		m.command(c)
	}
	m.buildValues()
	m.keys()
	m.closing()
	return m.String()
}

// command writes a command with the flags of its own.
func (m *roff) command(c command) {
	m.head("SS", strings.TrimSpace("cagewise "+c.name+" "+c.args))
	m.text(c.summary + ".")
	if c.about != "" {
		m.paragraph(c.about)
	}
	shared, takesBuild := buildFlagSet(), false
	c.flagSet().VisitAll(func(f *pflag.Flag) {
		if of := shared.Lookup(f.Name); of != nil && of.Usage == f.Usage {
			takesBuild = true
			return
		}
		if f.Name != "help" { // which every command has
			m.item(flagWord(f), usage(f))
		}
	})
	if takesBuild {
		m.paragraph("It takes the values of the build as well, see VALUES OF THE BUILD.")
	}
}

// buildFlagSet are the flags that commands on a build share.
func buildFlagSet() *pflag.FlagSet {
	flags := pflag.NewFlagSet("build", pflag.ContinueOnError)
	flags.SortFlags = false
	buildFlags(flags)
	return flags
}

// flagWord is a flag as it is typed.
func flagWord(f *pflag.Flag) string {
	if f.Shorthand != "" {
		return "-" + f.Shorthand + ", --" + f.Name
	}
	return "--" + f.Name
}

// buildValues writes the flags that commands on a build share.
func (m *roff) buildValues() {
	m.head("SH", "VALUES OF THE BUILD")
	m.text("They win over a build file.")
	buildFlagSet().VisitAll(func(f *pflag.Flag) { m.item(flagWord(f), usage(f)) })
}

// keys writes the reference of the build file.
func (m *roff) keys() {
	m.head("SH", "KEYS OF A BUILD FILE")
	m.text(`A build file is TOML. Lengths are millimetres, or text with a unit: "16.9 in", "43 cm". Rings and cogs come in any order.`)
	for _, f := range build.Fields() {
		m.item(f.Path(), keyWords(f))
	}
}

// keyWords is what the page says about a key.
func keyWords(f *build.Field) string {
	text := f.Doc
	if f.Kind == build.Length || f.Kind == build.Number {
		text += ", " + f.Unit
	}
	return fmt.Sprintf("%s. Allowed: %s. Without it: %s.", text, f.Allowed(), f.Default)
}

// closing writes what concerns every command.
func (m *roff) closing() {
	m.head("SH", "EXIT STATUS")
	m.item("0", "fine")
	m.item("1", "the verdict is no yes: it cannot be told, does not work, or is dangerous to ride")
	m.item("2", "bad input or use")
	m.head("SH", "ENVIRONMENT")
	m.item("NO_COLOR", "when set and not empty, no colour on a terminal, unless --color says always")
	m.item("TERM", "when it is dumb, the same")
	m.item("COLUMNS", fmt.Sprintf("how wide text is on a terminal, %d to %d columns; otherwise the terminal says it; elsewhere text is %d columns wide", leastWidth, mostWidth, usualWidth))
	m.head("SH", "EXAMPLES")
	m.text("They run one after the other in the root of the project, where examples/ is; tour.toml is what the first one writes.")
	for _, c := range commands() {
		m.examples(c.examples)
	}
	m.head("SH", "CAUTIONS")
	for i, c := range cautions {
		if i > 0 {
			m.line(".PP")
		}
		m.text(c)
	}
}
