package wearlog

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"pgregory.net/rapid"

	"cagewise/gearing"
)

// compiled is the schema as another library reads it; compiling also holds it
// against the meta-schema of its edition.
func compiled(t *testing.T) *jsonschema.Schema {
	t.Helper()
	text, err := json.Marshal(Schema())
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("log.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("log.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// asJSON is a TOML text as a JSON instance; dates become texts.
func asJSON(t interface{ Fatal(...any) }, text string) any {
	var tree map[string]any
	if _, err := toml.Decode(text, &tree); err != nil {
		t.Fatal(err, text)
	}
	data, err := json.Marshal(tree)
	if err != nil {
		t.Fatal(err)
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func reads(text string) error {
	_, _, err := Parse("test.toml", []byte(text))
	return err
}

// The examples and the log of the other tests pass, files of other kinds do not.
func TestSchemaExamples(t *testing.T) {
	s := compiled(t)
	paths, err := filepath.Glob("../../examples/*.toml")
	if err != nil || len(paths) == 0 {
		t.Fatal("no examples", err)
	}
	logs := 0
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		read, passes := reads(string(text)), s.Validate(asJSON(t, string(text)))
		if (read == nil) != (passes == nil) {
			t.Errorf("%s: the reader says %v, the schema %v", path, read, passes)
		}
		if read == nil {
			logs++
		}
	}
	if logs < 2 {
		t.Errorf("only %d logs among the examples", logs)
	}
	if err := s.Validate(asJSON(t, whole)); err != nil {
		t.Error(err)
	}
}

const aChain = "[[part]]\nid = \"chain-1\"\nkind = \"chain\"\n"

// entries are one entry of each shape, with every key it can have: a table and
// its keys as literals.
func entries() []struct {
	table string
	keys  map[string]string
} {
	type entry = struct {
		table string
		keys  map[string]string
	}
	sampled := func(table string, keys []string, own map[string]string) entry {
		e := entry{table, map[string]string{}}
		for _, key := range keys {
			e.keys[key] = find(table, key).Sample
		}
		for key, literal := range own {
			e.keys[key] = literal
		}
		return e
	}
	all := func(table string) (keys []string) {
		for _, f := range fieldsOf(table) {
			keys = append(keys, f.Key)
		}
		return keys
	}
	list := []entry{
		sampled("", all(""), nil), sampled("ride", all("ride"), nil),
		sampled("part", slices.DeleteFunc(all("part"), func(k string) bool { return k == "teeth" }), map[string]string{"id": `"chain-2"`}),
		sampled("part", []string{"id", "kind", "teeth"}, map[string]string{"id": `"cassette-1"`, "kind": `"cassette"`}),
		sampled("finding", all("finding"), map[string]string{"part": `"chain-1"`, "kind": `"skips"`, "degree": `"bad"`}),
	}
	for _, s := range readingSamples() {
		keys := append(slices.Clone(s.keys), "note")
		own := map[string]string{}
		for key, literal := range s.values {
			if literal != "" {
				own[key] = literal
			}
		}
		list = append(list, sampled("reading", keys, own))
	}
	return list
}

// logWith is a log with one entry, in which a key has another value.
func logWith(table string, keys map[string]string, key, literal string) string {
	var b strings.Builder
	if table != "" {
		b.WriteString(aChain)
		fmt.Fprintf(&b, "[[%s]]\n", table)
	}
	for k, l := range keys {
		if k != key && k != strings.TrimSuffix(key, "_in")+"_mm" {
			fmt.Fprintf(&b, "%s = %s\n", k, l)
		}
	}
	if key != "" {
		fmt.Fprintf(&b, "%s = %s\n", key, literal)
	}
	return b.String()
}

// Literals of a kind that are wrong, wherever they stand.
func badLiterals(f *Field) []string {
	under, over := trim(f.Low-1), trim(f.High+1)
	bad := []string{"{a = 1}", "[[1]]"}
	switch f.Kind {
	case Choice:
		return append(bad, `"paint"`, `""`, "1", "true", "[]")
	case Switch:
		return append(bad, `"true"`, "1")
	case Date:
		return append(bad, `"soon"`, `"2026-13-01"`, "1969-12-31", "2200-01-01", "20260314", "07:32:00", "true")
	case Wheels:
		return append(bad, under, over, "[]", `""`, `"a"`, "["+over+"]", "[11, 11]", `"11-`+over+`"`, "11.5", "true", "["+strings.Repeat("11, ", 15)+"]")
	case Count:
		return append(bad, under, over, trim(f.Low+0.5), `"`+trim(f.Low)+`"`, "true", "["+trim(f.Low)+"]")
	case Number, Distance, Length:
		if f.Over {
			under = trim(f.Low)
		}
		return append(bad, under, over, `"`+trim(f.High)+`"`, "true", "["+trim(f.High)+"]")
	}
	bad = append(bad, "1", "true", `""`, `"a\u0007b"`, `"a\nb"`, `"`+strings.Repeat("a", int(f.High)+1)+`"`)
	if f.High == mostID {
		bad = append(bad, `" a"`, `"a "`, `" "`)
	}
	return bad
}

// Reader and schema agree on every value that is wrong by itself, and let every
// sample pass.
func TestSchemaValues(t *testing.T) {
	s := compiled(t)
	check := func(text string, want bool) {
		if err := reads(text); (err == nil) != want {
			t.Errorf("the reader says %v, want good: %v\n%s", err, want, text)
		}
		if err := s.Validate(asJSON(t, text)); (err == nil) != want {
			t.Errorf("the schema says %v, want good: %v\n%s", err, want, text)
		}
	}
	seen := map[*Field]bool{}
	for _, e := range entries() {
		check(logWith(e.table, e.keys, "", ""), true)
		for key := range e.keys {
			f := find(e.table, key)
			seen[f] = true
			for _, literal := range badLiterals(f) {
				check(logWith(e.table, e.keys, key, literal), false)
			}
			if f.Kind == Length && f.Sample != "true" {
				check(logWith(e.table, e.keys, f.inches(), trim(f.High)), false)
				check(logWith(e.table, e.keys, f.inches(), `"a"`), false)
				check(logWith(e.table, e.keys, "", "")+f.inches()+" = 1\n", false)
			}
			if f.Needed || e.table == "reading" && slices.Contains(demandOf(gearing.ReadingMethod(strings.Trim(e.keys["method"], `"`)), e.keys["scale_percent"] != "").needs, key) {
				without := map[string]string{}
				for k, l := range e.keys {
					if k != key {
						without[k] = l
					}
				}
				check(logWith(e.table, without, "", ""), false)
			}
		}
		check(logWith(e.table, e.keys, "", "")+"colour = 1\n", false)
	}
	for _, f := range Fields() {
		if !seen[f] {
			t.Errorf("no entry with %s %s", f.Table, f.Key)
		}
	}
}

// What reader and schema let pass, and what they refuse for how it goes
// together.
func TestSchemaTogether(t *testing.T) {
	s := compiled(t)
	const rule = aChain + "[[reading]]\npart = \"chain-1\"\nat = 1\nmethod = \"rule\"\npitches = 24\n"
	part := func(kind, more string) string {
		return "[[part]]\nid = \"p\"\nkind = \"" + kind + "\"\n" + more
	}
	finding := func(more string) string {
		return part("cassette", "teeth = \"11-13\"\n[[finding]]\npart = \"p\"\nat = 1\n"+more)
	}
	for text, want := range map[string]bool{
		"": true, aChain: true,
		rule + "length_in = \"12 1/16\"\n": true, rule + "length_in = 12.06\n": true, rule + "length_in = \" 193/16\"\nerror_mm = 0.5\n": true,
		rule + "length_in = \"12 1/0\"\n": false, rule + "length_mm = 306.9\nlength_in = 12\n": false, rule + "length_mm = 306.9\nlift_mm = 1\n": false,
		rule + "length_mm = 306.9\non = 2026-03-14T10:00:00Z\n": true, rule + "length_mm = 306.9\non = \"2026-03-14\"\n": true,
		part("ring", ""): false, part("ring", "teeth = 44\n"): true, part("ring", "teeth = [44]\n"): true, part("ring", "teeth = \"44\"\n"): true,
		part("ring", "teeth = [44, 46]\n"): false, part("ring", "teeth = \"44-46\"\n"): false, part("guide pulley", ""): true,
		part("cable", "teeth = 11\n"): false, part("chain", "teeth = 11\n"): false, part("cassette", ""): false, part("cassette", "teeth = \"+11, 013\"\n"): true,
		part("ring", "teeth = 44\npitches = 112\n"): false, part("ring", "teeth = 44\nroller_play_in = 0.01\n"): false, part("chain", "roller_play_in = 0.01\n"): true,
		finding("kind = \"tooth shape\"\n"): false, finding("kind = \"tooth shape\"\ndegree = \"bad\"\n"): false, finding("kind = \"tooth shape\"\ndegree = \"hooked\"\n"): true,
		finding("kind = \"looks good\"\ndegree = \"bad\"\n"): false, finding("kind = \"skips\"\ndegree = \"hooked\"\n"): false, finding("kind = \"skips\"\n"): true,
		"reading = []\n": false, "[reading]\npart = \"chain-1\"\n": false, "part = \"a\"\n": false, "nam = \"a\"\n": false, "[[paint]]\na = 1\n": false,
		"distance_unit = \"furlongs\"\n": false, "ride = [{distance = 3}]\n": true,
	} {
		if err := reads(text); (err == nil) != want {
			t.Errorf("the reader says %v, want good: %v\n%s", err, want, text)
		}
		if err := s.Validate(asJSON(t, text)); (err == nil) != want {
			t.Errorf("the schema says %v, want good: %v\n%s", err, want, text)
		}
	}
}

// Whatever is written passes.
func TestSchemaTakesWhatIsWritten(t *testing.T) {
	s := compiled(t)
	rapid.Check(t, func(t *rapid.T) {
		text := Format(drawLog(t))
		if err := s.Validate(asJSON(t, text)); err != nil && reads(text) == nil {
			t.Fatalf("%v\n%s", err, text)
		}
	})
}

// The committed schema is the one the program writes; `go run ./cmd/cagewise
// schema log >examples/log.schema.json` renews it.
func TestSchemaFile(t *testing.T) {
	var want bytes.Buffer
	e := json.NewEncoder(&want)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(Schema()); err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile("../../examples/log.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want.Bytes()) {
		t.Error("examples/log.schema.json is not what `cagewise schema log` prints")
	}
}
