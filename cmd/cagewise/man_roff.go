package main

import "strings"

// roff writes a page in the man macros: TH, SH, SS, PP, TP and B alone,
// so that every formatter reads it.
type roff struct{ strings.Builder }

// line writes a line that is roff already.
func (m *roff) line(s string) { m.WriteString(s + "\n") }

// text writes words; every sentence begins a line, as roff wants it.
func (m *roff) text(s string) {
	for sentence := range strings.SplitAfterSeq(roffEscape(s), ". ") {
		for line := range strings.Lines(wrap(sentence, 78, "")) {
			m.line(roffStart(strings.TrimSpace(line)))
		}
	}
}

// head writes a heading; macro is SH or SS.
func (m *roff) head(macro, words string) {
	m.line("." + macro + ` "` + strings.ReplaceAll(roffEscape(words), `"`, `\(dq`) + `"`)
}

func (m *roff) paragraph(s string) {
	m.line(".PP")
	m.text(s)
}

// item writes a word with its explanation indented under it.
func (m *roff) item(word, s string) {
	m.line(".TP")
	m.line(`.B "` + roffEscape(word) + `"`)
	m.text(s)
}

// roffEscape writes characters that roff would take for its own: a backslash,
// and hyphens, which else become typographic ones that cannot be copied.
func roffEscape(s string) string {
	return strings.NewReplacer(`\`, `\e`, "-", `\-`, "`", `\(ga`, "'", `\(aq`, "^", `\(ha`, "~", `\(ti`).Replace(s)
}

// roffStart keeps the first character of a line from being a request.
func roffStart(s string) string {
	if strings.HasPrefix(s, ".") {
		return `\&` + s
	}
	return s
}
