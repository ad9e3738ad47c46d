package main

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// tableCommands print tables about the examples.
var tableCommands = []string{
	"gears touring-double.toml", "gears touring-triple.toml --speeds-at 60,70,80,90,100", "gears gravel.toml --units imperial",
	"fit touring-double.toml", "fit touring-triple.toml", "fit gravel-measured.toml --chain 104", "fit gravel.toml --also gravel-measured.toml",
	"compare gravel.toml touring-double.toml --swap rings=40/28",
	"climb gravel.toml --power 150,230 --grade 2,4,6,8,10,12,14,16,18,20", "cogs --count 9 --from 11 --to 34", "cogs gravel.toml --out 13 --in 14",
	"ride gravel.toml gravel-ride.csv", "wear cargo-wear.toml", "wear commuter-wear.toml --units imperial",
	"plans commuter-wear.toml --chain-life 3200", "plans cargo-wear.toml --units imperial",
	"fault gravel.toml --every 2.16", "fault gravel.toml --every 2.43 --gear 46x17", "fault gravel.toml --gear 46x17",
	"spare gravel.toml --gear 46x17 --gear 30x11 --torque 60 --speed 25", "measure gravel.toml gravel-readings.toml", "roadside gravel.toml --missing 4",
	"search mountain-tourer.toml mountain-bin.toml --hill 8 --power 160 --mass 125 --over-capacity 5 --over-cog 2 --lost-gears 3",
	"search mountain-tourer.toml mountain-bin.toml --lowest-development 0.3 --budget 1", "card gravel.toml",
}

// Whatever the cells, a table stays within its width, and every block of columns
// tells all words of its cells in their order.
func TestAnyTableFits(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		tab, width := drawnTable(rt), rapid.IntRange(leastWidth, mostWidth).Draw(rt, "width")
		var out bytes.Buffer
		tab.text(&out, width, "  ")
		for line := range strings.Lines(out.String()) {
			if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > width {
				rt.Fatalf("%d columns in %d:\n%s", n, width, &out)
			}
		}
		said := strings.Join(strings.Fields(out.String()), "")
		for _, row := range tab.rows {
			for i, cell := range row {
				if !tab.cols[i].left && !strings.Contains(said, cell) {
					rt.Fatalf("%q is not told:\n%s", cell, &out)
				}
			}
		}
	})
}

// A table that fits is not touched: one line a row, two spaces between columns.
func TestTableThatFitsStays(t *testing.T) {
	tab := &table{cols: []column{{head: "part", left: true}, {head: "off by", unit: "mm"}}}
	tab.add("pulley tooth, guide or tension", "1.5")
	tab.add("cog", "-12.0")
	wide := "  part                            off by\n                                      mm\n  pulley tooth, guide or tension     1.5\n  cog                              -12.0\n"
	for width, want := range map[int]string{
		80: wide, 40: wide,
		39: "  part                    off by\n                              mm\n  pulley tooth, guide or     1.5\n  tension\n  cog                      -12.0\n",
	} {
		var out bytes.Buffer
		if tab.text(&out, width, "  "); out.String() != want {
			t.Errorf("at %d columns\n%swant\n%s", width, &out, want)
		}
	}
}

// drawnTable has text and numbers in any order.
func drawnTable(rt *rapid.T) *table {
	tab := &table{lead: rapid.IntRange(0, 2).Draw(rt, "lead")}
	word := rapid.StringMatching(`[a-z0-9-]{1,30}( [a-z,]{1,9}){0,6}`)
	number := rapid.StringMatching(`-?[0-9]{1,4}(\.[0-9]{1,2})?`)
	for range rapid.IntRange(max(1, tab.lead), 9).Draw(rt, "columns") {
		tab.cols = append(tab.cols, column{head: rapid.SampledFrom([]string{"", "at", "step +"}).Draw(rt, "head"), left: rapid.Bool().Draw(rt, "text")})
	}
	for range rapid.IntRange(0, 5).Draw(rt, "rows") {
		var row []string
		for _, c := range tab.cols {
			cell := number
			if c.left {
				cell = word
			}
			row = append(row, cell.Draw(rt, "cell"))
		}
		tab.rows = append(tab.rows, row)
	}
	return tab
}

// Nothing is wider than the terminal, whatever its width.
func TestTablesFit(t *testing.T) {
	t.Chdir("../../examples")
	for _, width := range []int{leastWidth, 40, 60, 80, 100, 120} {
		for _, line := range tableCommands {
			var out, bad bytes.Buffer
			if status := run(strings.Fields(line), env{out: &out, err: &bad, width: width}); status > exitVerdict {
				t.Fatalf("cagewise %s: %s", line, &bad)
			}
			for row := range strings.Lines(out.String()) {
				row = strings.TrimRight(row, "\n")
				if n := utf8.RuneCountInString(row); n > width && (n >= 40 || len(strings.Fields(row)) > 1) {
					t.Errorf("cagewise %s at %d columns has a line of %d: %s", line, width, utf8.RuneCountInString(row), row)
				}
			}
		}
	}
}
