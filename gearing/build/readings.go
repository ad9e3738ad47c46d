package build

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"

	"cagewise/gearing"
)

// Reading is what was seen on the built bike in one gear. Fields that were not
// read are zero.
type Reading struct {
	gearing.GearID
	Pitches   int             // of the chain on the bike; 0: the build's
	CageAngle gearing.Degrees // direction from guide to tension pulley
	// Guide and Tension are the pulley centres from the axle: ahead, above.
	Guide, Tension [2]gearing.MM
	Gap            gearing.MM // between cog and guide pulley teeth
	Line           int        // of its [[reading]] in the file, 0 when not known
}

// MostReadings bounds a readings file.
const MostReadings = 100

const (
	readingTable = "reading"
	readingGear  = "gear"
)

var (
	readingCount = &Field{Key: "pitches", Kind: Count, Low: 40, High: 300, Unit: "pitches", Doc: "of the chain on the bike", Default: "the build's", Sample: "112"}
	readingAngle = &Field{Key: "cage_angle", Kind: Number, Low: -270, High: 90, Unit: "degrees", Doc: "direction from guide to tension pulley, counter-clockwise from forward", Sample: "-78"}
	readingGap   = &Field{Key: "gap", Kind: Length, Low: 0.1, High: 80, Unit: "mm", Doc: "between the teeth of cog and guide pulley", Sample: "6.2"}
	readingPlace = &Field{Key: "guide", Kind: Length, Low: -300, High: 300, Unit: "mm", Doc: "one of the two", Sample: "-114"}
	readingKeys  = []string{readingGear, readingCount.Key, readingAngle.Key, "guide", "tension", readingGap.Key}
)

var readingsFile = File{"readings file", MaxBytes}

// LoadReadings reads a readings file: one [[reading]] table for each gear that
// was looked at. The error is a Problems.
func LoadReadings(path string) ([]Reading, error) {
	data, err := readingsFile.Read(path)
	if err != nil {
		return nil, Problems{{path, err.Error()}}
	}
	return ParseReadings(path, data)
}

// ParseReadings reads the text of a readings file; name stands in messages.
func ParseReadings(name string, data []byte) ([]Reading, error) {
	list, err := parseReadings(name, data)
	return list, Foreign(name, readingsFile.Kind, data, err)
}

func parseReadings(name string, data []byte) ([]Reading, error) {
	text, err := readingsFile.Text(name, data)
	if err != nil {
		return nil, err
	}
	var tree map[string]any
	if _, err := toml.Decode(text, &tree); err != nil {
		return nil, Problems{Syntax(name, err)}
	}
	r := readingsReader{name: name, lines: readingLines(text)}
	r.top(tree)
	if len(r.problems) > 0 {
		return nil, r.problems
	}
	return r.list, nil
}

// readingLines are the lines of the [[reading]] headers.
func readingLines(text string) []int {
	var lines []int
	for i, line := range strings.Split(text, "\n") {
		if strings.HasPrefix(strings.ReplaceAll(line, " ", ""), "[[reading]]") {
			lines = append(lines, i+1)
		}
	}
	return lines
}

type readingsReader struct {
	name     string
	lines    []int
	list     []Reading
	problems Problems
}

func (r *readingsReader) top(tree map[string]any) {
	for _, key := range slices.Sorted(maps.Keys(tree)) {
		if key != readingTable {
			r.problems = append(r.problems, Problem{r.name, fmt.Sprintf("%s: unknown key%s; allowed: [[reading]] tables", shorten(key), DidYouMean(key, []string{readingTable}))})
		}
	}
	tables, ok := tree[readingTable].([]map[string]any)
	switch {
	case !ok || len(tables) == 0:
		r.problems = append(r.problems, Problem{r.name, "holds no readings; allowed: one [[reading]] table for each gear looked at"})
	case len(tables) > MostReadings:
		r.problems = append(r.problems, Problem{r.name, fmt.Sprintf("%d readings; allowed: at most %d", len(tables), MostReadings)})
	default:
		for i, t := range tables {
			r.reading(i, t)
		}
	}
}

func (r *readingsReader) report(i int, key, text string) {
	where := fmt.Sprintf("%s: reading %d: %s", r.name, i+1, shorten(key))
	if i < len(r.lines) {
		where = fmt.Sprintf("%s:%d: reading %d: %s", r.name, r.lines[i], i+1, shorten(key))
	}
	r.problems = append(r.problems, Problem{where, text})
}

func (r *readingsReader) reading(i int, t map[string]any) {
	var rd Reading
	if i < len(r.lines) {
		rd.Line = r.lines[i]
	}
	before := len(r.problems)
	for _, key := range slices.Sorted(maps.Keys(t)) {
		if err := rd.take(key, t[key]); err != nil {
			r.report(i, key, err.Error())
		}
	}
	if len(r.problems) > before {
		return
	}
	switch {
	case rd.GearID == (gearing.GearID{}):
		r.report(i, readingGear, "is missing; allowed: ring x cog, such as \"46x36\"")
	case rd.CageAngle == 0 && rd.Gap == 0 && rd.Guide == [2]gearing.MM{} && rd.Tension == [2]gearing.MM{}:
		r.report(i, readingGear, "nothing was read in it; allowed: one or more of cage_angle, guide, tension, gap")
	default:
		r.list = append(r.list, rd)
	}
}

func (rd *Reading) take(key string, v any) error {
	switch key {
	case readingGear:
		return rd.gear(v)
	case readingCount.Key:
		x, err := readingCount.fromTOML(v)
		rd.Pitches = int(x.num)
		return err
	case readingAngle.Key:
		x, err := readingAngle.fromTOML(v)
		rd.CageAngle = gearing.Degrees(x.num)
		return err
	case readingGap.Key:
		x, err := readingGap.fromTOML(v)
		rd.Gap = gearing.MM(x.num)
		return err
	case "guide":
		return place(v, &rd.Guide)
	case "tension":
		return place(v, &rd.Tension)
	}
	return fmt.Errorf("unknown key%s; allowed: %s", DidYouMean(key, readingKeys), strings.Join(readingKeys, ", "))
}

func (rd *Reading) gear(v any) error {
	text, _ := v.(string)
	g, ok := gearing.ParseGear(text)
	if !ok {
		return fmt.Errorf("%q; allowed: ring x cog, such as \"46x36\"", shorten(text))
	}
	rd.GearID = g
	return nil
}

// place takes [ahead, above] in mm.
func place(v any, to *[2]gearing.MM) error {
	list, ok := v.([]any)
	if !ok || len(list) != 2 {
		return fmt.Errorf("is not a pair; allowed: [ahead of the axle, above the axle] in mm, below being negative")
	}
	for i, item := range list {
		x, err := readingPlace.fromTOML(item)
		if err != nil {
			return err
		}
		to[i] = gearing.MM(x.num)
	}
	return nil
}
