package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"golang.org/x/term"
)

// progress draws a bar for a file that takes over a second to read. It is
// silent unless it writes to a terminal.
type progress struct {
	out        io.Writer // nil: silent
	name       string
	size, read int64
	now        func() time.Time
	next       time.Time // when to draw
	drawn      bool
}

const (
	barPatience = time.Second
	barEvery    = 200 * time.Millisecond
	barWidth    = 30
)

// newProgress makes the bar for a file of that size; 0 when it is not known.
func newProgress(stderr io.Writer, name string, size int64) *progress {
	p := &progress{out: onTerminal(stderr), name: name, size: size, now: time.Now}
	p.next = p.now().Add(barPatience)
	return p
}

// onTerminal is a writer for bars: nil unless it writes to a terminal.
func onTerminal(w io.Writer) io.Writer {
	if f, ok := w.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		return w
	}
	return nil
}

// reader counts what is read of in.
func (p *progress) reader(in io.Reader) io.Reader {
	if p.out == nil || p.size <= 0 {
		return in
	}
	return progressReader{in, p}
}

type progressReader struct {
	in  io.Reader
	bar *progress
}

func (r progressReader) Read(b []byte) (int, error) {
	n, err := r.in.Read(b)
	r.bar.add(int64(n))
	return n, err
}

func (p *progress) add(n int64) {
	p.read += n
	if now := p.now(); !now.Before(p.next) {
		p.next = now.Add(barEvery)
		p.draw()
	}
}

func (p *progress) draw() {
	part := min(float64(p.read)/float64(p.size), 1)
	full := int(part * barWidth)
	fmt.Fprintf(p.out, "\r%.40s [%s%s] %3.0f %%", p.name, strings.Repeat("#", full), strings.Repeat(" ", barWidth-full), 100*part)
	p.drawn = true
}

// done takes the bar away.
func (p *progress) done() {
	if p.drawn {
		fmt.Fprintf(p.out, "\r%s\r", strings.Repeat(" ", 40+barWidth+10))
	}
}
