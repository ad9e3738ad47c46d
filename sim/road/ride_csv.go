package road

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
)

// csvColumn is what a column of a CSV ride holds; scale turns it into our unit.
type csvColumn struct {
	field field
	scale float64
}

// csvColumns are the names that columns may have.
var csvColumns = map[string]csvColumn{
	"time": {fieldTime, 1}, "time_s": {fieldTime, 1}, "seconds": {fieldTime, 1}, "timestamp": {fieldTime, 1},
	"speed_km_h": {fieldSpeed, 1 / 3.6}, "speed_m_s": {fieldSpeed, 1},
	"cadence": {fieldCadence, 1}, "cadence_rpm": {fieldCadence, 1},
	"power": {fieldPower, 1}, "power_w": {fieldPower, 1},
	"distance_m": {fieldDistance, 1}, "distance_km": {fieldDistance, 1000},
}

// csvReader reads a CSV ride line by line. encoding/csv is no help: it reads
// on to the end of the file for a quote that is not closed.
type csvReader struct {
	in        *bufio.Reader
	line      int
	delimiter byte
	columns   []csvColumn // one a column; scale 0 for one of no use
	cells     [][]byte
	unended   bool // the line read last is the file's last and has no end
}

func readCSV(in *bufio.Reader, c *cleaner) error {
	r := &csvReader{in: in}
	heading, err := r.next()
	if errors.Is(err, io.EOF) {
		return nil
	}
	if err != nil {
		return err
	}
	if err := r.heading(heading); err != nil {
		return fmt.Errorf("line %d: %w", r.line, err)
	}
	for {
		text, err := r.next()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		if n := r.cut(text); n > 0 {
			return fmt.Errorf("line %d has %d of %d columns: the file ends in the middle", r.line, n, len(r.columns))
		}
		if err := c.add(r.point(text, c)); err != nil {
			return err
		}
	}
}

// next is the next line that holds something, without its end.
func (r *csvReader) next() ([]byte, error) {
	for {
		text, err := r.in.ReadSlice('\n')
		r.unended = errors.Is(err, io.EOF)
		r.line++
		if errors.Is(err, bufio.ErrBufferFull) {
			return nil, fmt.Errorf("line %d: over %d kB long; allowed: a ride with a line for each sample", r.line, r.in.Size()>>10)
		}
		if err != nil && !errors.Is(err, io.EOF) {
			return nil, fmt.Errorf("line %d: %w", r.line, err)
		}
		if text = bytes.TrimRight(text, "\r\n"); len(bytes.TrimSpace(text)) > 0 && text[0] != '#' {
			return text, nil
		}
		if err != nil {
			return nil, err
		}
	}
}

// heading reads the names of the columns.
func (r *csvReader) heading(text []byte) error {
	r.delimiter = delimiterOf(text)
	seen := map[field]string{}
	var names []string
	for _, cell := range r.split(text) {
		name := columnName(string(cell))
		column := csvColumns[name]
		if name == "speed" || name == "distance" {
			return fmt.Errorf("column %q has no unit; allowed: %s", name, strings.Join(columnNames(name), ", "))
		}
		if before, twice := seen[column.field]; twice && column.scale != 0 {
			return fmt.Errorf("columns %s and %s say the same; allowed: one of them", before, name)
		}
		if column.scale != 0 {
			seen[column.field] = name
		}
		names, r.columns = append(names, name), append(r.columns, column)
	}
	_, hasTime := seen[fieldTime]
	_, hasSpeed := seen[fieldSpeed]
	_, hasDistance := seen[fieldDistance]
	if !hasTime || !(hasSpeed || hasDistance) {
		return fmt.Errorf("no ride's columns: %.200q; needed: time, and a speed or a distance; known: %s",
			strings.Join(names, ", "), strings.Join(columnNames(""), ", "))
	}
	return nil
}

// columnNames lists the names known that start so.
func columnNames(start string) []string {
	return slices.DeleteFunc(slices.Sorted(maps.Keys(csvColumns)), func(s string) bool { return !strings.HasPrefix(s, start) })
}

// delimiterOf is the one of , ; and tab that is most common in a heading.
func delimiterOf(text []byte) byte {
	best, most := byte(','), 0
	for _, d := range []byte(",;\t") {
		if n := bytes.Count(text, []byte{d}); n > most {
			best, most = d, n
		}
	}
	return best
}

// columnName writes "Speed (km/h)" as speed_km_h.
func columnName(s string) string {
	words := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9') })
	return strings.Join(words, "_")
}

// split cuts a line at its delimiters, but not inside quotes. The result is
// good until the next call.
func (r *csvReader) split(text []byte) [][]byte {
	r.cells = r.cells[:0]
	start, quoted := 0, false
	for i, b := range text {
		switch {
		case b == '"':
			quoted = !quoted
		case b == r.delimiter && !quoted:
			r.cells = append(r.cells, text[start:i])
			start = i + 1
		}
	}
	return append(r.cells, text[start:])
}

// cut is how many columns the file's last line has, if it has no end and not all
// of them; else 0.
func (r *csvReader) cut(text []byte) int {
	if !r.unended {
		return 0
	}
	if n := len(r.split(text)); n < len(r.columns) {
		return n
	}
	return 0
}

func (r *csvReader) point(text []byte, c *cleaner) rawPoint {
	p := newRawPoint(r.line)
	for i, cell := range r.split(text) {
		if i >= len(r.columns) || r.columns[i].scale == 0 {
			continue
		}
		cell = bytes.Trim(cell, "\" ")
		f := r.columns[i].field
		if r.delimiter != ',' {
			cell = bytes.Replace(cell, []byte(","), []byte("."), 1) // decimal comma
		}
		if f == fieldTime {
			p.values[f] = c.csvTime(cell, r.line)
			continue
		}
		p.values[f] = r.columns[i].scale * c.number(cell, r.line)
	}
	return p
}

// csvTime reads seconds, a date and time, or H:MM:SS.
func (c *cleaner) csvTime(cell []byte, line int) float64 {
	switch colon := bytes.IndexByte(cell, ':'); {
	case colon < 0:
		return c.number(cell, line)
	case colon > 3:
		return c.date(cell, line)
	}
	seconds := 0.0
	for part := range bytes.SplitSeq(cell, []byte(":")) {
		v, err := strconv.ParseFloat(string(part), 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			c.note(flawNumber, line)
			return math.NaN()
		}
		seconds = 60*seconds + v
	}
	return seconds
}

// dateForms are RFC 3339 and what is written instead; without a zone UTC is
// meant.
var dateForms = []string{time.RFC3339, "2006-01-02T15:04:05", "2006-01-02 15:04:05", "2006-01-02 15:04:05Z07:00"}

// date reads a date and time as seconds.
func (c *cleaner) date(text []byte, line int) float64 {
	text = bytes.TrimSpace(text)
	for _, form := range dateForms {
		if t, err := time.Parse(form, string(text)); err == nil {
			return float64(t.Unix()) + float64(t.Nanosecond())/1e9
		}
	}
	if len(text) > 0 {
		c.note(flawNumber, line)
	}
	return math.NaN()
}
