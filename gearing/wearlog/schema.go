package wearlog

import (
	"fmt"
	"reflect"
	"slices"

	"github.com/BurntSushi/toml"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// node is a JSON Schema, or a part of one.
type node = map[string]any

// Schema is a JSON Schema (edition 2020-12) of a wear log, made of Fields and
// of the rules that the reader holds entries against. What it refuses, reading
// a log refuses; it lets pass what a schema cannot say: an id that stands twice
// or is nowhere, what contradicts the part that is named, a length that no
// chain has, one that is out of range and written as text, and a wheel twice in
// a text. Dates are those of TOML, which tools hand to a schema as text.
func Schema() map[string]any {
	root := tableSchema("", "Parts, readings, findings and rides of a drivetrain that wears. Distances are in distance_unit.")
	root["$schema"], root["title"] = build.SchemaDialect, "cagewise wear log"
	for _, name := range Tables() {
		entry := tableSchema(name, purpose(name))
		if list := rules(name); len(list) > 0 {
			entry["allOf"] = list
		}
		root["properties"].(node)[name] = node{"type": "array", "items": entry, "minItems": 1}
	}
	return root
}

// tableSchema is the schema of a table with its keys, lengths in either unit.
func tableSchema(name, about string) node {
	properties, needed, both := node{}, []string{}, []node{}
	for _, f := range fieldsOf(name) {
		properties[f.Key] = f.schema(false)
		if f.Kind == Length {
			properties[f.inches()] = f.schema(true)
			both = append(both, node{"required": []string{f.Key, f.inches()}})
		}
		if f.Needed {
			needed = append(needed, f.Key)
		}
	}
	s := node{"type": "object", "description": about, "properties": properties, "required": needed, "additionalProperties": false}
	if len(both) > 0 {
		s["not"] = node{"anyOf": both}
	}
	return s
}

// schema is what a value may be, with its meaning.
func (f *Field) schema(inInches bool) node {
	s := f.shape(inInches)
	text := f.Doc + ". Allowed: " + f.Allowed()
	if inInches {
		text += ", in inches; a fraction as text: \"12 1/16\""
	}
	s["description"] = text + "."
	var v struct{ X any }
	if _, err := toml.Decode("X = "+f.Sample, &v); err == nil && !inInches && f.Kind != Date {
		s["examples"] = []any{v.X}
	}
	return s
}

func (f *Field) shape(inInches bool) node {
	switch f.Kind {
	case Choice:
		return node{"type": "string", "enum": f.Choices}
	case Switch:
		return node{"type": "boolean"}
	case Date:
		return build.TextSchema(`^(19[7-9][0-9]|2[01][0-9]{2})-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])([Tt ].*)?$`)
	case Wheels:
		return f.wheelsShape()
	case Count:
		return f.numberShape("integer", 1)
	case Number, Distance:
		return f.numberShape("number", 1)
	case Length:
		if inInches {
			return node{"anyOf": []node{f.numberShape("number", gearing.MMPerInch), build.TextSchema(inchesPattern)}}
		}
		return f.numberShape("number", 1)
	}
	s := node{"type": "string", "minLength": 1, "maxLength": int(f.High), "pattern": `^[^\x00-\x1f\x7f-\x9f]*$`}
	if f.High == mostID {
		s["allOf"] = []node{build.TextSchema(`^\S(.*\S)?$`)}
	}
	return s
}

// inchesPattern is what fraction reads: 12 1/16, 3/32, 12.0625.
const inchesPattern = `^\s*([0-9]+\s+)?[0-9]+/0*[1-9][0-9]*\s*$|^\s*[-+]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+]?[0-9]+)?\s*$`

// numberShape is a number of the field's range in a unit of so many of its own.
func (f *Field) numberShape(kind string, unit float64) node {
	s := node{"type": kind, "minimum": f.Low / unit, "maximum": f.High / unit}
	if f.Over {
		delete(s, "minimum")
		s["exclusiveMinimum"] = f.Low / unit
	}
	return s
}

// wheelsShape is one tooth count, a list of them, or text such as 11-13-15.
func (f *Field) wheelsShape() node {
	one, word := f.numberShape("integer", 1), build.WholesPattern(int(f.Low), int(f.High))
	text := fmt.Sprintf(`^[-,/\s]*%s([-,/\s]+%s){0,%d}[-,/\s]*$`, word, word, gearing.MaxCogs-1)
	list := node{"type": "array", "items": one, "minItems": 1, "maxItems": gearing.MaxCogs, "uniqueItems": true}
	return node{"anyOf": []node{one, list, build.TextSchema(text)}}
}

// rules are what the entries of a table keep beyond the values one by one.
func rules(name string) []node {
	var list []node
	switch name {
	case "part":
		for _, kind := range gearing.PartKinds() {
			list = append(list, partRule(kind))
		}
	case "reading":
		for _, m := range gearing.ReadingMethods() {
			list = append(list, readingRules(m)...)
		}
	case "finding":
		for _, kind := range findingKinds {
			list = append(list, findingRule(gearing.FindingKind(kind)))
		}
	}
	return list
}

// when is a rule for entries in which a key has a value.
func when[S ~string](key string, is S, then node) node {
	return node{"if": node{"required": []string{key}, "properties": node{key: node{"const": string(is)}}}, "then": then}
}

// partRule says which keys a kind of part has, see checkPart.
func partRule(kind gearing.PartKind) node {
	properties, then := node{}, node{}
	if kind != gearing.PartChain {
		for _, key := range chainKeys() {
			properties[key] = false
			if f := find("part", key); f.Kind == Length {
				properties[f.inches()] = false
			}
		}
	}
	least, most := wheelsOf(kind)
	switch {
	case most == 0:
		properties["teeth"] = false
	case most == 1:
		one := find("part", "teeth").numberShape("integer", 1)
		single := `^[-,/\s]*[0-9+]+[-,/\s]*$`
		properties["teeth"] = node{"anyOf": []node{one, {"type": "array", "maxItems": 1}, build.TextSchema(single)}}
	}
	if least > 0 {
		then["required"] = []string{"teeth"}
	}
	then["properties"] = properties
	return when("kind", kind, then)
}

// readingRules say which keys a method of reading needs and may have, see
// demandOf; a gauge with a scale has others than one with a mark.
func readingRules(m gearing.ReadingMethod) []node {
	plain, scaled := demandOf(m, false), demandOf(m, true)
	if reflect.DeepEqual(plain, scaled) {
		return []node{when("method", m, plain.schema())}
	}
	has := node{"required": []string{"scale_percent"}}
	return []node{when("method", m, node{"if": has, "then": scaled.schema(), "else": plain.schema()})}
}

func (d demand) schema() node {
	names, needs := []string{}, []node{}
	for _, key := range slices.Concat(everyReading, d.all()) {
		names = append(names, key)
		if f := find("reading", key); f.Kind == Length {
			names = append(names, f.inches())
		}
	}
	for _, key := range d.needs {
		either := []node{{"required": []string{key}}}
		if f := find("reading", key); f.Kind == Length {
			either = append(either, node{"required": []string{f.inches()}})
		}
		needs = append(needs, node{"anyOf": either})
	}
	return node{"propertyNames": node{"enum": names}, "allOf": needs}
}

// findingRule says which degrees a kind of finding has, see checkDegree.
func findingRule(kind gearing.FindingKind) node {
	degrees, needed := degreesOf(kind)
	then := node{"properties": node{"degree": node{"enum": degrees}}}
	if len(degrees) == 0 {
		then["properties"] = node{"degree": false}
	}
	if needed {
		then["required"] = []string{"degree"}
	}
	return when("kind", kind, then)
}
