package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Whatever a command does with a build, it reads the file once and computes it
// once, and no warning comes twice. The builds are invented.
func TestOneLoadAndOneStudyABuild(t *testing.T) {
	dir := t.TempDir()
	build := func(name, more string) string {
		path := filepath.Join(dir, name)
		// A drop of 7 mm is unusual and draws a warning.
		text := "name = \"" + name + "\"\nrings.teeth = \"46/30\"\ncogs.teeth = \"11-13-15-17-19-21-24-28-32-36\"\nframe.chainstay = 432\nframe.bottom_bracket_drop = 7\nwheel.tyre = \"40-622\"\n" + more
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	a := build("a.toml", "chain.pitches = 112\n[rear_derailleur]\nrated_capacity = 37\nlargest_cog = 34\npulley_centres = 76\n")
	b := build("b.toml", "[rear_derailleur]\nrated_capacity = 39\npulley_centres = 90\n")
	bare := build("bare.toml", "")
	example := func(name string) string { return filepath.Join("../../examples", name) }
	ride, log := example("gravel-ride.csv"), example("cargo-wear.toml")
	page := filepath.Join(dir, "page.html")
	for _, line := range [][]string{
		{"gears", a}, {"fit", a}, {"fit", bare}, {"fit", a, "--also", b}, {"fit", a, "--also", b, "--cogs", "11-60"}, {"fit", a, "--also", a}, {"card", a}, {"card", bare},
		{"climb", a}, {"cogs", a, "--out", "13", "--in", "14"}, {"cogs", a, "--count", "9", "--from", "11", "--to", "34"},
		{"ride", a, ride}, {"fault", b, "--every", "2.16"}, {"spare", b, "--gear", "46x17", "--gear", "30x11"}, {"spare", b},
		{"roadside", a, "--missing", "2"}, {"roadside", bare},
		{"chart", "ladder", a}, {"chart", "speed", a}, {"chart", "climb", a},
		{"chart", "side", a}, {"chart", "sheet", a}, {"chart", "window", a}, {"chart", "map", a},
		{"wear", log, "--build", a, "--ride", ride}, {"plans", log, "--build", a},
		{"compare", a, b}, {"compare", a, "--swap", "rings=44/30"}, {"chart", "compare", a, b},
		{"report", a, "-o", page}, {"report", a, b, "-o", page}, {"report", bare, "-o", page},
		{"report", a, b, "--swap", "rings=44/30", "--ride", ride, "--log", log, "-o", page},
	} {
		t.Run(strings.ReplaceAll(strings.Join(line, " "), dir, ""), func(t *testing.T) {
			seen := map[string]int{}
			var warnings strings.Builder
			run(line, env{out: io.Discard, err: &warnings, width: 80, told: func(work, path string) { seen[work+" "+filepath.Base(path)]++ }})
			for what, n := range seen {
				if n > 1 {
					t.Errorf("%s: %d times", what, n)
				}
			}
			if len(seen) == 0 {
				t.Error("nothing was told")
			}
			lines := strings.Split(strings.TrimSpace(warnings.String()), "\n")
			if all := len(lines); len(slices.Compact(slices.Sorted(slices.Values(lines)))) < all {
				t.Errorf("said twice:\n%s", &warnings)
			}
		})
	}
}

// Only the study computes builds, and only loadBuild reads their files: what
// else would is not counted above.
func TestNothingElseComputesBuilds(t *testing.T) {
	only := map[string][]string{
		"build.Load": {"command.go"}, "build.Read": nil,
		"sim.NewRig": nil, "sim.Solve": nil, "sim.Judge": nil, "sim.NewStudy": {"roadside.go"}, "sim.NewStudyLike": {"study.go", "cogs.go"},
		"gearing.NewRatedFit": nil, "gearing.ChainLengths": nil, "gearing.NewTable": nil, "gearing.JudgeOwned": nil,
	}
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range files {
		if strings.HasSuffix(path, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if s, ok := n.(*ast.SelectorExpr); ok {
				name := fmt.Sprintf("%s.%s", s.X, s.Sel)
				if allowed, listed := only[name]; listed && !slices.Contains(allowed, path) {
					t.Errorf("%s uses %s", path, name)
				}
			}
			return true
		})
	}
}
