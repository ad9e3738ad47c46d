package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"cagewise/gearing/build"
	"cagewise/gearing/wearlog"
)

func completionCommand() command {
	return command{
		name: "completion", args: strings.Join(shellNames(), "|"), summary: "a script that lets your shell complete commands and flags",
		about: "Load it once: in bash `source <(cagewise completion bash)`; in zsh `cagewise completion zsh > _cagewise` in a directory of $fpath; in fish `cagewise completion fish | source`. It completes commands, their flags, the values of flags that take one of a few words, the charts, and files.",
		examples: []example{
			{"completion bash", "the script for bash"},
		},
		define: func(*pflag.FlagSet) func(*call) (int, error) { return runCompletion },
	}
}

// shells are the shells there is a script for.
var shells = []struct {
	name   string
	script func([]completed) string
}{{"bash", bashScript}, {"zsh", zshScript}, {"fish", fishScript}}

func shellNames() []string {
	var list []string
	for _, s := range shells {
		list = append(list, s.name)
	}
	return list
}

func runCompletion(c *call) (int, error) {
	if len(c.args) != 1 {
		return 0, errors.New("completion needs one of " + strings.Join(shellNames(), ", ") + ", such as `cagewise completion bash`")
	}
	for _, s := range shells {
		if s.name == c.args[0] {
			return exitFine, c.deliver("", "", []byte(s.script(completions())))
		}
	}
	return 0, unknown("shell", c.args[0], shellNames())
}

// completed is a command as a shell completes it.
type completed struct {
	name, summary string
	examples      []example
	flags         []completedFlag
	// first and second are the words that may stand after the command; what
	// is no such word is a file where files is set.
	first, second []string
	files         bool
}

// completedFlag is a flag as a shell completes it.
type completedFlag struct {
	name, short, doc string
	bare             bool     // takes no value of its own
	choices          []string // words it takes
	file             bool     // it takes a file
}

// completions is the command line as shells complete it, from the flag sets.
func completions() []completed {
	var list []completed
	for _, c := range commands() {
		done := completed{name: c.name, summary: c.summary, examples: c.examples, files: takesFiles(c)}
		done.first, done.second = argumentWords(c.name)
		c.flagSet().VisitAll(func(f *pflag.Flag) {
			done.flags = append(done.flags, completedFlag{
				name: f.Name, short: f.Shorthand, doc: f.Usage, bare: f.NoOptDefVal != "",
				choices: flagChoices(c.name, f.Name), file: slices.Contains(fileFlags, f.Name),
			})
		})
		list = append(list, done)
	}
	return list
}

// flagSet are the flags of a command, with those that every command has.
func (c command) flagSet() *pflag.FlagSet {
	flags := pflag.NewFlagSet(c.name, pflag.ContinueOnError)
	flags.SortFlags = false
	flags.BoolP("help", "h", false, "show this help")
	c.define(flags)
	return flags
}

// fileFlags are the flags that take a file.
var fileFlags = []string{"also", "build", "log", "output", "ride", "save"}

// takesFiles goes by the usage line: files stand there in capitals.
func takesFiles(c command) bool {
	return slices.ContainsFunc([]string{"FILE", "BUILD", "LOG"}, func(word string) bool { return strings.Contains(c.args, word) })
}

// argumentWords are the words that may stand first and second after a command.
func argumentWords(command string) (first, second []string) {
	switch command {
	case "help":
		return append(names(), "keys"), nil
	case "chart":
		return chartNames(), nil
	case "completion":
		return shellNames(), nil
	case "schema":
		return schemaNames(), nil
	case "log":
		return nil, logEntries()
	}
	return nil, nil
}

// flagChoices are the words that a flag takes; nil when it takes others.
func flagChoices(command, flag string) []string {
	switch {
	case command == "log":
		return logChoices(flag)
	case flag == "format" && command == "chart":
		return pictureFormats
	case flag == "format" && command == "report":
		return documentFormats
	case flag == "format":
		return tableFormats
	case flag == "kind" && command == "chart":
		return chartNames()
	case flag == "color":
		return colourWords
	case flag == "units":
		return unitNames
	case flag == "pictures":
		return pictureFormats
	case flag == "theme":
		return themes
	case flag == "figure":
		return figureNames()
	case flag == "rows":
		return wearRows
	}
	for _, f := range build.Fields() {
		if f.Flag == flag && f.Kind == build.Choice {
			return f.Choices
		}
	}
	return nil
}

// logChoices are the words of a flag that entries of a wear log share.
func logChoices(flag string) []string {
	var list []string
	for _, f := range wearlog.Fields() {
		if f.Flag != flag {
			continue
		}
		for _, word := range f.Choices {
			if !slices.Contains(list, word) {
				list = append(list, word)
			}
		}
	}
	return list
}

// shellQuote puts a word into single quotes, as bash and zsh read them.
func shellQuote(s string) string {
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}

func quoteAll(words []string) string {
	quoted := make([]string, len(words))
	for i, w := range words {
		quoted[i] = shellQuote(w)
	}
	return strings.Join(quoted, " ")
}

// scriptHead is the comment on top of a script.
func scriptHead(shell string, list []completed) string {
	return fmt.Sprintf("# Completion of cagewise for %s, made by `cagewise completion %s`. Uses:\n%s", shell, shell, scriptExamples(list))
}
