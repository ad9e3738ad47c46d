package bin

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// reader walks over the tables of a bin.
type reader struct {
	name     string
	kinds    map[string]*kind
	bin      gearing.PartsBin
	parts    []*part // in the order of the file
	priced   bool    // a part has a price
	broken   bool    // some text is not TOML: parts may be hidden in it
	problems []placed
	hints    int // near matches among names that were looked for
}

// placed is a problem with the line it sorts by.
type placed struct {
	build.Problem
	line int
}

// Problems that are listed, and those after which reading stops.
const (
	mostListed   = 20
	mostProblems = 100
)

func (r *reader) full() bool { return len(r.problems) >= mostProblems }

func (r *reader) report(line int, key, text string) {
	where := r.name
	if line > 0 {
		where = fmt.Sprintf("%s:%d", r.name, line)
	}
	if key != "" {
		where += ": " + key
	}
	r.problems = append(r.problems, placed{build.Problem{Where: where, Text: text}, line})
}

// list is what there is to say, in the order of the file.
func (r *reader) list() build.Problems {
	slices.SortStableFunc(r.problems, func(a, b placed) int { return a.line - b.line })
	var list build.Problems
	for _, p := range r.problems[:min(len(r.problems), mostListed)] {
		list = append(list, p.Problem)
	}
	if more := len(r.problems) - mostListed; more > 0 {
		text := fmt.Sprintf("%d more problems", more)
		if r.full() {
			text += "; the rest was not read"
		}
		list = append(list, build.Problem{Where: r.name, Text: text})
	}
	return list
}

func (r *reader) read(text string) {
	s := split(text)
	for top := true; !r.full(); top = false {
		c, ok := s.next()
		if !ok {
			break
		}
		r.chunk(c, top)
	}
	if s.deep > 0 {
		r.broken = true
		r.report(s.deep, "", fmt.Sprintf("lists and tables are nested too deep; allowed: %d in each other", mostNested))
	}
	r.finish()
}

// chunk reads the top of the file, or one table with what stands under it.
func (r *reader) chunk(c chunk, top bool) {
	if len(c.text) > MaxTableBytes {
		r.broken = true
		r.report(c.line, "", fmt.Sprintf("the table that begins here is too large; allowed: at most %d bytes up to the next one", MaxTableBytes))
		return
	}
	var tree map[string]any
	if _, err := toml.Decode(c.text, &tree); err != nil {
		r.broken = true
		r.syntax(c, err)
		return
	}
	for _, key := range slices.Sorted(maps.Keys(tree)) {
		switch k := r.kinds[key]; {
		case r.full():
			return
		case k != nil:
			r.tables(c, k, tree[key], top)
		default:
			r.top(c, key, tree[key])
		}
	}
}

// syntax reports what the library says.
func (r *reader) syntax(c chunk, err error) {
	var p toml.ParseError
	if !errors.As(err, &p) {
		r.report(c.line, "", strings.TrimPrefix(err.Error(), "toml: "))
		return
	}
	r.report(c.line-1+max(1, p.Position.Line), build.Shorten(p.LastKey), build.Message(p))
}

// top takes a key outside of the tables of parts.
func (r *reader) top(c chunk, key string, raw any) {
	var err error
	switch key {
	case nameKey:
		r.bin.Name, err = text(key).Line(raw)
	case noteKey:
		r.bin.Note, err = text(key).Line(raw)
	case moneyKey:
		r.bin.Money, err = text(key).Line(raw)
	default:
		err = errors.New("unknown key" + suggest(key, append(topKeys(), tableNames()...)))
	}
	if err != nil {
		r.report(c.lineOf(key), build.Shorten(key), err.Error())
	}
}

func suggest(word string, allowed []string) string {
	hint := "; allowed: " + strings.Join(allowed, ", ")
	if near := build.Nearest(word, allowed); near != "" {
		return "; did you mean " + near + "?" + hint
	}
	return hint
}

// lineOf is the line of a key in the file; that of the chunk when the key cannot
// be found.
func (c chunk) lineOf(path string) int { return c.line - 1 + max(1, build.LineOf(c.text, path)) }

// tables takes the tables of a kind that stand in a chunk: one, or at the top of
// the file a list.
func (r *reader) tables(c chunk, k *kind, raw any, top bool) {
	list, ok := tablesIn(raw)
	line := c.line // of its header
	if top {
		line = c.lineOf(k.table)
	}
	switch {
	case !ok:
		r.report(c.lineOf(k.table), k.table, fmt.Sprintf("is %s; allowed: tables under [[%s]], in double brackets", build.KindOf(raw), k.table))
		return
	case k.inline:
		k.count += len(list)
		r.report(line, k.table, fmt.Sprintf("is a list at the top of the file already; allowed: either the list or [[%s]]", k.table))
		return
	}
	k.inline = top
	for _, t := range list {
		if r.full() {
			return
		}
		if k.count++; k.count > MaxParts {
			if k.count == MaxParts+1 {
				r.report(line, k.table, fmt.Sprintf("too many; allowed: at most %d tables of a kind", MaxParts))
			}
			continue
		}
		r.part(c, k, t, line)
	}
}

// tablesIn gives the tables of a list, in either form in which the library hands
// them over.
func tablesIn(raw any) ([]map[string]any, bool) {
	list, ok := raw.([]any)
	if !ok {
		tables, ok := raw.([]map[string]any)
		return tables, ok
	}
	tables := make([]map[string]any, len(list))
	for i, item := range list {
		if tables[i], ok = item.(map[string]any); !ok {
			return nil, false
		}
	}
	return tables, true
}
