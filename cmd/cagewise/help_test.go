package main

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// helpTexts are all that help can print, by what asks for it.
func helpTexts(t *testing.T, width int) map[string]string {
	texts := map[string]string{}
	for _, args := range append([][]string{{"help"}, {"--help"}, {"help", "keys"}}, helpArgs()...) {
		var out, bad bytes.Buffer
		if status := run(args, env{out: &out, err: &bad, width: width}); status != exitFine || bad.Len() > 0 {
			t.Fatalf("cagewise %s: exit status %d, %s", strings.Join(args, " "), status, &bad)
		}
		texts[strings.Join(args, " ")] = out.String()
	}
	return texts
}

func helpArgs() [][]string {
	var list [][]string
	for _, name := range names() {
		list = append(list, []string{"help", name}, []string{name, "--help"}, []string{name, "-h"})
	}
	return list
}

// No line of any help is wider than the terminal; on one narrower than help is
// made for, only a word that cannot be broken is, such as a list of cogs.
func TestHelpFits(t *testing.T) {
	for _, width := range []int{40, 60, 80, 100, 120} {
		for what, text := range helpTexts(t, width) {
			for line := range strings.Lines(text) {
				line = strings.TrimRight(line, "\n")
				words := strings.Fields(strings.TrimSuffix(line, `\`))
				breakable := len(words) > 1 && !(strings.HasPrefix(words[0], "-") && len(words) == 2)
				if n := utf8.RuneCountInString(line); n > width && (width >= 80 || breakable) {
					t.Errorf("cagewise %s at %d columns has a line of %d: %s", what, width, n, line)
				}
			}
		}
	}
}

// COMMAND --help, COMMAND -h and help COMMAND are the same, and teach by
// examples.
func TestHelpTeaches(t *testing.T) {
	texts := helpTexts(t, 80)
	for _, c := range commands() {
		text := texts["help "+c.name]
		if texts[c.name+" --help"] != text || texts[c.name+" -h"] != text {
			t.Errorf("%s: its helps differ", c.name)
		}
		if len(c.examples) == 0 {
			t.Errorf("%s has no example", c.name)
		}
		for _, e := range c.examples {
			if !strings.Contains(text, "  "+strings.Join(e.typed(78), "\n  ")+"\n") || e.means == "" {
				t.Errorf("the help of %s does not teach %q", c.name, e.line)
			}
		}
	}
}

// Manual page and completions tell the same examples.
func TestExamplesHaveOneSource(t *testing.T) {
	page := manSection(t, printed(t, "man"), `.SH "EXAMPLES"`)
	for _, c := range commands() {
		for _, e := range c.examples {
			if !strings.Contains(page, `.B "`+roffEscape("cagewise "+e.line)+"\"\n"+roffEscape(sentence(e.means)[:10])) {
				t.Errorf("the manual page does not tell %q", e.line)
			}
			for _, shell := range shellNames() {
				if !strings.Contains(printed(t, "completion", shell), "#   cagewise "+e.line+"\n") {
					t.Errorf("the completion of %s does not tell %q", shell, e.line)
				}
			}
		}
	}
}

// Every example runs as it stands, in a copy of examples/ and after those
// before it, and prints something or writes the file that it names.
func TestExamplesRun(t *testing.T) {
	t.Chdir(copyOfExamples(t))
	for _, c := range commands() {
		for _, e := range c.examples {
			runExample(t, c.name, e)
		}
	}
}

func copyTo(t *testing.T, from, to string) {
	t.Helper()
	data, err := os.ReadFile(from)
	if err == nil {
		err = os.MkdirAll(filepath.Dir(to), 0o755)
	}
	if err == nil {
		err = os.WriteFile(to, data, 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
}

func runExample(t *testing.T, command string, e example) {
	if strings.ContainsAny(e.line, "'\"\\|>$*;&") {
		t.Errorf("%q: a shell does more with it than cut it at spaces", e.line)
	}
	args := strings.Fields(e.line)
	if args[0] != command && command != "help" {
		t.Errorf("%q is an example of %s", e.line, command)
	}
	var out, bad bytes.Buffer
	status := run(args, env{out: &out, err: &bad, width: 80})
	if said := strings.ReplaceAll(bad.String(), "cagewise: warning: ", ""); status > exitVerdict || strings.Contains(said, "cagewise: ") {
		t.Errorf("cagewise %s: exit status %d\n%s", e.line, status, &bad)
	}
	written := 0
	for _, flag := range []string{"-o", "--output", "--save"} {
		if i := slices.Index(args, flag); i >= 0 {
			data, err := os.ReadFile(args[i+1])
			if err != nil {
				t.Errorf("cagewise %s: %v", e.line, err)
			}
			written += len(data)
		}
	}
	if out.Len()+written == 0 {
		t.Errorf("cagewise %s prints nothing and writes nothing", e.line)
	}
}
