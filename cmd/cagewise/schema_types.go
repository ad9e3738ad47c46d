package main

import (
	"encoding"
	"path"
	"reflect"
	"slices"
	"strings"
	"time"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// schemaMaker describes Go types as encoding/json writes them.
type schemaMaker struct {
	defs map[string]any
}

// reportSchema is the schema of what a command writes as JSON.
func reportSchema(command string, of reflect.Type) map[string]any {
	m := schemaMaker{defs: map[string]any{}}
	root := m.object(of)
	root["$schema"] = build.SchemaDialect
	root["title"] = "cagewise " + command + " --format json"
	root["$defs"] = m.defs
	return root
}

var (
	textType = reflect.TypeFor[encoding.TextMarshaler]()
	timeType = reflect.TypeFor[time.Time]()
)

// of is the schema of a type.
func (m schemaMaker) of(t reflect.Type) map[string]any {
	switch {
	case t == timeType:
		return map[string]any{"type": "string", "format": "date-time"}
	case t.Implements(textType):
		return map[string]any{"type": "string"}
	}
	switch t.Kind() {
	case reflect.Pointer:
		return map[string]any{"anyOf": []any{m.of(t.Elem()), map[string]any{"type": "null"}}}
	case reflect.Struct:
		return m.reference(t)
	case reflect.Slice:
		return map[string]any{"type": "array", "items": m.of(t.Elem())}
	case reflect.Array:
		return map[string]any{"type": "array", "items": m.of(t.Elem()), "minItems": t.Len(), "maxItems": t.Len()}
	case reflect.Map:
		return map[string]any{"type": "object", "additionalProperties": m.of(t.Elem())}
	}
	return map[string]any{"type": plainType(t)}
}

// plainType is the JSON type of what is no list and no table.
func plainType(t reflect.Type) string {
	switch {
	case t.Kind() == reflect.String:
		return "string"
	case t.Kind() == reflect.Bool:
		return "boolean"
	case t.Kind() == reflect.Float64 || t.Kind() == reflect.Float32:
		return "number"
	}
	return "integer"
}

// reference describes a struct once and points to it.
func (m schemaMaker) reference(t reflect.Type) map[string]any {
	name := path.Base(t.PkgPath()) + "." + t.Name()
	if _, ok := m.defs[name]; !ok {
		m.defs[name] = nil // for types that hold themselves
		m.defs[name] = m.object(t)
	}
	return map[string]any{"$ref": "#/$defs/" + name}
}

// object describes a struct: its keys, all there unless they may be left out.
func (m schemaMaker) object(t reflect.Type) map[string]any {
	properties, required := map[string]any{}, []string{}
	for _, k := range jsonKeys(t) {
		s := m.keyed(k)
		properties[k.name] = s
		if !k.optional {
			required = append(required, k.name)
		}
	}
	slices.Sort(required)
	return map[string]any{"type": "object", "properties": properties, "required": required, "additionalProperties": false}
}

// keyed describes the value of a key, with its unit where there is one.
func (m schemaMaker) keyed(k jsonKey) map[string]any {
	t := k.of
	if t.Kind() == reflect.Pointer && k.optional {
		t = t.Elem() // left out rather than null
	}
	s := m.of(t)
	if unit := unitOf(k.name, t); unit != "" {
		s["description"] = "in " + unit
	} else if words := k.words(); words != "" {
		s["description"] = words
	}
	return s
}

// schemaWords tell what keys of the one judgement of a build mean, by their kind.
var schemaWords = []struct {
	key, words string
	kind       reflect.Kind
}{
	{"judged", "whether chances are known; those beside are 0 otherwise", reflect.Bool},
	{"chance", "that every gear but those lost runs, 0 to 1", reflect.Float64},
	{"chance_all_gears", "that every gear runs, 0 to 1", reflect.Float64},
	{"order", "what to do with the length: none, stays, cut, leave uncut, replace", reflect.Int},
	{"lost", "it does not run with this chain, or may well hang slack", reflect.Bool},
	{"doubtful", "it may well be otherwise than its state says", reflect.Bool},
	{"lost_gears", "gears that do not run with this chain, or may well hang slack", reflect.Slice},
	{"doubtful_gears", "gears that may well be otherwise than their state says", reflect.Slice},
	{"tight_gears", "gears with less than a link pair in hand over the bare loop", reflect.Slice},
	{"dangerous_gears", "gears that lock, are too short, or in which the guide pulley hits the cog", reflect.Slice},
	{"any", "a chance, 0 to 1", reflect.Float64},
	{"too_short", "a chance, 0 to 1", reflect.Float64},
	{"hits_the_cog", "a chance, 0 to 1", reflect.Float64},
}

// words tell what the value of a key means; "" where its name does.
func (k jsonKey) words() string {
	for _, w := range schemaWords {
		if w.key == k.name && w.kind == k.of.Kind() {
			return w.words
		}
	}
	if k.of.Kind() == reflect.Float64 && strings.HasPrefix(k.name, "chance") {
		return "a chance, 0 to 1"
	}
	return ""
}

// jsonKey is a field of a struct as encoding/json writes it.
type jsonKey struct {
	name     string
	of       reflect.Type
	optional bool
	depth    int
}

// jsonKeys lists the keys of a struct. Keys of embedded structs stand among the
// others; of two of one name the outer one is written.
func jsonKeys(t reflect.Type) []jsonKey {
	var keys []jsonKey
	for _, k := range allKeys(t, 0) {
		i := slices.IndexFunc(keys, func(other jsonKey) bool { return other.name == k.name })
		switch {
		case i < 0:
			keys = append(keys, k)
		case k.depth < keys[i].depth:
			keys[i] = k
		}
	}
	return keys
}

func allKeys(t reflect.Type, depth int) []jsonKey {
	var keys []jsonKey
	for i := range t.NumField() {
		f := t.Field(i)
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case name == "-" && options == "":
		case f.Anonymous && name == "" && f.Type.Kind() == reflect.Struct:
			keys = append(keys, allKeys(f.Type, depth+1)...)
		case f.IsExported():
			if name == "" {
				name = f.Name
			}
			keys = append(keys, jsonKey{name, f.Type, strings.HasPrefix(options, "omit"), depth})
		}
	}
	return keys
}

// typeUnits are the units of quantities that have a type of their own.
var typeUnits = map[reflect.Type]string{
	reflect.TypeFor[gearing.MM](): "mm", reflect.TypeFor[gearing.Metres](): "m", reflect.TypeFor[gearing.Teeth](): "teeth",
	reflect.TypeFor[gearing.Pitches](): "pitches of 12.7 mm", reflect.TypeFor[gearing.Degrees](): "degrees", reflect.TypeFor[gearing.Percent](): "%",
}

// keyUnits are the units that keys end in, the longer ones first.
var keyUnits = []struct{ ending, unit string }{
	{"_percent_per_1000_km_squared", "% a 1000 km, squared"}, {"_percent_per_1000_km", "% a 1000 km"}, {"_percent_per_1000km", "% a 1000 km"},
	{"_n_per_km", "N a km"}, {"_j_per_km", "J a km"}, {"_j_per_crank_turn", "J a crank turn"}, {"_per_1000_km", "a 1000 km"},
	{"_crank_turns", "crank turns"}, {"_rise_over_run", "rise over run"}, {"_kg_m3", "kg/m3"}, {"_km_h", "km/h"}, {"_percent", "%"},
	{"_pitches", "pitches of 12.7 mm"}, {"_teeth", "teeth"}, {"_rpm", "rpm"}, {"_deg", "degrees"}, {"_mm", "mm"}, {"_km", "km"}, {"_kj", "kJ"},
	{"_kg", "kg"}, {"_nm", "N m"}, {"_m2", "m2"}, {"_in", "inches"}, {"_m", "m"}, {"_n", "N"}, {"_w", "W"}, {"_s", "s"},
}

// unitOf is the unit of a number or of a list of numbers, by its type or the
// end of its key.
func unitOf(key string, t reflect.Type) string {
	for t.Kind() == reflect.Slice || t.Kind() == reflect.Array || t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if unit, ok := typeUnits[t]; ok {
		return unit
	}
	if kind := plainType(t); kind != "integer" && kind != "number" || t.Implements(textType) || t.Kind() == reflect.Struct || t.Kind() == reflect.Map {
		return ""
	}
	for _, u := range keyUnits {
		if strings.HasSuffix(key, u.ending) || "_"+key == u.ending {
			return u.unit
		}
	}
	return ""
}
