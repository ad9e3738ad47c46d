package main

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"
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

// Nothing is wider than the terminal, whatever its width.
func TestTablesFit(t *testing.T) {
	t.Chdir("../../examples")
	for _, width := range []int{40, 60, 80, 100, 120} {
		for _, line := range tableCommands {
			var out, bad bytes.Buffer
			if status := run(strings.Fields(line), env{out: &out, err: &bad, width: width}); status > exitVerdict {
				t.Fatalf("cagewise %s: %s", line, &bad)
			}
			for row := range strings.Lines(out.String()) {
				if row = strings.TrimRight(row, "\n"); utf8.RuneCountInString(row) > width {
					t.Errorf("cagewise %s at %d columns has a line of %d: %s", line, width, utf8.RuneCountInString(row), row)
				}
			}
		}
	}
}
