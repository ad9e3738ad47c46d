package main

import (
	"fmt"
	"io"
	"strings"
	"time"
)

// searchBar shows how far a long search is, its rate and the time left. It is
// silent unless it writes to a terminal, and for the first second.
type searchBar struct {
	out   io.Writer // nil: silent
	start time.Time
	now   func() time.Time
	width int // of what was drawn
}

func newSearchBar(stderr io.Writer) *searchBar {
	b := &searchBar{out: onTerminal(stderr), now: time.Now}
	b.start = b.now()
	return b
}

func (b *searchBar) draw(done, of float64) {
	spent := b.now().Sub(b.start)
	if b.out == nil || spent < barPatience || of <= 0 {
		return
	}
	part := done / of
	full := int(part * barWidth)
	line := fmt.Sprintf("[%s%s] %3.0f %%, %s combinations a second%s", strings.Repeat("#", full), strings.Repeat(" ", barWidth-full),
		100*part, count(done/spent.Seconds()), timeLeft(spent, part))
	fmt.Fprintf(b.out, "\r%-*s", b.width, line)
	b.width = max(b.width, len(line))
}

// timeLeft is told once there is something to tell it from.
func timeLeft(spent time.Duration, part float64) string {
	if part < 0.01 {
		return ""
	}
	left := time.Duration(float64(spent) * (1 - part) / part).Round(time.Second)
	return fmt.Sprintf(", %s left", left)
}

func (b *searchBar) done() {
	if b.width > 0 {
		fmt.Fprintf(b.out, "\r%s\r", strings.Repeat(" ", b.width))
	}
}
