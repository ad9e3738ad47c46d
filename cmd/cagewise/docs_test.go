package main

import (
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// Every package of the library says what it is for and shows it in an example
// whose output is checked.
func TestPackagesAreDocumented(t *testing.T) {
	for dir := range mayImport {
		if strings.HasPrefix(dir, "cmd/") {
			continue
		}
		comments, examples := packageDocs(t, filepath.Join("..", "..", filepath.FromSlash(dir)))
		if len(comments) != 1 || len(comments[0]) < 400 {
			t.Errorf("%s: %d package comments %q; wanted: one, in doc.go, with purpose, units, main types and sources", dir, len(comments), comments)
		}
		if examples == 0 {
			t.Errorf("%s: no Example with an // Output: in a package of its own", dir)
		}
	}
}

// packageDocs gives the package comments in a directory, and how many examples
// of its external test package have their output checked.
func packageDocs(t *testing.T, dir string) (comments []string, examples int) {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil {
		t.Fatal(err)
	}
	var tests []*ast.File
	for _, path := range paths {
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ParseComments)
		switch {
		case err != nil:
			t.Fatal(err)
		case strings.HasSuffix(f.Name.Name, "_test"):
			tests = append(tests, f)
		case !strings.HasSuffix(path, "_test.go") && f.Doc != nil:
			comments = append(comments, f.Doc.Text())
		}
	}
	for _, e := range doc.Examples(tests...) {
		if e.Output != "" {
			examples++
		}
	}
	return comments, examples
}

// Every benchmark that testdata/benchmarks.md holds to a bound stands in the
// record beside it.
func TestBoundsAreRecorded(t *testing.T) {
	bounds, err := os.ReadFile("../../testdata/benchmarks.md")
	if err != nil {
		t.Fatal(err)
	}
	record, err := os.ReadFile("../../testdata/benchmarks.txt")
	if err != nil {
		t.Fatal(err)
	}
	named := regexp.MustCompile("(?m)^\\|.*\\| ([a-z/]+) \\| `([^`]+)` \\| ([^|]+) \\|$").FindAllStringSubmatch(string(bounds), -1)
	if len(named) < 15 {
		t.Fatalf("%d benchmarks named", len(named))
	}
	for _, m := range named {
		if !recorded(string(record), m[1], m[2], strings.Split(m[3], ", ")) {
			t.Errorf("%s Benchmark%s has no line with %s in testdata/benchmarks.txt; .ci/bench --record makes it anew", m[1], m[2], m[3])
		}
	}
}

// recorded tells whether a record has a line of a package's benchmark, by a
// pattern, with all the figures.
func recorded(record, pkg, pattern string, figures []string) bool {
	line := regexp.MustCompile("^Benchmark" + strings.ReplaceAll(regexp.QuoteMeta(pattern), `\*`, `.*`) + `(-\d+)?\s`)
	at := ""
	for text := range strings.Lines(record) {
		if name, ok := strings.CutPrefix(text, "pkg: cagewise/"); ok {
			at = strings.TrimSpace(name)
		}
		lacks := func(figure string) bool { return !strings.Contains(text, " "+figure) }
		if at == pkg && line.MatchString(text) && !slices.ContainsFunc(figures, lacks) {
			return true
		}
	}
	return false
}
