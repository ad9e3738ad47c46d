package main

import (
	"strings"
	"unicode/utf8"
)

// longestKept is how long a word may be before a narrow column cuts it.
const longestKept = 12

// leading is how many columns every block of columns repeats.
func (t *table) leading() int { return max(1, t.lead) }

// fitted are the widths of the columns with which every column stands beside
// the leading ones within avail. Only where they do not as they are, the words
// of columns that are aligned left are broken over several lines: the widest of
// the leading ones keeps half the room or more, the others have what is left.
func (t *table) fitted(avail int) []int {
	widths, lead := t.widths(), t.leading()
	rest, beside := 0, 0
	for i := range widths {
		switch {
		case i >= lead:
			rest = max(rest, 2+t.least(i, widths[i]))
		case i != t.widest(widths):
			beside += widths[i] + 2
		}
	}
	wide := t.widest(widths)
	if beside+widths[wide]+rest > avail {
		room := avail - beside
		widths[wide] = min(widths[wide], max(t.least(wide, widths[wide]), min(room/2, room-rest)))
	}
	for i := lead; i < len(widths); i++ {
		widths[i] = min(widths[i], max(t.least(i, widths[i]), avail-beside-widths[wide]-2))
	}
	return widths
}

// widest is the widest of the leading columns.
func (t *table) widest(widths []int) int {
	wide := 0
	for i := range t.leading() {
		if widths[i] > widths[wide] {
			wide = i
		}
	}
	return wide
}

// least is how narrow column i may become: numbers are never broken, words at
// spaces alone unless they are long.
func (t *table) least(i, width int) int {
	if !t.cols[i].left {
		return width
	}
	longest := 0
	see := func(cell string) {
		for word := range strings.FieldsSeq(cell) {
			longest = max(longest, utf8.RuneCountInString(word))
		}
	}
	see(t.cols[i].head)
	see(t.cols[i].unit)
	for _, row := range t.rows {
		see(row[i])
	}
	return min(width, longest, longestKept)
}

// cellLines are the lines of a cell in a column of that width.
func cellLines(cell string, width int) []string {
	if utf8.RuneCountInString(cell) <= width {
		return []string{cell}
	}
	return strings.Split(wrap(broken(cell, width), width, ""), "\n")
}
