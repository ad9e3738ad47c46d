package wearlog

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// fromTOML takes a decoded TOML value that stands under a key of the field.
func (f *Field) fromTOML(key string, raw any, miles bool) (value, error) {
	switch f.Kind {
	case Text, Choice:
		if s, ok := raw.(string); ok {
			return value{text: s}, f.checkText(s)
		}
	case Switch:
		if on, ok := raw.(bool); ok {
			return value{on: on}, nil
		}
	case Date:
		return f.date(raw)
	case Wheels:
		return f.wheels(raw)
	default:
		return f.number(key, raw, miles)
	}
	return value{}, f.wrong("is %s", build.KindOf(raw))
}

func (f *Field) number(key string, raw any, miles bool) (value, error) {
	inInches := f.Kind == Length && key == f.inches()
	x, ok := numberOf(raw)
	if s, isText := raw.(string); isText && inInches {
		x, ok = fraction(s)
	}
	if !ok {
		return value{}, f.wrong("is %s", build.KindOf(raw))
	}
	if err := f.checkNumber(x, inInches); err != nil {
		return value{}, err
	}
	switch {
	case inInches:
		x = micro(x * gearing.MMPerInch)
	case f.Kind == Distance && miles:
		x = toKM(x)
	}
	return value{num: x}, nil
}

func numberOf(raw any) (float64, bool) {
	switch x := raw.(type) {
	case int64:
		return float64(x), true
	case float64:
		return x, true
	}
	return 0, false
}

// micro rounds what a conversion made of a length or distance to a millionth,
// so that 12 in is 304.8 mm and not a bit less.
func micro(x float64) float64 { return math.Round(x*1e6) / 1e6 }

func toKM(miles float64) float64 { return micro(miles * gearing.KMPerMile) }

// fromKM gives the shortest number of miles that reads back as the same
// distance.
func fromKM(km float64) float64 {
	for scale := 1.0; scale < 1e10; scale *= 10 {
		if miles := math.Round(km/gearing.KMPerMile*scale) / scale; toKM(miles) == km {
			return miles
		}
	}
	return km / gearing.KMPerMile
}

func (f *Field) checkText(s string) error {
	switch {
	case f.Kind == Choice && !slices.Contains(f.Choices, s):
		return f.wrong("%q%s", build.Shorten(s), build.DidYouMean(s, f.Choices))
	case f.Kind == Choice:
		return nil
	case s == "" || !utf8.ValidString(s) || utf8.RuneCountInString(s) > int(f.High) || strings.ContainsFunc(s, unicode.IsControl):
		return f.wrong("%q is empty, too long, not UTF-8, or holds line breaks or control characters", build.Shorten(s))
	case f.High == mostID && strings.TrimSpace(s) != s:
		return f.wrong("%q begins or ends with a space", build.Shorten(s))
	}
	return nil
}

func (f *Field) checkNumber(x float64, inInches bool) error {
	low, high, unit := f.Low, f.High, f.Unit
	if inInches {
		low, high, unit = low/gearing.MMPerInch, high/gearing.MMPerInch, "in"
	}
	switch {
	case math.IsNaN(x):
		return f.wrong("NaN is not a number")
	case f.Kind == Count && x != math.Trunc(x):
		return f.wrong("%v is not a whole number", x)
	case x < low || x > high || f.Over && x == low:
		return f.wrong("%s", strings.TrimSpace(plain(x)+" "+unit))
	}
	return nil
}

// date takes a TOML date, a date and time of which the date counts as it is
// written, or a date as text.
func (f *Field) date(raw any) (value, error) {
	var d time.Time
	switch v := raw.(type) {
	case time.Time:
		d = time.Date(v.Year(), v.Month(), v.Day(), 0, 0, 0, 0, time.UTC)
	case string:
		parsed, err := time.Parse(time.DateOnly, v)
		if err != nil {
			return value{}, f.wrong("%q is no date", build.Shorten(v))
		}
		d = parsed
	default:
		return value{}, f.wrong("is %s", build.KindOf(raw))
	}
	if d.Year() < 1970 || d.Year() > 2199 {
		return value{}, f.wrong("is a time or in the year %d", d.Year())
	}
	return value{day: d}, nil
}

// wheels takes one tooth count, a list, or text such as 11-13-15; any order.
func (f *Field) wheels(raw any) (value, error) {
	var items []any
	switch v := raw.(type) {
	case int64:
		items = []any{v}
	case []any:
		items = v
	case string:
		list, err := f.wheelList(v)
		if err != nil {
			return value{}, err
		}
		items = list
	default:
		return value{}, f.wrong("is %s", build.KindOf(raw))
	}
	return f.checkWheels(items)
}

func (f *Field) checkWheels(items []any) (value, error) {
	var v value
	if len(items) == 0 || len(items) > gearing.MaxCogs {
		return v, f.wrong("%d entries", len(items))
	}
	for _, item := range items {
		n, ok := item.(int64)
		switch {
		case !ok:
			return v, f.wrong("an entry is %s and no whole number", build.KindOf(item))
		case n < int64(f.Low) || n > int64(f.High):
			return v, f.wrong("%d teeth", n)
		case slices.Contains(v.list, gearing.Teeth(n)):
			return v, f.wrong("%d twice", n)
		}
		v.list = append(v.list, gearing.Teeth(n))
	}
	slices.Sort(v.list)
	return v, nil
}

// wrong is an error that says what is allowed.
func (f *Field) wrong(format string, args ...any) error {
	return fmt.Errorf("%s; allowed: %s", fmt.Sprintf(format, args...), f.Allowed())
}
