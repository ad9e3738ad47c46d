package main

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"

	"github.com/spf13/pflag"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// number is the value of a flag that takes one number or several: it forgives a
// unit that changes nothing, and tells in plain words what else is wrong.
type number struct {
	pflag.Value
	unit string // that its numbers are in, "" for none
}

// readNumbers makes every flag that takes numbers a number.
func readNumbers(flags *pflag.FlagSet) {
	flags.VisitAll(func(f *pflag.Flag) {
		switch f.Value.Type() {
		case "float64", "int", "float64Slice":
			f.Value = number{f.Value, flagUnit(f.Name)}
		}
	})
}

// flagUnit is the unit of a flag's numbers, "" where they have none or one of
// nobody's writing.
func flagUnit(flag string) string {
	switch flag {
	case "mass":
		return "kg"
	case "power":
		return "W"
	case "cruise", "headwind", "speed":
		return "km/h"
	case "width", "height":
		return "mm"
	case "grade", "grade-from", "grade-to", "hill", "hole", "tolerance", "wide-tolerance", "largest-step", "speed-noise", "band", "limit":
		return "%"
	case "least-cadence", "cruise-cadence", "cadence-noise", "speeds-at":
		return "rpm"
	case "every", "error":
		return "turns"
	case "drag-area":
		return "m^2"
	case "air-density":
		return "kg/m^3"
	case "push":
		return "N"
	case "torque":
		return "N m"
	case "lowest-development", "highest-development":
		return "m"
	case "per-year", "chain-life", "end-at":
		return "km"
	case "time-limit":
		return "s"
	case "dpi":
		return "dpi"
	}
	return ""
}

// foreign are units that are known, and what one of them is in a flag's unit.
var foreign = map[string]map[string]float64{
	"mm":   {"cm": 10, "m": 1000, "in": gearing.MMPerInch, `"`: gearing.MMPerInch},
	"kg":   {"lb": gearing.KGPerPound, "lbs": gearing.KGPerPound, "g": 0.001},
	"km/h": {"mph": gearing.KMPerMile, "m/s": 3.6},
	"km":   {"mi": gearing.KMPerMile, "miles": gearing.KMPerMile, "m": 0.001},
	"m":    {"cm": 0.01, "mm": 0.001},
	"W":    {"kw": 1000},
	"s":    {"min": 60},
}

// sameUnits are other ways of writing a flag's unit.
var sameUnits = map[string][]string{
	"km/h": {"kmh", "kph"}, "W": {"watt", "watts"}, "rpm": {"/min"}, "N m": {"nm"}, "m^2": {"m2", "m²"}, "kg/m^3": {"kg/m3", "kg/m³"},
	"turns": {"turn", "crank turns"}, "%": {"percent"}, "s": {"sec", "seconds"}, "mm": {"millimetres"},
}

// Set takes a text as it stands, and else reads it as a person would.
func (n number) Set(text string) error {
	first := n.Value.Set(text)
	if first == nil {
		return nil
	}
	list := n.Type() == "float64Slice"
	parts := []string{text}
	if list {
		parts = strings.Split(text, ",")
	}
	clean := make([]string, len(parts))
	for i, part := range parts {
		x, err := n.read(part)
		if err != nil {
			return n.explain(text, err)
		}
		clean[i] = x
	}
	if n.Value.Set(strings.Join(clean, ",")) != nil {
		return n.explain(text, errNoNumber)
	}
	return nil
}

var errNoNumber = errors.New("is not a number")

// read takes a number with the flag's unit behind it, or a length in another.
func (n number) read(part string) (string, error) {
	part = strings.TrimSpace(part)
	digits, unit := splitUnit(part)
	if digits == "" {
		return "", errNoNumber
	}
	x, err := strconv.ParseFloat(digits, 64)
	switch {
	case err != nil:
		return "", errNoNumber
	case unit == "" || n.isOwn(unit):
		return digits, nil
	}
	factor, known := foreign[n.unit][strings.ToLower(unit)]
	switch {
	case known && n.unit == "mm": // as in a build file
		return num(math.Round(x*factor*1e6)/1e6, -1), nil
	case known:
		return "", fmt.Errorf("is in %s; write a number in %s, without the unit: %s", unit, n.unit, num(math.Round(x*factor*10)/10, -1))
	case n.unit == "":
		return "", fmt.Errorf("has %q behind the number; write %s alone", build.Shorten(unit), digits)
	}
	return "", fmt.Errorf("has %q behind the number; write a number in %s, without the unit", build.Shorten(unit), n.unit)
}

func (n number) isOwn(unit string) bool {
	if strings.EqualFold(unit, n.unit) {
		return true
	}
	for _, other := range sameUnits[n.unit] {
		if strings.EqualFold(unit, other) {
			return true
		}
	}
	return false
}

// splitUnit parts a number from what stands behind it.
func splitUnit(s string) (digits, unit string) {
	end := strings.IndexFunc(s, func(r rune) bool { return !unicode.IsDigit(r) && !strings.ContainsRune("+-.,", r) })
	if end < 0 {
		return s, ""
	}
	return s[:end], strings.TrimSpace(s[end:])
}

// explain says what is wrong with a text, and what to write in its place.
func (n number) explain(text string, err error) error {
	list := n.Type() == "float64Slice"
	bare, unit := splitUnit(strings.TrimSpace(text))
	trimmed := commaList(text)
	switch {
	case !list && build.PointForComma(bare) != "" && (unit == "" || n.isOwn(unit)):
		return fmt.Errorf("%q has a decimal comma: write %s", build.Shorten(text), build.PointForComma(bare))
	case list && trimmed != text && allNumbers(trimmed):
		return fmt.Errorf("%q: numbers with one comma between each: write %s", build.Shorten(text), trimmed)
	case n.Type() == "int" && isNumber(bare):
		return fmt.Errorf("%q is not a whole number, or far too large", build.Shorten(text))
	case err == errNoNumber && n.unit != "":
		return fmt.Errorf("%q is not a number; allowed: %s in %s", build.Shorten(text), oneOrMore(list), n.unit)
	case err == errNoNumber:
		return fmt.Errorf("%q is not a number", build.Shorten(text))
	}
	return fmt.Errorf("%q %w", build.Shorten(text), err)
}

// commaList writes a list the way flags take it, whatever parts its numbers. A
// minus behind a digit is no sign.
func commaList(text string) string {
	words := strings.Fields(strings.NewReplacer(",", " ", ";", " ", "/", " ").Replace(text))
	list := strings.Join(words, ",")
	if len(words) == 1 && strings.LastIndex(list, "-") > 0 {
		list = list[:1] + strings.ReplaceAll(list[1:], "-", ",")
	}
	return list
}

func oneOrMore(list bool) string {
	if list {
		return "numbers with a comma between each,"
	}
	return "a number"
}

func isNumber(s string) bool {
	_, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	return err == nil
}

func allNumbers(list string) bool {
	for part := range strings.SplitSeq(list, ",") {
		if !isNumber(part) {
			return false
		}
	}
	return list != ""
}
