package wearlog

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"cagewise/gearing"
)

// Template is a starting log: every key with its meaning and what is allowed.
// What the draft of the top gives is filled in; the rest is commented out, with
// invented values.
func Template(top *Draft) []byte {
	var b strings.Builder
	remark(&b, "# ", "Wear log for cagewise. Lines that begin with # are remarks: take the # away from what you want and put your own values in. All values here are invented.")
	for _, f := range topFields {
		b.WriteByte('\n')
		remark(&b, "# ", upperFirst(f.Doc)+". Allowed: "+f.Allowed()+".")
		i := slices.IndexFunc(top.keys, func(k keyed) bool { return k.key == f.Key })
		if i >= 0 {
			fmt.Fprintf(&b, "%s = %s\n", f.Key, literal(top.keys[i].raw))
		} else {
			fmt.Fprintf(&b, "# %s = %s\n", f.Key, f.Sample)
		}
	}
	for _, table := range Tables() {
		explain(&b, table)
		for _, s := range samples(table) {
			s.write(&b, table)
		}
	}
	return []byte(b.String())
}

// purpose says what a table is for.
func purpose(table string) string {
	return map[string]string{
		"part":    "A part, fitted or in turn with others.",
		"reading": "A reading of a chain. Each method has keys of its own.",
		"finding": "What was seen, heard or felt on a part.",
		"ride":    "Distance ridden: one ride, or many together.",
	}[table]
}

// explain writes what a table is for and what its keys mean.
func explain(b *strings.Builder, table string) {
	fmt.Fprintf(b, "\n\n# ---- %s\n#\n", purpose(table))
	for _, f := range fieldsOf(table) {
		key := f.Key
		if f.Kind == Length {
			key += " (or " + f.inches() + ")"
		}
		if f.Needed {
			key += ", always"
		}
		remark(b, "#   ", key+": "+f.Doc+". Allowed: "+f.Allowed()+".")
	}
}

// remark writes comment lines of at most 80 columns; those after the first are
// set in.
func remark(b *strings.Builder, prefix, text string) {
	line := prefix
	for i, word := range strings.Fields(text) {
		switch {
		case i == 0:
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > 80:
			b.WriteString(line + "\n")
			line = prefix
			if prefix != "# " {
				line += "  "
			}
		default:
			line += " "
		}
		line += word
	}
	b.WriteString(line + "\n")
}

// example is a table with its keys and, where the field's own sample does not
// do, values.
type example struct {
	keys   []string
	values map[string]string
}

// samples gives the tables of the starting log.
func samples(table string) []example {
	switch table {
	case "part":
		return []example{
			{strings.Fields("id kind pitches fitted_at fitted_on price source roller_play_mm start_elongation_percent"), nil},
			{strings.Fields("id kind teeth fitted_at price source"), map[string]string{"id": `"cassette-1"`, "kind": `"cassette"`, "price": "60", "source": `"not to be had"`}},
		}
	case "reading":
		return readingSamples()
	case "finding":
		return []example{
			{strings.Fields("part at on kind degree cogs"), nil},
			{strings.Fields("part at on kind cogs loaded note"), map[string]string{"kind": `"skips"`, "loaded": "true"}},
		}
	}
	return []example{{strings.Fields("on distance chain note"), nil}}
}

// readingSamples has one for each method, and one of a gauge with a scale.
func readingSamples() []example {
	const gauge = "10" // pitches a drop-in gauge may span (common practice, no source)
	var list []example
	add := func(m gearing.ReadingMethod, scale bool, pitches string) {
		keys := slices.Concat([]string{"part", "at", "on", "method"}, demandOf(m, scale).all())
		list = append(list, example{keys, map[string]string{"method": quote(string(m)), "pitches": pitches}})
	}
	add(gearing.MethodRule, false, "24")
	add(gearing.MethodHung, false, "112")
	add(gearing.MethodCaliper, false, "")
	add(gearing.MethodTwoPoint, false, gauge)
	add(gearing.MethodTwoPoint, true, gauge)
	add(gearing.MethodThreePoint, false, gauge)
	add(gearing.MethodLift, false, "")
	return list
}

// write writes the table with every line commented out.
func (e example) write(b *strings.Builder, table string) {
	fmt.Fprintf(b, "\n# [[%s]]\n", table)
	for _, f := range fieldsOf(table) {
		if !slices.Contains(e.keys, f.Key) {
			continue
		}
		text, ok := e.values[f.Key]
		if !ok {
			text = f.Sample
		}
		fmt.Fprintf(b, "# %s = %s\n", f.Key, text)
	}
}

func upperFirst(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
