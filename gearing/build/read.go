package build

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"
)

// MaxBytes is the largest build file that is read.
const MaxBytes = 1 << 20

var buildFile = File{"build file", MaxBytes}

// Load reads a build file into a draft. The error is a Problems.
func Load(path string) (*Draft, error) {
	data, err := buildFile.Read(path)
	if err != nil {
		return nil, Problems{{path, err.Error()}}
	}
	return Parse(path, data)
}

// Read loads a build file and finishes it: what a program needs that has no
// flags of its own. The error is a Problems.
func Read(path string) (Result, error) {
	d, err := Load(path)
	if err != nil {
		return Result{}, err
	}
	return d.Finish()
}

// Parse reads a build file's text into a draft; name stands in messages. Every
// problem is reported, not only the first. The error is a Problems.
func Parse(name string, data []byte) (*Draft, error) {
	d, err := draftOf(name, data)
	return d, Foreign(name, buildFile.Kind, data, err)
}

func draftOf(name string, data []byte) (*Draft, error) {
	text, err := buildFile.Text(name, data)
	if err != nil {
		return nil, err
	}
	var tree map[string]any
	if _, err := toml.Decode(text, &tree); err != nil {
		return nil, Problems{Syntax(name, err)}
	}
	r := reader{name: name, text: text, draft: &Draft{file: name}}
	r.walk("", tree)
	if len(r.problems) > 0 {
		slices.SortStableFunc(r.problems, func(a, b placed) int { return a.line - b.line })
		return nil, r.list()
	}
	return r.draft, nil
}

// placed is a problem with the line it sorts by.
type placed struct {
	Problem
	line int
}

// reader walks over a decoded file.
type reader struct {
	name, text string
	draft      *Draft
	problems   []placed
}

func (r *reader) list() Problems {
	const most = 20
	var list Problems
	for i, p := range r.problems {
		if i == most {
			list = append(list, Problem{r.name, fmt.Sprintf("%d more problems", len(r.problems)-most)})
			break
		}
		list = append(list, p.Problem)
	}
	return list
}

func (r *reader) walk(prefix string, tree map[string]any) {
	for _, key := range slices.Sorted(maps.Keys(tree)) {
		path := key
		if prefix != "" {
			path = prefix + "." + key
		}
		r.take(path, tree[key])
	}
}

func (r *reader) take(path string, v any) {
	if f, ok := byPath[path]; ok {
		r.put(f, v)
		return
	}
	table, ok := v.(map[string]any)
	switch {
	case isSection(path) && ok:
		r.walk(path, table)
	case isSection(path):
		r.report(path, fmt.Sprintf("is %s; it is a table: write [%s] on a line of its own and its keys under it", kindOf(v), path))
	default:
		r.report(path, "unknown key"+r.suggest(path))
	}
}

func (r *reader) put(f *Field, v any) {
	parsed, err := f.fromTOML(v)
	if err != nil {
		r.report(f.Path(), err.Error())
		return
	}
	r.draft.set(f, parsed, r.where(f.Path()))
}

func (r *reader) report(path, text string) {
	r.problems = append(r.problems, placed{Problem{r.where(path), text}, lineOf(r.text, path)})
}

func (r *reader) where(path string) string {
	if line := lineOf(r.text, path); line > 0 {
		return fmt.Sprintf("%s:%d: %s", r.name, line, shorten(path))
	}
	return r.name + ": " + shorten(path)
}

// suggest names the key that was most likely meant: a key of the same table
// first, then a table, then the same key of another table.
func (r *reader) suggest(path string) string {
	section, key := "", path
	if i := strings.LastIndexByte(path, '.'); i >= 0 {
		section, key = path[:i], path[i+1:]
	}
	var siblings []string
	for _, f := range fields {
		if f.Section == section {
			siblings = append(siblings, f.Key)
		}
	}
	if near := Nearest(key, siblings); near != "" {
		return "; did you mean " + near + "?"
	}
	if near := Nearest(path, append(sections(), paths()...)); near != "" {
		return "; did you mean " + near + "?"
	}
	for _, f := range fields {
		if f.Key == key {
			return "; did you mean " + f.Path() + "?"
		}
	}
	if len(siblings) == 0 || section == "" {
		return "; allowed: " + strings.Join(append(siblings, sections()...), ", ")
	}
	return "; allowed: " + strings.Join(siblings, ", ")
}

// sections lists the tables of a build file in order.
func sections() []string {
	var list []string
	for _, f := range fields {
		if f.Section != "" && !slices.Contains(list, f.Section) {
			list = append(list, f.Section)
		}
	}
	return list
}

func isSection(path string) bool { return slices.Contains(sections(), path) }
