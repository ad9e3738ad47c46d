package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/pflag"
)

// printed runs a command that must succeed.
func printed(t *testing.T, args ...string) string {
	t.Helper()
	var out, bad bytes.Buffer
	if status := run(args, env{out: &out, err: &bad, width: 80}); status > exitVerdict {
		t.Fatalf("cagewise %s: exit status %d\n%s", strings.Join(args, " "), status, &bad)
	}
	return out.String()
}

// bashCompletes loads the script into a real bash and asks it to complete
// words as readline would hand them over.
func bashCompletes(t *testing.T, words ...string) []string {
	t.Helper()
	script := filepath.Join(t.TempDir(), "completion.bash")
	if err := os.WriteFile(script, []byte(printed(t, "completion", "bash")), 0o644); err != nil {
		t.Fatal(err)
	}
	probe := fmt.Sprintf(`source %s; complete -p cagewise >/dev/null || exit 3
COMP_WORDS=(%s); COMP_CWORD=%d; _cagewise; printf '%%s\n' "${COMPREPLY[@]}"`, shellQuote(script), quoteAll(words), len(words)-1)
	shell := exec.Command("bash", "--norc", "--noprofile", "-c", probe)
	shell.Dir = t.TempDir()
	for _, name := range []string{"tour.toml", "ride one.csv"} {
		if err := os.WriteFile(filepath.Join(shell.Dir, name), nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	out, err := shell.CombinedOutput()
	if err != nil {
		t.Fatalf("bash: %v\n%s", err, out)
	}
	return slices.DeleteFunc(strings.Split(string(out), "\n"), func(s string) bool { return s == "" })
}

func needs(t *testing.T, program string) {
	t.Helper()
	if _, err := exec.LookPath(program); err != nil {
		t.Skipf("SKIPPED: %s is not installed, so its side of this is not checked", program)
	}
}

func TestBashCompletes(t *testing.T) {
	needs(t, "bash")
	files := []string{"ride one.csv", "tour.toml"}
	for _, c := range []struct {
		words, want []string
	}{
		{[]string{"cagewise", ""}, names()},
		{[]string{"cagewise", "comp"}, []string{"compare", "completion"}},
		{[]string{"cagewise", "paint"}, nil},
		{[]string{"cagewise", "fit", "--chainst"}, []string{"--chainstay"}},
		{[]string{"cagewise", "version", "-"}, []string{"--help", "-h"}},
		{[]string{"cagewise", "fit", "--format", ""}, tableFormats},
		{[]string{"cagewise", "fit", "--format", "=", "j"}, []string{"json"}},
		{[]string{"cagewise", "fit", "--format", "="}, tableFormats},
		{[]string{"cagewise", "chart", "--format", "p"}, []string{"png"}},
		{[]string{"cagewise", "chart", "--theme", ""}, themes},
		{[]string{"cagewise", "chart", "--figure", ""}, figureNames()},
		{[]string{"cagewise", "chart", "--kind", "s"}, []string{"side", "sheet", "speed"}},
		{[]string{"cagewise", "chart", "s"}, []string{"side", "sheet", "speed"}},
		{[]string{"cagewise", "chart", "side", "t"}, []string{"tour.toml"}},
		{[]string{"cagewise", "fit", "--class", "l"}, []string{"long"}},
		{[]string{"cagewise", "fit", ""}, files},
		{[]string{"cagewise", "fit", "-o", "t"}, []string{"tour.toml"}},
		{[]string{"cagewise", "fit", "--output", ""}, files},
		{[]string{"cagewise", "fit", "--chainstay", ""}, nil},
		{[]string{"cagewise", "fit", "--offset-link", "t"}, []string{"tour.toml"}},
		{[]string{"cagewise", "ride", "tour.toml", ""}, files},
		{[]string{"cagewise", "wear", "--rows", "c"}, []string{"cogs"}},
		{[]string{"cagewise", "log", ""}, files},
		{[]string{"cagewise", "log", "tour.toml", "rea"}, []string{"reading"}},
		{[]string{"cagewise", "log", "tour.toml", "finding", "--kind", "tooth"}, []string{`tooth\ shape`}},
		{[]string{"cagewise", "help", "k"}, []string{"keys"}},
		{[]string{"cagewise", "completion", ""}, shellNames()},
		{[]string{"cagewise", "schema", "b"}, []string{"build", "bin"}},
		{[]string{"cagewise", "version", ""}, nil},
	} {
		got := bashCompletes(t, c.words...)
		want := slices.Clone(c.want)
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(slices.Compact(got), want) {
			t.Errorf("%q completes to %q, want %q", c.words, got, want)
		}
	}
}

// Every command and every flag is completed, by bash and in the other scripts.
func TestCompletionIsWhole(t *testing.T) {
	zsh, fish := printed(t, "completion", "zsh"), printed(t, "completion", "fish")
	_, missing := exec.LookPath("bash")
	for _, c := range commands() {
		var want []string
		c.flagSet().VisitAll(func(f *pflag.Flag) {
			want = append(want, "--"+f.Name)
			if !strings.Contains(zsh, "*--"+f.Name) {
				t.Errorf("zsh: --%s of %s is missing", f.Name, c.name)
			}
			if !strings.Contains(fish, fmt.Sprintf("-n '__cagewise_in %s' -l %s ", c.name, f.Name)) {
				t.Errorf("fish: --%s of %s is missing", f.Name, c.name)
			}
		})
		if missing != nil {
			continue
		}
		got := bashCompletes(t, "cagewise", c.name, "--")
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("bash: flags of %s are %q, want %q", c.name, got, want)
		}
	}
}

// A flag whose help speaks of a file takes one, and one with a word as its
// default has choices; so nothing is forgotten when a flag is added.
func TestCompletionKnowsFlags(t *testing.T) {
	shared := buildFlagSet()
	for _, c := range completions() {
		for _, f := range c.flags {
			if shared.Lookup(f.name) != nil || c.name == "log" {
				continue
			}
			named := strings.Contains(f.doc, "build file") || strings.Contains(f.doc, "to this file") || strings.HasPrefix(f.doc, "recorded ride") || strings.HasPrefix(f.doc, "wear log")
			if named && !f.file && !f.bare {
				t.Errorf("--%s of %s takes a file by its help, but is not in fileFlags", f.name, c.name)
			}
		}
	}
	for _, c := range commands() {
		c.flagSet().VisitAll(func(f *pflag.Flag) {
			if f.Value.Type() == "string" && f.DefValue != "" && flagChoices(c.name, f.Name) == nil {
				t.Errorf("--%s of %s: default %q, but no choices to complete", f.Name, c.name, f.DefValue)
			}
		})
	}
}

// The formats a command completes are those that it takes.
func TestCompletionKnowsFormats(t *testing.T) {
	for _, c := range completions() {
		for _, f := range c.flags {
			if f.name != "format" {
				continue
			}
			named := 0
			for _, word := range []string{formatText, formatJSON, formatCSV, formatMarkdown, formatHTML, formatSVG, formatPNG} {
				says := regexp.MustCompile(`\b` + word + `\b`).MatchString(f.doc)
				if says != slices.Contains(f.choices, word) {
					t.Errorf("--format of %s: %q is completed: %v, its help says %q", c.name, word, !says, f.doc)
				}
				if says {
					named++
				}
			}
			if named != len(f.choices) {
				t.Errorf("--format of %s: %q is completed, its help says %q", c.name, f.choices, f.doc)
			}
		}
	}
}

// Other shells only check the syntax here.
func TestOtherShellsReadTheirScripts(t *testing.T) {
	for _, shell := range shellNames() {
		t.Run(shell, func(t *testing.T) {
			needs(t, shell)
			script := filepath.Join(t.TempDir(), "script")
			if err := os.WriteFile(script, []byte(printed(t, "completion", shell)), 0o644); err != nil {
				t.Fatal(err)
			}
			if out, err := exec.Command(shell, "-n", script).CombinedOutput(); err != nil || len(out) > 0 {
				t.Errorf("%s: %v\n%s", shell, err, out)
			}
		})
	}
}

// fish can be asked what it would complete.
func TestFishCompletes(t *testing.T) {
	needs(t, "fish")
	script := filepath.Join(t.TempDir(), "script")
	if err := os.WriteFile(script, []byte(printed(t, "completion", "fish")), 0o644); err != nil {
		t.Fatal(err)
	}
	for line, want := range map[string]string{
		"cagewise comp":                           "compare completion",
		"cagewise fit --format j":                 "json",
		"cagewise chart --theme ":                 "dark light print",
		"cagewise chart sp":                       "speed",
		"cagewise log my.toml finding --kind too": "tooth shape",
		"cagewise help k":                         "keys",
		"cagewise fit --chainst":                  "--chainstay",
	} {
		probe := exec.Command("fish", "--no-config", "-c", "source $argv[1]; complete -C $argv[2]", script, line)
		probe.Env = append(os.Environ(), "HOME="+t.TempDir())
		probe.Dir = t.TempDir()
		out, err := probe.Output()
		if err != nil {
			t.Fatalf("%s: %v", line, err)
		}
		var got []string
		for l := range strings.Lines(string(out)) {
			word, _, _ := strings.Cut(strings.TrimSpace(l), "\t")
			got = append(got, word)
		}
		slices.Sort(got)
		if strings.Join(got, " ") != want {
			t.Errorf("fish completes %q to %q, want %s", line, got, want)
		}
	}
}
