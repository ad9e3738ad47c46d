package main

import (
	"bytes"
	"errors"
	"reflect"
	"strings"

	"github.com/spf13/pflag"

	"cagewise/gearing/bin"
	"cagewise/gearing/build"
	"cagewise/gearing/wearlog"
)

func schemaCommand() command {
	return command{
		name: "schema", args: "build|bin|log|readings|COMMAND", summary: "JSON Schemas: of the files you write, of what commands write as JSON",
		about: "Those of files are for editors, which complete and check them: " + fileSchemaWords() + ". The others (" + strings.Join(schemaNames()[len(fileSchemas()):], ", ") + ") describe `--format json` of the command they are named after, key by key, with types and units. The edition is 2020-12.",
		examples: []example{
			{"schema build", "for editors that complete a build file"},
			{"schema fit", "what `cagewise fit --format json` writes"},
		},
		define: func(*pflag.FlagSet) func(*call) (int, error) { return runSchema },
	}
}

// fileSchema is the schema of a kind of file that people write.
type fileSchema struct {
	name, about string
	schema      func() map[string]any
}

func fileSchemas() []fileSchema {
	return []fileSchema{
		{"build", "a build file", build.Schema},
		{"bin", "a parts bin", bin.Schema},
		{"log", "a wear log", wearlog.Schema},
		{"readings", "readings for `cagewise measure`", build.ReadingsSchema},
	}
}

func fileSchemaWords() string {
	var words []string
	for _, s := range fileSchemas() {
		words = append(words, s.name+" of "+s.about)
	}
	return strings.Join(words, ", ")
}

// reportSchemas are the values that commands write as JSON.
func reportSchemas() []struct {
	name string
	of   reflect.Type
} {
	return []struct {
		name string
		of   reflect.Type
	}{
		{"gears", reflect.TypeFor[gearsReport]()},
		{"fit", reflect.TypeFor[fitReport]()},
		{"compare", reflect.TypeFor[compareReport]()},
		{"climb", reflect.TypeFor[climbReport]()},
		{"cogs", reflect.TypeFor[cogsReport]()},
		{"ride", reflect.TypeFor[rideReport]()},
		{"wear", reflect.TypeFor[wearReport]()},
		{"plans", reflect.TypeFor[plansReport]()},
		{"fault", reflect.TypeFor[faultReport]()},
		{"spare", reflect.TypeFor[spareReport]()},
		{"measure", reflect.TypeFor[measureReport]()},
		{"roadside", reflect.TypeFor[roadsideReport]()},
		{"search", reflect.TypeFor[searchReport]()},
	}
}

func schemaNames() []string {
	var list []string
	for _, s := range fileSchemas() {
		list = append(list, s.name)
	}
	for _, s := range reportSchemas() {
		list = append(list, s.name)
	}
	return list
}

func runSchema(c *call) (int, error) {
	if len(c.args) != 1 {
		return 0, errors.New("schema needs one of " + strings.Join(schemaNames(), ", ") + ", such as `cagewise schema build`")
	}
	s, err := schemaOf(c.args[0])
	if err != nil {
		return 0, err
	}
	var out bytes.Buffer
	if err := writeJSON(&out, s); err != nil {
		return 0, err
	}
	return exitFine, c.deliver("", "", out.Bytes())
}

func schemaOf(name string) (map[string]any, error) {
	for _, s := range fileSchemas() {
		if s.name == name {
			return s.schema(), nil
		}
	}
	for _, s := range reportSchemas() {
		if s.name == name {
			return reportSchema(name, s.of), nil
		}
	}
	return nil, unknown("schema", name, schemaNames())
}
