package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"cagewise": main})
}

// TestScripts runs the real command in testdata/script; each file says what it
// checks. $EXAMPLES holds the example builds.
func TestScripts(t *testing.T) {
	examples, err := filepath.Abs("../../examples")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("EXAMPLES", examples)
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"sparse": makeSparse, "width": checkWidth, "exits": checkExit, "cogs": writeCogs,
		},
	})
}

// makeSparse makes a file of one gigabyte that takes no room: sparse FILE.
func makeSparse(ts *testscript.TestScript, _ bool, args []string) {
	f, err := os.Create(ts.MkAbs(args[0]))
	ts.Check(err)
	ts.Check(f.Truncate(1 << 30))
	ts.Check(f.Close())
}
