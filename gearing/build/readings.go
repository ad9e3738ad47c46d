package build

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"

	"cagewise/gearing"
)

// Reading is what was seen on the built bike in one gear, or with the cage pushed
// to one of its stops by hand. Fields that were not read are zero.
type Reading struct {
	gearing.GearID
	Stop      string          // "rear", "forward", or "": the cage hung in its chain
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

// Stops that a reading can be of.
const (
	RearStop    = "rear"
	ForwardStop = "forward"
)

var (
	readingStop  = &Field{Key: "stop", Kind: Choice, Choices: []string{RearStop, ForwardStop}, Doc: "end that the cage was pushed to by hand; its direction is cage_angle, and a gear is not needed", Sample: `"rear"`}
	readingCount = &Field{Key: "pitches", Kind: Count, Low: 40, High: 300, Unit: "pitches", Doc: "of the chain on the bike", Default: "the build's", Sample: "112"}
	readingAngle = &Field{Key: "cage_angle", Kind: Number, Low: -270, High: 90, Unit: "degrees", Doc: "direction from guide to tension pulley, counter-clockwise from forward", Sample: "-78"}
	readingGap   = &Field{Key: "gap", Kind: Length, Low: 0.1, High: 80, Unit: "mm", Doc: "between the teeth of cog and guide pulley", Sample: "6.2"}
	readingPlace = &Field{Key: "guide", Kind: Length, Low: -300, High: 300, Unit: "mm", Doc: "one of the two", Sample: "-114"}
	readingKeys  = []string{readingGear, readingStop.Key, readingCount.Key, readingAngle.Key, "guide", "tension", readingGap.Key}
)

var readingsFile = File{"readings file", MaxBytes}

// LoadReadings reads a readings file: one [[reading]] table for each gear that
// was looked at, and for each stop of the cage. The error is a Problems.
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
	r := readingsReader{name: name, lines: readingLines(text), stops: map[string]int{}}
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
	stops    map[string]int // the readings of stops, from 1
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
	case rd.Stop != "":
		r.stop(i, rd)
	case rd.GearID == (gearing.GearID{}):
		r.report(i, readingGear, "is missing; allowed: ring x cog, such as \"46x36\", or a stop")
	case rd.CageAngle == 0 && !rd.placed():
		r.report(i, readingGear, "nothing was read in it; allowed: one or more of cage_angle, guide, tension, gap")
	default:
		r.list = append(r.list, rd)
	}
}

// placed tells whether more than an angle was read.
func (rd *Reading) placed() bool {
	return rd.Gap != 0 || rd.Guide != [2]gearing.MM{} || rd.Tension != [2]gearing.MM{}
}

// stop takes the reading of a stop: its angle and nothing else, once.
func (r *readingsReader) stop(i int, rd Reading) {
	before, twice := r.stops[rd.Stop]
	r.stops[rd.Stop] = i + 1
	switch {
	case twice:
		r.report(i, readingStop.Key, fmt.Sprintf("the %s stop stands in reading %d too; allowed: one reading of each stop", rd.Stop, before))
	case rd.placed():
		r.report(i, readingStop.Key, "a stop is read by cage_angle alone; allowed: a reading of its own for guide, tension and gap")
	case rd.CageAngle == 0:
		r.report(i, readingStop.Key, "its cage_angle is missing (0 counts as not read); allowed: "+stopField(rd.Stop).Allowed())
	default:
		if err := stopField(rd.Stop).checkNumber(float64(rd.CageAngle)); err != nil {
			r.report(i, readingAngle.Key, fmt.Sprintf("the %s stop at %s", rd.Stop, err))
			return
		}
		r.list = append(r.list, rd)
	}
}

// stopField is the key of a build file that holds a stop.
func stopField(stop string) *Field { return byPath[geometrySection+".cage_stop_"+stop] }

func (rd *Reading) take(key string, v any) error {
	switch key {
	case readingGear:
		return rd.gear(v)
	case readingStop.Key:
		x, err := readingStop.fromTOML(v)
		rd.Stop = x.text
		return err
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
