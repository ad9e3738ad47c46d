package main

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/spf13/pflag"
)

// isNumbers tells whether a word is what a shell leaves of a list that had a
// space in it: a number, or several.
func isNumbers(word string) bool {
	word = strings.TrimLeft(word, "+-")
	return word != "" && word[0] >= '0' && word[0] <= '9' && strings.Trim(word, "0123456789.,;/-") == ""
}

// isUnit tells whether it is what is left of a measure.
func isUnit(word string) bool {
	switch strings.ToLower(word) {
	case "mm", "cm", "m", "in", "kg", "lb", "lbs", "km", "km/h", "kmh", "mph", "mi", "miles", "w", "rpm", "%", `"`:
		return true
	}
	return false
}

// straySplit tells of words that stand alone because a value before them had
// spaces and no quotes: --rings 46 30.
func straySplit(args []string, flags *pflag.FlagSet) error {
	for i, word := range args {
		if !slices.Contains(flags.Args(), word) || !isNumbers(word) && !isUnit(word) {
			continue
		}
		if _, err := os.Stat(word); err == nil { // a file of that name
			continue
		}
		if err := splitValue(args, i, flags); err != nil {
			return err
		}
	}
	return nil
}

// splitList tells of a list that a shell has split at the spaces behind its
// commas: --grade 6, 8, 10. err is what the flag says of its first piece.
func splitList(err error, args []string, flags *pflag.FlagSet) error {
	var invalid *pflag.InvalidValueError
	if !errors.As(err, &invalid) {
		return nil
	}
	i := slices.Index(args, invalid.GetValue())
	if i < 0 || i+1 >= len(args) || !isNumbers(args[i]) || !isNumbers(args[i+1]) {
		return nil
	}
	return splitValue(args, i+1, flags)
}

// splitValue looks back from a stray word for the flag whose value it ends.
func splitValue(args []string, i int, flags *pflag.FlagSet) error {
	first := i
	for first > 0 && isNumbers(args[first-1]) {
		first--
	}
	if first == 0 || first == i {
		return nil
	}
	name, _, given := strings.Cut(args[first-1], "=")
	flag := flags.Lookup(strings.TrimPrefix(name, "--"))
	if flag == nil || !strings.HasPrefix(name, "--") || given {
		return nil
	}
	words := args[first : i+1]
	for end := i + 1; end < len(args) && isNumbers(args[end]); end++ {
		words = args[first : end+1]
	}
	if isUnit(args[i]) {
		value := strings.Join(words, " ")
		return fmt.Errorf("--%s: %q stands apart from the number; write it without the unit, or both in quotes: --%s %q", flag.Name, args[i], flag.Name, value)
	}
	return fmt.Errorf("--%s: the value ends at the first space, %q stands alone; write it without spaces: --%s %s", flag.Name, args[i], flag.Name, joinedWords(words, flag))
}

// joinedWords is a list without spaces, in the way the flag takes it.
func joinedWords(words []string, flag *pflag.Flag) string {
	var list []string
	for _, w := range words {
		list = append(list, strings.FieldsFunc(w, func(r rune) bool { return r == ',' || r == ';' || r == '/' })...)
	}
	if flag.Value.Type() == "float64Slice" {
		return strings.Join(list, ",")
	}
	return strings.Join(list, "-")
}
