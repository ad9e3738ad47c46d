// Command cagewise answers what a wide-range derailleur drivetrain does: its
// gears, whether the derailleur carries them, how long the chain must be.
package main

import (
	"context"
	"io"
	"os"

	"golang.org/x/term"
)

func main() {
	os.Exit(run(os.Args[1:], terminal()))
}

// Exit statuses.
const (
	exitFine    = 0
	exitVerdict = 1 // the build does not work
	exitInput   = 2 // bad input or use
)

// env is the world as a command sees it.
type env struct {
	out, err io.Writer
	width    int  // columns of out
	isTTY    bool // out is a terminal
	colour   bool
	// ctx stops long work, which then tells what it found; nil: nothing does.
	ctx context.Context
}

// terminal looks at the real standard output. Text stays within 80 columns
// unless a terminal is wider; colour needs a terminal and no NO_COLOR.
func terminal() env {
	e := env{out: os.Stdout, err: os.Stderr, width: 80}
	fd := int(os.Stdout.Fd())
	e.isTTY = term.IsTerminal(fd)
	if !e.isTTY {
		return e
	}
	if w, _, err := term.GetSize(fd); err == nil && w > e.width {
		e.width = min(w, 140)
	}
	e.colour = os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
	return e
}
