package main

import (
	"bytes"
	"fmt"
	"strings"

	"cagewise/gearing"
)

// page collects what a person reads, as plain text or as Markdown.
type page struct {
	bytes.Buffer
	width    int
	markdown bool
	colour   bool
	units    gearing.Units // of speeds, ways, masses and developments
}

// title is the first line: what the page is about.
func (p *page) title(s string) {
	if p.markdown {
		fmt.Fprintf(p, "# %s\n", escaped(s))
		return
	}
	fmt.Fprintln(p, wrap(s, p.width, ""))
}

// section starts a part of the page.
func (p *page) section(s string) {
	if p.markdown {
		fmt.Fprintf(p, "\n## %s\n\n", escaped(s))
		return
	}
	p.gap()
	fmt.Fprintln(p, p.painted(bold, wrap(s, p.width, "")))
}

// gap leaves one line free, never two.
func (p *page) gap() {
	if !bytes.HasSuffix(p.Bytes(), []byte("\n\n")) {
		p.WriteByte('\n')
	}
}

// para is running text under a section.
func (p *page) para(format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	if p.markdown {
		p.gap() // paragraphs keep apart, and off a list
		fmt.Fprintf(p, "%s\n", escaped(text))
		return
	}
	fmt.Fprintf(p, "  %s\n", wrap(text, p.width-2, "  "))
}

// item is one entry of a list; mark is a short word in front of it.
func (p *page) item(mark, format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	if p.markdown {
		fmt.Fprintf(p, "- %s%s\n", strings.TrimSuffix("**"+mark+"** ", "**** "), escaped(text))
		return
	}
	lead := "  "
	if mark != "" {
		lead += pad(mark, 5, true) + " "
	}
	indent := strings.Repeat(" ", len(lead))
	fmt.Fprintf(p, "%s%s\n", lead, wrap(text, p.width-len(lead), indent))
}

// literal puts lines on the page as they are, to be copied.
func (p *page) literal(text string) {
	if p.markdown {
		fmt.Fprintf(p, "```toml\n%s```\n", text)
		return
	}
	for line := range strings.Lines(text) {
		fmt.Fprintf(p, "%s", strings.TrimRight("  "+line, " "))
	}
}

// grid puts a table on the page.
func (p *page) grid(t *table) {
	if p.markdown {
		p.WriteByte('\n')
		t.markdown(p)
		p.WriteByte('\n')
		return
	}
	t.text(p, p.width, "  ")
	p.gap()
}

// verdict is the answer in plain words at the top: the verdict's word in
// capitals with what goes with it, and a sentence.
func (p *page) verdict(v gearing.Verdict, head, sentence string) {
	if p.markdown {
		fmt.Fprintf(p, "\n**%s.** %s\n", escaped(head), escaped(sentence))
		return
	}
	// Colour only repeats what the word says.
	word := strings.ToUpper(v.String())
	text := wrap(head+". "+sentence, p.width, "")
	fmt.Fprintf(p, "\n%s%s\n", p.painted(verdictColour(v), word), strings.TrimPrefix(text, word))
}

// SGR codes of ECMA-48; they never carry meaning alone.
const (
	bold   = "1"
	green  = "1;32"
	yellow = "1;33"
	red    = "1;31"
)

func verdictColour(v gearing.Verdict) string {
	switch v {
	case gearing.Works:
		return green
	case gearing.LikelyWorks, gearing.CannotTell:
		return yellow
	}
	return red
}

func (p *page) painted(code, s string) string {
	if !p.colour {
		return s
	}
	return "\x1b[" + code + "m" + s + "\x1b[0m"
}

// escaped keeps Markdown from reading marks in a text that are only marks.
func escaped(s string) string {
	return strings.NewReplacer("*", `\*`, "_", `\_`, "<", `\<`, "[", `\[`, "#", `\#`).Replace(s)
}
