package main

import (
	"fmt"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"cagewise/gearing"
)

// headline puts the answer in plain words at the top; colour only repeats what
// the word says.
func (p *page) headline(colour, word, sentence string) {
	if p.markdown {
		fmt.Fprintf(p, "\n**%s.** %s\n", word, escaped(sentence))
		return
	}
	text := wrap(word+". "+sentence, p.width, "")
	fmt.Fprintf(p, "\n%s%s\n", p.painted(colour, word), strings.TrimPrefix(text, word))
}

// price leaves out cents where there are none.
func price(x float64) string { return strings.TrimSuffix(num(x, 2), ".00") }

// day writes a date, "" when there is none.
func day(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(time.DateOnly)
}

func dayWords(before string, t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return before + day(t)
}

// withError writes an elongation and its standard error.
func withError(e, err gearing.Percent) string {
	return fmt.Sprintf("%s +- %s %%", num(float64(e), 2), num(float64(err), 2))
}

// orNone writes a dash for an empty cell.
func orNone(s string) string {
	if s == "" {
		return "-"
	}
	return s
}

// shortName keeps a part's name from filling a table.
func shortName(id string, most int) string {
	if name := []rune(id); len(name) > most {
		return string(name[:most-3]) + "..."
	}
	return id
}

// sentence gives a text its capital and its full stop.
func sentence(s string) string {
	if s == "" {
		return ""
	}
	first, size := utf8.DecodeRuneInString(s)
	s = string(unicode.ToUpper(first)) + s[size:]
	if strings.HasSuffix(s, ".") || strings.HasSuffix(s, "?") {
		return s
	}
	return s + "."
}

func joinTeeth(cogs []gearing.Teeth) string {
	words := make([]string, len(cogs))
	for i, c := range cogs {
		words[i] = whole(c)
	}
	return strings.Join(words, ", ")
}
