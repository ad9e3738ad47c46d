package bin

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"pgregory.net/rapid"

	"cagewise/gearing/build"
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
	if err := c.AddResource("bin.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("bin.json")
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

func reads(text string) error {
	_, err := Parse("test.toml", []byte(text))
	return err
}

// agree holds reader and schema against what is wanted of a text.
func agree(t *testing.T, s *jsonschema.Schema, text string, want bool) {
	t.Helper()
	if err := reads(text); (err == nil) != want {
		t.Errorf("the reader says %v, want good: %v\n%s", err, want, text)
	}
	if err := s.Validate(asJSON(t, text)); (err == nil) != want {
		t.Errorf("the schema says %v, want good: %v\n%s", err, want, text)
	}
}

// The examples: bins pass, files of other kinds do not.
func TestSchemaExamples(t *testing.T) {
	s := compiled(t)
	paths, err := filepath.Glob("../../examples/*.toml")
	if err != nil || len(paths) == 0 {
		t.Fatal("no examples", err)
	}
	bins := 0
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
			bins++
		}
	}
	if bins < 2 {
		t.Errorf("only %d bins among the examples", bins)
	}
}

// basic is the least bin there is.
const basic = "[[rings]]\nname = \"r\"\nteeth = 46\n[[cassette]]\nname = \"c\"\nteeth = \"11-36\"\n[[rear_derailleur]]\nname = \"d\"\nlargest_cog = 36\n"

// leastOf is a table of a kind that says just enough.
func leastOf(table string) string {
	return "[[" + table + "]]\nname = \"x\"\n" + map[string]string{
		ringsTable: "teeth = 44\n", cassetteTable: "teeth = \"12-36\"\n", rearTable: "rated_capacity = 37\n",
		chainTable: "pitches = 114\n", extenderTable: "below = 20\n", wheelTable: "tyre = \"42-622\"\n",
	}[table]
}

// with is a bin with a table in which a key has a value; the key's other half
// is there too.
func with(table, key, literal string) string {
	short, in := key, ""
	text := leastOf(table)
	if below, ok := strings.CutPrefix(key, geometryKey+"."); ok {
		short, in = below, "["+table+"."+geometryKey+"]\n"
		if other, ok := build.BothHalves()[short]; ok {
			half := other.([]string)[0]
			in += half + " = " + kinds()[rearTable].fields[geometryKey+"."+half].Sample + "\n"
		}
	}
	lines := strings.SplitAfter(text, "\n")
	for i, line := range lines {
		if strings.HasPrefix(line, short+" =") {
			lines[i] = ""
		}
	}
	return basic + strings.Join(lines, "") + in + short + " = " + literal + "\n"
}

// bad are literals of a field that are wrong wherever they stand.
func bad(f *build.Field) []string {
	under, over := fmt.Sprint(f.Low-1), fmt.Sprint(f.High+1)
	list := []string{"{a = 1}", "[[1]]"}
	switch f.Kind {
	case build.Text:
		return append(list, "1", "true", `"a\u0007b"`, `"`+strings.Repeat("a", 201)+`"`)
	case build.Choice:
		return append(list, `"paint"`, "1", "true")
	case build.Switch:
		return append(list, `"true"`, "1")
	case build.Tyre:
		return append(list, `"37"`, `"14-622"`, "37")
	case build.Wheels:
		return append(list, under, over, "[]", `"a"`, "["+over+"]", "[11, 11]", "true")
	case build.Count, build.Number:
		return append(list, under, over, `"1"`, "true", "["+fmt.Sprint(f.High)+"]")
	}
	return append(list, under, over, `"1 km"`, `""`, "true", "["+fmt.Sprint(f.High)+"]")
}

// Reader and schema agree on the sample and on bad values of every key of every
// kind of part.
func TestSchemaValues(t *testing.T) {
	s := compiled(t)
	agree(t, s, basic, true)
	for table, k := range kinds() {
		agree(t, s, basic+leastOf(table), true)
		agree(t, s, with(table, "colour", "1"), false)
		for key, f := range k.fields {
			agree(t, s, with(table, key, f.Sample), true)
			for _, literal := range bad(f) {
				agree(t, s, with(table, key, literal), false)
			}
		}
		for _, key := range k.keys("") {
			if f := common(key); f != nil {
				for _, literal := range bad(f) {
					agree(t, s, with(table, key, literal), false)
				}
			}
		}
	}
	for _, key := range topKeys() {
		for _, literal := range bad(text(key)) {
			agree(t, s, key+" = "+literal+"\n"+basic, false)
		}
	}
}

// What makes a part of the values, and a bin of the parts.
func TestSchemaTogether(t *testing.T) {
	s := compiled(t)
	for _, table := range tableNames() {
		nameless := strings.Replace(leastOf(table), "name = \"x\"\n", "", 1)
		only, _, _ := strings.Cut(leastOf(table), "\nname = \"x\"\n")
		agree(t, s, basic+nameless, false)
		agree(t, s, basic+only+"\nname = \"x\"\n", false) // nothing is said of it
		agree(t, s, basic+strings.Replace(leastOf(table), `"x"`, `" "`, 1), false)
	}
	d := "[[rear_derailleur]]\nname = \"e\"\n"
	for text, want := range map[string]bool{
		"":                             false,
		"colour = 1\n" + basic:         false,
		"nmae = \"a\"\n" + basic:       false,
		basic + "[[paint]]\nname=\"\"": false,
		strings.Replace(basic, "[[rings]]", "[[chain]]\npitches = 100\n[[wheel]]", 1):    false,
		basic + d + "same_as = \"d\"\n":                                                  true,
		basic + d + "same_as = \"\"\n":                                                   false,
		basic + d + "[rear_derailleur.geometry]\n":                                       false,
		basic + d + "[rear_derailleur.geometry]\nhanger_behind = 9\n":                    false,
		basic + d + "[rear_derailleur.geometry]\nhanger_behind = 9\nhanger_below = 28\n": true,
		basic + "[rear_derailleur.geometry]\nhanger_behind = 9\nhanger_below = 28\n" + d + "same_as = \"d\"\n[rear_derailleur.geometry]\nhanger_behind = 8\n": true,
		basic + d + "[rear_derailleur.geometry]\nextender_below = 9\nclass = \"long\"\n":                                                                      false,
		basic + "[[wheel]]\nname = \"w\"\nroll_out = 2174\n":                                                                                                  true,
		basic + "[[extender]]\nname = \"w\"\nbehind = 0\nbelow = 0\n":                                                                                         false,
		basic + "[[extender]]\nname = \"w\"\nbehind = 0\nbelow = 22\n":                                                                                        true,
		basic + "[[rings]]\nname = \"s\"\nteeth = 46\nsame_as = \"r\"\n":                                                                                      false,
		"rings = []\n" + strings.Replace(basic, "[[rings]]\nname = \"r\"\nteeth = 46\n", "", 1):                                                               false,
	} {
		agree(t, s, text, want)
	}
}

// Whatever is written passes.
func TestSchemaTakesWhatIsWritten(t *testing.T) {
	s := compiled(t)
	rapid.Check(t, func(t *rapid.T) {
		text := string(Format(drawnBin(t)))
		if err := s.Validate(asJSON(t, text)); err != nil && reads(text) == nil {
			t.Fatalf("%v\n%s", err, text)
		}
	})
}

// Every key has a meaning.
func TestSchemaHasMeanings(t *testing.T) {
	properties := Schema()["properties"].(node)
	for _, table := range tableNames() {
		for key, s := range properties[table].(node)["items"].(node)["properties"].(node) {
			if text, _ := s.(node)["description"].(string); len(text) < 10 || strings.HasPrefix(text, ".") {
				t.Errorf("%s %s: %q", table, key, text)
			}
		}
	}
	for _, key := range topKeys() {
		if text, _ := properties[key].(node)["description"].(string); len(text) < 10 || strings.HasPrefix(text, ".") {
			t.Errorf("%s: %q", key, text)
		}
	}
}

// The committed schema is the one the program writes; `go run ./cmd/cagewise
// schema bin >examples/bin.schema.json` renews it.
func TestSchemaFile(t *testing.T) {
	var want bytes.Buffer
	e := json.NewEncoder(&want)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(Schema()); err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile("../../examples/bin.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want.Bytes()) {
		t.Error("examples/bin.schema.json is not what `cagewise schema bin` prints")
	}
}
