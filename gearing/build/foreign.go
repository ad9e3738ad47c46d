package build

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"
)

// kind is a sort of file of this program, with what wants it.
type kind struct {
	name, use string
}

var (
	kindBuild    = kind{"build file", "`cagewise fit`, `cagewise gears` and the others want it first"}
	kindLog      = kind{"wear log", "`cagewise wear`, `cagewise plans` and `cagewise log` want it, and `cagewise report --log`"}
	kindBin      = kind{"parts bin", "`cagewise search BUILD BIN` wants it, behind the build"}
	kindReadings = kind{"readings file", "`cagewise measure BUILD READINGS` wants it, behind the build"}
	kindRide     = kind{"recorded ride", "`cagewise ride BUILD RIDE` wants it, behind the build, and `cagewise report --ride`"}
)

// Foreign puts what is wrong with a file, err, in one line where the file is of
// another kind of this program's than the one wanted; else it is err. name stands
// in the message; wanted is the kind as its File calls it. The error is a
// Problems where err is.
func Foreign(name, wanted string, data []byte, err error) error {
	if err == nil || len(data) > MaxBytes {
		return err
	}
	k := recognise(data)
	if k.name == "" || k.name == wanted {
		return err
	}
	return Problems{{name, fmt.Sprintf("is a %s, no %s; %s", k.name, wanted, k.use)}}
}

// recognise finds the kind of a file by its first bytes, or by its tables; the
// zero kind for anything that has the marks of none, or of two.
func recognise(data []byte) kind {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if isRide(data) {
		return kindRide
	}
	var tree map[string]any
	if _, err := toml.Decode(string(data), &tree); err != nil {
		return kind{}
	}
	var found kind
	for key, v := range tree {
		k := kindOfKey(key, v)
		switch {
		case k.name == "" || k == found:
		case found.name == "":
			found = k
		default: // mixed
			return kind{}
		}
	}
	return found
}

// kindOfKey is the kind of file whose top level has a key with such a value.
func kindOfKey(key string, v any) kind {
	list, isList := v.([]map[string]any)
	_, isTable := v.(map[string]any)
	switch {
	case key == "reading" && isList && len(list) > 0:
		if _, has := list[0]["part"]; has {
			return kindLog
		}
		if _, has := list[0]["gear"]; has {
			return kindReadings
		}
	case (key == "part" || key == "finding" || key == "ride") && isList:
		return kindLog
	case key == "distance_unit" || key == "distance_per_year" || key == "motor":
		return kindLog
	case key == "cassette" && isList:
		return kindBin
	case isSection(key) && isTable:
		return kindBuild
	}
	return kind{}
}

// isTime tells a column of times in a ride as CSV.
func isTime(head string) bool {
	switch strings.ToLower(strings.Trim(strings.TrimSpace(head), `"`)) {
	case "time", "time_s", "seconds", "timestamp", "elapsed":
		return true
	}
	return false
}

// isRide looks at the first bytes: those of GPX, TCX, FIT, or a head of columns.
func isRide(data []byte) bool {
	const fitMark = 8 // where a FIT header has its name
	if len(data) > fitMark+4 && string(data[fitMark:fitMark+4]) == ".FIT" {
		return true
	}
	text := strings.TrimSpace(string(data[:min(len(data), 4096)]))
	for strings.HasPrefix(text, "#") {
		_, text, _ = strings.Cut(text, "\n")
		text = strings.TrimSpace(text)
	}
	for _, mark := range []string{"<?xml", "<gpx", "<TrainingCenterDatabase"} {
		if strings.HasPrefix(text, mark) {
			return true
		}
	}
	head, _, _ := strings.Cut(text, "\n")
	columns := strings.FieldsFunc(strings.TrimSpace(head), func(r rune) bool { return r == ',' || r == ';' || r == '\t' })
	return len(columns) > 1 && slices.ContainsFunc(columns, isTime)
}
