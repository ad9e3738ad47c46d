package wearlog

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"unicode/utf8"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// MaxBytes is the largest wear log that is read: 300,000 readings and more.
const MaxBytes = 32 << 20

// Load reads a wear log. Warnings name values that were accepted but are
// unusual. The error is a build.Problems.
func Load(path string) (gearing.WearLog, []build.Problem, error) {
	data, err := readFile(path)
	if err != nil {
		return gearing.WearLog{}, nil, build.Problems{{Where: path, Text: err.Error()}}
	}
	return Parse(path, data)
}

// Parse reads a wear log's text; name stands in messages. Every problem is
// reported, not only the first (after twenty they are counted). The order of
// the tables is kept. The error is a build.Problems.
func Parse(name string, data []byte) (gearing.WearLog, []build.Problem, error) {
	r, err := parse(name, data)
	if err != nil {
		return gearing.WearLog{}, nil, err
	}
	if len(r.problems) > 0 {
		return gearing.WearLog{}, nil, r.list(r.problems, r.dropped)
	}
	return r.log, r.list(r.warnings, 0), nil
}

// parse reads a text as far as TOML goes; the problems of its contents are
// left in the reader.
func parse(name string, data []byte) (*reader, error) {
	if len(data) > MaxBytes {
		return nil, build.Problems{{Where: name, Text: tooLarge().Error()}}
	}
	if line := badLine(data); line > 0 {
		return nil, build.Problems{{Where: fmt.Sprintf("%s:%d", name, line), Text: "is not UTF-8 text; allowed: a TOML file in UTF-8"}}
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	tables, ok := quick(text)
	if !ok {
		var err error
		if tables, err = decode(name, text); err != nil {
			return nil, err
		}
	}
	r := &reader{name: name}
	r.read(tables)
	return r, nil
}

func readFile(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("cannot be opened: %w", cause(err))
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, fmt.Errorf("cannot be read: %w", cause(err))
	}
	if info.IsDir() {
		return nil, errors.New("is a directory; a wear log is wanted")
	}
	if info.Size() > MaxBytes {
		return nil, tooLarge()
	}
	data, err := io.ReadAll(io.LimitReader(f, MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("cannot be read: %w", cause(err))
	}
	if len(data) > MaxBytes {
		return nil, tooLarge()
	}
	return data, nil
}

func tooLarge() error {
	return fmt.Errorf("is too large for a wear log; allowed: at most %d bytes", MaxBytes)
}

// cause strips the paths from an error of the file system: the message names
// the file the owner asked for, not a temporary one.
func cause(err error) error {
	var p *os.PathError
	var l *os.LinkError
	switch {
	case errors.As(err, &p):
		return p.Err
	case errors.As(err, &l):
		return l.Err
	}
	return err
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
