package wearlog

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// parts is a log's beginning of sixteen lines: a chain, a cassette, a cable.
const parts = `[[part]]
id = "chain-1"
kind = "chain"
fitted_at = 100
removed_at = 2000
[[part]]
id = "cas"
kind = "cassette"
teeth = [11, 13]
[[part]]
id = "cable"
kind = "cable"
[[part]]
id = "chain-2"
kind = "chain"
pitches = 110
`

const (
	rule24  = "[[reading]]\npart = \"chain-1\"\nat = 1230\nmethod = \"rule\"\npitches = 24\n"
	method  = "[[reading]]\npart = \"chain-1\"\nat = 1230\nmethod = "
	finding = "[[finding]]\npart = \"cas\"\nat = 1230\n"
)

func TestMessages(t *testing.T) {
	tests := []struct{ text, want string }{
		// TOML itself
		{"name = \xff", "w.toml:1: is not UTF-8 text; allowed: a TOML file in UTF-8"},
		{"name = 1\nname = 2\n", "w.toml:2: name: Key 'name' has already been defined."},
		{"a = 1\nb = '''\n''' # '\nc = \"\\\"\"\nd = " + strings.Repeat("[", 30), "w.toml:5: lists or tables stand in one another too deeply; allowed: 20 deep, and a wear log needs 2"},
		{"a = \"\"\"x\"\"\"\"\"\nd = " + strings.Repeat("[", 30), "w.toml:2: lists or tables stand in one another too deeply; allowed: 20 deep, and a wear log needs 2"},
		{"a" + strings.Repeat(".a", 101) + "= 1", "w.toml:1: lists or tables stand in one another too deeply; allowed: 20 deep, and a wear log needs 2"},
		{"[[reading]\n", "w.toml:2: expected end of table array name delimiter ']', but got '\\n' instead"},
		// keys and tables
		{"nmae = \"x\"", "w.toml:1: nmae: unknown key; did you mean name?"},
		{"# x\n[[raeding]]\n", "w.toml:2: raeding 1: unknown table; did you mean reading?; allowed: [[part]], [[reading]], [[finding]], [[ride]]"},
		{"[reading]\nat = 1\n", "w.toml:1: reading: is a table; write each on its own, under a line [[reading]]"},
		{"ride = 3\n", "w.toml:1: ride: is a number; write each on its own, under a line [[ride]]"},
		{parts + rule24 + "lenght_mm = 306.9\n", "w.toml:22: reading 1: lenght_mm: unknown key; did you mean length_mm?"},
		{parts + rule24 + "length_mm = 306.9\nlength_in = 12\n", "w.toml:23: reading 1: length_in: stands in millimetres and in inches; allowed: one of them"},
		{"[[ride]]\nzzzzzzzzzz = 1\ndistance = 1\n", "w.toml:2: ride 1: zzzzzzzzzz: unknown key; allowed: on, distance, chain, note"},
		// values
		{"distance_unit = \"mile\"", "w.toml:1: distance_unit: \"mile\"; did you mean miles?; allowed: km, miles"},
		{"budget = -1", "w.toml:1: budget: -1 money units; allowed: 0 to 10000000 money units"},
		{"budget = nan", "w.toml:1: budget: NaN is not a number; allowed: 0 to 10000000 money units"},
		{"budget = \"80\"", "w.toml:1: budget: is text; allowed: 0 to 10000000 money units"},
		{"name = 3", "w.toml:1: name: is a number; allowed: text of 1 to 400 characters on one line"},
		{"name = \"a\\nb\"", "w.toml:1: name: \"a\\nb\" is empty, too long, not UTF-8, or holds line breaks or control characters; allowed: text of 1 to 400 characters on one line"},
		{"motor = \"yes\"", "w.toml:1: motor: is text; allowed: true or false"},
		{"[[ride]]\n", "w.toml:1: ride 1: distance: is missing; allowed: over 0 to 1000000 in the log's distance unit"},
		{"[[ride]]\ndistance = 0\n", "w.toml:2: ride 1: distance: 0; allowed: over 0 to 1000000 in the log's distance unit"},
		{"[[ride]]\ndistance = 20000000\n", "w.toml:2: ride 1: distance: 20000000; allowed: over 0 to 1000000 in the log's distance unit"},
		{"budget = 1e300", "w.toml:1: budget: 1e+300 money units; allowed: 0 to 10000000 money units"},
		{"[[part]]\nid = \"cas\"\nkind = \"cassette\"\nteeth = 11-34\n", "w.toml:4: part.teeth: invalid datetime: \"11-34\"; put tooth counts in quotes: teeth = \"11-13-15\", or in a list: [11, 13, 15]"},
		{"[[ride]]\ndistance = inf\n", "w.toml:2: ride 1: distance: +Inf; allowed: over 0 to 1000000 in the log's distance unit"},
		{"[[ride]]\ndistance = -3\non = 1826-01-01\n", "w.toml:2: ride 1: distance: -3; allowed: over 0 to 1000000 in the log's distance unit\nw.toml:3: ride 1: on: is a time or in the year 1826; allowed: a date from 1970 to 2199, such as 2026-03-14"},
		{"[[ride]]\ndistance = 1\non = 07:32:00\n", "w.toml:3: ride 1: on: is a time or in the year 0; allowed: a date from 1970 to 2199, such as 2026-03-14"},
		{"[[ride]]\ndistance = 1\non = \"14.3.2026\"\n", "w.toml:3: ride 1: on: \"14.3.2026\" is no date; allowed: a date from 1970 to 2199, such as 2026-03-14"},
		// parts
		{"[[part]]\nid = \"a\"\n", "w.toml:1: part 1: kind: is missing; allowed: chain, cassette, cog, ring, guide pulley, tension pulley, bearing, cable"},
		{"[[part]]\nid = \"a\"\nkind = \"casette\"\n", "w.toml:3: part 1: kind: \"casette\"; did you mean cassette?; allowed: chain, cassette, cog, ring, guide pulley, tension pulley, bearing, cable"},
		{parts + "[[part]]\nid = \"cas\"\nkind = \"cable\"\n", "w.toml:18: part 5: id: \"cas\" is the id of a cassette already; allowed: ids used once"},
		{"[[part]]\nid = \"a\"\nkind = \"cable\"\nprice = -4\n", "w.toml:4: part 1: price: -4 money units; allowed: 0 to 10000000 money units"},
		{"[[part]]\nid = \" a\"\nkind = \"cable\"\n", "w.toml:2: part 1: id: \" a\" begins or ends with a space; allowed: text of 1 to 40 characters on one line"},
		{"[[part]]\nid = \"a\"\nkind = \"ring\"\n", "w.toml:1: part 1: teeth: is missing; allowed: one to 14 tooth counts of 8 to 80 teeth, no two alike"},
		{"[[part]]\nid = \"a\"\nkind = \"ring\"\nteeth = [44, 46]\n", "w.toml:4: part 1: teeth: 2 counts; allowed: one, the part is a ring"},
		{"[[part]]\nid = \"a\"\nkind = \"cassette\"\nteeth = \"11-13-13\"\n", "w.toml:4: part 1: teeth: 13 twice; allowed: one to 14 tooth counts of 8 to 80 teeth, no two alike"},
		{"[[part]]\nid = \"a\"\nkind = \"cassette\"\nteeth = [11, 13.5]\n", "w.toml:4: part 1: teeth: an entry is a number and no whole number; allowed: one to 14 tooth counts of 8 to 80 teeth, no two alike"},
		{"[[part]]\nid = \"a\"\nkind = \"cable\"\nteeth = 11\npitches = 110\n", "w.toml:4: part 1: teeth: belongs to a wheel; the part is a cable\nw.toml:5: part 1: pitches: belongs to a chain; the part is a cable"},
		{"[[part]]\nid = \"a\"\nkind = \"chain\"\nfitted_at = 10\nremoved_at = 9\n", "w.toml:5: part 1: removed_at: is less than the distance it was fitted at; allowed: that distance or more"},
		// readings
		{rule24, "w.toml:1: reading 1: length_mm: is missing; a reading by method \"rule\" needs it\nw.toml:2: reading 1: part: \"chain-1\" is no part of this log; allowed: the id of a [[part]]; the log has none that fits"},
		{parts + strings.Replace(rule24, "chain-1", "chian-1", 1) + "length_mm = 306\n", "w.toml:18: reading 1: part: \"chian-1\" is no part of this log; did you mean chain-1?; allowed: chain-1, chain-2"},
		{parts + strings.Replace(rule24, "chain-1", "cas", 1) + "length_mm = 306\n", "w.toml:18: reading 1: part: \"cas\" is a cassette; allowed: the id of a chain"},
		{parts + rule24 + "length_mm = 350\n", "w.toml:22: reading 1: length_mm: makes 350 mm over 24 pitches (12 link pairs, 304.8 mm), 14.8 % off a new chain; allowed: at most 10 % off; is the count right? 28 pitches come nearest"},
		{parts + rule24 + "length_in = \"12 1/0\"\n", "w.toml:22: reading 1: length_in: is text; allowed: 1 to 4500 mm"},
		{parts + rule24 + "length_mm = 306.9\nlift_mm = 3\nfalls = false\n", "w.toml:23: reading 1: lift_mm: does not belong to a reading by method \"rule\"; allowed: pitches, length_mm, error_mm\nw.toml:24: reading 1: falls: does not belong to a reading by method \"rule\"; allowed: pitches, length_mm, error_mm"},
		{parts + method + "\"hung\"\noffset_mm = 3\n", "w.toml:17: reading 1: pitches: is missing, and so is the count of \"chain-1\"; a reading by method \"hung\" needs one of them"},
		{parts + method + "\"hung\"\noffset_mm = -300\npitches = 110\n", "w.toml:21: reading 1: offset_mm: makes 1097 mm over 110 pitches (55 link pairs, 1397.0 mm), -21.5 % off a new chain; allowed: at most 10 % off; is the count right?"},
		{parts + method + "\"caliper\"\ninside_10_mm = 120.8\n", "w.toml:17: reading 1: inside_2_mm: is missing; a reading by method \"caliper\" needs it"},
		{parts + method + "\"caliper\"\ninside_10_mm = 140\ninside_2_mm = 18\n", "w.toml:21: reading 1: inside_10_mm: makes 122 mm over 8 pitches (4 link pairs, 101.6 mm), 20.1 % off a new chain; allowed: at most 10 % off; is the count right? The jaws hold 10 pitches, then 2"},
		{parts + method + "\"two-point\"\nmark_percent = 0.75\n", "w.toml:17: reading 1: falls: is missing; a reading by method \"two-point\" needs it, or what its scale shows"},
		{parts + method + "\"two-point\"\nmark_percent = 0.75\nscale_percent = 0.6\n", "w.toml:21: reading 1: mark_percent: does not belong to a reading by method \"two-point\"; allowed: scale_percent, pitches"},
		{parts + method + "\"lift\"\nlift_mm = 4\n", "w.toml:17: reading 1: ring: is missing; a reading by method \"lift\" needs it"},
		{parts + method + "\"luft\"\n", "w.toml:20: reading 1: method: \"luft\"; did you mean lift?; allowed: rule, hung, caliper, two-point, three-point, lift"},
		// findings
		{parts + finding, "w.toml:17: finding 1: kind: is missing; allowed: tooth shape, nail snags, chain lifts, skips, shifts badly, play, rough, frayed, stiff, chain suck, broken, bent, looks good"},
		{parts + finding + "kind = \"tooth shape\"\n", "w.toml:17: finding 1: degree: is missing; allowed: symmetric, pointed, hooked"},
		{parts + finding + "kind = \"tooth shape\"\ndegree = \"bad\"\n", "w.toml:21: finding 1: degree: \"bad\" is no degree of \"tooth shape\"; allowed: symmetric, pointed, hooked"},
		{parts + finding + "kind = \"skips\"\ndegree = \"hooked\"\n", "w.toml:21: finding 1: degree: \"hooked\" is no degree of \"skips\"; allowed: slight, bad"},
		{parts + finding + "kind = \"looks good\"\ndegree = \"bad\"\n", "w.toml:21: finding 1: degree: \"bad\" says nothing about what looks good; allowed: none"},
		{parts + finding + "kind = \"frayed\"\n", "w.toml:20: finding 1: kind: \"frayed\" is found on a cable; \"cas\" is a cassette"},
		{parts + strings.Replace(finding, "cas", "cable", 1) + "kind = \"nail snags\"\ncogs = 11\n", "w.toml:20: finding 1: kind: \"nail snags\" is found on a wheel; \"cable\" is a cable\nw.toml:21: finding 1: cogs: belong to a cassette or a chain; \"cable\" is a cable"},
		{parts + finding + "kind = \"skips\"\ncogs = [11, 12]\n", "w.toml:21: finding 1: cogs: 12 is no cog of \"cas\"; allowed: 11 13"},
		{parts + "[[ride]]\ndistance = 3\nchain = \"cas\"\n", "w.toml:19: ride 1: chain: \"cas\" is a cassette; allowed: the id of a chain"},
		// found by the TOML library's way as well
		{"ride = [{distance = 1, on = '''\n'''}]\n", "w.toml: ride 1: on: \"\" is no date; allowed: a date from 1970 to 2199, such as 2026-03-14"},
		{"note = '''\n[[ride]]\n'''\n[[ride]] # one\n'distance' = \"3\"\n", "w.toml:1: note: \"[[ride]]\\n\" is empty, too long, not UTF-8, or holds line breaks or control characters; allowed: text of 1 to 400 characters on one line\nw.toml:5: ride 1: distance: is text; allowed: over 0 to 1000000 in the log's distance unit"},
	}
	for _, tt := range tests {
		_, _, err := Parse("w.toml", []byte(tt.text))
		if err == nil || err.Error() != tt.want {
			t.Errorf("%s\ngot  %v\nwant %s", tt.text, err, tt.want)
		}
		if _, ok := err.(build.Problems); err != nil && !ok {
			t.Errorf("error of type %T", err)
		}
	}
}

func TestWarnings(t *testing.T) {
	tests := []struct{ text, want string }{
		{parts + rule24 + "length_mm = 313\n", "w.toml:22: reading 1: length_mm: makes 313 mm over 24 pitches (12 link pairs, 304.8 mm), 2.7 % off a new chain; is it a slip?"},
		{parts + strings.Replace(rule24, "1230", "30", 1) + "length_mm = 306\n", "w.toml:19: reading 1: at: is before \"chain-1\" was fitted; is it counted from there and not on the odometer?"},
		{parts + strings.Replace(rule24, "1230", "2030", 1) + "length_mm = 306\n", "w.toml:19: reading 1: at: is after \"chain-1\" was taken off; is it a slip?"},
		{"[[part]]\nid = \"a\"\nkind = \"chain\"\npitches = 56\n", "w.toml:4: part 1: pitches: 56 pitches is short for a bicycle; 56 link pairs would be 112 pitches; is it a slip?"},
		{"[[part]]\nid = \"a\"\nkind = \"cassette\"\nteeth = [11, 36]\n", "w.toml:4: part 1: teeth: two cogs, 11 and 36: of a cassette every cog is wanted, such as 11-13-15; is it a range?"},
		{parts + rule24 + "length_mm = 301\n", "w.toml:22: reading 1: length_mm: makes 301 mm over 24 pitches (12 link pairs, 304.8 mm), -1.2 % off a new chain, which no chain is: it is left out of every figure; is the count right? 24 pitches come nearest"},
		{"[[part]]\nid = \"a\"\nkind = \"chain\"\npitches = 111\n", "w.toml:4: part 1: pitches: 111 pitches is odd: that wants an offset link; is it a slip?"},
	}
	for _, tt := range tests {
		_, warnings, err := Parse("w.toml", []byte(tt.text))
		if err != nil || len(warnings) != 1 || warnings[0].String() != tt.want {
			t.Errorf("%s\ngot  %v %v\nwant %s", tt.text, warnings, err, tt.want)
		}
	}
}

// What went wrong with a length of 48 pitches, 609.6 mm: 61.2 is in cm, 24.1 in
// inches (612 mm), 1220 was counted in link pairs, 617.4 is one roller (7.75 mm)
// too long, 640.8 is 0.9 % over 50 pitches.
func TestSlips(t *testing.T) {
	for read, want := range map[gearing.MM]string{
		61.2:  "is it 61.2 cm?",
		24.1:  "is it 24.1 in?",
		1220:  "are those link pairs? They are 96 pitches",
		617.4: "was it taken between the rollers? It goes from a pin to a pin, or from an edge of a roller to the same edge of the last",
		640.8: "is the count right? 50 pitches come nearest",
	} {
		if got := slipOf("length_mm", read, gearing.Pitches(48).MM()); got != want {
			t.Errorf("%v mm: %s; want %s", read, got, want)
		}
	}
}

// What an owner saw is no error: readings out of order, a chain that shrinks,
// dates that go backwards, the same reading twice.
func TestOddReadingsAreKept(t *testing.T) {
	text := parts
	for _, length := range []string{"306.9\non = 2026-03-14", "305.1\non = 2026-03-10", "304.2\non = 2026-05-10", "304.2\non = 2026-05-10"} {
		text += rule24 + "length_mm = " + length + "\n"
	}
	log, warnings, err := Parse("w.toml", []byte(text))
	if err != nil || len(warnings) > 0 || len(log.Readings) != 4 {
		t.Errorf("%v %v %+v", err, warnings, log.Readings)
	}
}

func TestManyProblems(t *testing.T) {
	_, _, err := Parse("w.toml", []byte(strings.Repeat("[[ride]]\n", 100)))
	list, ok := err.(build.Problems)
	if !ok || len(list) != 21 || list[20].String() != "w.toml: 80 more" {
		t.Errorf("%v", err)
	}
}

func TestFileMessages(t *testing.T) {
	dir := t.TempDir()
	large := filepath.Join(dir, "large.toml")
	if err := os.WriteFile(large, bytes.Repeat([]byte("#"), MaxBytes+1), 0o600); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]string{
		dir:                     ": is a directory; a wear log is wanted",
		large:                   ": is too large for a wear log; allowed: at most 33554432 bytes",
		filepath.Join(dir, "n"): ": cannot be opened: no such file or directory",
	} {
		if _, _, err := Load(path); err == nil || err.Error() != path+want {
			t.Errorf("%v", err)
		}
	}
}

// The starting log is valid, and so is every one of its samples.
func TestTemplate(t *testing.T) {
	top, err := NewDraft("")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range top.Fields() {
		if f.Key == "distance_unit" {
			err = top.SetFlag(f, "miles")
		}
	}
	if err != nil {
		t.Fatal(err)
	}
	text := string(Template(top))
	if log, _, err := Parse("t.toml", []byte(text)); err != nil || !log.Miles {
		t.Fatalf("%v %+v", err, log)
	}
	sample := regexp.MustCompile(`(?m)^# ([a-z0-9_]+ = |\[\[)`)
	log, warnings, err := Parse("t.toml", []byte(strings.Replace(sample.ReplaceAllString(text, "$1"), "distance_unit = \"miles\"\n", "", 1)))
	if err != nil || len(warnings) > 0 {
		t.Fatalf("%v %v", err, warnings)
	}
	if len(log.Parts) != 2 || len(log.Readings) != 7 || len(log.Findings) != 2 || len(log.Rides) != 1 {
		t.Errorf("%+v", log)
	}
	for i, line := range strings.Split(text, "\n") {
		if len(line) > 80 {
			t.Errorf("line %d is %d wide", i+1, len(line))
		}
	}
	for _, f := range Fields() {
		if !strings.Contains(text, f.Key) || f.Doc == "" || f.Sample == "" || f.put == nil || f.get == nil || f.Flag == "" {
			t.Errorf("%s %s is incomplete", f.Table, f.Key)
		}
	}
}

// Hostile files are answered and not pondered over: thousands of keys in one table, of
// unknown tables, of headers.
func TestHostileFiles(t *testing.T) {
	var keys strings.Builder
	for i := range 30000 {
		fmt.Fprintf(&keys, "k%d = 1\n", i)
	}
	for _, text := range []string{
		keys.String(), "[[ride]]\n" + keys.String(), "[x]\n" + keys.String(),
		strings.Repeat("[[x]]\n", 30000), "[[ride]]\n" + strings.Repeat("[[ride.x]]\n", 30000),
		"a = " + strings.Repeat("[", 9000), "a = " + strings.Repeat("{a = ", 9000), "a" + strings.Repeat(".a", 9000) + " = 1\n", "[[ride]]\ndistance = 1\nnote = \"" + strings.Repeat("x", 300000) + "\"\n",
		strings.Repeat("[[ride]]\ndistance = -1\n", 20000),
	} {
		_, _, err := Parse("w.toml", []byte(text))
		if err == nil || len(err.Error()) > 20000 {
			t.Errorf("%.40q: %v", text, err)
		}
	}
}
