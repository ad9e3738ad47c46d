package bin

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"unicode/utf8"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// Limits of what is read. They are far over any shed and keep memory and time
// bounded whatever the file.
const (
	MaxBytes      = 64 << 20 // of a file
	MaxTableBytes = 1 << 20  // of one table, comments between the tables included
	MaxParts      = 20_000   // of one kind
)

// Load reads a parts bin from a file. The error is a build.Problems.
func Load(path string) (gearing.PartsBin, error) {
	data, err := readFile(path)
	if err != nil {
		return gearing.PartsBin{}, build.Problems{{Where: path, Text: err.Error()}}
	}
	return Parse(path, data)
}

func readFile(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("cannot be opened: %w", pathless(err))
	}
	defer f.Close()
	info, err := f.Stat()
	switch {
	case err != nil:
		return nil, fmt.Errorf("cannot be read: %w", pathless(err))
	case info.IsDir():
		return nil, errors.New("is a directory; a parts bin is wanted")
	case info.Size() > MaxBytes:
		return nil, tooLarge()
	}
	var b bytes.Buffer
	b.Grow(int(info.Size()) + bytes.MinRead)
	if _, err := b.ReadFrom(io.LimitReader(f, MaxBytes+1)); err != nil {
		return nil, fmt.Errorf("cannot be read: %w", pathless(err))
	}
	return b.Bytes(), nil
}

func tooLarge() error {
	return fmt.Errorf("is too large for a parts bin; allowed: at most %d bytes", MaxBytes)
}

// pathless strips the path from an error of the file system: the message
// begins with it already.
func pathless(err error) error {
	var p *os.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// Parse reads the text of a parts bin; name stands in messages. All problems are
// reported together in the order of the file, after twenty the rest is counted.
// The parts of a kind keep the file's order, teeth rise. The error is a
// build.Problems whose places read file:line: table n: key, n counting the
// tables of the kind.
func Parse(name string, data []byte) (gearing.PartsBin, error) {
	if len(data) > MaxBytes {
		return gearing.PartsBin{}, build.Problems{{Where: name, Text: tooLarge().Error()}}
	}
	if line := badLine(data); line > 0 {
		return gearing.PartsBin{}, build.Problems{{Where: fmt.Sprintf("%s:%d", name, line), Text: "is not UTF-8 text; allowed: a TOML file in UTF-8"}}
	}
	r := &reader{name: name, kinds: kinds()}
	r.read(strings.TrimPrefix(string(data), "\ufeff"))
	if len(r.problems) > 0 {
		return gearing.PartsBin{}, r.list()
	}
	return r.bin, nil
}

// badLine is the line of the first byte that is not UTF-8, 0 for none.
func badLine(data []byte) int {
	if utf8.Valid(data) {
		return 0
	}
	line := 1
	for len(data) > 0 {
		r, n := utf8.DecodeRune(data)
		if r == utf8.RuneError && n == 1 {
			break
		}
		if r == '\n' {
			line++
		}
		data = data[n:]
	}
	return line
}
