package build

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"cagewise/gearing"
)

// fromText parses what a flag holds, or a string in a file.
func (f *Field) fromText(s string) (value, error) {
	s = strings.TrimSpace(s)
	switch f.Kind {
	case Text, Choice:
		return f.checked(value{text: s})
	case Switch:
		on, err := strconv.ParseBool(s)
		if err != nil {
			return value{}, f.wrong("%q is neither true nor false", shorten(s))
		}
		return value{on: on}, nil
	case Tyre:
		return f.tyre(s)
	case Wheels, Band, Series:
		return f.listFromText(s)
	}
	x, err := f.number(s)
	if err != nil {
		return value{}, err
	}
	return f.checked(value{num: x})
}

// fromTOML takes a decoded TOML value.
func (f *Field) fromTOML(v any) (value, error) {
	switch v := v.(type) {
	case string:
		if f.Kind == Count || f.Kind == Number || f.Kind == Switch {
			return value{}, f.wrong("is text, %q", shorten(v))
		}
		return f.fromText(v)
	case bool:
		if f.Kind == Switch {
			return value{on: v}, nil
		}
	case int64:
		return f.fromNumber(float64(v))
	case float64:
		return f.fromNumber(v)
	case []any:
		if f.Kind == Wheels || f.Kind == Band || f.Kind == Series {
			return f.listFromTOML(v)
		}
	}
	return value{}, f.wrong("is %s", kindOf(v))
}

func kindOf(v any) string {
	switch v.(type) {
	case bool:
		return "true or false"
	case []any, []map[string]any:
		return "a list"
	case map[string]any:
		return "a table"
	case int64, float64:
		return "a number"
	}
	return "a date or time"
}

func (f *Field) fromNumber(x float64) (value, error) {
	switch f.Kind {
	case Count, Number, Length:
		return f.checked(value{num: x})
	case Wheels, Band, Series:
		return f.checked(value{list: []float64{x}})
	}
	return value{}, f.wrong("is a number, %v", x)
}

func (f *Field) listFromTOML(items []any) (value, error) {
	if len(items) > f.most() {
		return value{}, f.tooMany(len(items))
	}
	var v value
	for _, item := range items {
		switch x := item.(type) {
		case int64:
			v.list = append(v.list, float64(x))
		case float64:
			v.list = append(v.list, x)
		default:
			return value{}, f.wrong("an entry is %s", strings.Replace(kindOf(item), "a date or time", "text", 1))
		}
	}
	return f.checked(v)
}

// listFromText takes 11-13-15, 46/30 or 60,90; spaces may stand anywhere.
func (f *Field) listFromText(s string) (value, error) {
	parts := strings.FieldsFunc(s, func(r rune) bool {
		return r == '-' || r == '/' || r == ',' || r == ';' || unicode.IsSpace(r)
	})
	if strings.HasPrefix(s, "-") {
		return value{}, f.wrong("%q begins with a minus", shorten(s))
	}
	if len(parts) > f.most() {
		return value{}, f.tooMany(len(parts))
	}
	var v value
	for _, part := range parts {
		x, err := strconv.ParseFloat(part, 64)
		if err != nil {
			return value{}, f.wrong("%q is not a number", shorten(part))
		}
		v.list = append(v.list, x)
	}
	return f.checked(v)
}

// number takes a number, for lengths with an optional unit behind it.
func (f *Field) number(s string) (float64, error) {
	digits, unit := s, ""
	if f.Kind != Length && f.Unit != "" { // its own unit says nothing new
		digits = strings.TrimSuffix(s, f.Unit)
	}
	if f.Kind == Length {
		digits = strings.TrimRightFunc(s, func(r rune) bool { return unicode.IsLetter(r) || r == '"' })
		unit = s[len(digits):]
		if strings.EqualFold(s, "nan") || strings.EqualFold(strings.TrimLeft(s, "+-"), "inf") {
			digits, unit = s, ""
		}
	}
	x, err := strconv.ParseFloat(strings.TrimSpace(digits), 64)
	if point := PointForComma(strings.TrimSpace(digits)); err != nil && point != "" {
		return 0, f.wrong("%q has a decimal comma: write %s", shorten(s), point)
	}
	if err != nil && !math.IsInf(x, 0) {
		return 0, f.wrong("%q is not a number", shorten(s))
	}
	switch strings.ToLower(unit) {
	case "", "mm":
		return x, nil
	case "cm":
		return nanometres(x * 10), nil
	case "in", `"`:
		return nanometres(x * gearing.MMPerInch), nil
	}
	return 0, f.wrong("%q has the unit %q; known are mm, cm and in", shorten(s), shorten(unit))
}

// nanometres rounds what a conversion made of a length in millimetres, so that
// 17 in is 431.8 mm and not a bit less.
func nanometres(mm float64) float64 { return math.Round(mm*1e6) / 1e6 }

// checked holds a value against the field's range.
func (f *Field) checked(v value) (value, error) {
	switch f.Kind {
	case Text:
		if !utf8.ValidString(v.text) || utf8.RuneCountInString(v.text) > 200 || strings.ContainsFunc(v.text, unicode.IsControl) {
			return value{}, f.wrong("%q is too long, not UTF-8, or holds control characters", shorten(v.text))
		}
	case Choice:
		if !slices.Contains(f.Choices, v.text) {
			return value{}, f.wrong("%q%s", shorten(v.text), DidYouMean(v.text, f.Choices))
		}
	case Wheels, Band, Series:
		return v, f.checkList(v.list)
	default:
		if err := f.checkNumber(v.num); err != nil {
			return value{}, err
		}
	}
	return v, nil
}

func (f *Field) checkNumber(x float64) error {
	whole := f.Kind == Count || f.Kind == Wheels
	switch {
	case math.IsNaN(x):
		return f.wrong("NaN is not a number")
	case whole && x != math.Trunc(x) && !math.IsInf(x, 0):
		return f.wrong("%v is not a whole number", x)
	case x < f.Low || x > f.High:
		return f.wrong("%s%s", f.said(x), f.meant(x))
	}
	return nil
}

// meant asks whether a length out of range is in another unit, "" when that
// does not bring it in.
func (f *Field) meant(x float64) string {
	if f.Unit != "mm" {
		return ""
	}
	for _, u := range []struct {
		name string
		mm   float64
	}{{"cm", 10}, {"inches", gearing.MMPerInch}, {"m", 1000}} {
		mm := nanometres(x * u.mm)
		low, high := f.Low, f.High
		if f.AdviseHigh > 0 {
			low, high = f.AdviseLow, f.AdviseHigh
		}
		if x > 0 && mm >= low && mm <= high {
			return fmt.Sprintf("; is it in %s? that is %s", u.name, f.said(mm))
		}
	}
	return ""
}

// PointForComma writes a number that has a decimal comma with a point, both ways
// where the comma may part thousands; "" for any other text.
func PointForComma(s string) string {
	whole, part, ok := strings.Cut(strings.TrimLeft(s, "+-"), ",")
	isDigits := func(s string) bool {
		return s != "" && !strings.ContainsFunc(s, func(r rune) bool { return r < '0' || r > '9' })
	}
	if !ok || !isDigits(whole) || !isDigits(part) {
		return ""
	}
	sign := s[:len(s)-len(strings.TrimLeft(s, "+-"))]
	if len(part) == 3 && whole != "0" {
		return sign + whole + "." + part + " or " + sign + whole + part
	}
	return sign + whole + "." + part
}

// said writes a number with its unit, as the user may have meant it.
func (f *Field) said(x float64) string {
	s := strconv.FormatFloat(x, 'g', 6, 64)
	if math.Abs(x) < 1e6 {
		s = trim(math.Round(x*1000) / 1000)
	}
	return strings.TrimSpace(s + " " + f.Unit)
}

func (f *Field) checkList(list []float64) error {
	if len(list) == 0 {
		return f.wrong("the list is empty")
	}
	if len(list) > f.most() {
		return f.tooMany(len(list))
	}
	for i, x := range list {
		if err := f.checkNumber(x); err != nil {
			return err
		}
		if f.Kind == Wheels && slices.Contains(list[:i], x) {
			return f.wrong("%s twice", trim(x))
		}
	}
	if f.Kind == Band && !slices.IsSorted(list) {
		return f.wrong("%s is over %s; the lower number comes first", trim(list[0]), trim(list[1]))
	}
	return nil
}

// Ranges of an ETRTO marking: ISO 5775-1 lists sections from 18 to 60 mm or so
// and bead seats from 203 to 635 mm; older and wider ones are let in.
const (
	sectionLow, sectionHigh = 15, 130
	seatLow, seatHigh       = 200, 700
)

// tyre takes the two numbers in either order: the bead seat is the larger.
func (f *Field) tyre(s string) (value, error) {
	first, second, ok := strings.Cut(s, "-")
	a, err1 := strconv.ParseFloat(strings.TrimSpace(first), 64)
	b, err2 := strconv.ParseFloat(strings.TrimSpace(second), 64)
	if !ok || err1 != nil || err2 != nil {
		return value{}, f.wrong("%q", shorten(s))
	}
	section, seat := min(a, b), max(a, b)
	if !(section >= sectionLow && section <= sectionHigh && seat >= seatLow && seat <= seatHigh) {
		return value{}, f.wrong("%q: section allowed %d to %d mm, bead seat %d to %d mm",
			shorten(s), sectionLow, sectionHigh, seatLow, seatHigh)
	}
	return value{list: []float64{section, seat}}, nil
}

// wrong is an error that says what is allowed.
func (f *Field) wrong(format string, args ...any) error {
	return fmt.Errorf("%s; allowed: %s", fmt.Sprintf(format, args...), f.Allowed())
}

// tooMany refuses a list that is too long. Rings that are as many as cogs are
// cogs.
func (f *Field) tooMany(n int) error {
	if f.Section == "rings" && n <= gearing.MaxCogs {
		return f.wrong("%d entries; rings and cogs swapped?", n)
	}
	return f.wrong("%d entries", n)
}

// shorten keeps quoted input from flooding the terminal.
func shorten(s string) string {
	const most = 56 // longer than any key of ours
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most]) + "..."
}

// advice warns about a value that is accepted but unusual.
func (f *Field) advice(v value) string {
	if f.AdviseLow == 0 && f.AdviseHigh == 0 { // then no Centimetres either
		return ""
	}
	list := v.list
	if f.Kind == Count || f.Kind == Number || f.Kind == Length {
		list = []float64{v.num}
	}
	for _, x := range list {
		if f.Centimetres[0] <= x && x <= f.Centimetres[1] && x > 0 {
			return fmt.Sprintf("%s is unusual; is it in cm? that is %s", f.said(x), f.said(nanometres(10*x)))
		}
		if x < f.AdviseLow || x > f.AdviseHigh {
			return fmt.Sprintf("%s is unusual (usual: %s to %s); is it a slip?", f.said(x), trim(f.AdviseLow), f.said(f.AdviseHigh))
		}
	}
	return ""
}
