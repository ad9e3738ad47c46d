package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"cagewise/gearing/build"
)

// complain writes an error, one line for each thing that is wrong.
func complain(w io.Writer, err error) {
	for line := range strings.Lines(err.Error()) {
		fmt.Fprintf(w, "cagewise: %s\n", strings.TrimRight(line, "\n"))
	}
}

// unknown tells of a word that is none of those allowed.
func unknown(what, word string, allowed []string) error {
	if near := build.Nearest(word, allowed); near != "" {
		return fmt.Errorf("unknown %s %q; did you mean %s?", what, word, near)
	}
	return fmt.Errorf("unknown %s %q; allowed: %s", what, word, strings.Join(allowed, ", "))
}

// orFlag is a key with the flag that sets it, where the command has one.
func (c *call) orFlag(key, flag string) string {
	if c.flags.Lookup(flag) == nil {
		return key + " in the build file"
	}
	return key + " or --" + flag
}

// someNames lists files or words, the first few of many.
func someNames(list []string) string {
	const most = 3
	if more := len(list) - most; more > 0 {
		return fmt.Sprintf("%s and %d more", strings.Join(list[:most], ", "), more)
	}
	return strings.Join(list, ", ")
}

// flagError turns the flag library's errors into ours: what was wrong, what is
// allowed, a near match.
func (c command) flagError(err error, flags *pflag.FlagSet) error {
	hint := fmt.Sprintf("; `cagewise help %s` lists the flags", c.name)
	var missing *pflag.NotExistError
	if errors.As(err, &missing) {
		var all []string
		flags.VisitAll(func(f *pflag.Flag) { all = append(all, f.Name) })
		name := missing.GetSpecifiedName()
		if long := missing.GetSpecifiedShortnames(); len(long) > 2 {
			long, _, _ = strings.Cut(long, "=")
			if near := build.Nearest(long, all); near != "" {
				return fmt.Errorf("-%s: unknown flag; did you mean --%s?", long, near)
			}
		}
		if near := build.Nearest(name, all); near != "" && len(name) > 1 {
			return fmt.Errorf("--%s: unknown flag; did you mean --%s?", name, near)
		}
		dashes := strings.Repeat("-", min(len(name), 2))
		return fmt.Errorf("%s%s: unknown flag%s", dashes, name, hint)
	}
	var value *pflag.ValueRequiredError
	if errors.As(err, &value) {
		return fmt.Errorf("--%s: a value is missing%s", value.GetFlag().Name, hint)
	}
	var invalid *pflag.InvalidValueError
	if errors.As(err, &invalid) {
		if _, ok := invalid.GetFlag().Value.(number); ok {
			return fmt.Errorf("--%s: %w", invalid.GetFlag().Name, invalid.Unwrap())
		}
		return fmt.Errorf("--%s: %q is not allowed here%s", invalid.GetFlag().Name, invalid.GetValue(), hint)
	}
	return fmt.Errorf("%w%s", err, hint)
}

// within holds the numbers of a flag against their range; NaN is in no range.
func within(flag string, low, high float64, unit string, values ...float64) error {
	for _, v := range values {
		if !(v >= low && v <= high) {
			return fmt.Errorf("--%s: %s; allowed: %s", flag, num(v, -1), strings.TrimSpace(fmt.Sprintf("%s to %s %s", num(low, -1), num(high, -1), unit)))
		}
	}
	return nil
}
