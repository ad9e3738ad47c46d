package wearlog

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/gearing/build"
)

// placed is a problem of one key of a table.
type placed struct {
	table  string
	number int // of the table among those of its name, from 1
	line   int // 0: not known
	key    string
	text   string
	// keys that are allowed instead; named as the place they are shown at
	// does it, as keys or as flags.
	keys []string
}

func (s *spot) placed(key, text string, keys []string) placed {
	p := placed{table: s.name, number: s.number, line: s.line, key: key, text: text, keys: keys}
	f := find(s.name, key)
	for _, k := range s.keys[:min(len(s.keys), mostKeys)] {
		if k.line > 0 && (k.key == key || f != nil && find(s.name, k.key) == f) { // or in inches
			p.line = k.line
		}
	}
	return p
}

// list writes problems for people, in the order of the file; beyond the first
// ones they are counted.
func (r *reader) list(all []placed, dropped int) build.Problems {
	const most = 20 // nobody mends more at once (invented here)
	slices.SortStableFunc(all, func(a, b placed) int { return a.line - b.line })
	var list build.Problems
	for i, p := range all {
		if i == most {
			return append(list, build.Problem{Where: r.name, Text: fmt.Sprintf("%d more", len(all)-most+dropped)})
		}
		list = append(list, p.inFile(r.name))
	}
	return list
}

// inFile names the place as file:line: reading 3: key.
func (p placed) inFile(name string) build.Problem {
	where := name
	if p.line > 0 {
		where = fmt.Sprintf("%s:%d", name, p.line)
	}
	if p.table != "" {
		where += fmt.Sprintf(": %s %d", build.Shorten(p.table), p.number)
	}
	if p.key != "" {
		where += ": " + build.Shorten(p.key)
	}
	return build.Problem{Where: where, Text: p.words(func(_, key string) string { return key })}
}

// words is the text with the keys allowed instead, named by name.
func (p placed) words(name func(table, key string) string) string {
	if len(p.keys) == 0 {
		return p.text
	}
	names := make([]string, len(p.keys))
	for i, key := range p.keys {
		names[i] = name(p.table, key)
	}
	return p.text + "; allowed: " + strings.Join(names, ", ")
}

// BadEntry says why an entry was not added to a log.
type BadEntry struct {
	problems []placed
	// Forcible tells that the log can be read with it.
	Forcible bool
}

// Error names the keys of the entry.
func (e *BadEntry) Error() string {
	return e.list(func(table, key string) string {
		return strings.TrimSpace(table + " " + key)
	}, func(_, key string) string { return key }).Error()
}

// Flags is the same with the flags of the command line named.
func (e *BadEntry) Flags() build.Problems {
	flag := func(table, key string) string {
		if f := find(table, key); f != nil {
			return "--" + f.Flag
		}
		return key
	}
	return e.list(flag, flag)
}

func (e *BadEntry) list(where, name func(table, key string) string) build.Problems {
	list := make(build.Problems, len(e.problems))
	for i, p := range e.problems {
		list[i] = build.Problem{Where: where(p.table, p.key), Text: p.words(name)}
	}
	return list
}
