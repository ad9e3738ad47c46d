package build

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"unicode/utf8"

	"github.com/BurntSushi/toml"
)

// File is a kind of text file: what it is called in messages and the most bytes
// that are read. gearing/bin and gearing/wearlog read theirs the same way.
type File struct {
	Kind string // such as "build file"
	Most int64
}

// Read reads a whole file. The error does not name the path.
func (k File) Read(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("cannot be opened: %w", Cause(err))
	}
	defer f.Close()
	info, err := f.Stat()
	switch {
	case err != nil:
		return nil, fmt.Errorf("cannot be read: %w", Cause(err))
	case info.IsDir():
		return nil, fmt.Errorf("is a directory; a %s is wanted", k.Kind)
	case info.Size() > k.Most:
		return nil, k.tooLarge()
	}
	var b bytes.Buffer
	b.Grow(int(info.Size()) + bytes.MinRead)
	if _, err := b.ReadFrom(io.LimitReader(f, k.Most+1)); err != nil {
		return nil, fmt.Errorf("cannot be read: %w", Cause(err))
	}
	if int64(b.Len()) > k.Most {
		return nil, k.tooLarge()
	}
	return b.Bytes(), nil
}

func (k File) tooLarge() error {
	return fmt.Errorf("is too large for a %s; allowed: at most %d bytes", k.Kind, k.Most)
}

// Text checks that data is UTF-8 and not too large, and takes a byte-order mark
// off. The error is a Problems with name in its places.
func (k File) Text(name string, data []byte) (string, error) {
	if int64(len(data)) > k.Most {
		return "", Problems{{name, k.tooLarge().Error()}}
	}
	if line := badLine(data); line > 0 {
		return "", Problems{{fmt.Sprintf("%s:%d", name, line), "is not UTF-8 text; allowed: a TOML file in UTF-8"}}
	}
	return strings.TrimPrefix(string(data), "\ufeff"), nil
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

// Cause strips the paths from an error of the file system: the message names
// the file that was asked for already.
func Cause(err error) error {
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

// Syntax is the problem of a text that is no TOML.
func Syntax(name string, err error) Problem {
	var p toml.ParseError
	if !errors.As(err, &p) {
		return Problem{name, strings.TrimPrefix(err.Error(), "toml: ")}
	}
	where := fmt.Sprintf("%s:%d", name, p.Position.Line)
	if p.LastKey != "" {
		where += ": " + Shorten(p.LastKey)
	}
	return Problem{where, Message(p)}
}

// Message is what the TOML library says is wrong, with a hint where tooth counts
// were taken for a date.
func Message(p toml.ParseError) string {
	message := p.Message
	if message == "" { // the library keeps some messages private
		message = strings.TrimPrefix(p.Error(), "toml: ")
	}
	return message + toothHint(p.LastKey, message)
}

// toothHint helps with tooth counts such as 11-34 without quotes, which TOML
// takes for a date.
func toothHint(key, message string) string {
	if !strings.Contains(message, "datetime") || !strings.HasSuffix(key, "teeth") {
		return ""
	}
	return `; put tooth counts in quotes: teeth = "11-13-15", or in a list: [11, 13, 15]`
}
