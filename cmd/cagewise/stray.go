package main

import (
	"errors"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"

	"github.com/spf13/pflag"
)

// What a shell leaves of a list or a measure that had a space in it: numbers, or
// a unit.
var (
	numberPiece = regexp.MustCompile(`^[+-]?\d[\d.,;/-]*[,;]?$`)
	unitPiece   = regexp.MustCompile(`(?i)^(mm|cm|m|in|kg|lbs?|km|km/h|kmh|mph|mi|miles|w|rpm|%|")$`)
)

// straySplit tells of words that stand alone because a value before them had
// spaces and no quotes: --rings 46 30.
func straySplit(args []string, flags *pflag.FlagSet) error {
	for i, word := range args {
		if !slices.Contains(flags.Args(), word) || !numberPiece.MatchString(word) && !unitPiece.MatchString(word) {
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
	if i < 0 || i+1 >= len(args) || !numberPiece.MatchString(args[i]) || !numberPiece.MatchString(args[i+1]) {
		return nil
	}
	return splitValue(args, i+1, flags)
}

// splitValue looks back from a stray word for the flag whose value it ends.
func splitValue(args []string, i int, flags *pflag.FlagSet) error {
	first := i
	for first > 0 && numberPiece.MatchString(args[first-1]) {
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
	for end := i + 1; end < len(args) && numberPiece.MatchString(args[end]); end++ {
		words = args[first : end+1]
	}
	if unitPiece.MatchString(args[i]) {
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
