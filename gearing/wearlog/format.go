package wearlog

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"cagewise/gearing"
)

// Format writes the parts, readings, findings and rides of a log as tables of
// a wear log, in that order, in the unit of log.Miles. The keys at the log's
// top are not written.
func Format(log gearing.WearLog) string {
	var blocks []string
	for i := range log.Parts {
		blocks = append(blocks, block("part", &log.Parts[i], log.Miles, nil))
	}
	for i := range log.Readings {
		rd := &log.Readings[i]
		needs := demandOf(rd.Method, rd.HasScale).needs
		blocks = append(blocks, block("reading", rd, log.Miles, needs))
	}
	for i := range log.Findings {
		blocks = append(blocks, block("finding", &log.Findings[i], log.Miles, nil))
	}
	for i := range log.Rides {
		blocks = append(blocks, block("ride", &log.Rides[i], log.Miles, nil))
	}
	return strings.Join(blocks, "\n")
}

// block writes a record: what is known of it, what every such table needs and
// the keys in needs.
func block(table string, record any, miles bool, needs []string) string {
	var keys []keyed
	for _, f := range fieldsOf(table) {
		v, known := f.get(record)
		if known || f.Needed || slices.Contains(needs, f.Key) {
			keys = append(keys, keyed{key: f.Key, raw: f.raw(v, miles)})
		}
	}
	return written(table, keys)
}

// raw is the TOML value of a value.
func (f *Field) raw(v value, miles bool) any {
	switch f.Kind {
	case Text, Choice:
		return v.text
	case Switch:
		return v.on
	case Date:
		return v.day
	case Wheels:
		list := make([]any, len(v.list))
		for i, n := range v.list {
			list[i] = int64(n)
		}
		return list
	case Distance:
		if miles {
			return fromKM(v.num)
		}
	}
	return v.num
}

// written is a table as it stands in a log.
func written(table string, keys []keyed) string {
	var b strings.Builder
	fmt.Fprintf(&b, "[[%s]]\n", table)
	for _, k := range keys {
		fmt.Fprintf(&b, "%s = %s\n", k.key, literal(k.raw))
	}
	return b.String()
}

// literal writes a TOML value.
func literal(raw any) string {
	switch v := raw.(type) {
	case string:
		return quote(v)
	case bool:
		return strconv.FormatBool(v)
	case float64:
		return strings.ToLower(strings.TrimPrefix(trim(v), "+")) // NaN and Inf are nan and inf
	case time.Time:
		return v.Format(time.DateOnly)
	case []any:
		return literalList(v)
	}
	return fmt.Sprint(raw)
}

// literalList writes one entry without brackets.
func literalList(list []any) string {
	if len(list) == 1 {
		return literal(list[0])
	}
	words := make([]string, len(list))
	for i, item := range list {
		words[i] = literal(item)
	}
	return "[" + strings.Join(words, ", ") + "]"
}

// quote writes a text so that no bytes of it can end a text that somebody left
// open further up in the file: three quotes of a kind never stand together.
func quote(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < ' ' || r == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return strings.ReplaceAll(b.String(), "'''", `''\u0027`)
}
