package main

import (
	"bytes"
	"strings"
	"testing"
)

// What is nearly right is answered with what was meant; what is not, with what
// is allowed.
func TestNearMatches(t *testing.T) {
	t.Chdir("../../examples")
	for line, want := range map[string]string{
		"fti gravel.toml":                            `unknown command "fti"; did you mean fit?`,
		"FIT gravel.toml":                            `unknown command "FIT"; did you mean fit?`,
		"reprot gravel.toml":                         `unknown command "reprot"; did you mean report?`,
		"paint gravel.toml":                          `unknown command "paint"; allowed: new, gears, fit, `,
		"--hlep":                                     `--hlep: unknown flag; did you mean --help?`,
		"--verison":                                  `--verison: unknown flag; did you mean --version?`,
		"--chainstay 430 fit":                        "--chainstay: no command stands before it; allowed: a command first, which `cagewise help` lists, or --help or --version alone",
		"help gaers":                                 `unknown topic "gaers"; did you mean gears?`,
		"help kyes":                                  `unknown topic "kyes"; did you mean keys?`,
		"fit --chainsaty 430":                        `--chainsaty: unknown flag; did you mean --chainstay?`,
		"fit --chainstya=430":                        `--chainstya: unknown flag; did you mean --chainstay?`,
		"fit -chainstay 430":                         `-chainstay: unknown flag; did you mean --chainstay?`,
		"fit -chainstya=430":                         `-chainstya: unknown flag; did you mean --chainstay?`,
		"fit --unit imperial":                        `--unit: unknown flag; did you mean --units?`,
		"fit --colour never":                         `--colour: unknown flag; did you mean --color?`,
		"fit --paint red":                            "--paint: unknown flag; `cagewise help fit` lists the flags",
		"fit -x":                                     "-x: unknown flag; `cagewise help fit` lists the flags",
		"chart sped gravel.toml":                     `unknown chart "sped"; did you mean speed?`,
		"chart gravel.toml sped":                     `unknown chart "sped"; did you mean speed?`,
		"chart gravel.toml --kind lader":             `--kind: unknown chart "lader"; did you mean ladder?`,
		"chart gravel.toml paint":                    `unknown chart "paint"; allowed: ladder, side, `,
		"chart gravel.toml speed side":               "speed and side: two charts; allowed: one, before the build file, as in `cagewise chart speed gravel.toml`",
		"chart map gravel.toml --figure gpa":         `--figure: unknown figure "gpa"; did you mean gap?`,
		"chart gravel.toml --theme drak":             `--theme: unknown theme "drak"; did you mean dark?`,
		"chart gravel.toml --format pgn":             `--format: unknown format "pgn"; did you mean png?`,
		"chart wear cargo-wear.toml --part chian-1":  `--part: unknown chain "chian-1"; did you mean chain-1?`,
		"completion bsh":                             `unknown shell "bsh"; did you mean bash?`,
		"completion fihs":                            `unknown shell "fihs"; did you mean fish?`,
		"completion powder":                          `unknown shell "powder"; allowed: bash, zsh, fish`,
		"schema biuld":                               `unknown schema "biuld"; did you mean build?`,
		"gears gravel.toml --units imperal":          `--units: unknown units "imperal"; did you mean imperial?`,
		"gears gravel.toml --units metirc":           `--units: unknown units "metirc"; did you mean metric?`,
		"gears gravel.toml --units furlongs":         `--units: unknown units "furlongs"; allowed: metric, imperial`,
		"gears gravel.toml --color alwasy":           `--color: unknown choice "alwasy"; did you mean always?`,
		"gears gravel.toml --format jsno":            `--format: unknown format "jsno"; did you mean json?`,
		"wear cargo-wear.toml --rows cog":            `--rows: unknown rows "cog"; did you mean cogs?`,
		"log cargo-wear.toml readin":                 `unknown entry "readin"; did you mean reading?`,
		"compare gravel.toml --swap rnigs=40":        `--swap: unknown value "rnigs"; did you mean rings?`,
		"fit gravel.toml --class lnog":               `--class: "lnog"; did you mean long?`,
		"log cargo-wear.toml reading --method calip": `--method: "calip"; did you mean caliper?`,
	} {
		var out, bad bytes.Buffer
		status := run(strings.Fields(line), env{out: &out, err: &bad, width: 80})
		if said := strings.TrimPrefix(bad.String(), "cagewise: "); status != exitInput || !strings.HasPrefix(said, want) || out.Len() > 0 {
			t.Errorf("cagewise %s: status %d, it says\n%swant\n%s", line, status, said, want)
		}
	}
}

// Every command and every flag is found from a slip of the fingers.
func TestEverySlipIsFound(t *testing.T) {
	for _, c := range commands() {
		if got := complaint(t, swapped(c.name)); len(c.name) > 3 && !strings.HasSuffix(got, "did you mean "+c.name+"?\n") {
			t.Errorf("cagewise %s: %s", swapped(c.name), got)
		}
		for _, f := range completionsOf(c.name).flags {
			slip := "--" + swapped(f.name)
			if got := complaint(t, c.name, slip); len(f.name) > 5 && !strings.Contains(got, "did you mean --") {
				t.Errorf("cagewise %s %s: %s", c.name, slip, got)
			}
		}
	}
}

// swapped has two neighbouring letters swapped.
func swapped(word string) string {
	b := []byte(word)
	for i := 2; i < len(b); i++ {
		if b[i-1] != b[i] {
			b[i-1], b[i] = b[i], b[i-1]
			break
		}
	}
	return string(b)
}

func complaint(t *testing.T, args ...string) string {
	t.Helper()
	var out, bad bytes.Buffer
	run(args, env{out: &out, err: &bad, width: 80})
	return bad.String()
}

func completionsOf(name string) completed {
	for _, c := range completions() {
		if c.name == name {
			return c
		}
	}
	return completed{}
}
