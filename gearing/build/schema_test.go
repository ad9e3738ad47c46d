package build

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"pgregory.net/rapid"
)

// compiled is the schema as another library reads it; compiling also holds it
// against the meta-schema of its edition.
func compiled(t *testing.T) *jsonschema.Schema { return compile(t, Schema()) }

func compile(t *testing.T, schema map[string]any) *jsonschema.Schema {
	t.Helper()
	text, err := json.Marshal(schema)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("build.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("build.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// asJSON is a TOML text as a JSON instance.
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

// finishes tells whether the reader takes a text as a whole build.
func finishes(text string) error {
	d, err := Parse("test.toml", []byte(text))
	if err == nil {
		_, err = d.Finish()
	}
	return err
}

// The examples: builds pass, files of other kinds do not.
func TestSchemaExamples(t *testing.T) {
	s := compiled(t)
	paths, err := filepath.Glob("../../examples/*.toml")
	if err != nil || len(paths) == 0 {
		t.Fatal("no examples", err)
	}
	builds := 0
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		reads, passes := finishes(string(text)), s.Validate(asJSON(t, string(text)))
		if (reads == nil) != (passes == nil) {
			t.Errorf("%s: the reader says %v, the schema %v", path, reads, passes)
		}
		if reads == nil {
			builds++
		}
	}
	if builds < 7 {
		t.Errorf("only %d builds among the examples", builds)
	}
}

const rest = "rings.teeth = [46, 30]\ncogs.teeth = \"11-13-15-17-19-21-24-28-32-36\"\n"

// with is a build with one more value; a list of wheels takes the place of the
// one in rest.
func with(f *Field, literal string) string {
	text := rest
	if f.Kind == Wheels {
		lines := strings.SplitAfter(rest, "\n")
		text = strings.Join(slices.DeleteFunc(lines, func(l string) bool { return strings.HasPrefix(l, f.Path()) }), "")
	}
	text += f.Path() + " = " + literal + "\n"
	for _, h := range halves {
		for i, key := range h {
			if f.Path() == geometrySection+"."+key {
				other, _ := Find(geometrySection + "." + h[1-i])
				text += other.Path() + " = " + other.Sample + "\n"
			}
		}
	}
	return text
}

// literals are values of a kind, good and bad, at and over the ends.
func literals(f *Field) (good, bad []string) {
	low, high := trim(f.Low), trim(f.High)
	under, over := trim(f.Low-1), trim(f.High+1)
	bad = []string{"{a = 1}", "[{a = 1}]", "[[1]]"}
	switch f.Kind {
	case Text:
		return []string{`"a"`, `""`, `"` + strings.Repeat("ä", 200) + `"`}, append(bad, "1", "true", `"a\u0007b"`, `"`+strings.Repeat("a", 201)+`"`)
	case Choice:
		return []string{`"` + f.Choices[0] + `"`}, append(bad, `"paint"`, "1", "true", "[]")
	case Switch:
		return []string{"true", "false"}, append(bad, `"true"`, "1")
	case Tyre:
		return []string{`"37-622"`, `"622-37"`, `"15-200"`, `"130-700"`, `"37.5 - 622"`, `"130.0-700.0"`},
			append(bad, `"37"`, `"14-622"`, `"131-622"`, `"130.5-622"`, `"37-199"`, `"37-701"`, "37", `"a-b"`)
	case Count:
		return []string{low, high}, append(bad, under, over, trim(f.Low+0.5), `"`+low+`"`, "true", "["+low+"]")
	case Number:
		return []string{low, high, trim((f.Low + f.High) / 2)}, append(bad, under, over, `"`+low+`"`, "true", "["+low+"]")
	case Length:
		return []string{low, high, `"` + high + ` mm"`, `"` + high + `MM"`, `"` + trim(f.High/10) + `cm"`, `" ` + trim((f.Low+f.High)/50.8) + ` in "`, `'` + trim((f.Low+f.High)/50.8) + `"'`},
			append(bad, under, over, `"a"`, `"1 km"`, `""`, "true", "["+low+"]")
	}
	good = []string{low, "[" + high + "]", `"` + low + "-" + high + `"`, `"` + low + " / " + high + `,"`, "[" + low + ", " + high + "]"}
	bad = append(bad, under, over, "["+under+"]", "["+over+"]", "[]", `""`, `"a"`, `"`+over+`"`, `"`+under+`-`+low+`"`, `"-`+low+`"`, "true", `["`+low+`"]`)
	many := strings.TrimSuffix(strings.Repeat(low+", ", f.most()+1), ", ")
	bad = append(bad, "["+many+"]", `"`+many+`"`)
	if f.Kind == Wheels {
		bad = append(bad, "["+low+", "+low+"]", trim(f.Low+0.5))
	}
	return good, bad
}

// Reader and schema agree on good and bad values of every field.
func TestSchemaValues(t *testing.T) {
	s := compiled(t)
	check := func(f *Field, literal string, want bool) {
		text := with(f, literal)
		if _, err := Parse("test.toml", []byte(text)); (err == nil) != want {
			t.Errorf("%s = %s: the reader says %v, want good: %v", f.Path(), literal, err, want)
		}
		if err := s.Validate(asJSON(t, text)); (err == nil) != want {
			t.Errorf("%s = %s: the schema says %v, want good: %v", f.Path(), literal, err, want)
		}
	}
	for _, f := range fields {
		good, bad := literals(f)
		for _, literal := range good {
			check(f, literal, true)
		}
		for _, literal := range bad {
			check(f, literal, false)
		}
	}
}

// What a file as a whole can get wrong.
func TestSchemaRefuses(t *testing.T) {
	s := compiled(t)
	for name, text := range map[string]string{
		"unknown key":         rest + "rings.theet = 3\n",
		"unknown top key":     rest + "nam = \"a\"\n",
		"unknown table":       rest + "[paint]\ncolour = \"red\"\n",
		"table as value":      rest + "frame = 430\n",
		"no rings":            "cogs.teeth = [11]\n",
		"no cogs":             "rings.teeth = [46]\n",
		"empty":               "",
		"half of a measure":   rest + "rear_derailleur.geometry.hanger_below = 28\n",
		"the other half":      rest + "rear_derailleur.geometry.hanger_behind = 9\n",
		"key in wrong table":  rest + "chain.teeth = [11]\n",
		"geometry at the top": rest + "geometry.class = \"long\"\n",
	} {
		if finishes(text) == nil {
			t.Errorf("%s: the reader takes it", name)
		}
		if s.Validate(asJSON(t, text)) == nil {
			t.Errorf("%s: the schema takes it", name)
		}
	}
}

// The pattern of a range matches its whole numbers and no other.
func TestWholes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.IntRange(1, 1300).Draw(t, "low")
		high := low + rapid.IntRange(0, 1300).Draw(t, "more")
		pattern := regexp.MustCompile("^" + wholes(low, high) + "$")
		for n := range high + 200 {
			if got := pattern.MatchString(strconv.Itoa(n)); got != (n >= low && n <= high) {
				t.Fatalf("%d to %d, %s: %d matches: %v", low, high, pattern, n, got)
			}
		}
	})
}

// Whatever the program writes passes.
func TestSchemaTakesWhatIsWritten(t *testing.T) {
	s := compiled(t)
	rapid.Check(t, func(t *rapid.T) {
		r, err := drawn(t).Finish()
		if err != nil {
			t.Skip("drawn values do not go together:", err)
		}
		text := string(Format(r.Build))
		if err := s.Validate(asJSON(t, text)); err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
	})
}

// Every field is in the schema with its meaning and a sample that it takes.
func TestSchemaHasEveryField(t *testing.T) {
	root := Schema()
	for _, f := range fields {
		s, ok := within(root, f.Section)["properties"].(node)[f.Key].(node)
		if !ok {
			t.Errorf("%s is missing", f.Path())
			continue
		}
		if text, _ := s["description"].(string); !strings.Contains(text, f.Doc) || !strings.Contains(text, f.Allowed()) {
			t.Errorf("%s: description %q", f.Path(), text)
		}
		if s["examples"] == nil {
			t.Errorf("%s has no example", f.Path())
		}
	}
}

// The committed schemas are those that the program writes; `go run
// ./cmd/cagewise schema build >examples/build.schema.json` renews one.
func TestSchemaFile(t *testing.T) {
	for name, schema := range map[string]map[string]any{"build": Schema(), "readings": ReadingsSchema()} {
		var want bytes.Buffer
		e := json.NewEncoder(&want)
		e.SetEscapeHTML(false)
		e.SetIndent("", "  ")
		if err := e.Encode(schema); err != nil {
			t.Fatal(err)
		}
		got, err := os.ReadFile("../../examples/" + name + ".schema.json")
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want.Bytes()) {
			t.Errorf("examples/%s.schema.json is not what `cagewise schema %s` prints", name, name)
		}
	}
}
