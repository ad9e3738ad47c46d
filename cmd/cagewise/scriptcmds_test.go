package main

import (
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/rogpeppe/go-internal/testscript"
)

// checkWidth fails when a line of a file is wider: width COLUMNS FILE.
func checkWidth(ts *testscript.TestScript, _ bool, args []string) {
	most, err := strconv.Atoi(args[0])
	ts.Check(err)
	for i, line := range strings.Split(ts.ReadFile(args[1]), "\n") {
		if n := utf8.RuneCountInString(line); n > most {
			ts.Fatalf("%s:%d has %d columns: %s", args[1], i+1, n, line)
		}
	}
}

// checkExit runs a command and holds its exit status: exits STATUS CMD ARGS.
func checkExit(ts *testscript.TestScript, _ bool, args []string) {
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	err = ts.Exec(args[1], args[2:]...)
	got := 0
	if exit, ok := err.(*exec.ExitError); ok {
		got = exit.ExitCode()
	} else if err != nil {
		ts.Fatalf("%v", err)
	}
	if got != want {
		ts.Fatalf("exit status %d, want %d", got, want)
	}
}

// writeCogs writes a build with that many cogs: cogs COUNT FILE.
func writeCogs(ts *testscript.TestScript, _ bool, args []string) {
	n, err := strconv.Atoi(args[0])
	ts.Check(err)
	text := "rings.teeth = [30]\ncogs.teeth = [" + strings.TrimSuffix(strings.Repeat("11, ", n), ", ") + "]\n"
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), []byte(fmt.Sprint(text)), 0o644))
}
