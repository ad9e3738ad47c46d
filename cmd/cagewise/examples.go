package main

import (
	"fmt"
	"io"
	"strings"
)

// example is one use of a command, for help, manual page and completion. It
// runs as it stands in the project's root, after those of the commands before:
// tour.toml is what `cagewise new` wrote.
type example struct {
	line  string // what is typed after "cagewise", words apart by a space
	means string // what it answers or does
}

// typed is the example as one types it, broken before flags where it is wider
// than width; the lines that follow are indented by two.
func (e example) typed(width int) []string {
	line := "cagewise"
	var lines []string
	for _, word := range e.pieces() {
		if len(line)+1+len(word)+2 > width && line != "cagewise" {
			lines = append(lines, line+" \\")
			line = " "
		}
		line += " " + word
	}
	return append(lines, line)
}

// pieces are the words of the line, a flag with its value together.
func (e example) pieces() []string {
	var list []string
	for word := range strings.FieldsSeq(e.line) {
		if n := len(list); n > 0 && !strings.HasPrefix(word, "-") && strings.HasPrefix(list[n-1], "-") && !strings.Contains(list[n-1], " ") {
			list[n-1] += " " + word
			continue
		}
		list = append(list, word)
	}
	return list
}

// writeExamples writes them with what they answer.
func writeExamples(w io.Writer, width int, list []example) {
	if len(list) == 0 {
		return
	}
	fmt.Fprint(w, "\nExamples:\n")
	for _, e := range list {
		fmt.Fprintf(w, "  %s\n", strings.Join(e.typed(width-2), "\n  "))
		fmt.Fprintf(w, "      %s\n", wrap(e.means, width-6, "      "))
	}
}

// examples writes them as items of the manual page.
func (m *roff) examples(list []example) {
	for _, e := range list {
		m.item("cagewise "+e.line, sentence(e.means))
	}
}

// scriptExamples are the examples as comments of a completion script.
func scriptExamples(list []completed) string {
	var b strings.Builder
	for _, c := range list {
		for _, e := range c.examples {
			fmt.Fprintf(&b, "#   cagewise %s\n", e.line)
		}
	}
	return b.String()
}
