package bin

import (
	"strings"

	"cagewise/gearing/build"
)

// node is a JSON Schema, or a part of one.
type node = map[string]any

// Schema is a JSON Schema (edition 2020-12) of a parts bin, made of the fields
// that its reader uses. What it refuses, reading a bin refuses; it lets pass
// what a schema cannot say: a name that stands twice, a same_as that leads
// nowhere, a price that only some parts have, values of 0 that say nothing, and
// what the schema of a build file lets pass.
func Schema() map[string]any {
	properties := node{}
	for _, key := range topKeys() {
		properties[key] = explained(text(key))
	}
	all := kinds()
	for _, table := range tableNames() {
		properties[table] = node{"type": "array", "items": all[table].schema(), "minItems": 1, "maxItems": MaxParts}
	}
	return node{
		"$schema": build.SchemaDialect, "title": "cagewise parts bin", "type": "object",
		"description":          "Parts at hand and parts to be bought, for `cagewise search`. Lengths are millimetres, or text with a unit: \"16.9 in\", \"43 cm\".",
		"properties":           properties,
		"required":             tableNames()[:neededKinds],
		"additionalProperties": false,
	}
}

// schema is the schema of a table of the kind.
func (k *kind) schema() node {
	properties, geometry := node{}, node{}
	for _, key := range k.keys("") {
		if f := common(key); f != nil {
			properties[key] = explained(f)
		}
	}
	properties[nameKey] = someText(nameKey)
	for key, f := range k.fields {
		if short, ok := strings.CutPrefix(key, geometryKey+"."); ok {
			geometry[short] = f.Schema()
			continue
		}
		properties[key] = f.Schema()
	}
	s := node{"type": "object", "description": k.about(), "properties": properties, "required": []string{nameKey}, "additionalProperties": false}
	if k.table == rearTable {
		properties[sameKey] = someText(sameKey)
		properties[geometryKey] = node{"type": "object", "properties": geometry, "additionalProperties": false,
			"description": "What a ruler finds on the derailleur, under the keys of a build file."}
	}
	k.demand(s)
	return s
}

// explained is the schema of a field that does not stand in a build file.
func explained(f *build.Field) node {
	f.Doc = map[string]string{
		nameKey:      "what it is called; no two parts of a kind alike",
		noteKey:      "one line about it",
		moneyKey:     "unit of every price",
		priceKey:     "what it costs",
		onHandKey:    "true: it costs nothing",
		availableKey: "false: it stays in the file and out of the search",
		sameKey:      "name of another rear derailleur of the bin, whose measures and ratings it has; the keys given here differ",
	}[f.Key]
	if f.Key == priceKey {
		f.Default = "0, if no part of the bin has one; once one has, every other one that is to be bought needs it"
	}
	return f.Schema()
}

// someText is the schema of a text that is more than spaces.
func someText(key string) node {
	s := explained(common(key))
	s["allOf"] = []node{build.TextSchema(`\S`)}
	return s
}

// about is a line on what the table holds.
func (k *kind) about() string { return strings.ReplaceAll(about(k.table), "\n# ", " ") }

// demand asks for the keys without which a part says nothing, see part.lacks.
func (k *kind) demand(s node) {
	needs := func(keys ...string) node { return node{"required": keys} }
	switch k.table {
	case ringsTable, cassetteTable:
		s["required"] = []string{nameKey, "teeth"}
	case chainTable:
		s["required"] = []string{nameKey, "pitches"}
	case wheelTable:
		s["anyOf"] = []node{needs("tyre"), needs("roll_out")}
	case extenderTable:
		s["anyOf"] = []node{
			{"required": []string{"behind"}, "properties": node{"behind": node{"not": node{"const": 0}}}},
			{"required": []string{"below"}, "properties": node{"below": node{"not": node{"const": 0}}}},
		}
	case rearTable:
		something := []node{needs(sameKey), {"required": []string{geometryKey}, "properties": node{geometryKey: node{"minProperties": 1}}}}
		for _, key := range k.order {
			if !strings.HasPrefix(key, geometryKey+".") {
				something = append(something, needs(key))
			}
		}
		// The other half of a measure may come from the derailleur it is the same as.
		whole := node{"properties": node{geometryKey: node{"dependentRequired": build.BothHalves()}}}
		s["allOf"] = []node{{"anyOf": something}, {"anyOf": []node{needs(sameKey), whole}}}
	}
}
