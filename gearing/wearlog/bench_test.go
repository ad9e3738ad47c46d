package wearlog

import (
	"fmt"
	"strings"
	"testing"
)

// manyReadings is a log of n readings; with a value in it that only the TOML
// library takes when plain is false.
func manyReadings(n int, plain bool) string {
	var b strings.Builder
	b.WriteString("[[part]]\nid = \"chain-1\"\nkind = \"chain\"\n")
	if !plain {
		b.WriteString("price = 1_0\n")
	}
	for i := range n {
		fmt.Fprintf(&b, "\n[[reading]]\npart = \"chain-1\"\nat = %d\non = 2026-03-14\nmethod = \"rule\"\npitches = 24\nlength_mm = 306.9\nnote = \"on the bike\"\n", i)
	}
	return b.String()
}

func BenchmarkParse(b *testing.B) {
	for _, n := range []int{1000, 100_000} {
		for _, plain := range []bool{true, false} {
			data := []byte(manyReadings(n, plain))
			b.Run(fmt.Sprintf("%d/plain=%v", n, plain), func(b *testing.B) {
				b.SetBytes(int64(len(data)))
				for b.Loop() {
					if log, _, err := Parse("b.toml", data); err != nil || len(log.Readings) != n {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

// unsynced leaves the disk's sync out.
type unsynced struct{ osDisk }

type unsyncedFile struct{ file }

func (d unsynced) create(path string) (file, error) {
	f, err := d.osDisk.create(path)
	return unsyncedFile{f}, err
}

func (unsynced) syncDir(string) error { return nil }
func (unsyncedFile) Sync() error      { return nil }

// BenchmarkAppend adds a ride to a log of 1,000 readings: all of it, and
// without the disk's sync.
func BenchmarkAppend(b *testing.B) {
	for _, d := range []disk{osDisk{}, unsynced{}} {
		for _, plain := range []bool{true, false} {
			b.Run(fmt.Sprintf("synced=%v/plain=%v", d == osDisk{}, plain), func(b *testing.B) {
				path := logFile(b, manyReadings(1000, plain))
				for b.Loop() {
					if _, err := addRide(d, path, 1); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
