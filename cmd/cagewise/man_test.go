package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/pflag"

	"cagewise/gearing/build"
)

// manSection is the part of the page from a heading to the next of its kind.
func manSection(t *testing.T, page, head string) string {
	t.Helper()
	_, rest, ok := strings.Cut(page, "\n"+head)
	if !ok {
		t.Fatalf("the page has no %q", head)
	}
	end := len(rest)
	for _, next := range []string{"\n.SH ", "\n.SS "} {
		if i := strings.Index(rest, next); i >= 0 {
			end = min(end, i)
		}
	}
	return rest[:end]
}

// Every command is a heading, every flag stands under its command or among the
// values of the build, every key in the list of keys.
func TestManIsWhole(t *testing.T) {
	page := printed(t, "man")
	shared := manSection(t, page, `.SH "VALUES OF THE BUILD"`)
	for _, c := range commands() {
		own := manSection(t, page, `.SS "cagewise `+strings.ReplaceAll(c.name, "-", `\-`))
		for _, word := range strings.Fields(roffEscape(c.summary)) {
			if !strings.Contains(own, word) {
				t.Errorf("%s: the page does not say %q", c.name, word)
			}
		}
		c.flagSet().VisitAll(func(f *pflag.Flag) {
			item := roffEscape("--"+f.Name) + "\"\n"
			at := own
			if of := buildFlagSet().Lookup(f.Name); of != nil && of.Usage == f.Usage {
				at = shared
			}
			if f.Name != "help" && !strings.Contains(at, item) {
				t.Errorf("--%s of %s is missing", f.Name, c.name)
			}
		})
	}
	keys := manSection(t, page, `.SH "KEYS OF A BUILD FILE"`)
	for _, f := range build.Fields() {
		if !strings.Contains(keys, `.B "`+roffEscape(f.Path())+"\"\n") {
			t.Errorf("key %s is missing", f.Path())
		}
	}
}

// What formatters there are find nothing wrong with the page.
func TestManIsClean(t *testing.T) {
	file := filepath.Join(t.TempDir(), "cagewise.1")
	if err := os.WriteFile(file, []byte(printed(t, "man")), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, check := range [][]string{
		{"groff", "-man", "-ww", "-Tutf8", "-z", file},
		{"mandoc", "-Tlint", file},
	} {
		t.Run(check[0], func(t *testing.T) {
			needs(t, check[0])
			out, err := exec.Command(check[0], check[1:]...).CombinedOutput()
			if err != nil || len(out) > 0 {
				t.Errorf("%s: %v\n%s", strings.Join(check, " "), err, out)
			}
		})
	}
}
