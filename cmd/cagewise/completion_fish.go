package main

import (
	"fmt"
	"strings"
)

// fishHead finds the command in the second word of the line: other words may
// be named like a command.
const fishHead = `
function __cagewise_at
    set -l words (commandline -opc)
    test (count $words) -eq $argv[1]; or return 1
    test (count $argv) -eq 1; or test "$words[2]" = "$argv[2]"
end

function __cagewise_in
    set -l words (commandline -opc)
    test (count $words) -ge 2; and test "$words[2]" = "$argv[1]"
end

complete -c cagewise -e
complete -c cagewise -f
`

func fishScript(list []completed) string {
	var b strings.Builder
	b.WriteString(scriptHead("fish", list) + fishHead)
	for _, c := range list {
		fmt.Fprintf(&b, "complete -c cagewise -n '__cagewise_at 1' -a %s -d %s\n", c.name, fishQuote(c.summary))
	}
	for _, c := range list {
		b.WriteByte('\n')
		if c.files {
			fmt.Fprintf(&b, "complete -c cagewise -n '__cagewise_in %s' -F\n", c.name)
		}
		for i, words := range [][]string{c.first, c.second} {
			if len(words) > 0 {
				fmt.Fprintf(&b, "complete -c cagewise -n '__cagewise_at %d %s' -a %s\n", i+2, c.name, fishWords(words))
			}
		}
		for _, f := range c.flags {
			fmt.Fprintf(&b, "complete -c cagewise -n '__cagewise_in %s' -l %s%s -d %s\n", c.name, f.name, fishValue(f), fishQuote(f.doc))
		}
	}
	return b.String()
}

// fishValue says what a flag takes: -x a value that is no file, -r with -F a
// file.
func fishValue(f completedFlag) string {
	s := ""
	if f.short != "" {
		s = " -s " + f.short
	}
	switch {
	case f.bare:
		return s
	case len(f.choices) > 0:
		return s + " -x -a " + fishWords(f.choices)
	case f.file:
		return s + " -r -F"
	}
	return s + " -x"
}

// fishWords is a list of candidates; fish splits it at spaces that are not
// escaped.
func fishWords(words []string) string {
	list := make([]string, len(words))
	for i, w := range words {
		list[i] = strings.ReplaceAll(w, " ", `\ `)
	}
	return fishQuote(strings.Join(list, " "))
}

// fishQuote puts a text into single quotes, in which fish reads \\ and \'.
func fishQuote(s string) string {
	return "'" + strings.NewReplacer(`\`, `\\`, "'", `\'`).Replace(s) + "'"
}
