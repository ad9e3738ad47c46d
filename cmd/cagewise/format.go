package main

import (
	"bytes"
	"cagewise/gearing/build"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"
)

// Formats of tables.
const (
	formatText     = "text"
	formatJSON     = "json"
	formatCSV      = "csv"
	formatMarkdown = "markdown"
)

var tableFormats = []string{formatText, formatJSON, formatCSV, formatMarkdown}

// report is a result that can be written in every format.
type report interface {
	write(*page)       // text and Markdown
	csvTable() *table  // CSV
	titleText() string // first line of text and Markdown
}

// outputFlags are the flags of every command that writes a result.
type outputFlags struct {
	format, path *string
	colour       *string // nil: there is no text to colour
}

// When text is coloured.
const (
	colourAuto   = "auto"
	colourAlways = "always"
	colourNever  = "never"
)

var colourWords = []string{colourAuto, colourAlways, colourNever}

func addOutputFlags(flags *pflag.FlagSet, formats string) outputFlags {
	return outputFlags{
		format: flags.String("format", "", formats+"; default by the ending of --output"),
		path:   flags.StringP("output", "o", "", "write to this file, whole or not at all, instead of standard output"),
	}
}

// addTextFlags are those of a command whose result can be text.
func addTextFlags(flags *pflag.FlagSet, formats string) outputFlags {
	o := addOutputFlags(flags, formats)
	o.colour = flags.String("color", colourAuto, "colour in text: auto (on a terminal, unless NO_COLOR is set or TERM is dumb), always or never")
	return o
}

// coloured tells whether text is to have colour.
func (o outputFlags) coloured(e env) (bool, error) {
	switch *o.colour {
	case colourAuto:
		return e.colour && *o.path == "", nil
	case colourAlways, colourNever:
		return *o.colour == colourAlways, nil
	}
	return false, fmt.Errorf("--color: %w", unknown("choice", *o.colour, colourWords))
}

// choose finds the format by flag or ending.
func (o outputFlags) choose(allowed []string, byEnding map[string]string, def string) (string, error) {
	if *o.format != "" {
		if !slices.Contains(allowed, *o.format) {
			return "", fmt.Errorf("--format: %w", unknown("format", *o.format, allowed))
		}
		return *o.format, nil
	}
	if f, ok := byEnding[strings.ToLower(filepath.Ext(*o.path))]; ok {
		return f, nil
	}
	if *o.path != "" && !special(*o.path) {
		return "", fmt.Errorf("--output: %s ends in none of %s; add --format to say what it shall be", *o.path, strings.Join(slices.Sorted(maps.Keys(byEnding)), ", "))
	}
	return def, nil
}

// isMachine tells whether programs are to read it: json or csv.
func (o outputFlags) isMachine() bool {
	format, err := o.choose(tableFormats, tableEndings, formatText)
	return err == nil && (format == formatJSON || format == formatCSV)
}

// special tells whether a path is there and no regular file: a pipe, a device
// or a directory has no telling ending.
func special(path string) bool {
	info, err := os.Stat(path)
	return err == nil && !info.Mode().IsRegular()
}

var tableEndings = map[string]string{".json": formatJSON, ".csv": formatCSV, ".md": formatMarkdown, ".txt": formatText}

// emit writes a report in the chosen format to the chosen place.
func (c *call) emit(o outputFlags, in input, r report) error {
	data, err := c.render(o, r)
	if err != nil {
		return err
	}
	return c.deliver(*o.path, in.path, data)
}

// render writes a report in the chosen format.
func (c *call) render(o outputFlags, r report) ([]byte, error) {
	format, err := o.choose(tableFormats, tableEndings, formatText)
	if err != nil {
		return nil, err
	}
	colour, err := o.coloured(c.env)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	switch format {
	case formatJSON:
		err = writeJSON(&out, r)
	case formatCSV:
		err = r.csvTable().csv(&out)
	default:
		p := page{width: c.width, markdown: format == formatMarkdown, colour: colour && format == formatText, units: c.units}
		p.title(r.titleText())
		r.write(&p)
		out = p.Buffer
	}
	return out.Bytes(), err
}

// deliver writes finished bytes to a file or to standard output. It never
// writes over the input.
func (c *call) deliver(path, inputPath string, data []byte) error {
	if path == "" {
		if _, err := c.out.Write(data); err != nil {
			return fmt.Errorf("writing standard output: %w", build.Cause(err))
		}
		return nil
	}
	if sameFile(path, inputPath) {
		return fmt.Errorf("--output: %s is the build file itself; name another file", path)
	}
	for _, in := range c.inputs() {
		if sameFile(path, in) {
			return fmt.Errorf("--output: %s is read by this command; name another file", path)
		}
	}
	if err := writeFile(path, data); err != nil {
		return fmt.Errorf("--output: %w", err)
	}
	return nil
}

// inputs are the files that the command line names to be read, and its other
// words, which are no files.
func (c *call) inputs() []string {
	list := slices.Clone(c.flags.Args())
	for _, name := range fileFlags {
		flag := c.flags.Lookup(name)
		if flag == nil || name == "output" || name == "save" {
			continue
		}
		if several, ok := flag.Value.(pflag.SliceValue); ok {
			list = append(list, several.GetSlice()...)
		} else {
			list = append(list, flag.Value.String())
		}
	}
	return list
}

func sameFile(a, b string) bool {
	if b == "" {
		return false
	}
	ia, err1 := os.Stat(a)
	ib, err2 := os.Stat(b)
	return err1 == nil && err2 == nil && os.SameFile(ia, ib)
}
