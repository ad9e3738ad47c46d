package build

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// The examples: readings pass, files of other kinds do not.
func TestReadingsSchemaExamples(t *testing.T) {
	s := compile(t, ReadingsSchema())
	paths, err := filepath.Glob("../../examples/*.toml")
	if err != nil || len(paths) == 0 {
		t.Fatal("no examples", err)
	}
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		_, read := ParseReadings(path, text)
		passes := s.Validate(asJSON(t, string(text)))
		if want := strings.HasSuffix(path, "-readings.toml"); (read == nil) != want || (passes == nil) != want {
			t.Errorf("%s: the reader says %v, the schema %v", path, read, passes)
		}
	}
}

// Reader and schema agree on good and bad values of every key.
func TestReadingsSchemaValues(t *testing.T) {
	s := compile(t, ReadingsSchema())
	agree := func(text string, want bool) {
		t.Helper()
		if _, err := ParseReadings("test.toml", []byte(text)); (err == nil) != want {
			t.Errorf("the reader says %v, want good: %v\n%s", err, want, text)
		}
		if err := s.Validate(asJSON(t, text)); (err == nil) != want {
			t.Errorf("the schema says %v, want good: %v\n%s", err, want, text)
		}
	}
	with := func(key, literal string) string {
		lines := []string{"[[reading]]", `gear = "46x36"`, "gap = 6"}
		lines = slices.DeleteFunc(lines, func(l string) bool { return strings.HasPrefix(l, key+" =") })
		return strings.Join(append(lines, key+" = "+literal), "\n") + "\n"
	}
	pairs := []string{"[24, -114]", `["24 mm", "-11.4cm"]`}
	notPairs := []string{"24", "[24]", "[24, 1, 2]", "[24, 301]", "[-301, 2]", `["a", 2]`, "[true, 2]", "{a = 1}"}
	for key, literals := range map[string]struct{ good, bad []string }{
		"gear":       {[]string{`"46x36"`, `" 46 x 36 "`, `"+46x036"`, `"8x80"`}, []string{`"46"`, `"46-36"`, `"7x36"`, `"46x81"`, `"ax36"`, `""`, "46", "[46, 36]"}},
		"stop":       {nil, []string{`"front"`, `""`, "1", "true"}}, // a gap goes with no stop
		"pitches":    {[]string{"40", "300"}, []string{"39", "301", "100.5", `"112"`, "true"}},
		"cage_angle": {[]string{"-270", "90", "-78.5"}, []string{"-271", "91", `"-78"`, "true"}},
		"gap":        {[]string{"0.1", "80", `"0.25 in"`}, []string{"0", "81", `"1 km"`, "true", "[6]"}},
		"guide":      {pairs, notPairs},
		"tension":    {pairs, notPairs},
	} {
		if !slices.Contains(readingKeys, key) {
			t.Errorf("%s is no key of a reading", key)
		}
		for _, literal := range literals.good {
			agree(with(key, literal), true)
		}
		for _, literal := range literals.bad {
			agree(with(key, literal), false)
		}
	}
	one := with("pitches", "112")
	for text, want := range map[string]bool{
		"": false, one: true, "reading = []\n": false, "colour = 1\n" + one: false, one + "colour = 1\n": false, one + "[[readings]]\n": false,
		"[[reading]]\nstop = \"rear\"\ncage_angle = -190\n": true, "[[reading]]\nstop = \"forward\"\ngear = \"46x36\"\npitches = 112\ncage_angle = 15.5\n": true,
		"[[reading]]\nstop = \"rear\"\n": false, "[[reading]]\nstop = \"rear\"\ngear = \"46x36\"\n": false, "[[reading]]\nstop = \"rear\"\ncage_angle = -190\ngap = 6\n": false,
		"[[reading]]\nstop = \"rear\"\ncage_angle = -190\nguide = [1, 2]\n": false, "[[reading]]\nstop = \"up\"\ncage_angle = -190\n": false,
		"[[reading]]\ngap = 6\n": false, "[[reading]]\ngear = \"46x36\"\npitches = 112\n": false,
		strings.Repeat(one, MostReadings): true, strings.Repeat(one, MostReadings+1): false,
	} {
		agree(text, want)
	}
	if len(readingKeys) != 7 {
		t.Errorf("%d keys; are they all tested?", len(readingKeys))
	}
}
