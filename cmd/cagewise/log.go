package main

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"cagewise/gearing/build"
	"cagewise/gearing/wearlog"
)

func logCommand() command {
	return command{
		name: "log", args: "LOG " + strings.Join(logEntries(), "|") + " [flags]", summary: "add a reading, finding, ride or part to a wear log",
		about: "`cagewise log LOG new` writes a commented log to start from and never touches a file that is there. The others add one entry at the end of LOG and print its lines; what the file holds stays as it is, byte for byte, and a failure leaves the old log. What was added by mistake is taken back in an editor: the reply names the lines. An empty file .NAME.lock stays beside the log: it keeps two writers from writing at once, and taking it away while one waits for it would let both write; delete it when nobody writes, if it bothers you. " +
			"Distances are in the log's distance_unit, dates like 2026-03-14, lengths in mm or with a unit: \"12 1/16 in\". A reading says its method: rule (--pitches --length), hung beside a new chain (--offset, --pitches without the chain's count), caliper (--inside-10 --inside-2), two-point or three-point gauge (--mark with --falls or --falls=false, or --scale), lift off the ring (--lift --ring). " +
			"A drop-in gauge is a bar with pins that dips into the chain where it has grown. A two-point gauge has two pins that push the rollers at both ends apart, so that the play of the rollers reads as wear; a three-point gauge pushes both ends the same way, and the play cancels. One that says only yes or no has a mark: 0.75 % with --falls when it drops in. " +
			"A rotation is logged by rides that name the chain: ride --distance 300 --on-chain chain-2. What a chain has run itself, and so its rate, its age and its life, comes from them; give every chain fitted_at and fitted_on.",
		examples: []example{
			{"log wear.toml new", "a commented wear log to start from"},
			{"log wear.toml part --id chain-1 --kind chain --fitted-at 0", "a part that was fitted new"},
			{"log wear.toml reading --part chain-1 --at 1230 --method rule --pitches 48 --length 612.9", "a ruler held along the chain"},
			{"log wear.toml ride --distance 300 --on-chain chain-1", "300 km that one of several chains in turn has run"},
		},
		define: func(flags *pflag.FlagSet) func(*call) (int, error) {
			logFlags(flags)
			flags.Bool(forceFlag, false, "add a reading that no chain has; it is left out of every figure")
			return runLog
		},
	}
}

// forceFlag adds a reading that no chain has.
const forceFlag = "force"

// logNew is the entry that begins a log.
const logNew = "new"

func logEntries() []string { return append(wearlog.Tables(), logNew) }

// logFlags offers every key of a wear log; entries share flags.
func logFlags(flags *pflag.FlagSet) {
	users := map[string][]string{}
	for _, f := range wearlog.Fields() {
		users[f.Flag] = append(users[f.Flag], entryOf(f))
	}
	for _, f := range wearlog.Fields() {
		if flags.Lookup(f.Flag) != nil {
			continue
		}
		doc := fmt.Sprintf("%s: %s", strings.Join(users[f.Flag], ", "), f.Doc)
		if f.Kind == wearlog.Length || f.Kind == wearlog.Number {
			doc += ", " + f.Unit
		}
		flags.String(f.Flag, "", doc)
		if f.Kind == wearlog.Switch {
			flags.Lookup(f.Flag).NoOptDefVal = "true"
		}
	}
}

// entryOf is the word after the log's name that a field goes with.
func entryOf(f *wearlog.Field) string {
	if f.Table == "" {
		return logNew
	}
	return f.Table
}

func runLog(c *call) (int, error) {
	if err := c.checkLogArgs(); err != nil {
		return 0, err
	}
	path, entry := c.args[0], c.args[1]
	if !slices.Contains(logEntries(), entry) {
		return 0, unknown("entry", entry, logEntries())
	}
	draft, err := c.draftEntry(entry)
	if err != nil {
		return 0, err
	}
	if entry == logNew {
		return c.newLog(path, draft)
	}
	return c.appendEntry(path, draft)
}

func (c *call) checkLogArgs() error {
	if len(c.args) == 2 {
		return nil
	}
	if name := c.switchGiven(); name != "" && len(c.args) > 2 {
		return strayValue(name, c.args)
	}
	return fmt.Errorf("log needs the log's name and one of %s, such as `cagewise log wear.toml ride --distance 42`", strings.Join(logEntries(), ", "))
}

// switchGiven is the first switch that was given, "" for none.
func (c *call) switchGiven() string {
	for _, f := range wearlog.Fields() {
		if f.Kind == wearlog.Switch && c.flags.Changed(f.Flag) {
			return f.Flag
		}
	}
	return ""
}

// strayValue tells how a switch is turned on or off, when a word was left over.
func strayValue(name string, args []string) error {
	for _, word := range args {
		switch strings.ToLower(word) {
		case "no", "false", "off", "n", "0":
			return fmt.Errorf("--%s: a switch takes its value with an equals sign; instead of --%s %s write --%s=false", name, name, word, name)
		case "yes", "true", "on", "y", "1":
			return fmt.Errorf("--%s: a switch takes its value with an equals sign; instead of --%s %s write --%s=true, or --%s alone", name, name, word, name, name)
		}
	}
	return fmt.Errorf("--%s: %d words beside the flags, where log takes two, the log's name and an entry; a switch takes its value with an equals sign: write --%s=true or --%s=false", name, len(args), name, name)
}

// draftEntry takes the flags of an entry and refuses those of others.
func (c *call) draftEntry(entry string) (*wearlog.Draft, error) {
	draft, err := wearlog.NewDraft(strings.TrimPrefix(entry, logNew))
	if err != nil {
		return nil, err
	}
	allowed := map[string]*wearlog.Field{}
	var names []string
	for _, f := range draft.Fields() {
		allowed[f.Flag] = f
		names = append(names, "--"+f.Flag)
	}
	var problems build.Problems
	c.flags.Visit(func(flag *pflag.Flag) {
		if flag.Name == forceFlag {
			return
		}
		problems = append(problems, setEntryFlag(draft, flag, allowed[flag.Name], entry, names)...)
	})
	if len(problems) > 0 {
		return nil, problems
	}
	return draft, nil
}

func setEntryFlag(draft *wearlog.Draft, flag *pflag.Flag, f *wearlog.Field, entry string, names []string) build.Problems {
	if f == nil {
		return build.Problems{{Where: "--" + flag.Name, Text: fmt.Sprintf("does not belong to %q; allowed: %s", entry, strings.Join(names, ", "))}}
	}
	var problems build.Problems
	errors.As(draft.SetFlag(f, flag.Value.String()), &problems)
	return problems
}

func (c *call) newLog(path string, draft *wearlog.Draft) (int, error) {
	if err := createFile(path, wearlog.Template(draft)); err != nil {
		return 0, err
	}
	fmt.Fprintf(c.out, "Wrote %s. Add your parts, such as: cagewise log %s part --id chain-1 --kind chain --fitted-at 0\n", path, path)
	return exitFine, nil
}

func (c *call) appendEntry(path string, draft *wearlog.Draft) (int, error) {
	added, err := draft.Append(path, c.flags.Changed(forceFlag))
	var bad *wearlog.BadEntry
	switch {
	case errors.As(err, &bad) && bad.Forcible:
		return 0, fmt.Errorf("%w; nothing was added: correct it, or add it as it is with --%s", bad.Flags(), forceFlag)
	case errors.As(err, &bad):
		return 0, bad.Flags()
	case errors.Is(err, fs.ErrNotExist):
		return 0, fmt.Errorf("%w; `cagewise log %s new` starts a log", err, path)
	case err != nil:
		return 0, err
	}
	for _, w := range added.Warnings {
		fmt.Fprintf(c.err, "cagewise: warning: %s\n", w)
	}
	fmt.Fprintf(c.out, "Added to %s from line %d:\n%s", path, added.Line, added.Text)
	fmt.Fprintf(c.out, "To take it back, delete lines %d to %d of %s in an editor.\n", added.Line, added.Line+strings.Count(added.Text, "\n")-1, path)
	return exitFine, nil
}
