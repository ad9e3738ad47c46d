package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"testing"

	writeup "cagewise/plot/report"
)

// twelve is a 2x12 build that is simulated.
const twelve = `name = "Invented double"
rings.teeth = "48/31"
cogs.teeth = "11-12-13-14-15-17-19-21-24-28-32-36"
[frame]
chainstay = 425
bottom_bracket_drop = 70
[wheel]
tyre = "37-622"
[rear_derailleur]
rated_capacity = 41
largest_cog = 36
pulley_centres = 90
`

// Bounds of the page of one 2x12 build.
const mostPageBytes = 600_000

func twelveFile(t testing.TB) string {
	path := filepath.Join(t.TempDir(), "twelve.toml")
	if err := os.WriteFile(path, []byte(twelve), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestReportSize(t *testing.T) {
	var first bytes.Buffer
	for range 2 {
		var out bytes.Buffer
		if status := run([]string{"report", twelveFile(t)}, env{out: &out, err: os.Stderr, width: 80}); status != exitFine {
			t.Fatal(status)
		}
		if n := out.Len(); n > mostPageBytes {
			t.Errorf("%d bytes; allowed: %d", n, mostPageBytes)
		}
		if first.Len() > 0 && !bytes.Equal(first.Bytes(), out.Bytes()) {
			t.Error("the same build gives two pages")
		}
		first = out
	}
}

func BenchmarkReport(b *testing.B) {
	path := twelveFile(b)
	for b.Loop() {
		run([]string{"report", path}, env{out: io.Discard, err: io.Discard, width: 80})
	}
}

// When a file cannot take its name, what stood there before comes back.
func TestWriteFilesUndoes(t *testing.T) {
	dir := t.TempDir()
	name := func(s string) string { return filepath.Join(dir, s) }
	if err := os.WriteFile(name("a"), []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	b := batch{}
	for _, s := range []string{"a", "b", "c"} {
		if err := b.stage(writeup.File{Name: name(s), Data: []byte("new")}); err != nil {
			t.Fatal(err)
		}
	}
	for i := range 2 {
		if err := b.place(i); err != nil {
			t.Fatal(err)
		}
	}
	b.undo(2)
	b.clean()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	if data, err := os.ReadFile(name("a")); err != nil || string(data) != "old" || len(entries) != 1 {
		t.Errorf("%v %q %v", err, data, entries)
	}
}

func TestWriteFiles(t *testing.T) {
	dir := t.TempDir()
	var files []writeup.File
	for i := range 3 {
		files = append(files, writeup.File{Name: filepath.Join(dir, fmt.Sprint(i)), Data: []byte("new")})
	}
	if err := os.WriteFile(files[1].Name, []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := writeFiles(files); err != nil {
		t.Fatal(err)
	}
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != 3 {
		t.Error(err, entries)
	}
	if info, err := os.Stat(files[1].Name); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("%v: the mode of a file that was there is not kept", err)
	}
}
