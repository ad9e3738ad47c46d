package wearlog

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"
)

// A mile is 1.609344 km (international mile of 1959); the shortest number that
// reads back as the same distance is written.
func TestMiles(t *testing.T) {
	for miles, km := range map[float64]float64{0: 0, 1: 1.609344, 100: 160.9344, 0.1: 0.160934, 1234.5: 1986.735168, 62.137: 99.999808} {
		if got := toKM(miles); math.Abs(got-km) > 1e-9 {
			t.Errorf("%v miles are %v km, want %v", miles, got, km)
		}
		if got := fromKM(km); got != miles {
			t.Errorf("%v km are %v miles, want %v", km, got, miles)
		}
	}
	if got := fromKM(1e-7); math.Abs(got-1e-7/1.609344) > 1e-15 {
		t.Errorf("a distance that no short number gives: %v", got)
	}
}

// How long the quoted text at the beginning is; one or two quotes may stand
// before the three that close.
func TestQuoted(t *testing.T) {
	for text, want := range map[string]int{
		`"ab" x`: 4, `'ab' x`: 4, `"a\"b"x`: 6, `'a\'b'`: 4, `""x`: 2, "\"a\nb\"": 0, "'a\nb'": 0, `"ab`: 0, `"ab\"`: 0,
		`"""a""" x`: 7, "'''a\n'b'''x": 10, `"""a"""" x`: 8, `"""a""""" x`: 9, `"""a""""""`: 9, `'''a''''x`: 8, `"""a`: 0, `"""a""`: 0, `""""""`: 6,
	} {
		if got := quoted(text); got != want {
			t.Errorf("%q: %d, want %d", text, got, want)
		}
	}
}

// Twenty brackets deep and a hundred dots on a line are read, one more is not.
func TestTangled(t *testing.T) {
	for text, want := range map[string]int{
		"a = 1\nb = " + strings.Repeat("[", 20): 0, "a = 1\nb = " + strings.Repeat("[", 21): 2, "a = 1\n\nb = " + strings.Repeat("{", 21): 3,
		strings.Repeat("a.", 100): 0, strings.Repeat("a.", 101): 1, strings.Repeat("a.", 100) + "\n" + strings.Repeat("a.", 100): 0,
		strings.Repeat("[]", 30): 0, strings.Repeat("]", 30) + strings.Repeat("[", 20): 0, strings.Repeat("]", 30) + strings.Repeat("[", 21): 1,
		"# " + strings.Repeat("[", 30): 0, "a = \"" + strings.Repeat("[", 30) + "\"": 0, "a = '''\n\n'''\nb = " + strings.Repeat("[", 21): 4,
		"a = \"open\n" + strings.Repeat("[", 30): 0,
	} {
		if got := tangled(text); got != want {
			t.Errorf("%.40q: line %d, want %d", text, got, want)
		}
	}
}

// The ends of every range of letters and digits are bare, their neighbours in
// ASCII are not.
func TestBareKeys(t *testing.T) {
	for _, c := range "azAZ09_-" {
		if !isBare(string(c)) {
			t.Errorf("%c wants quotes", c)
		}
	}
	for _, c := range "`{@[/: .\x7f" {
		if isBare(string(c)) || isBare("a"+string(c)) {
			t.Errorf("%q is bare", c)
		}
	}
	if isBare("") {
		t.Error("nothing is a bare key")
	}
	for line, want := range map[string]bool{"a\tb": false, "a\x1fb": true, "a\x7fb": true, "a b": false, "a\x00": true} {
		if got := hasControl(line); got != want {
			t.Errorf("%q: control characters %v", line, got)
		}
	}
	for digits, want := range map[string]bool{strings.Repeat("9", 15): true, strings.Repeat("9", 16): false, "": false, "0": true, "1a": false, "/": false, ":": false} {
		if isDigits(digits) != want {
			t.Errorf("%q: digits %v", digits, !want)
		}
	}
}

// Remarks are filled up to 80 columns and set in after the first line, but for
// plain ones.
func TestRemarks(t *testing.T) {
	words := strings.Repeat("abcdefgh ", 18) + "é"
	for prefix, in := range map[string]string{"# ": "# ", "#   ": "#     "} {
		var b strings.Builder
		remark(&b, prefix, words)
		lines := strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
		if len(lines) < 2 || strings.Join(strings.Fields(strings.NewReplacer("#", "").Replace(b.String())), " ") != words {
			t.Fatalf("%q", b.String())
		}
		for i, line := range lines {
			start := prefix
			if i > 0 {
				start = in
			}
			if n := utf8.RuneCountInString(line); n > 80 || i < len(lines)-1 && n+9 <= 80 || !strings.HasPrefix(line, start) || strings.HasPrefix(line, start+" ") {
				t.Errorf("%d columns: %q", n, line)
			}
		}
	}
	var b strings.Builder
	remark(&b, "# ", strings.Repeat("x", 38)+" "+strings.Repeat("y", 39)) // just 80 columns
	if strings.Count(b.String(), "\n") != 1 {
		t.Errorf("%q", b.String())
	}
}
