package wearlog

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"

	"cagewise/gearing/build"
)

// decode reads any TOML with the library, which keeps no lines of keys; they
// are looked up in the text. The error is a build.Problems.
func decode(name, text string) ([]table, error) {
	if line := tangled(text); line > 0 {
		return nil, build.Problems{{Where: fmt.Sprintf("%s:%d", name, line),
			Text: fmt.Sprintf("lists or tables stand in one another too deeply; allowed: %d deep, and a wear log needs 2", mostDepth)}}
	}
	var tree map[string]any
	if _, err := toml.Decode(text, &tree); err != nil {
		return nil, build.Problems{build.Syntax(name, err)}
	}
	tables := []table{fromMap("", tree)}
	tables[0].keys = slices.DeleteFunc(tables[0].keys, func(k keyed) bool {
		list := tablesIn(k.raw)
		for _, m := range list {
			tables = append(tables, fromMap(k.key, m))
		}
		return len(list) > 0
	})
	locate(text, tables)
	return tables, nil
}

// tablesIn gives the tables of a list of tables, in either form in which the
// library hands them over; nil for anything else.
func tablesIn(raw any) []map[string]any {
	list, ok := raw.([]any)
	if !ok {
		tables, _ := raw.([]map[string]any)
		return tables
	}
	tables := make([]map[string]any, len(list))
	for i, item := range list {
		if tables[i], ok = item.(map[string]any); !ok {
			return nil
		}
	}
	return tables
}

// fromMap puts a table's keys in the order of the alphabet: the library has
// lost the file's.
func fromMap(name string, m map[string]any) table {
	t := table{name: name, keys: make([]keyed, 0, len(m))}
	for _, key := range slices.Sorted(maps.Keys(m)) {
		t.keys = append(t.keys, keyed{key: key, raw: m[key]})
	}
	return t
}

// locate finds the lines of headers and keys in a text that has parsed. Tables
// that are not written under headers of their own stay without a line.
func locate(text string, tables []table) {
	w := walker{tables: tables, coming: map[string][]int{}}
	for i := 1; i < len(tables); i++ {
		w.coming[tables[i].name] = append(w.coming[tables[i].name], i)
	}
	for line := range strings.Lines(text) {
		w.line++
		w.take(strings.TrimSpace(line))
	}
}

// walker walks over the lines of a TOML file.
type walker struct {
	tables []table
	coming map[string][]int // tables of a name whose headers are still to come
	at     int              // table the line belongs to; -1: none of ours
	line   int
	closer string // ends the string or list that is open; "" for none
}

func (w *walker) take(line string) {
	switch {
	case w.closer != "":
		if strings.Contains(line, w.closer) {
			w.closer = ""
		}
	case strings.HasPrefix(line, "["):
		w.header(strings.Trim(strings.SplitN(line, "#", 2)[0], "[]\"' \t"))
	case !strings.HasPrefix(line, "#"):
		if key, rest, ok := strings.Cut(line, "="); ok {
			w.key(strings.Trim(key, "\"' \t"))
			w.open(strings.TrimSpace(rest))
		}
	}
}

func (w *walker) header(name string) {
	list := w.coming[name]
	if len(list) == 0 {
		w.at = 0 // a table in single brackets is a key of the top
		w.key(name)
		w.at = -1
		return
	}
	w.at, w.coming[name] = list[0], list[1:]
	w.tables[w.at].line = w.line
}

func (w *walker) key(key string) {
	if w.at < 0 || len(w.tables[w.at].keys) > mostKeys {
		return
	}
	for i, k := range w.tables[w.at].keys {
		if k.key == key && k.line == 0 {
			w.tables[w.at].keys[i].line = w.line
		}
	}
}

// open notes a value that goes on over the next lines.
func (w *walker) open(rest string) {
	for _, quote := range []string{`"""`, `'''`} {
		if strings.HasPrefix(rest, quote) && !strings.Contains(rest[3:], quote) {
			w.closer = quote
		}
	}
	if strings.HasPrefix(rest, "[") && !strings.Contains(rest, "]") {
		w.closer = "]"
	}
}
