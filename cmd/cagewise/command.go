package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// command is one command of the command line.
type command struct {
	name    string
	args    string // what follows the name in the usage line
	summary string // one line
	about   string // paragraphs for help
	// examples are uses that run as they stand; every command has one.
	examples []example
	// define adds the command's flags and returns what runs once they are
	// parsed.
	define func(*pflag.FlagSet) func(*call) (status int, err error)
}

// commands is the command line, in the order of the help.
func commands() []command {
	return []command{newCommand(), gearsCommand(), fitCommand(), chartCommand(), compareCommand(), climbCommand(), cogsCommand(), rideCommand(), logCommand(), wearCommand(), plansCommand(), faultCommand(), spareCommand(), measureCommand(), roadsideCommand(), searchCommand(), reportCommand(), cardCommand(), helpCommand(), completionCommand(), manCommand(), schemaCommand(), versionCommand()}
}

func names() []string {
	var list []string
	for _, c := range commands() {
		list = append(list, c.name)
	}
	return list
}

// call is one run of a command.
type call struct {
	env
	flags *pflag.FlagSet
	args  []string
	units gearing.Units    // of what people read
	read  map[string]input // the builds read so far, by the path of their file
}

// context is what stops long work beside an interrupt.
func (e env) context() context.Context {
	if e.ctx == nil {
		return context.Background()
	}
	return e.ctx
}

// run is the whole program but the process around it.
func run(args []string, e env) (status int) {
	if len(args) == 0 {
		writeOverview(e.err, e.width)
		return exitInput
	}
	name := args[0]
	switch name {
	case "-h", "--help":
		name = "help"
	case "--version":
		name = "version"
	}
	i := slices.IndexFunc(commands(), func(c command) bool { return c.name == name })
	if i < 0 {
		complain(e.err, noCommand(name))
		return exitInput
	}
	status, err := commands()[i].run(args[1:], e)
	if err != nil {
		complain(e.err, err)
		return exitInput
	}
	return status
}

// noCommand tells of a first word that is no command.
func noCommand(word string) error {
	if strings.HasPrefix(word, "-") {
		alone := []string{"--help", "--version"}
		if near := build.Nearest(word, alone); near != "" && len(word) > 3 {
			return fmt.Errorf("%s: unknown flag; did you mean %s?", word, near)
		}
		return fmt.Errorf("%s: no command stands before it; allowed: a command first, which `cagewise help` lists, or %s alone", word, strings.Join(alone, " or "))
	}
	return unknown("command", word, names())
}

func (c command) run(args []string, e env) (int, error) {
	flags := pflag.NewFlagSet(c.name, pflag.ContinueOnError)
	flags.SetOutput(io.Discard)
	flags.Usage = func() {}
	flags.SortFlags = false
	help := flags.BoolP("help", "h", false, "show this help")
	do := c.define(flags)
	readNumbers(flags)
	if err := flags.Parse(args); err != nil {
		if split := splitList(err, args, flags); split != nil {
			return 0, split
		}
		return 0, c.flagError(err, flags)
	}
	if *help {
		c.writeHelp(e.out, e.width)
		return exitFine, nil
	}
	units, err := unitsAsked(flags)
	if err != nil {
		return 0, err
	}
	if err := straySplit(args, flags); err != nil {
		return 0, err
	}
	return do(&call{env: e, flags: flags, args: flags.Args(), units: units, read: map[string]input{}})
}

// load reads the build from the file among the arguments and the flags; flags
// win.
func (c *call) load() (input, error) {
	if len(c.args) > 1 {
		return input{}, fmt.Errorf("%s: %d build files; allowed: one (and flags to change it)", someNames(c.args), len(c.args))
	}
	if len(c.args) == 0 {
		return c.loadBuild("")
	}
	return c.loadBuild(c.args[0])
}

// loadBuild reads a build file, or with "" the flags alone; flags win. A file is
// read once a run, and its warnings go to the error stream then.
func (c *call) loadBuild(path string) (input, error) {
	if in, ok := c.read[path]; ok {
		return in, nil
	}
	c.saw("load", path)
	draft := &build.Draft{}
	if path != "" {
		loaded, err := build.Load(path)
		if err != nil {
			return input{}, err
		}
		draft = loaded
	}
	if err := c.setFlags(draft); err != nil {
		return input{}, err
	}
	in, err := c.finish(draft, path)
	if err == nil {
		c.read[path] = in
	}
	return in, err
}

// finish makes the build of a draft. Warnings go to the error stream, but for
// those of a flag, or of a file's value, that another build has too.
func (c *call) finish(draft *build.Draft, path string) (input, error) {
	result, err := draft.Finish()
	if err != nil {
		return input{}, err
	}
	for _, w := range result.Warnings {
		if !c.shares(w) {
			fmt.Fprintf(c.err, "cagewise: warning: %s\n", w)
		}
	}
	return input{build: result, path: path, draft: draft, defaults: result.Defaults, units: c.units, made: &made{saw: c.env.saw}}, nil
}

// shares tells whether a warning is of a value that a build read before has too.
func (c *call) shares(warning build.Problem) bool {
	for _, in := range c.read {
		if slices.Contains(in.build.Warnings, warning) {
			return true
		}
	}
	return false
}

func (c *call) setFlags(draft *build.Draft) error {
	var problems build.Problems
	for _, f := range build.Fields() {
		flag := c.flags.Lookup(f.Flag)
		if f.Flag == "" || flag == nil || !flag.Changed {
			continue
		}
		if err := draft.SetFlag(f, flag.Value.String()); err != nil {
			problems = append(problems, build.Problem{Where: "--" + f.Flag, Text: strings.TrimPrefix(err.Error(), "--"+f.Flag+": ")})
		}
	}
	if len(problems) > 0 {
		return problems
	}
	return nil
}

// buildFlags offers every value of a build file that has a flag.
func buildFlags(flags *pflag.FlagSet) {
	for _, f := range build.Fields() {
		if f.Flag == "" {
			continue
		}
		doc := f.Doc
		if f.Kind == build.Length || f.Kind == build.Number {
			doc += ", " + f.Unit
		}
		flags.String(f.Flag, "", doc)
		if f.Kind == build.Switch {
			flags.Lookup(f.Flag).NoOptDefVal = "true"
		}
	}
}
