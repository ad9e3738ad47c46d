package main

import (
	"bytes"
	"io"
	"strings"
	"testing"
	"time"
)

// A bar comes after a second of reading, follows what is read and goes away.
func TestProgressBar(t *testing.T) {
	var out bytes.Buffer
	clock := time.Unix(0, 0)
	p := &progress{out: &out, name: "r.fit", size: 100, now: func() time.Time { return clock }, next: clock.Add(barPatience)}
	in := p.reader(strings.NewReader(strings.Repeat("x", 100)))
	for i := range 10 {
		clock = clock.Add(300 * time.Millisecond)
		if _, err := io.ReadFull(in, make([]byte, 10)); err != nil {
			t.Fatal(err)
		}
		if i == 2 && out.Len() > 0 {
			t.Errorf("drawn within a second: %q", &out)
		}
	}
	p.done()
	text := out.String()
	if !strings.HasPrefix(text, "\rr.fit [############") || !strings.Contains(text, "] 100 %") || !strings.HasSuffix(text, " \r") {
		t.Errorf("bar %q", text)
	}
}

// Off a terminal there is nothing.
func TestProgressIsSilent(t *testing.T) {
	var out bytes.Buffer
	p := newProgress(&out, "r.fit", 100)
	p.next = time.Time{}
	if _, err := io.ReadAll(p.reader(strings.NewReader("x"))); err != nil {
		t.Fatal(err)
	}
	p.done()
	if out.Len() > 0 {
		t.Errorf("wrote %q", &out)
	}
}
