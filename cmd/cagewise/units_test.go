package main

import (
	"slices"
	"strings"
	"testing"
)

// unitUses are what shows that --units changes something, for every command and
// chart that has it.
var unitUses = []string{
	"gears gravel.toml", "climb gravel.toml", "ride gravel.toml gravel-ride.csv", "compare gravel.toml --swap rings=40/28", "spare gravel.toml --gear 46x17", "fault gravel.toml --gear 46x17",
	"fit gravel.toml", "roadside gravel.toml", "card gravel.toml", "search mountain-tourer.toml mountain-bin.toml --lost-gears 3 --over-capacity 9 --over-cog 9",
	"wear cargo-wear.toml", "plans cargo-wear.toml", "report gravel.toml",
	"chart ladder gravel.toml", "chart compare gravel.toml --swap rings=40/28", "chart climb gravel.toml", "chart speed gravel.toml", "chart wear cargo-wear.toml",
}

// machineFormats are those of a command that programs read.
func machineFormats(command string) []string {
	i := slices.Index(names(), command)
	if f := commands()[i].flagSet().Lookup("format"); f == nil || !strings.Contains(f.Usage, formatJSON) {
		return nil
	}
	return []string{formatJSON, formatCSV}
}

// A command has --units when it shows a quantity that has other units, and only
// then: its text differs, its json does not, and markdown is text.
func TestUnitsChangeSomething(t *testing.T) {
	t.Chdir("../../examples")
	var covered []string
	for _, line := range unitUses {
		words := strings.Fields(line)
		covered = append(covered, words[0])
		metric := printed(t, append(words, "--units", "metric")...)
		if metric == printed(t, append(words, "--units", "imperial")...) {
			t.Errorf("cagewise %s: --units imperial changes nothing", line)
		}
		if metric != printed(t, words...) {
			t.Errorf("cagewise %s: without --units it is not metric", line)
		}
		for _, format := range machineFormats(words[0]) {
			args := append(words, "--format", format)
			if printed(t, args...) != printed(t, append(args, "--units", "imperial")...) {
				t.Errorf("cagewise %s --format %s: --units changes what programs read", line, format)
			}
		}
	}
	for _, c := range commands() {
		if has := c.flagSet().Lookup("units") != nil; has != slices.Contains(covered, c.name) {
			t.Errorf("%s has --units: %v", c.name, has)
		}
	}
	for _, k := range chartKinds {
		if takes := slices.Contains(k.takes, "units"); takes != slices.ContainsFunc(unitUses, func(u string) bool { return strings.HasPrefix(u, "chart "+k.name+" ") }) {
			t.Errorf("the %s chart takes --units: %v", k.name, takes)
		}
	}
}
