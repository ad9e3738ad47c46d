package build

import (
	"fmt"
	"strings"
)

// Regular expressions for JSON Schema, in the part of ECMA-262 that RE2 and
// every other engine read alike.

// lengthPattern is a length as text: a number and a unit, millimetres without
// one.
const lengthPattern = `^\s*[-+]?([0-9]+\.?[0-9]*|\.[0-9]+)\s*([mM][mM]|[cC][mM]|[iI][nN]|")?\s*$`

// TextSchema is the JSON Schema of a text that matches a regular expression.
func TextSchema(pattern string) map[string]any { return node{"type": "string", "pattern": pattern} }

// WholesPattern is a regular expression for the whole numbers from low to high,
// both over 0, ends included, as a flag or a text may write them: a plus and
// noughts may stand in front.
func WholesPattern(low, high int) string { return `\+?0*` + wholes(low, high) }

// tyrePattern is an ETRTO marking with its two numbers in either order.
func tyrePattern() string {
	section, seat := decimals(sectionLow, sectionHigh), decimals(seatLow, seatHigh)
	return fmt.Sprintf(`^\s*(%s\s*-\s*%s|%s\s*-\s*%s)\s*$`, section, seat, seat, section)
}

// decimals matches numbers from low to high, both over 0, ends included, with
// or without decimals.
func decimals(low, high int) string {
	return fmt.Sprintf(`(%s(\.[0-9]*)?|%d(\.0*)?)`, wholes(low, high-1), high)
}

// wholes matches the whole numbers from low to high, both over 0, ends
// included: blocks of numbers that differ in their last digits alone, the
// largest first that fit.
func wholes(low, high int) string {
	var blocks []string
	for low <= high {
		digits, size := 0, 1
		for low%(10*size) == 0 && low+10*size-1 <= high {
			digits, size = digits+1, 10*size
		}
		first := low / size % 10
		more := min(9-first, (high-low+1)/size-1)
		blocks = append(blocks, block(low/size/10, first, first+more, digits))
		low += (more + 1) * size
	}
	return "(" + strings.Join(blocks, "|") + ")"
}

// block matches numbers that begin with prefix (0: nothing), go on with one
// digit from first to last and end with free digits.
func block(prefix, first, last, free int) string {
	s := fmt.Sprintf("[%d-%d]", first, last)
	if first == last {
		s = fmt.Sprint(first)
	}
	if prefix > 0 {
		s = fmt.Sprint(prefix) + s
	}
	return s + strings.Repeat("[0-9]", free)
}
