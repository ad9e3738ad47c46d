package wearlog

import (
	"cagewise/gearing"
	"cagewise/gearing/build"
)

// MaxBytes is the largest wear log that is read: 300,000 readings and more.
const MaxBytes = 32 << 20

var wearLogFile = build.File{Kind: "wear log", Most: MaxBytes}

// Load reads a wear log. Warnings name values that were accepted but are
// unusual. The error is a build.Problems.
func Load(path string) (gearing.WearLog, []build.Problem, error) {
	data, err := wearLogFile.Read(path)
	if err != nil {
		return gearing.WearLog{}, nil, build.Problems{{Where: path, Text: err.Error()}}
	}
	return Parse(path, data)
}

// Parse reads a wear log's text; name stands in messages. Every problem is
// reported, not only the first (after twenty they are counted). The order of
// the tables is kept. The error is a build.Problems.
func Parse(name string, data []byte) (gearing.WearLog, []build.Problem, error) {
	r, err := parse(name, data)
	if err == nil && len(r.problems) > 0 {
		err = r.list(r.problems, r.dropped)
	}
	if err != nil {
		return gearing.WearLog{}, nil, build.Foreign(name, wearLogFile.Kind, data, err)
	}
	return r.log, r.list(r.warnings, 0), nil
}

// parse reads a text as far as TOML goes; the problems of its contents are
// left in the reader.
func parse(name string, data []byte) (*reader, error) {
	text, err := wearLogFile.Text(name, data)
	if err != nil {
		return nil, err
	}
	tables, ok := quick(text)
	if !ok {
		if tables, err = decode(name, text); err != nil {
			return nil, err
		}
	}
	r := &reader{name: name}
	r.read(tables)
	return r, nil
}
