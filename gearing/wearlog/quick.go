package wearlog

import (
	"slices"
	"strings"
)

// table is one table of a log as it stands in the file; the first one of a log
// holds the keys of its top and has no name.
type table struct {
	name string
	line int // of its header; 0: not known
	keys []keyed
}

// keyed is a key with its decoded TOML value: string, bool, int64, float64,
// time.Time, []any or map[string]any.
type keyed struct {
	key  string
	line int // 0: not known
	raw  any
}

// quick reads logs that are written as plainly as cagewise and most people
// write them: tables in double brackets, bare keys, values on one line. It is
// ten times as fast as the TOML library and knows every line. At the first
// thing that is not plain or not right it gives up and the library decides;
// what it accepts the library accepts with the same values (TestQuickIsTOML,
// FuzzParse).
func quick(text string) ([]table, bool) {
	tables := []table{{}}
	n := 0
	for line := range strings.Lines(text) {
		n++
		if text, ended := strings.CutSuffix(line, "\n"); ended {
			line = strings.TrimSuffix(text, "\r")
		}
		if hasControl(line) {
			return nil, false
		}
		line = skip(line)
		switch {
		case line == "" || line[0] == '#':
		case strings.HasPrefix(line, "[["):
			name, rest, ok := strings.Cut(line[2:], "]]")
			if !ok || !isBare(name) || !isEnd(rest) || tables[0].has(name) {
				return nil, false
			}
			tables = append(tables, table{name: name, line: n})
		default:
			if !tables[len(tables)-1].quick(line, n) {
				return nil, false
			}
		}
	}
	return tables, true
}

// mostKeys is more than any table of a log can have; they are looked up one by
// one.
const mostKeys = 64

// quick takes one line of key = value.
func (t *table) quick(line string, n int) bool {
	key, rest, ok := strings.Cut(line, "=")
	key = skipBack(key)
	if !ok || !isBare(key) || len(t.keys) == mostKeys || t.has(key) {
		return false
	}
	raw, rest, ok := quickValue(skip(rest))
	if !ok || !isEnd(rest) {
		return false
	}
	if t.keys == nil {
		t.keys = make([]keyed, 0, 8)
	}
	t.keys = append(t.keys, keyed{key, n, raw})
	return true
}

func (t *table) has(key string) bool {
	return slices.ContainsFunc(t.keys, func(k keyed) bool { return k.key == key })
}

// skip and skipBack leave out blanks before and behind.
func skip(s string) string {
	for len(s) > 0 && (s[0] == ' ' || s[0] == '\t') {
		s = s[1:]
	}
	return s
}

func skipBack(s string) string {
	for len(s) > 0 && (s[len(s)-1] == ' ' || s[len(s)-1] == '\t') {
		s = s[:len(s)-1]
	}
	return s
}

func hasControl(line string) bool {
	for i := range len(line) {
		if c := line[i]; c < ' ' && c != '\t' || c == 0x7f {
			return true
		}
	}
	return false
}

// isBare tells a key that needs no quotes.
func isBare(key string) bool {
	for i := range len(key) {
		c := key[i]
		if (c < 'a' || c > 'z') && (c < 'A' || c > 'Z') && (c < '0' || c > '9') && c != '_' && c != '-' {
			return false
		}
	}
	return key != ""
}

// isEnd tells whether nothing or a comment follows.
func isEnd(rest string) bool {
	rest = skip(rest)
	return rest == "" || rest[0] == '#'
}
