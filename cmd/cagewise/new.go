package main

import (
	"errors"
	"fmt"

	"github.com/spf13/pflag"

	"cagewise/gearing/build"
)

func newCommand() command {
	return command{
		name: "new", args: "FILE [flags]", summary: "write a commented build file to start from",
		about: "Every key is in it with its meaning, what is allowed and what happens without it. Values you give as flags are filled in; the others are invented. A file that is there already is never touched.",
		examples: []example{
			{"new tour.toml", "a build file to start from: every key with its meaning, the values invented"},
			{"new gravel.toml --rings 46,30 --chainstay 430 --pulley-centres 76", "the same with your own numbers in it"},
		},
		define: func(flags *pflag.FlagSet) func(*call) (int, error) {
			buildFlags(flags)
			return runNew
		},
	}
}

func runNew(c *call) (int, error) {
	if len(c.args) != 1 {
		return 0, errors.New("new needs the name of the file to write, such as `cagewise new tour.toml`")
	}
	draft := &build.Draft{}
	if err := c.setFlags(draft); err != nil {
		return 0, err
	}
	text := build.Template(draft)
	if err := sound(text); err != nil {
		return 0, err
	}
	path := c.args[0]
	if err := createFile(path, text); err != nil {
		return 0, err
	}
	fmt.Fprintf(c.out, "Wrote %s. Replace the invented values, then: cagewise fit %s\n", path, path)
	return exitFine, nil
}

// sound makes sure that the file about to be written can be used: values that
// are fine one by one may not go together.
func sound(text []byte) error {
	draft, err := build.Parse("the new file", text)
	if err != nil {
		return err
	}
	_, err = draft.Finish()
	return err
}
