package main

import (
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"path/filepath"
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
