package build

import (
	"fmt"
	"strings"

	"github.com/BurntSushi/toml"
)

// SchemaDialect is the edition of JSON Schema that Schema is written in.
const SchemaDialect = "https://json-schema.org/draft/2020-12/schema"

// node is a JSON Schema, or a part of one.
type node = map[string]any

// Schema is a JSON Schema (edition 2020-12) of a build file, made from Fields,
// for editors that complete and check TOML. What it refuses, reading a build
// refuses; it lets pass what a schema cannot say: a length that is out of range
// and written as text, a wheel twice in a text, a cadence band with its higher
// end first, an odd chain, and values that do not go together in space. It is
// ready for encoding/json, whose output has its keys in alphabetical order.
func Schema() map[string]any {
	root := table("A drivetrain for cagewise. Lengths are millimetres, or text with a unit: \"16.9 in\", \"43 cm\".")
	root["$schema"] = SchemaDialect
	root["title"] = "cagewise build file"
	for _, f := range fields {
		at := within(root, f.Section)
		at["properties"].(node)[f.Key] = f.Schema()
		if f.Kind == Wheels { // every build has rings and cogs
			at["required"] = []string{f.Key}
			root["required"] = append(root["required"].([]string), f.Section)
		}
	}
	within(root, geometrySection)["dependentRequired"] = BothHalves()
	return root
}

// table is the schema of a TOML table without keys yet.
func table(about string) node {
	return node{"type": "object", "description": about, "properties": node{}, "additionalProperties": false, "required": []string{}}
}

// within is the table of a section, made where it is missing.
func within(root node, section string) node {
	at := root
	for name := range strings.SplitSeq(section, ".") {
		if name == "" {
			return root
		}
		props := at["properties"].(node)
		if props[name] == nil {
			props[name] = table("Table [" + section + "] of the build file.")
		}
		at = props[name].(node)
	}
	return at
}

// BothHalves asks for the other half of a measure of a derailleur's geometry, as
// the dependentRequired of a JSON Schema.
func BothHalves() map[string]any {
	needs := node{}
	for _, h := range halves {
		needs[h[0]], needs[h[1]] = []string{h[1]}, []string{h[0]}
	}
	return needs
}

// Schema is the JSON Schema of the field's value, with its meaning.
func (f *Field) Schema() map[string]any {
	s := f.shape()
	s["description"] = f.meaning()
	if sample, ok := f.sample(); ok {
		s["examples"] = []any{sample}
	}
	return s
}

// meaning is what `cagewise help keys` says about a value.
func (f *Field) meaning() string {
	text := f.Doc
	if f.Unit != "" && f.Kind != Tyre {
		text += ", " + f.Unit
	}
	text += ". Allowed: " + f.Allowed()
	if f.AdviseLow != 0 || f.AdviseHigh != 0 {
		text += fmt.Sprintf(" (usual: %s to %s)", trim(f.AdviseLow), trim(f.AdviseHigh))
	}
	if f.Default == "" {
		return text + "."
	}
	return text + ". Without it: " + f.Default + "."
}

// sample is the value of the starting file.
func (f *Field) sample() (any, bool) {
	var v struct{ X any }
	_, err := toml.Decode("X = "+f.Sample, &v)
	return v.X, err == nil && v.X != nil
}

func (f *Field) shape() node {
	switch f.Kind {
	case Text:
		return node{"type": "string", "maxLength": 200, "pattern": `^[^\x00-\x1f\x7f-\x9f]*$`}
	case Choice:
		return node{"type": "string", "enum": f.Choices}
	case Switch:
		return node{"type": "boolean"}
	case Tyre:
		return TextSchema(tyrePattern())
	case Count:
		return f.single("integer")
	case Number:
		return f.single("number")
	case Length:
		return node{"anyOf": []node{f.single("number"), TextSchema(lengthPattern)}}
	}
	return f.listShape()
}

// single is the schema of one number in the field's range.
func (f *Field) single(kind string) node {
	return node{"type": kind, "minimum": f.Low, "maximum": f.High}
}

// listShape is the schema of Wheels, Band and Series: a list, one number, or
// text such as 11-13-15.
func (f *Field) listShape() node {
	kind, entry := "number", decimals(int(f.Low), int(f.High))
	if f.Kind == Wheels {
		kind, entry = "integer", wholes(int(f.Low), int(f.High))
	}
	list := node{"type": "array", "items": f.single(kind), "minItems": 1, "maxItems": f.most()}
	if f.Kind == Wheels {
		list["uniqueItems"] = true
	}
	text := fmt.Sprintf(`^\s*%s([-/,;\s]+%s){0,%d}[-/,;\s]*$`, entry, entry, f.most()-1)
	return node{"anyOf": []node{list, f.single(kind), TextSchema(text)}}
}
