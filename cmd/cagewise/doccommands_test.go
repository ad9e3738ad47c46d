package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// said is a command that a text tells of.
type said struct {
	words []string
	block bool // a line of its own, to be copied
}

var (
	fence  = regexp.MustCompile("(?ms)^```([a-z]*)\n(.*?)^```")
	inline = regexp.MustCompile("`[^`\n]*`")
	typed  = regexp.MustCompile(`(?:go run \./cmd/)?\bcagewise( [^|>)<` + "`" + `]*)`)
	holder = regexp.MustCompile(`[A-Z]{2,}|\[|\.\.\.|%[sdqv]`)
)

// commandsIn lists the commands of a Markdown text that no console block shows
// with its output: those of other blocks, and those in running text.
func commandsIn(text string) []said {
	var list []said
	for _, block := range fence.FindAllStringSubmatch(text, -1) {
		for line := range strings.Lines(strings.ReplaceAll(block[2], " \\\n", " ")) {
			line = strings.TrimSpace(line)
			if block[1] != "console" && (strings.HasPrefix(line, "cagewise ") || strings.HasPrefix(line, "go run ./cmd/cagewise ")) {
				list = append(list, said{shellWords(typed.FindStringSubmatch(line)[1]), true})
			}
		}
	}
	return append(list, inlineCommands(fence.ReplaceAllString(text, ""))...)
}

// inlineCommands lists the commands between backticks.
func inlineCommands(text string) []said {
	var list []said
	for _, code := range inline.FindAllString(text, -1) {
		if m := typed.FindStringSubmatch(strings.Trim(code, "`")); m != nil {
			list = append(list, said{words: shellWords(m[1])})
		}
	}
	return list
}

// shellWords cuts a line as a shell does, without its variables and patterns.
func shellWords(line string) []string {
	var words []string
	for _, m := range regexp.MustCompile(`"([^"]*)"|'([^']*)'|(\S+)`).FindAllStringSubmatch(line, -1) {
		words = append(words, m[1]+m[2]+m[3])
	}
	return words
}

// checkShape holds a command that cannot run as it stands against the command
// line: the command and its flags are there.
func checkShape(t *testing.T, where string, words []string) {
	t.Helper()
	if len(words) == 0 || holder.MatchString(words[0]) || strings.HasPrefix(words[0], "-") {
		return
	}
	i := slices.Index(names(), words[0])
	if i < 0 {
		t.Errorf("%s: there is no command %q", where, words[0])
		return
	}
	if words[0] == "help" && len(words) > 1 && !holder.MatchString(words[1]) && !slices.Contains(append(names(), "keys"), words[1]) {
		t.Errorf("%s: there is no help on %q", where, words[1])
	}
	if words[0] == "schema" && len(words) > 1 && !holder.MatchString(words[1]) && !slices.Contains(schemaNames(), words[1]) {
		t.Errorf("%s: there is no schema %q", where, words[1])
	}
	for _, w := range words[1:] {
		name, _, _ := strings.Cut(strings.Trim(w, "[]"), "=")
		if flag, ok := strings.CutPrefix(name, "--"); ok && commands()[i].flagSet().Lookup(flag) == nil {
			t.Errorf("%s: %s has no --%s", where, words[0], flag)
		}
	}
}

// Every command of the README that could be copied runs, in the order of the
// text and in a copy of the examples; what is shown with its output is compared
// by TestReadmeOutput, and what has placeholders is held against the flags.
func TestReadmeCommandsRun(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	list := commandsIn(string(text))
	dir := copyOfExamples(t)
	t.Chdir(dir)
	run([]string{"new", "tour.toml"}, env{out: new(bytes.Buffer), err: new(bytes.Buffer), width: 80})
	run([]string{"log", "wear.toml", "new"}, env{out: new(bytes.Buffer), err: new(bytes.Buffer), width: 80})
	ran := 0
	for _, c := range list {
		line := strings.Join(c.words, " ")
		checkShape(t, "README, `cagewise "+line+"`", c.words)
		made := line == "new tour.toml" || line == "log wear.toml new"
		if holder.MatchString(line) || !c.block && len(c.words) < 2 || made {
			continue
		}
		ran++
		var out, bad bytes.Buffer
		if status := run(c.words, env{out: &out, err: &bad, width: 80}); status > exitVerdict {
			t.Errorf("README: cagewise %s ends with %d\n%s", line, status, &bad)
		}
	}
	if ran < 10 {
		t.Errorf("only %d commands of the README were run", ran)
	}
}

func copyOfExamples(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	for _, kind := range []string{"*.toml", "*.csv"} {
		files, err := filepath.Glob("../../examples/" + kind)
		if err != nil || len(files) == 0 {
			t.Fatal("no examples", err)
		}
		for _, file := range files {
			copyTo(t, file, filepath.Join(dir, "examples", filepath.Base(file)))
		}
	}
	return dir
}

// goFiles parses every Go file of the module.
func goFiles(t *testing.T) (*token.FileSet, []*ast.File) {
	t.Helper()
	set, files := token.NewFileSet(), []*ast.File{}
	err := filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(path) != ".go" {
			return err
		}
		file, err := parser.ParseFile(set, path, nil, parser.ParseComments)
		files = append(files, file)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return set, files
}

// shownIn are the command lines of a comment that stand as code, with what
// follows as their output: lines of "$ cagewise" or "cagewise" behind a tab.
func shownIn(comment string) []string {
	var list []string
	for line := range strings.Lines(comment) {
		code, isCode := strings.CutPrefix(line, "\t")
		code = strings.TrimRight(code, "\n")
		command := strings.TrimPrefix(code, "$ ")
		switch words := strings.Fields(command); {
		case isCode && len(words) > 1 && words[0] == "cagewise" && slices.Contains(names(), words[1]):
			list = append(list, command)
		case isCode && len(list) > 0:
			list[len(list)-1] += "\n" + code
		}
	}
	return list
}

// Every command that a doc comment shows as code is run and its output
// compared, as in the README; every one it speaks of is there.
func TestDocCommands(t *testing.T) {
	set, files := goFiles(t)
	for _, file := range files {
		for _, group := range file.Comments {
			where := set.Position(group.Pos()).String()
			for _, c := range inlineCommands(strings.ReplaceAll(group.Text(), "\n", " ")) {
				checkShape(t, where, c.words)
				if len(c.words) > 2 && !holder.MatchString(strings.Join(c.words, " ")) {
					t.Errorf("%s: `cagewise %s` could be run; show it as code, with its output", where, strings.Join(c.words, " "))
				}
			}
			for _, shown := range shownIn(group.Text()) {
				t.Run(where, func(t *testing.T) {
					t.Chdir("../..")
					command, want, _ := strings.Cut(shown, "\n")
					checkOutput(t, command, want)
				})
			}
		}
	}
}

// shownIn finds what it is to find; no comment may need it today.
func TestShownIn(t *testing.T) {
	got := shownIn("Words.\n\n\t$ cagewise version\n\tcagewise (devel)\n\nMore `cagewise fit`.\n\n\tcagewise gears x.toml\n\t...\n")
	want := []string{"cagewise version\ncagewise (devel)", "cagewise gears x.toml\n..."}
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// What the program itself advises between backticks is there.
func TestAdvisedCommands(t *testing.T) {
	set, files := goFiles(t)
	found := 0
	for _, file := range files {
		if strings.HasSuffix(set.Position(file.Pos()).Filename, "_test.go") {
			continue
		}
		ast.Inspect(file, func(n ast.Node) bool {
			lit, ok := n.(*ast.BasicLit)
			if !ok || lit.Kind != token.STRING {
				return true
			}
			text, err := strconv.Unquote(lit.Value)
			if err != nil {
				t.Fatal(err)
			}
			for _, c := range inlineCommands(text) {
				found++
				checkShape(t, set.Position(lit.Pos()).String(), c.words)
			}
			return true
		})
	}
	if found < 20 {
		t.Errorf("only %d commands found in the program's words", found)
	}
}

// What DEVELOPERS.md names is there: directories and files of its map, paths,
// packages, tests, and names in the code.
func TestDevelopersGuide(t *testing.T) {
	t.Chdir("../..")
	data, err := os.ReadFile("DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	text := string(data)
	named := 0
	exists := func(pattern string) {
		named++
		if found, err := filepath.Glob(pattern); err != nil || len(found) == 0 {
			t.Errorf("DEVELOPERS.md names %s, which is not there", pattern)
		}
	}
	for _, block := range fence.FindAllStringSubmatch(text, -1) {
		for _, path := range mapped(block[2]) {
			exists(path)
		}
	}
	code := codeOf(t)
	for _, word := range inline.FindAllString(strings.ReplaceAll(fence.ReplaceAllString(text, ""), "\n", " "), -1) {
		word = strings.Trim(word, "`")
		for _, c := range inlineCommands("`" + word + "`") {
			checkShape(t, "DEVELOPERS.md", c.words)
		}
		for _, path := range regexp.MustCompile(`(?:^|[ >])\.?/?((?:[a-z_]+/)*[a-zA-Z_*.]+\.(?:go|json|txt|md)|(?:cmd|gearing|sim|plot|testdata|examples|\.ci)(?:/[a-z_.]+)*)`).FindAllStringSubmatch(word, -1) {
			if !strings.Contains(path[1], "/") && strings.HasSuffix(path[1], ".go") { // of whatever package
				path[1] = "*/" + path[1]
				if found, _ := filepath.Glob(path[1]); len(found) == 0 {
					path[1] = "*/" + path[1]
				}
			}
			exists(path[1])
		}
		if regexp.MustCompile(`^[A-Za-z]+(?:[A-Z][a-z]+)+(?:\(\))?$|^[a-z]+\(\)$`).MatchString(word) {
			named++
			if !regexp.MustCompile(`\b` + strings.TrimSuffix(word, "()") + `\b`).MatchString(code) {
				t.Errorf("DEVELOPERS.md names %s, which no code has", word)
			}
		}
	}
	for _, m := range regexp.MustCompile(`\bFuzz[A-Z]\w*`).FindAllString(text, -1) {
		named++
		if !strings.Contains(code, "func "+m+"(") {
			t.Errorf("DEVELOPERS.md names %s, which is no fuzz target", m)
		}
	}
	if named < 60 {
		t.Errorf("only %d names found in DEVELOPERS.md", named)
	}
}

// mapped are the paths of a map: a directory a line, indented in its parent's,
// with the files that are named beside it.
func mapped(block string) []string {
	var paths []string
	parents := map[int]string{}
	dir := ""
	for line := range strings.Lines(block) {
		depth := len(line) - len(strings.TrimLeft(line, " "))
		fields := strings.Fields(line)
		if len(fields) > 0 && strings.HasSuffix(fields[0], "/") && depth < 10 {
			dir = filepath.Join(parents[depth-2], fields[0])
			parents[depth] = dir
			paths = append(paths, dir)
		}
		for _, name := range regexp.MustCompile(`\b[a-z_]+\*?\.go\b`).FindAllString(line, -1) {
			paths = append(paths, filepath.Join(dir, name))
		}
	}
	return paths
}

// codeOf is all the Go code of the module.
func codeOf(t *testing.T) string {
	t.Helper()
	var all strings.Builder
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(path) != ".go" {
			return err
		}
		data, err := os.ReadFile(path)
		fmt.Fprintf(&all, "%s\n", data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all.String()
}
