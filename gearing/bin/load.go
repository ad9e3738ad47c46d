package bin

import (
	"cagewise/gearing"
	"cagewise/gearing/build"
)

// Limits of what is read. They are far over any shed and keep memory and time
// bounded whatever the file.
const (
	MaxBytes      = 64 << 20 // of a file
	MaxTableBytes = 1 << 20  // of one table, comments between the tables included
	MaxParts      = 20_000   // of one kind
)

var binFile = build.File{Kind: "parts bin", Most: MaxBytes}

// Load reads a parts bin from a file. The error is a build.Problems.
func Load(path string) (gearing.PartsBin, error) {
	data, err := binFile.Read(path)
	if err != nil {
		return gearing.PartsBin{}, build.Problems{{Where: path, Text: err.Error()}}
	}
	return Parse(path, data)
}

// Parse reads the text of a parts bin; name stands in messages. All problems are
// reported together in the order of the file, after twenty the rest is counted.
// The parts of a kind keep the file's order, teeth rise. The error is a
// build.Problems whose places read file:line: table n: key, n counting the
// tables of the kind.
func Parse(name string, data []byte) (gearing.PartsBin, error) {
	text, err := binFile.Text(name, data)
	if err != nil {
		return gearing.PartsBin{}, build.Foreign(name, binFile.Kind, data, err)
	}
	r := &reader{name: name, kinds: kinds()}
	r.read(text)
	if len(r.problems) > 0 {
		return gearing.PartsBin{}, build.Foreign(name, binFile.Kind, data, r.list())
	}
	return r.bin, nil
}
