package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// compiledSchema is what `cagewise schema` prints, as another library reads it;
// compiling also holds it against the meta-schema of its edition.
func compiledSchema(t *testing.T, name string) *jsonschema.Schema {
	t.Helper()
	doc := instance(t, printed(t, "schema", name))
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource(name+".json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile(name + ".json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func instance(t *testing.T, text string) any {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// jsonCommands write JSON about the examples; more than one a command where
// its keys depend on what is known.
var jsonCommands = []string{
	"gears touring-double.toml", "gears touring-triple.toml", "gears gravel.toml --speeds-at 70", "gears trail-single.toml",
	"fit touring-double.toml", "fit touring-triple.toml", "fit trail-single.toml", "fit gravel.toml", "fit gravel-measured.toml", "fit gravel-fitted.toml", "fit mountain-tourer.toml",
	"fit gravel.toml --chain 100", "fit gravel.toml --chain 140", "fit gravel.toml --chainstay 700",
	"fit gravel.toml --also gravel-measured.toml", "fit gravel.toml --rings 46", "fit --rings 46 --cogs 11 --chainstay 430",
	"compare gravel.toml touring-double.toml", "compare gravel.toml --swap rings=40/28", "compare touring-triple.toml --swap rings=46/30", "compare gravel.toml --swap chainstay=700",
	"climb gravel.toml", "climb gravel.toml --power 60 --grade 25", "climb touring-triple.toml",
	"cogs --count 9 --from 11 --to 34", "cogs gravel.toml --out 13 --in 14",
	"ride gravel.toml gravel-ride.csv",
	"wear cargo-wear.toml", "wear commuter-wear.toml", "wear cargo-wear.toml --budget 20", "wear commuter-wear.toml --build gravel.toml --ride gravel-ride.csv",
	"plans cargo-wear.toml", "plans commuter-wear.toml", "plans commuter-wear.toml --chain-life 3200 --end-at 9000",
	"fault gravel.toml --gear 46x17", "fault gravel.toml --every 2.16 --gear 46x17",
	"spare gravel.toml --gear 46x17 --gear 30x11",
	"measure gravel.toml gravel-readings.toml",
	"roadside gravel.toml", "roadside gravel.toml --missing 20", "roadside touring-double.toml --missing 0",
	"search mountain-tourer.toml mountain-bin.toml --lowest-development 1.1", "search mountain-tourer.toml mountain-bin.toml",
	"search mountain-tourer.toml mountain-bin.toml --lowest-development 0.3 --budget 1",
}

// What the commands write about the examples is what their schemas say.
func TestReportsMatchTheirSchemas(t *testing.T) {
	t.Chdir("../../examples")
	schemas, covered := map[string]*jsonschema.Schema{}, map[string]bool{}
	for _, line := range jsonCommands {
		words := strings.Fields(line)
		name := words[0]
		if schemas[name] == nil {
			schemas[name] = compiledSchema(t, name)
		}
		covered[name] = true
		text := printed(t, append(words, "--format", "json")...)
		if err := schemas[name].Validate(instance(t, text)); err != nil {
			t.Errorf("cagewise %s: %v", line, err)
		}
	}
	for _, s := range reportSchemas() {
		if !covered[s.name] {
			t.Errorf("no output of %s is held against its schema", s.name)
		}
	}
}

// Whatever the build: fifty drawn ones, of which many do not work.
func TestAnyReportMatchesItsSchema(t *testing.T) {
	schemas := map[string]*jsonschema.Schema{}
	for _, name := range []string{"gears", "fit", "roadside", "climb"} {
		schemas[name] = compiledSchema(t, name)
	}
	draw := rand.New(rand.NewPCG(1, 2))
	written := 0
	for range 50 {
		flags := drawnFlags(draw)
		for name, s := range schemas {
			var out, bad bytes.Buffer
			args := append([]string{name, "--format", "json"}, flags...)
			if run(args, env{out: &out, err: &bad, width: 80}) == exitInput {
				continue // refused: no report
			}
			written++
			if err := s.Validate(instance(t, out.String())); err != nil {
				t.Errorf("cagewise %s: %v", strings.Join(args, " "), err)
			}
		}
	}
	if written < 80 {
		t.Errorf("only %d reports written", written)
	}
}

func drawnFlags(draw *rand.Rand) []string {
	small, cogs := 22+draw.IntN(20), []string{}
	for cog, n := 9+draw.IntN(5), 1+draw.IntN(13); n > 0; cog, n = cog+1+draw.IntN(5), n-1 {
		cogs = append(cogs, fmt.Sprint(cog))
	}
	flags := []string{"--cogs", strings.Join(cogs, "-"), "--rings", fmt.Sprint(small), "--chainstay", fmt.Sprint(380 + draw.IntN(200))}
	if draw.IntN(2) == 0 {
		flags[3] += fmt.Sprintf(",%d", small+1+draw.IntN(20))
	}
	for _, f := range []struct {
		flag      string
		low, span int
	}{{"pulley-centres", 52, 60}, {"capacity", 15, 40}, {"largest-cog", 28, 24}, {"chain", 45, 20}, {"front-capacity", 8, 20}} {
		if n := f.low + draw.IntN(f.span); draw.IntN(2) == 0 {
			if f.flag == "chain" {
				n *= 2
			}
			flags = append(flags, "--"+f.flag, fmt.Sprint(n))
		}
	}
	return flags
}

// Every command that writes JSON has a schema.
func TestEveryReportHasASchema(t *testing.T) {
	for _, c := range commands() {
		f := c.flagSet().Lookup("format")
		if f != nil && strings.Contains(f.Usage, formatJSON) && !slices.Contains(schemaNames(), c.name) {
			t.Errorf("%s writes JSON, but has no schema; add its report to reportSchemas", c.name)
		}
	}
}

// A key too many, one missing and one of another type are refused.
func TestReportSchemasRefuse(t *testing.T) {
	t.Chdir("../../examples")
	for _, line := range []string{"gears gravel.toml", "fit gravel.toml", "roadside gravel.toml", "wear cargo-wear.toml"} {
		words := strings.Fields(line)
		s := compiledSchema(t, words[0])
		good := printed(t, append(words, "--format", "json")...)
		var tree map[string]any
		if err := json.Unmarshal([]byte(good), &tree); err != nil {
			t.Fatal(err)
		}
		tree["paint"] = "red"
		refuses(t, s, line+" with a key too many", tree)
		delete(tree, "paint")
		for key, value := range tree {
			delete(tree, key)
			if slices.Contains(requiredKeys(t, words[0]), key) {
				refuses(t, s, line+" without "+key, tree)
			}
			tree[key] = map[string]any{"paint": 1}
			refuses(t, s, line+" with another type of "+key, tree)
			tree[key] = value
		}
	}
}

func refuses(t *testing.T, s *jsonschema.Schema, what string, tree map[string]any) {
	t.Helper()
	data, err := json.Marshal(tree)
	if err != nil {
		t.Fatal(err)
	}
	if s.Validate(instance(t, string(data))) == nil {
		t.Errorf("%s: the schema takes it", what)
	}
}

func requiredKeys(t *testing.T, name string) []string {
	t.Helper()
	s, err := schemaOf(name)
	if err != nil {
		t.Fatal(err)
	}
	return s["required"].([]string)
}

// Quantities have their units in the schema.
func TestReportSchemasHaveUnits(t *testing.T) {
	text := printed(t, "schema", "fit")
	for _, want := range []string{`"in mm"`, `"in teeth"`, `"in degrees"`, `"in pitches of 12.7 mm"`, `"in N"`} {
		if !strings.Contains(text, want) {
			t.Errorf("the schema of fit has no unit %s", want)
		}
	}
}

// The committed schema is what the command prints, byte for byte.
func TestSchemaOfBuildFile(t *testing.T) {
	want, err := os.ReadFile("../../examples/build.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal([]byte(printed(t, "schema", "build")), want) {
		t.Error("examples/build.schema.json differs; renew it: go run ./cmd/cagewise schema build >examples/build.schema.json")
	}
}
