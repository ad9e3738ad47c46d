package build

import (
	"fmt"

	"cagewise/gearing"
)

// ReadingsSchema is a JSON Schema (edition 2020-12) of a readings file, made of
// the fields that its reader uses. What it refuses, the reader refuses; it lets
// pass a length that is out of range and written as text, readings that are all
// 0, and a stop twice or out of its range.
func ReadingsSchema() map[string]any {
	reading := table("What was seen on the built bike in one gear, one or more of the measures; or the direction of the cage at one of its stops.")
	var measures, places []node
	for _, key := range readingKeys {
		reading["properties"].(node)[key] = readingSchema(key)
		switch key {
		case readingGear, readingStop.Key, readingCount.Key:
			continue
		case readingAngle.Key:
		default:
			places = append(places, node{"required": []string{key}})
		}
		measures = append(measures, node{"required": []string{key}})
	}
	delete(reading, "required")
	reading["if"] = node{"required": []string{readingStop.Key}}
	reading["then"] = node{"required": []string{readingAngle.Key}, "not": node{"anyOf": places}}
	reading["else"] = node{"required": []string{readingGear}, "anyOf": measures}
	root := table("Readings on the built bike for `cagewise measure`.")
	root["$schema"] = SchemaDialect
	root["title"] = "cagewise readings file"
	root["properties"].(node)[readingTable] = node{"type": "array", "items": reading, "minItems": 1, "maxItems": MostReadings}
	root["required"] = []string{readingTable}
	return root
}

// readingSchema is what the value of a reading's key may be.
func readingSchema(key string) node {
	switch key {
	case readingStop.Key:
		return readingStop.Schema()
	case readingCount.Key:
		return readingCount.Schema()
	case readingAngle.Key:
		return readingAngle.Schema()
	case readingGap.Key:
		return readingGap.Schema()
	case readingGear:
		teeth := WholesPattern(int(gearing.MinTeeth), int(gearing.MaxTeeth))
		s := TextSchema(fmt.Sprintf(`^\s*%s\s*x\s*%s\s*$`, teeth, teeth))
		s["description"], s["examples"] = "Ring x cog of the gear that was looked at.", []string{"46x36"}
		return s
	}
	return node{"type": "array", "items": readingPlace.Schema(), "minItems": 2, "maxItems": 2,
		"description": "Centre of the " + key + " pulley: ahead of the axle and above it, mm, below being negative."}
}
