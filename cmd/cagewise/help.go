package main

import (
	"fmt"
	"io"
	"runtime/debug"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"cagewise/gearing/build"
)

func helpCommand() command {
	return command{
		name: "help", args: "[COMMAND | keys]", summary: "explain a command or the keys of a build file",
		examples: []example{
			{"help fit", "the flags of fit"},
			{"help keys", "the keys of a build file"},
		},
		define: func(*pflag.FlagSet) func(*call) (int, error) { return runHelp },
	}
}

func runHelp(c *call) (int, error) {
	if len(c.args) == 0 {
		writeOverview(c.out, c.width)
		return exitFine, nil
	}
	if c.args[0] == "keys" {
		writeKeys(c.out, c.width)
		return exitFine, nil
	}
	for _, cmd := range commands() {
		if cmd.name == c.args[0] {
			cmd.writeHelp(c.out, c.width)
			return exitFine, nil
		}
	}
	return 0, unknown("topic", c.args[0], append(names(), "keys"))
}

// quickQuestion is the example that the overview gives.
const quickQuestion = "fit --rings 46,30 --cogs 11-13-15-17-19-21-24-28-32-36 --chainstay 430 --capacity 37 --largest-cog 36"

func writeOverview(w io.Writer, width int) {
	fmt.Fprintln(w, wrap("cagewise computes wide-range derailleur drivetrains: gears, chain length, and whether the derailleur carries them.", width, ""))
	fmt.Fprintf(w, "\n%s\n\n", wrap("Use: cagewise COMMAND [BUILD FILE] [flags]", width, "  "))
	for _, c := range commands() {
		const indent = 13
		fmt.Fprintf(w, "  %-*s %s\n", indent-3, c.name, wrap(c.summary, width-indent, strings.Repeat(" ", indent)))
	}
	fmt.Fprintf(w, "\nA quick question needs no file:\n  %s\n", strings.Join(example{line: quickQuestion}.typed(width-2), "\n  "))
	fmt.Fprintln(w, "\n"+wrap("`cagewise help COMMAND` lists its flags, `cagewise help keys` the keys of a build file. Exit status: 0 fine, 1 the verdict is no yes: it cannot be told, does not work, or is dangerous to ride, 2 bad input or use.", width, ""))
}

func (c command) writeHelp(w io.Writer, width int) {
	fmt.Fprintf(w, "%s\n\n%s\n", wrap(strings.TrimSpace("Use: cagewise "+c.name+" "+c.args), width, "  "), wrap(c.summary+".", width, ""))
	if c.about != "" {
		fmt.Fprintf(w, "\n%s\n", wrap(c.about, width, ""))
	}
	writeExamples(w, width, c.examples)
	flags := pflag.NewFlagSet(c.name, pflag.ContinueOnError)
	flags.SortFlags = false
	c.define(flags)
	isBuild := map[string]bool{}
	for _, f := range build.Fields() {
		isBuild[f.Flag] = true
	}
	writeFlags(w, width, "Flags", flags, func(f *pflag.Flag) bool { return !isBuild[f.Name] })
	writeFlags(w, width, "Values of the build (they win over a file)", flags, func(f *pflag.Flag) bool { return isBuild[f.Name] })
}

func writeFlags(w io.Writer, width int, head string, flags *pflag.FlagSet, keep func(*pflag.Flag) bool) {
	indent, stacked := 29, width < narrow
	if stacked {
		indent = 6
	}
	first := true
	flags.VisitAll(func(f *pflag.Flag) {
		if !keep(f) {
			return
		}
		if first {
			fmt.Fprintf(w, "\n%s\n", wrap(head+":", width, ""))
			first = false
		}
		name := "--" + f.Name
		if f.Shorthand != "" {
			name = "-" + f.Shorthand + ", " + name
		}
		if stacked {
			name += "\n    "
		}
		fmt.Fprintf(w, "  %-*s  %s\n", indent-4, name, wrap(usage(f), width-indent, strings.Repeat(" ", indent)))
	})
}

// narrow is the width under which the words about a flag stand under it.
const narrow = 60

// usage adds the default of a flag that has one.
func usage(f *pflag.Flag) string {
	if f.DefValue == "" || f.DefValue == "0" || f.DefValue == "false" || f.DefValue == "[]" {
		return f.Usage
	}
	return f.Usage + "; default " + plainDefault(f.DefValue)
}

// plainDefault writes a list of numbers as one would type it: 130,220.
func plainDefault(s string) string {
	list, ok := strings.CutPrefix(s, "[")
	if !ok {
		return s
	}
	words := strings.Split(strings.TrimSuffix(list, "]"), ",")
	for i, w := range words {
		if x, err := strconv.ParseFloat(w, 64); err == nil {
			words[i] = strconv.FormatFloat(x, 'f', -1, 64)
		}
	}
	return strings.Join(words, ",")
}

// writeKeys is the reference of the build file.
func writeKeys(w io.Writer, width int) {
	fmt.Fprintln(w, wrap("Keys of a build file (TOML). Lengths are millimetres, or text with a unit: \"16.9 in\", \"43 cm\". Rings and cogs come in any order.", width, ""))
	section := ""
	for _, f := range build.Fields() {
		if f.Section != section {
			section = f.Section
			fmt.Fprintf(w, "\n[%s]\n", section)
		}
		text := f.Doc
		if f.Kind == build.Length || f.Kind == build.Number {
			text += ", " + f.Unit
		}
		text += fmt.Sprintf(". Allowed: %s. Without it: %s.", f.Allowed(), f.Default)
		if f.Flag != "" {
			text += " Flag: --" + f.Flag + "."
		}
		fmt.Fprintf(w, "  %s\n      %s\n", f.Key, wrap(text, width-6, "      "))
	}
}

func versionCommand() command {
	return command{
		name: "version", summary: "print the version",
		examples: []example{
			{"version", "which version this is"},
		},
		define: func(*pflag.FlagSet) func(*call) (int, error) { return runVersion },
	}
}

func runVersion(c *call) (int, error) {
	version := "(unknown)"
	if info, ok := debug.ReadBuildInfo(); ok {
		version = info.Main.Version
	}
	fmt.Fprintf(c.out, "cagewise %s\n", version)
	return exitFine, nil
}
