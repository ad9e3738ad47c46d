package wearlog

import (
	"math"
	"os"
	"path/filepath"
	"testing"
	"unicode/utf8"

	"cagewise/gearing/build"
)

// Whatever the bytes: an error of build.Problems, or a log whose values are
// within their ranges, whose tables are written and read back the same, and
// that quick reads as the library does.
func FuzzParse(f *testing.F) {
	f.Add([]byte(whole))
	f.Add(Template(&Draft{}))
	for _, name := range []string{"cargo-wear.toml", "commuter-wear.toml"} {
		data, err := os.ReadFile(filepath.Join("../../examples", name))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	for _, s := range []string{"", "\xff", "\ufeff", "[[part]]\nid='''\n'''\nkind=\"cog\"\nteeth=11", "ride=[{distance=1}]", "[reading]", "[[reading.x]]\n[[reading]]", "reading=[]", "[[ride]]\non=2026-03-14T10:00:00Z\ndistance=1e5",
		"distance_unit=\"miles\"\n[[ride]]\ndistance=0.1\n", "[[\"ride\"]]\n\"distance\"=1\n", "a=[[1],{b=2}]\n", "[[ride]]\ndistance=1\nnote=\"\\\"\\\\\"#\n", parts + rule24 + "length_in=\"12 1/16\"\n", parts + finding + "kind=\"skips\"\ncogs=\"11,13\"\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		log, _, err := Parse("f.toml", data)
		if utf8.Valid(data) {
			quickAgrees(t, string(data))
		}
		if err != nil {
			if _, ok := err.(build.Problems); !ok || err.Error() == "" {
				t.Fatalf("error %T %q", err, err)
			}
			return
		}
		for _, rd := range log.Readings {
			if math.IsNaN(float64(rd.Length+rd.Offset+rd.Inside10+rd.Inside2+rd.Lift)) || !(rd.KM >= 0 && rd.KM <= 2e6) {
				t.Fatalf("accepted %+v", rd)
			}
		}
		text := Format(log)
		if log.Miles {
			text = "distance_unit = \"miles\"\n" + text
		}
		again, _, err := Parse("again.toml", []byte(text))
		if err != nil {
			t.Fatalf("written as\n%s\nit is refused: %v", text, err)
		}
		if Format(again) != Format(log) {
			t.Fatalf("written as\n%s\nit reads\n%s", Format(log), Format(again))
		}
	})
}
