package bin

import (
	"math"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"

	"cagewise/gearing/build"
)

// Whatever the bytes, there is a bin that is TOML as a whole and comes back from
// Format, or a build.Problems.
func FuzzParse(f *testing.F) {
	if example, err := os.ReadFile("../../examples/parts-bin.toml"); err == nil {
		f.Add(example[:min(len(example), 8<<10)])
	}
	f.Add([]byte(least))
	for _, s := range []string{"", "\xff", "[[rings]]\nteeth = \"46-\"", "rings = [{name = 'a', teeth = 40}]\n[[rings]]", "[[rings]]\n[[rings.x]]\n[rings.y]",
		"a = \"\"\"\n[[rings]]\n\"\"\"\"\n[[rings]]", "a = [\n[[1]]]\n[[rings]]", "[[rings]]\nprice = nan\nteeth = [1e308, inf]", "[[rings]\n[[cassette]]\nname='''",
		"[[rear_derailleur]]\nname='a'\nsame_as='b'\n[[rear_derailleur]]\nname='b'\nsame_as='a'\ngeometry.hanger_below=3", "[[chain]]\npitches = 0x7fffffffffffffff",
		least + "[[wheel]]\nname='w'\ntyre='37-622'\nload_allowance=0\n[[extender]]\nname='e'\nbehind='-1 in'\n",
		least + "[[rear_derailleur]]\nname='c'\nsame_as='medium'\ngeometry={pivot_to_guide=9,pivot_to_tension=70.5,screw_range=0,cage_stop_rear=-200,cage_stop_forward=0}\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		bin, err := Parse("f.toml", data)
		if err != nil {
			if problems, ok := err.(build.Problems); !ok || len(problems) == 0 || len(problems) > mostListed+1 {
				t.Fatalf("error %T %q", err, err)
			}
			return
		}
		var whole map[string]any
		if _, err := toml.Decode(strings.TrimPrefix(string(data), "\ufeff"), &whole); err != nil {
			t.Fatalf("accepted, but: %v", err)
		}
		if n := bin.Combinations(); math.IsNaN(n) || n < 0 {
			t.Fatalf("%v combinations", n)
		}
		again, err := Parse("again.toml", Format(bin))
		if err != nil || !reflect.DeepEqual(linesOff(again), linesOff(bin)) {
			t.Fatalf("%v\ngot  %+v\nwant %+v", err, again, bin)
		}
	})
}

// A text is cut where the library sees a table begin, whatever stands in strings,
// lists and comments.
func TestSplit(t *testing.T) {
	tests := []struct {
		text string
		want []string
	}{
		{"", []string{""}},
		{"a = 1\n[[b]]\nc = 2\n\t[[ d ]]\n", []string{"a = 1\n", "[[b]]\nc = 2\n", "\t[[ d ]]\n"}},
		{"a = [\n[[1]],\n]\n[[b]]", []string{"a = [\n[[1]],\n]\n", "[[b]]"}},
		{"a = \"[\" # [\n[[b]]", []string{"a = \"[\" # [\n", "[[b]]"}},
		{"a = '''\n[[b]]\n''''\n[[b]]", []string{"a = '''\n[[b]]\n''''\n", "[[b]]"}},
		{"a = \"\"\"\\\"\"\"\n[[b]]\"\"\"\n[[b]]", []string{"a = \"\"\"\\\"\"\"\n[[b]]\"\"\"\n", "[[b]]"}},
		{"[[a.b]]\n[[a]\n[[b]]", []string{"[[a.b]]\n[[a]\n", "[[b]]"}},
		{"a = \"x\n[[b]]", []string{"a = \"x\n", "[[b]]"}},
		{"# don't\n[[b]]", []string{"# don't\n", "[[b]]"}},
	}
	for _, tt := range tests {
		s := split(tt.text)
		var got []string
		line := 1
		for c, ok := s.next(); ok; c, ok = s.next() {
			if c.line != line {
				t.Errorf("%q: %q begins at line %d, not %d", tt.text, c.text, line, c.line)
			}
			got, line = append(got, c.text), line+strings.Count(c.text, "\n")
		}
		if !reflect.DeepEqual(got, tt.want) {
			t.Errorf("%q: got %q", tt.text, got)
		}
	}
}

// Every key of the build file's tables that a bin uses is there.
func TestKinds(t *testing.T) {
	k := kinds()
	for table, n := range map[string]int{ringsTable: 1, cassetteTable: 1, chainTable: 1, extenderTable: 2, wheelTable: 3, rearTable: 30} {
		if len(k[table].fields) != n || len(k[table].order) != n {
			t.Errorf("%s: keys %v", table, k[table].order)
		}
	}
}
