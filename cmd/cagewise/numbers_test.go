package main

import (
	"slices"
	"testing"

	"github.com/spf13/pflag"
)

// TestNumberFlagsHaveUnits holds every flag that takes numbers to a unit it is
// told of by, or to be one of those that have none.
func TestNumberFlagsHaveUnits(t *testing.T) {
	none := []string{
		"rolling", "efficiency", "tightness", // ratios
		"lowest", "count", "from", "to", "cruising-cog", "out", "in", "repeats", "missing", "top", "workers", // counts
		"lost-gears", "over-capacity", "over-cog", "early-chains", "late-chains", "ring-chains", "rotate", "cog-count",
		"chain-price", "cassette-price", "ring-price", "budget", // money
		"at", // in the log's unit
	}
	seen := map[string]bool{}
	for _, c := range commands() {
		c.flagSet().VisitAll(func(f *pflag.Flag) {
			switch f.Value.Type() {
			case "float64", "int", "float64Slice":
			default:
				return
			}
			seen[f.Name] = true
			if has := flagUnit(f.Name) != ""; has == slices.Contains(none, f.Name) {
				t.Errorf("--%s of %s: unit %q", f.Name, c.name, flagUnit(f.Name))
			}
		})
	}
	for _, name := range none {
		if !seen[name] {
			t.Errorf("no command has --%s any more", name)
		}
	}
}

func TestNumberSet(t *testing.T) {
	for _, tt := range []struct{ flag, text, want string }{
		{"mass", "110 KG", "110"}, {"width", "3.35 in", "85.09"}, {"width", "8.5cm", "85"}, {"headwind", "-20 kmh", "-20"},
		{"drag-area", "0.5 m2", "0.5"}, {"torque", "60 Nm", "60"}, {"at", " 1230 ", "1230"}, {"mass", "1e2", "100"},
	} {
		flags := pflag.NewFlagSet("x", pflag.ContinueOnError)
		flags.Float64(tt.flag, 0, "")
		readNumbers(flags)
		if err := flags.Set(tt.flag, tt.text); err != nil || flags.Lookup(tt.flag).Value.String() != tt.want {
			t.Errorf("--%s %q: got %s, %v, want %s", tt.flag, tt.text, flags.Lookup(tt.flag).Value, err, tt.want)
		}
	}
}
