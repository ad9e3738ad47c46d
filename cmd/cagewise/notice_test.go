package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"
)

// TestNotice holds NOTICE against what the linker takes: every module in the
// program on Linux, macOS and Windows is listed with the text of its licence,
// and no other is listed.
func TestNotice(t *testing.T) {
	data, err := os.ReadFile("../../NOTICE")
	if err != nil {
		t.Fatal(err)
	}
	notice := string(data)
	listed := map[string]bool{}
	for _, m := range regexp.MustCompile(`(?m)^\* (\S+\.\S+)$`).FindAllStringSubmatch(notice, -1) {
		listed[m[1]] = true
	}
	linked := linkedModules(t)
	for module, dir := range linked {
		if !listed[module] {
			t.Errorf("NOTICE does not list %s, which the program links", module)
		}
		checkLicence(t, module, dir, spaced(notice))
	}
	for module := range listed {
		if linked[module] == "" {
			t.Errorf("NOTICE lists %s, which the program does not link", module)
		}
	}
	if !strings.Contains(notice, "* the Go standard library\n") {
		t.Error("NOTICE does not list the Go standard library")
	}
}

// linkedModules are the modules of the program with their directories.
func linkedModules(t *testing.T) map[string]string {
	t.Helper()
	linked := map[string]string{}
	for _, system := range []string{"linux", "darwin", "windows"} {
		list := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}}\t{{.Dir}}{{end}}{{end}}", ".")
		list.Env = append(os.Environ(), "GOOS="+system, "CGO_ENABLED=0")
		out, err := list.Output()
		if err != nil {
			t.Fatalf("go list for %s: %v", system, err)
		}
		for line := range strings.Lines(string(out)) {
			module, dir, ok := strings.Cut(strings.TrimSpace(line), "\t")
			if ok {
				linked[module] = dir
			}
		}
	}
	if len(linked) == 0 {
		t.Fatal("no module is linked; is the test looking in the right place?")
	}
	return linked
}

// checkLicence looks for the text of a module's licences in NOTICE.
func checkLicence(t *testing.T, module, dir, notice string) {
	t.Helper()
	patterns := []string{"LICENSE", "LICENSE.md", "LICENSE-SIL", "COPYING", "NOTICE"}
	if module == "github.com/golang/freetype" { // LICENSE lets one choose
		patterns = []string{"licenses/ftl.txt"}
	}
	found := 0
	for _, pattern := range patterns {
		text, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(pattern)))
		if err != nil {
			continue
		}
		found++
		if !strings.Contains(notice, spaced(string(text))) {
			t.Errorf("NOTICE does not hold the text of %s of %s", pattern, module)
		}
	}
	if found == 0 {
		t.Errorf("%s: no licence found in %s", module, dir)
	}
}

// spaced is a text with single spaces, in UTF-8 also when it is Latin-1.
func spaced(s string) string {
	if !utf8.ValidString(s) {
		var latin []rune
		for _, b := range []byte(s) {
			latin = append(latin, rune(b))
		}
		s = string(latin)
	}
	return strings.Join(strings.Fields(s), " ")
}
