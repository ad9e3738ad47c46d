package bin

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// Format writes a bin as a commented file; Parse gives the same bin back, but
// for the lines, if the bin is one that Parse could have given. Derailleurs are
// written out in full, without same_as.
func Format(b gearing.PartsBin) []byte {
	w := &writer{kinds: kinds()}
	w.WriteString(head)
	w.text(nameKey, b.Name)
	w.text(noteKey, b.Note)
	w.text(moneyKey, b.Money)
	for _, p := range b.RingSets {
		w.part(ringsTable, p.BinPart)
		w.teeth(p.Teeth, "/", true)
	}
	for _, p := range b.Cassettes {
		w.part(cassetteTable, p.BinPart)
		w.teeth(p.Teeth, "-", false)
	}
	for _, p := range b.Derailleurs {
		w.part(rearTable, p.BinPart)
		w.fields(gearing.Build{Rear: p.Rear})
	}
	for _, p := range b.Chains {
		w.part(chainTable, p.BinPart)
		w.fields(gearing.Build{Chain: gearing.Chain{Pitches: p.Pitches}})
	}
	for _, p := range b.Extenders {
		w.part(extenderTable, p.BinPart)
		w.fields(gearing.Build{Rear: gearing.RearDerailleur{Geometry: gearing.Geometry{ExtenderBehind: p.Behind, ExtenderBelow: p.Below}}})
	}
	for _, p := range b.Wheels {
		w.part(wheelTable, p.BinPart)
		w.fields(gearing.Build{Wheel: p.Wheel})
	}
	return []byte(w.String())
}

const head = `# A parts bin of cagewise. Every part has a name that no other part of its kind
# has. price: what it costs; on_hand = true: it costs nothing; available = false:
# it stays in this file and out of the search; note: one line.
# Lengths are millimetres, or text with a unit: "16.9 in", "43 cm".
`

// about says above the first table of a kind what it holds.
func about(table string) string {
	switch table {
	case ringsTable:
		return "Ring sets: teeth of rings that are fitted together."
	case cassetteTable:
		return "Cassettes: teeth of every cog."
	case rearTable:
		return "Rear derailleurs: ratings, and what a ruler finds, under the keys of a build\n# file. Without pulley_centres or geometry.class only the rated answer is given."
	case chainTable:
		return "Chains: count of pitches, 12.7 mm each. They may be cut shorter."
	case extenderTable:
		return "Hanger extenders: how far they move the hanger bolt, mm. Going without one is\n# always a choice too."
	}
	return "Wheels: tyre is the ETRTO marking, roll_out one wheel turn, measured, mm.\n# Without one the wheel of the build is meant."
}

type writer struct {
	strings.Builder
	kinds   map[string]*kind
	current string // table
}

// text writes a text that is not empty.
func (w *writer) text(key, s string) {
	if s != "" {
		fmt.Fprintf(w, "%s = %s\n", key, quoted(s))
	}
}

// quoted writes a text of one line in TOML.
func quoted(s string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(s) + `"`
}

// part begins a table with what all parts have.
func (w *writer) part(table string, p gearing.BinPart) {
	if w.current != table {
		w.current = table
		fmt.Fprintf(w, "\n# %s\n", about(table))
	} else {
		w.WriteByte('\n')
	}
	fmt.Fprintf(w, "[[%s]]\n", table)
	w.text(nameKey, p.Name)
	w.text(noteKey, p.Note)
	if p.Price != 0 || !p.OnHand {
		fmt.Fprintf(w, "%s = %s\n", priceKey, strconv.FormatFloat(p.Price, 'f', -1, 64))
	}
	if p.OnHand {
		fmt.Fprintf(w, "%s = true\n", onHandKey)
	}
	if p.Unavailable {
		fmt.Fprintf(w, "%s = false\n", availableKey)
	}
}

// teeth writes wheels as they are spoken of: "46/30", "11-13-15".
func (w *writer) teeth(teeth []gearing.Teeth, between string, largestFirst bool) {
	words := make([]string, len(teeth))
	for i, n := range teeth {
		words[i] = strconv.Itoa(int(n))
	}
	if largestFirst {
		slices.Reverse(words)
	}
	fmt.Fprintf(w, "teeth = %s\n", quoted(strings.Join(words, between)))
}

// fields writes what is known of the current table's part.
func (w *writer) fields(b gearing.Build) {
	k, under := w.kinds[w.current], ""
	for _, key := range k.order {
		f := k.fields[key]
		literal, worth := f.Written(&b)
		if !worthIt(f, &b, worth) {
			continue
		}
		table, short, nested := strings.Cut(key, ".")
		if nested && under != table {
			under = table
			fmt.Fprintf(w, "\n[%s.%s]\n", k.table, table)
		}
		if !nested {
			short = key
		}
		fmt.Fprintf(w, "%s = %s\n", short, literal)
	}
}

// worthIt tells which values are written: the wheel's tyre too where it is all that is
// known, though it may be a build's default.
func worthIt(f *build.Field, b *gearing.Build, worth bool) bool {
	if f.Path() == "wheel.tyre" {
		return b.Wheel.Section > 0 && (worth || b.Wheel.MeasuredRollOut == 0)
	}
	return worth
}
