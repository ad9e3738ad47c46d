package wearlog

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/gearing/build"
)

// Draft is an entry for a wear log as its owner gives it, in flags: values stay
// as they were written, distances in the log's unit.
type Draft struct {
	table string
	keys  []keyed
}

// NewDraft begins an entry: "part", "reading", "finding" or "ride"; "" is the
// top of a new log.
func NewDraft(table string) (*Draft, error) {
	if fieldsOf(table) == nil {
		return nil, fmt.Errorf("%q is no table of a wear log; allowed: %s", build.Shorten(table), strings.Join(Tables(), ", "))
	}
	return &Draft{table: table}, nil
}

// Fields lists what can be given, in the order in which it is written.
func (d *Draft) Fields() []*Field { return fieldsOf(d.table) }

// SetFlag takes a field's value from the command line. What is wrong with it
// by itself is told at once, as build.Problems of one; the rest when the draft
// is appended.
func (d *Draft) SetFlag(f *Field, text string) error {
	key, raw, err := f.fromText(text)
	if err == nil {
		_, err = f.fromTOML(key, raw, false)
	}
	if err != nil {
		return build.Problems{{Where: "--" + f.Flag, Text: err.Error()}}
	}
	d.keys = slices.DeleteFunc(d.keys, func(k keyed) bool { return find(d.table, k.key) == f })
	d.keys = append(d.keys, keyed{key: key, raw: raw})
	return nil
}

// String is the entry as it stands in a log.
func (d *Draft) String() string {
	var keys []keyed
	for _, f := range d.Fields() {
		for _, k := range d.keys {
			if find(d.table, k.key) == f {
				keys = append(keys, k)
			}
		}
	}
	return written(d.table, keys)
}
