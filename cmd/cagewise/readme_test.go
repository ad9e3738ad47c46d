package main

import (
	"bytes"
	"encoding/json"
	"os"
	"regexp"
	"strings"
	"testing"
)

// In README.md and DEVELOPERS.md a fenced block of `console` holds commands
// after "$ " and what they print. Every `$ cagewise` command is run here from
// the project's root and its output compared, so that the tour stays true.
// A line "..." stands for any lines left out.
var consoleBlock = regexp.MustCompile("(?ms)^```console\n(.*?)^```")

func TestReadmeOutput(t *testing.T) {
	t.Chdir("../..")
	text, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	commands := 0
	for _, block := range consoleBlock.FindAllStringSubmatch(string(text), -1) {
		for _, part := range strings.Split("\n"+block[1], "\n$ ")[1:] {
			command, want, _ := strings.Cut(strings.ReplaceAll(part, " \\\n    ", " "), "\n")
			if strings.HasPrefix(command, "cagewise ") {
				commands++
				checkOutput(t, command, want)
			}
		}
	}
	if commands < 5 {
		t.Errorf("only %d commands found in the README", commands)
	}
}

func checkOutput(t *testing.T, command, want string) {
	t.Helper()
	var out bytes.Buffer
	run(strings.Fields(command)[1:], env{out: &out, err: &out, width: 80})
	pattern := regexp.QuoteMeta(strings.TrimSpace(want))
	pattern = strings.ReplaceAll(pattern, `\.\.\.`, `(?s:.*)`)
	if !regexp.MustCompile(`\A` + pattern + `\z`).MatchString(strings.TrimSpace(out.String())) {
		t.Errorf("README is not true for %q; it prints\n%s", command, &out)
	}
}

// The pictures of the README are what the commands beside them draw.
func TestReadmePictures(t *testing.T) {
	t.Chdir("../..")
	text, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	pictures := regexp.MustCompile(`(?m)^\$ (cagewise .* -o (examples/pictures/\S+))$`).FindAllStringSubmatch(string(text), -1)
	if len(pictures) == 0 {
		t.Fatal("the README draws no picture")
	}
	for _, p := range pictures {
		want, err := os.ReadFile(p[2])
		if err != nil {
			t.Error(err)
			continue
		}
		var out bytes.Buffer
		args := strings.Fields(strings.Replace(p[1], " -o "+p[2], " --format "+p[2][len(p[2])-3:], 1))
		if status := run(args[1:], env{out: &out, err: &out, width: 80}); status != exitFine || !bytes.Equal(out.Bytes(), want) {
			t.Errorf("%s is not what %q draws", p[2], p[1])
		}
		if !strings.Contains(string(text), "]("+p[2]+")") {
			t.Errorf("%s is not shown", p[2])
		}
	}
}

// Every key of the JSON stands in the README.
func TestReadmeDocumentsJSON(t *testing.T) {
	t.Chdir("../..")
	text, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, command := range []string{
		"gears examples/touring-triple.toml", "fit examples/touring-triple.toml", "fit examples/trail-single.toml",
		"measure examples/gravel.toml examples/gravel-readings.toml", "roadside examples/gravel.toml",
		"compare examples/gravel.toml examples/touring-double.toml", "climb examples/gravel.toml",
		"search examples/mountain-tourer.toml examples/mountain-bin.toml --lowest-development 1.1",
		"search examples/mountain-tourer.toml examples/mountain-bin.toml",
		"wear examples/cargo-wear.toml", "wear examples/commuter-wear.toml", "plans examples/cargo-wear.toml",
		"fault examples/gravel.toml --every 2.16 --gear 46x17", "spare examples/gravel.toml --gear 46x17 --gear 30x11",
		"ride examples/gravel.toml examples/gravel-ride.csv",
		"cogs --count 9 --from 11 --to 34", "cogs examples/gravel.toml --out 13 --in 14",
		"fit examples/gravel.toml --also examples/gravel-measured.toml",
	} {
		var out bytes.Buffer
		run(append(strings.Fields(command), "--format", "json"), env{out: &out, err: &out, width: 80})
		var tree any
		if err := json.Unmarshal(out.Bytes(), &tree); err != nil {
			t.Fatalf("%s: %v", command, err)
		}
		for key := range keysOf(tree, map[string]bool{}) {
			if !regexp.MustCompile("`([a-z_]+\\.)*" + key + "[.`]").Match(text) {
				t.Errorf("%s: key %q is not in the README", command, key)
			}
		}
	}
}

func keysOf(tree any, keys map[string]bool) map[string]bool {
	switch v := tree.(type) {
	case map[string]any:
		for key, child := range v {
			keys[key] = true
			keysOf(child, keys)
		}
	case []any:
		for _, child := range v {
			keysOf(child, keys)
		}
	}
	return keys
}
