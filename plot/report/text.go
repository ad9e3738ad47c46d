package report

import (
	"strings"
	"unicode/utf8"
)

// block is one piece of a text: a paragraph, a list, a table or fenced lines.
type block struct {
	Para  []span
	Items []item
	Table *table
	Code  string
}

// item is an entry of a list with the short word in front of it.
type item struct {
	Mark string
	Text []span
}

// span is running text or, between backticks, a command.
type span struct {
	Text string
	Code bool
}

// table is rows of finished cells under headings.
type table struct {
	Heads []head
	Rows  [][]cell
	Class string // how it is put on a page, see fit
}

type head struct {
	Text string
	Left bool
}

type cell struct {
	Head, Text string
	Left       bool
	Long       bool // may break anywhere
}

// Class is the cell's class in the page's style.
func (c cell) Class() string {
	switch {
	case c.Left && c.Long:
		return "l long"
	case c.Left:
		return "l"
	case c.Long:
		return "long"
	}
	return ""
}

// blocks reads a text. Everything it does not know is a paragraph.
func blocks(text string) []block {
	var list []block
	lines := strings.Split(text, "\n")
	for i := 0; i < len(lines); {
		var b block
		n := 1
		switch line := lines[i]; {
		case strings.TrimSpace(line) == "":
			i++
			continue
		case strings.HasPrefix(line, "```"):
			n = run(lines[i+1:], func(s string) bool { return !strings.HasPrefix(s, "```") }) + 1
			b.Code = strings.Join(lines[i+1:min(i+n, len(lines))], "\n")
			n++
		case strings.HasPrefix(line, "- "):
			n = run(lines[i:], func(s string) bool { return strings.HasPrefix(s, "- ") })
			b.Items = items(lines[i : i+n])
		case isRow(line):
			n = run(lines[i:], isRow)
			b.Table = newTable(lines[i : i+n])
		default:
			n = run(lines[i:], isProse)
			b.Para = spans(strings.Join(lines[i:i+max(n, 1)], " "))
			n = max(n, 1)
		}
		list, i = append(list, b), i+n
	}
	return list
}

// run counts the lines from the first on that go together.
func run(lines []string, belongs func(string) bool) int {
	for n, line := range lines {
		if !belongs(line) {
			return n
		}
	}
	return len(lines)
}

func isRow(s string) bool { return strings.HasPrefix(s, "| ") }

func isProse(s string) bool {
	return strings.TrimSpace(s) != "" && !isRow(s) && !strings.HasPrefix(s, "- ") && !strings.HasPrefix(s, "```")
}

func items(lines []string) []item {
	list := make([]item, len(lines))
	for i, line := range lines {
		line = strings.TrimPrefix(line, "- ")
		if rest, ok := strings.CutPrefix(line, "**"); ok {
			if mark, text, ok := strings.Cut(rest, "** "); ok {
				list[i].Mark, line = unescaped(mark), text
			}
		}
		list[i].Text = spans(line)
	}
	return list
}

// unescaped takes away the strokes that kept a mark from being read as one.
var unescaped = strings.NewReplacer(`\*`, "*", `\_`, "_", `\<`, "<", `\[`, "[", `\#`, "#", `\|`, "|").Replace

// spans cuts a text at its backticks; one without a second is text.
func spans(text string) []span {
	var list []span
	for {
		before, rest, ok := strings.Cut(text, "`")
		code, after, closed := strings.Cut(rest, "`")
		if !ok || !closed {
			return append(list, span{Text: unescaped(text)})
		}
		if before != "" {
			list = append(list, span{Text: unescaped(before)})
		}
		list, text = append(list, span{code, true}), after
		if text == "" {
			return list
		}
	}
}

// How many characters of a table there is room for: on a phone, and on a wide
// page in its usual and in a small type.
const (
	phoneColumns = 38
	pageColumns  = 82
	smallColumns = 112
)

// fit is the class of a table so wide: as it is, stacked on a phone, in small
// type too, or stacked everywhere. A stacked table has a paragraph a row.
func fit(columns int) string {
	switch {
	case columns <= phoneColumns:
		return ""
	case columns <= pageColumns:
		return "wide"
	case columns <= smallColumns:
		return "wide small"
	}
	return "stack"
}

// longCell is the length from which a cell may break anywhere.
const longCell = 24

// newTable reads a pipe table: headings, alignments, rows.
func newTable(lines []string) *table {
	t := &table{}
	heads := cells(lines[0])
	widths := make([]int, len(heads))
	for i, h := range heads {
		t.Heads = append(t.Heads, head{Text: h})
		for word := range strings.FieldsSeq(h) {
			widths[i] = max(widths[i], utf8.RuneCountInString(word))
		}
	}
	if len(lines) > 1 {
		for i, rule := range cells(lines[1]) {
			if i < len(heads) {
				t.Heads[i].Left = strings.HasPrefix(rule, ":")
			}
		}
	}
	for _, line := range lines[min(2, len(lines)):] {
		t.Rows = append(t.Rows, t.row(cells(line), widths))
	}
	total := 0
	for _, w := range widths {
		total += w + 2
	}
	t.Class = fit(total)
	return t
}

func (t *table) row(texts []string, widths []int) []cell {
	row := make([]cell, len(t.Heads))
	for i := range row {
		row[i] = cell{Head: t.Heads[i].Text, Left: t.Heads[i].Left}
		if i < len(texts) {
			n := utf8.RuneCountInString(texts[i])
			row[i].Text, row[i].Long = texts[i], n > longCell
			widths[i] = max(widths[i], min(n, longCell))
		}
	}
	return row
}

// cells cuts a row at its bars; an escaped bar is text.
func cells(line string) []string {
	line = strings.TrimSuffix(strings.TrimPrefix(line, "| "), " |")
	line = strings.ReplaceAll(line, `\|`, "\x00")
	list := strings.Split(line, " | ")
	for i, c := range list {
		list[i] = strings.TrimSpace(strings.ReplaceAll(c, "\x00", "|"))
	}
	return list
}
