package main

import (
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// column is one column of a table in every format: people read head and unit,
// programs read key.
type column struct {
	key  string // CSV heading, with the unit in the name
	head string
	unit string // "" for none
	left bool   // align left; numbers go right
}

// table is rows of finished cells.
type table struct {
	cols []column
	rows [][]string
	lead int // columns that tell rows apart, which every block repeats; 0: one
	// breaks holds the rows before which text output leaves a line free.
	breaks map[int]bool
}

func (t *table) add(cells ...string) { t.rows = append(t.rows, cells) }

// breakHere starts a new block of rows in text output.
func (t *table) breakHere() {
	if t.breaks == nil {
		t.breaks = map[int]bool{}
	}
	t.breaks[len(t.rows)] = true
}

// text writes aligned columns. A table wider than width is cut into blocks of
// columns, each repeating the leading ones; see fitted.
func (t *table) text(w io.Writer, width int, indent string) {
	widths, lead := t.fitted(width-len(indent)), t.leading()
	for from := lead; from < len(t.cols) || from == lead; {
		to, used := from, len(indent)+across(widths[:lead])
		for to < len(t.cols) && (to == from || used+2+widths[to] <= width) {
			used += 2 + widths[to]
			to++
		}
		if from > lead {
			fmt.Fprintln(w)
		}
		t.block(w, indent, widths, from, to)
		from = max(to, from+1)
	}
}

func (t *table) block(w io.Writer, indent string, widths []int, from, to int) {
	var shown []int
	for i := range t.cols {
		if i < t.leading() || i >= from && i < to {
			shown = append(shown, i)
		}
	}
	pick := func(cells func(i int) string) { t.row(w, indent, widths, shown, cells) }
	pick(func(i int) string { return t.cols[i].head })
	if t.hasUnits(shown) {
		pick(func(i int) string { return t.cols[i].unit })
	}
	for n, row := range t.rows {
		if t.breaks[n] && n > 0 {
			fmt.Fprintln(w)
		}
		pick(func(i int) string { return row[i] })
	}
}

// row writes the cells of the columns shown, over as many lines as the fullest
// takes.
func (t *table) row(w io.Writer, indent string, widths, shown []int, cells func(i int) string) {
	lines, most := make([][]string, len(shown)), 0
	for k, i := range shown {
		lines[k] = cellLines(cells(i), widths[i])
		most = max(most, len(lines[k]))
	}
	for n := range most {
		line := indent
		for k, i := range shown {
			cell := ""
			if n < len(lines[k]) {
				cell = lines[k][n]
			}
			if k > 0 {
				line += "  "
			}
			line += pad(cell, widths[i], t.cols[i].left)
		}
		fmt.Fprintln(w, strings.TrimRight(line, " "))
	}
}

func (t *table) hasUnits(shown []int) bool {
	return slices.ContainsFunc(shown, func(i int) bool { return t.cols[i].unit != "" })
}

func (t *table) widths() []int {
	widths := make([]int, len(t.cols))
	for i, c := range t.cols {
		widths[i] = max(utf8.RuneCountInString(c.head), utf8.RuneCountInString(c.unit))
	}
	for _, row := range t.rows {
		for i, cell := range row {
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	return widths
}

func pad(s string, width int, left bool) string {
	gap := strings.Repeat(" ", max(0, width-utf8.RuneCountInString(s)))
	if left {
		return s + gap
	}
	return gap + s
}

// markdown writes a pipe table, units in the headings.
func (t *table) markdown(w io.Writer) {
	heads, rules := make([]string, len(t.cols)), make([]string, len(t.cols))
	for i, c := range t.cols {
		heads[i] = c.head
		if c.unit != "" {
			heads[i] = fmt.Sprintf("%s (%s)", c.head, c.unit)
		}
		rules[i] = "---:"
		if c.left {
			rules[i] = ":---"
		}
	}
	fmt.Fprintf(w, "| %s |\n| %s |\n", strings.Join(heads, " | "), strings.Join(rules, " | "))
	for _, row := range t.rows {
		cells := make([]string, len(row))
		for i, c := range row {
			cells[i] = markdownCell(c)
		}
		fmt.Fprintf(w, "| %s |\n", strings.Join(cells, " | "))
	}
}

func markdownCell(s string) string {
	return strings.NewReplacer("|", `\|`, "\n", " ").Replace(s)
}

// csv writes the table as RFC 4180 with the keys as heading.
func (t *table) csv(w io.Writer) error {
	out := csv.NewWriter(w)
	keys := make([]string, len(t.cols))
	for i, c := range t.cols {
		keys[i] = c.key
	}
	if err := out.Write(keys); err != nil {
		return err
	}
	return out.WriteAll(t.rows)
}
