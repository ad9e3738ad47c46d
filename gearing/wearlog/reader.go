package wearlog

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// reader turns tables into a log and keeps what is wrong with them.
type reader struct {
	name     string
	log      gearing.WearLog
	parts    map[string]*gearing.WearPart
	counts   map[string]int  // tables of a name
	listed   map[string]bool // names whose tables stand in a list, without headers: no table can follow
	problems []placed
	dropped  int // problems over mostProblems
	warnings []placed
	slips    []placed // of the warnings, what is not to be added by oversight
}

// mostProblems are kept to choose the first ones from.
const mostProblems = 1000

// spot is the table that is being read.
type spot struct {
	*table
	number int
	given  []*Field // that have a value
	bad    bool     // something is wrong with it
}

func (r *reader) read(tables []table) {
	r.parts, r.counts, r.listed = map[string]*gearing.WearPart{}, map[string]int{}, map[string]bool{}
	r.fill(&spot{table: &tables[0]}, &r.log)
	r.more(tables[1:])
}

// more reads tables that stand behind those read before.
func (r *reader) more(tables []table) {
	rest := make([]*spot, 0, len(tables))
	for i := range tables {
		t := &tables[i]
		r.counts[t.name]++
		if t.line == 0 {
			r.listed[t.name] = true
		}
		s := &spot{table: t, number: r.counts[t.name]}
		switch {
		case t.name == "part":
			r.part(s)
		case slices.Contains(Tables(), t.name):
			rest = append(rest, s)
		default:
			r.report(s, "", "unknown table"+build.DidYouMean(t.name, Tables())+"; allowed: [[part]], [[reading]], [[finding]], [[ride]]")
		}
	}
	r.index()
	r.log.Readings = slices.Grow(r.log.Readings, r.counts["reading"]-len(r.log.Readings))
	for _, s := range rest {
		r.entry(s)
	}
}

// index makes the parts findable once their places in memory are fixed.
func (r *reader) index() {
	for i := range r.log.Parts {
		r.parts[r.log.Parts[i].ID] = &r.log.Parts[i]
	}
}

func (r *reader) part(s *spot) {
	p := gearing.WearPart{FittedKM: -1, RemovedKM: -1, Price: -1, Line: s.line}
	if r.fill(s, &p); !s.bad {
		r.checkPart(s, p)
	}
	before, twice := r.parts[p.ID]
	switch {
	case p.ID == "":
	case twice: // the first one stands
		r.report(s, "id", fmt.Sprintf("%q is the id of a %s already; allowed: ids used once", build.Shorten(p.ID), before.Kind))
	default:
		r.parts[p.ID] = &p
		r.log.Parts = append(r.log.Parts, p)
	}
}

func (r *reader) entry(s *spot) {
	switch s.name {
	case "reading":
		rd := gearing.WearReading{Line: s.line}
		if r.fill(s, &rd); !s.bad {
			r.checkReading(s, rd)
		}
		r.log.Readings = append(r.log.Readings, rd)
	case "finding":
		f := gearing.WearFinding{Line: s.line}
		if r.fill(s, &f); !s.bad {
			r.checkFinding(s, f)
		}
		r.log.Findings = append(r.log.Findings, f)
	case "ride":
		ride := gearing.WearRide{Line: s.line}
		if r.fill(s, &ride); !s.bad && ride.Chain != "" {
			r.chain(s, "chain", ride.Chain)
		}
		r.log.Rides = append(r.log.Rides, ride)
	}
}

// fill puts a table's values into a record.
func (r *reader) fill(s *spot, record any) {
	unit := slices.IndexFunc(s.keys, func(k keyed) bool { return k.key == "distance_unit" })
	if s.name == "" && unit > 0 { // before any distance
		s.keys[0], s.keys[unit] = s.keys[unit], s.keys[0]
	}
	s.given = make([]*Field, 0, len(s.keys))
	for _, k := range s.keys {
		r.take(s, k, record)
	}
	for _, f := range fieldsOf(s.name) {
		if f.Needed && !slices.Contains(s.given, f) && !s.has(f.Key) {
			r.report(s, f.Key, "is missing; allowed: "+f.Allowed())
		}
	}
}

func (r *reader) take(s *spot, k keyed, record any) {
	f := find(s.name, k.key)
	switch {
	case f == nil:
		if s.bad = true; !r.drops() { // before the words are looked for
			r.problems = append(r.problems, s.placed(k.key, s.unknown(k), nil))
		}
		return
	case slices.Contains(s.given, f):
		r.report(s, k.key, "stands in millimetres and in inches; allowed: one of them")
		return
	}
	v, err := f.fromTOML(k.key, k.raw, r.log.Miles)
	if err != nil {
		r.report(s, k.key, err.Error())
		return
	}
	s.given = append(s.given, f)
	f.put(record, v)
}

// unknown tells of a key that a table does not have.
func (s *spot) unknown(k keyed) string {
	if s.name == "" && slices.Contains(Tables(), k.key) {
		return fmt.Sprintf("is %s; write each on its own, under a line [[%s]]", build.KindOf(k.raw), k.key)
	}
	var keys []string
	for _, f := range fieldsOf(s.name) {
		keys = append(keys, f.Key)
		if f.Kind == Length {
			keys = append(keys, f.inches())
		}
	}
	if s.name == "" {
		keys = append(keys, Tables()...)
	}
	if near := build.DidYouMean(k.key, keys); near != "" {
		return "unknown key" + near
	}
	return "unknown key; allowed: " + strings.Join(keys, ", ")
}

// report notes a problem at a key of a table, or at its header.
func (r *reader) report(s *spot, key, text string, keys ...string) {
	if s.bad = true; !r.drops() {
		r.problems = append(r.problems, s.placed(key, text, keys))
	}
}

// drops tells whether there are enough problems to tell of; the next one is
// then counted alone.
func (r *reader) drops() bool {
	if len(r.problems) < mostProblems {
		return false
	}
	r.dropped++
	return true
}

// slip warns of what can be read but not be meant.
func (r *reader) slip(s *spot, key, text string) {
	r.warn(s, key, text)
	r.slips = append(r.slips, s.placed(key, text, nil))
}

func (r *reader) warn(s *spot, key, text string) {
	r.warnings = append(r.warnings, s.placed(key, text, nil))
}
