// Command cagewise answers what a wide-range derailleur drivetrain does: its
// gears, whether the derailleur carries them, how long the chain must be.
package main

import (
	"context"
	"io"
	"os"
	"strconv"

	"golang.org/x/term"
)

func main() {
	os.Exit(run(os.Args[1:], terminal()))
}

// Exit statuses.
const (
	exitFine    = 0
	exitVerdict = 1 // the verdict is no yes
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
	// told hears of every build file that is read ("load") and of everything
	// that is computed of a build ("study"); nil: nobody listens.
	told func(work, path string)
}

// saw tells that some work was done.
func (e env) saw(work, path string) {
	if e.told != nil {
		e.told(work, path)
	}
}

// Columns of text: off a terminal, and the least and the most on one.
const (
	usualWidth = 80
	leastWidth = 30
	mostWidth  = 140
)

// terminal looks at the real standard output. Text is as wide as a terminal is,
// by COLUMNS or by asking it, and 80 columns wide elsewhere; colour needs a
// terminal that is not dumb, and no NO_COLOR.
func terminal() env {
	e := env{out: os.Stdout, err: os.Stderr, width: usualWidth}
	fd := int(os.Stdout.Fd())
	e.isTTY = term.IsTerminal(fd)
	if !e.isTTY {
		return e
	}
	if w := columns(fd); w > 0 {
		e.width = min(max(w, leastWidth), mostWidth)
	}
	e.colour = os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
	return e
}

// columns is the width of a terminal, 0 when it is not known.
func columns(fd int) int {
	if w, err := strconv.Atoi(os.Getenv("COLUMNS")); err == nil && w > 0 {
		return w
	}
	w, _, err := term.GetSize(fd)
	if err != nil {
		return 0
	}
	return w
}
