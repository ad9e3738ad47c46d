package build

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"cagewise/gearing"
)

// Format writes a build as a build file: every value that is not a default,
// nothing else. Reading it back gives the same build, but for a wheel or a
// rider's band that is all zero: a file without them gets the defaults.
func Format(b gearing.Build) []byte {
	w := writer{}
	for _, f := range fields {
		if f.known(&b) || f.halfOf(&b) {
			w.section(f)
			fmt.Fprintf(&w, "%s = %s\n", f.Key, f.literal(f.read(&b)))
		}
	}
	return []byte(w.String())
}

// halfOf tells whether the other half of a field's measure is known; then both
// are written, a zero too.
func (f *Field) halfOf(b *gearing.Build) bool {
	for _, h := range halves {
		for i, key := range h {
			if f.Path() == geometrySection+"."+key {
				other, err := Find(geometrySection + "." + h[1-i])
				return err == nil && other.known(b)
			}
		}
	}
	return false
}

// Template writes a commented starting file that holds what the draft holds;
// the rest is there with sample values, commented out unless the starting
// file needs it.
func Template(d *Draft) []byte {
	w := writer{}
	w.WriteString(templateHead)
	for _, f := range fields {
		w.section(f)
		fmt.Fprintf(&w, "\n# %s", f.Doc)
		if f.Kind == Length || f.Kind == Number {
			fmt.Fprintf(&w, ", %s", f.Unit)
		}
		fmt.Fprintf(&w, ".\n# Allowed: %s. Without it: %s.\n", f.Allowed(), f.Default)
		switch e, ok := d.given[f]; {
		case ok:
			fmt.Fprintf(&w, "%s = %s\n", f.Key, f.literal(e.value))
		case f.Essential:
			fmt.Fprintf(&w, "%s = %s\n", f.Key, f.Sample)
		default:
			fmt.Fprintf(&w, "# %s = %s\n", f.Key, f.Sample)
		}
	}
	return []byte(w.String())
}

const templateHead = `# A build file of cagewise. Lines that begin with # say what a value means;
# remove the # in front of a key to set it. The values that are set are
# invented where you gave none: replace them with what is on your bike.
# Lengths are millimetres, or text with a unit: "16.9 in", "43 cm".
`

// writer adds the table headers as they come.
type writer struct {
	strings.Builder
	current string
}

func (w *writer) section(f *Field) {
	if f.Section == w.current {
		return
	}
	w.current = f.Section
	if w.Len() > 0 {
		w.WriteByte('\n')
	}
	fmt.Fprintf(w, "[%s]\n", f.Section)
}

// literal writes a value in TOML.
func (f *Field) literal(v value) string {
	switch f.Kind {
	case Text, Choice:
		return tomlString(v.text)
	case Switch:
		return strconv.FormatBool(v.on)
	case Tyre:
		return tomlString(trim(v.list[0]) + "-" + trim(v.list[1]))
	case Wheels, Band, Series:
		items := make([]string, len(v.list))
		for i, x := range v.list {
			items[i] = trim(x)
		}
		return "[" + strings.Join(items, ", ") + "]"
	}
	return tomlNumber(v.num)
}

// tomlNumber writes integers without a point and never with an exponent that
// TOML would not read back to the same number.
func tomlNumber(x float64) string {
	if x == 0 {
		return "0" // no minus zero
	}
	if x == math.Trunc(x) && math.Abs(x) < 1e15 {
		return strconv.FormatInt(int64(x), 10)
	}
	return trim(x)
}

// tomlString quotes a text of one line; control characters were refused when
// it was read.
func tomlString(s string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(s) + `"`
}
