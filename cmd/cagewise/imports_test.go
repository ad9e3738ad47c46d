package main

import (
	"fmt"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// mayImport lists, for every package of the module, all that its code may
// import besides the standard library. Arrows point downwards only:
// cmd -> plot -> sim -> gearing; gearing/build stands beside sim.
var mayImport = map[string][]string{
	"gearing":         {},
	"gearing/wearlog": {"cagewise/gearing", "cagewise/gearing/build", "github.com/BurntSushi/toml", "golang.org/x/sys/windows"},
	"gearing/bin":     {"cagewise/gearing", "cagewise/gearing/build", "github.com/BurntSushi/toml"},
	"gearing/build":   {"cagewise/gearing", "github.com/BurntSushi/toml"},
	"sim":             {"cagewise/gearing", "gonum.org/v1/gonum"},
	"sim/road":        {"cagewise/gearing", "github.com/muktihari/fit"},
	"sim/wear":        {"cagewise/gearing", "cagewise/sim", "gonum.org/v1/gonum"},
	"sim/search":      {"cagewise/gearing", "cagewise/sim"},
	"plot":            {"cagewise/gearing", "cagewise/sim", "gonum.org/v1/plot/vg", "gonum.org/v1/plot/font", "gonum.org/v1/plot/text", "codeberg.org/go-fonts/liberation", "golang.org/x/image", "golang.org/x/text/unicode/bidi"},
	"plot/report":     {"cagewise/gearing", "cagewise/sim", "cagewise/plot"},
	"cmd/cagewise":    {"cagewise", "github.com/spf13/pflag", "golang.org/x/term"},
}

func TestImportsPointDownwards(t *testing.T) {
	seen := map[string]bool{}
	err := filepath.WalkDir("../..", func(file string, d fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return err
		}
		dir := filepath.ToSlash(strings.TrimPrefix(filepath.Dir(file), filepath.Join("..", "..")+string(filepath.Separator)))
		seen[dir] = true
		for _, problem := range checkImports(t, dir, file) {
			t.Error(problem)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for dir := range mayImport {
		if !seen[dir] {
			t.Errorf("%s: no code found; is the test looking in the right place?", dir)
		}
	}
}

func checkImports(t *testing.T, dir, file string) (problems []string) {
	parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
	if err != nil {
		t.Fatal(err)
	}
	allowed, ok := mayImport[dir]
	if !ok {
		return []string{fmt.Sprintf("%s: package %s has no place in the order; give it one in mayImport", file, dir)}
	}
	for _, spec := range parsed.Imports {
		name, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			t.Fatal(err)
		}
		if !allowedImport(name, allowed) {
			problems = append(problems, fmt.Sprintf("%s: %s must not import %s; allowed: the standard library and %v", file, dir, name, allowed))
		}
	}
	return problems
}

func allowedImport(name string, allowed []string) bool {
	first, _, _ := strings.Cut(name, "/")
	if !strings.Contains(first, ".") && first != "cagewise" {
		return true // the standard library
	}
	return slices.ContainsFunc(allowed, func(a string) bool {
		if a == "cagewise/gearing" { // not gearing/build
			return name == a
		}
		return name == a || strings.HasPrefix(name, path.Clean(a)+"/")
	})
}
