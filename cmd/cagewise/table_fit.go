package main

import (
	"strings"
	"unicode/utf8"
)

// longestKept is how long a word may be before the narrowest column cuts it: two
// leading columns and one beside them fit into 30.
const longestKept = 8

// leading is how many columns every block of columns repeats.
func (t *table) leading() int { return max(1, t.lead) }

// fitted are the widths of the columns with which every column stands beside
// the leading ones within avail. Only where they do not as they are, the words
// of columns that are aligned left are broken over several lines: the leading
// ones keep six tenths of the room, or what the widest of the others leaves.
func (t *table) fitted(avail int) []int {
	widths, lead, rest := t.widths(), t.leading(), 0
	for i := lead; i < len(widths); i++ {
		rest = max(rest, 2+t.least(i, widths[i]))
	}
	if across(widths[:lead])+rest > avail {
		t.shrink(widths[:lead], min(6*avail/10, avail-rest))
	}
	for i := lead; i < len(widths); i++ {
		widths[i] = min(widths[i], max(t.least(i, widths[i]), avail-across(widths[:lead])-2))
	}
	return widths
}

// across is the width of columns side by side.
func across(widths []int) int {
	sum := -2
	for _, n := range widths {
		sum += n + 2
	}
	return sum
}

// shrink takes from the widest column that can be narrower until all of them
// are within room, or none can.
func (t *table) shrink(widths []int, room int) {
	least := make([]int, len(widths))
	for i := range widths {
		least[i] = t.least(i, widths[i])
	}
	for across(widths) > room {
		wide := -1
		for i := range widths {
			if widths[i] > least[i] && (wide < 0 || widths[i] > widths[wide]) {
				wide = i
			}
		}
		if wide < 0 {
			return
		}
		widths[wide]--
	}
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
