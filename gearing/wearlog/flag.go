package wearlog

import (
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"

	"cagewise/gearing/build"
)

// fromText turns what a flag holds into a key of the log and a TOML value for
// it, as the owner wrote it: a length in inches stays in inches.
func (f *Field) fromText(s string) (key string, raw any, err error) {
	s = strings.TrimSpace(s)
	switch f.Kind {
	case Switch:
		on, err := strconv.ParseBool(s)
		if err != nil {
			return "", nil, f.wrong("%q is neither true nor false", build.Shorten(s))
		}
		return f.Key, on, nil
	case Count, Number, Distance:
		x, err := strconv.ParseFloat(s, 64)
		if point := build.PointForComma(s); point != "" {
			return "", nil, f.wrong("%q has a decimal comma: write %s", build.Shorten(s), point)
		}
		if err != nil && !math.IsInf(x, 0) {
			return "", nil, f.wrong("%q is not a number", build.Shorten(s))
		}
		return f.Key, x, nil
	case Length:
		return f.length(s)
	case Date: // anything else is refused as text, by fromTOML
		if day, err := time.Parse(time.DateOnly, s); err == nil {
			return f.Key, day, nil
		}
	case Wheels:
		list, err := f.wheelList(s)
		return f.Key, list, err
	}
	return f.Key, s, nil
}

// length takes millimetres, or a number with mm, cm, in or the inch sign
// behind it; inches may be a fraction: 12 1/16 in.
func (f *Field) length(s string) (key string, raw any, err error) {
	digits := strings.TrimRightFunc(s, func(r rune) bool { return unicode.IsLetter(r) || r == '"' })
	unit := strings.ToLower(s[len(digits):])
	digits = strings.TrimSpace(digits)
	if digits == "" || digits == "+" || digits == "-" { // such as nan
		digits, unit = s, ""
	}
	if point := build.PointForComma(digits); point != "" {
		return "", nil, f.wrong("%q has a decimal comma: write %s", build.Shorten(s), strings.TrimSpace(point+" "+unit))
	}
	if unit == "in" || unit == `"` {
		if x, err := strconv.ParseFloat(digits, 64); err == nil {
			return f.inches(), x, nil
		}
		if _, ok := fraction(digits); ok {
			return f.inches(), digits, nil
		}
		return "", nil, f.wrong("%q is not a number of inches", build.Shorten(s))
	}
	x, err := strconv.ParseFloat(digits, 64)
	switch {
	case err != nil && !math.IsInf(x, 0):
		return "", nil, f.wrong("%q is not a length such as 306.9, 30.69 cm or 12 1/16 in", build.Shorten(s))
	case unit == "" || unit == "mm":
		return f.Key, x, nil
	case unit == "cm":
		return f.Key, micro(x * 10), nil
	}
	return "", nil, f.wrong("%q has the unit %q; known are mm, cm and in", build.Shorten(s), build.Shorten(unit))
}

// fraction reads a number with an optional fraction: 12 1/16, 3/32, 12.0625.
func fraction(s string) (float64, bool) {
	words := strings.Fields(s)
	if len(words) == 0 || len(words) > 2 {
		return 0, false
	}
	whole, part := 0.0, words[len(words)-1]
	if len(words) == 2 {
		x, err := strconv.ParseUint(words[0], 10, 16)
		if err != nil || !strings.Contains(part, "/") {
			return 0, false
		}
		whole = float64(x)
	}
	over, under, ok := strings.Cut(part, "/")
	if !ok {
		x, err := strconv.ParseFloat(part, 64)
		return x, err == nil
	}
	a, err1 := strconv.ParseUint(over, 10, 16)
	b, err2 := strconv.ParseUint(under, 10, 16)
	if err1 != nil || err2 != nil || b == 0 {
		return 0, false
	}
	return whole + float64(a)/float64(b), true
}

// wheelList takes 11-13-15 or 11,13,15.
func (f *Field) wheelList(s string) ([]any, error) {
	var list []any
	for _, word := range strings.FieldsFunc(s, func(r rune) bool { return r == '-' || r == ',' || r == '/' || unicode.IsSpace(r) }) {
		n, err := strconv.ParseInt(word, 10, 64)
		if err != nil {
			return nil, f.wrong("%q is not a whole number", build.Shorten(word))
		}
		list = append(list, n)
	}
	return list, nil
}
