package wearlog

import (
	"bytes"
	"errors"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// logFile writes a log into a directory of its own.
func logFile(t testing.TB, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "w.toml")
	if err := os.WriteFile(path, []byte(text), 0o640); err != nil {
		t.Fatal(err)
	}
	return path
}

func readAll(t testing.TB, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func oneRide(km float64) gearing.WearLog {
	return gearing.WearLog{Rides: []gearing.WearRide{{KM: km}}}
}

func TestAppend(t *testing.T) {
	tests := []struct{ old, added string }{
		{"", ""},
		{"name = \"x\"\n", "\n"},
		{"name = \"x\"", "\n\n"},
		{"name = \"x\" # no end", "\n\n"},
		{"name = \"x\"\n\n", ""},
		{"\ufeff# \u00e4\r\nname = \"x\"\r\n", "\r\n"},
	}
	for _, tt := range tests {
		path := logFile(t, tt.old)
		added, err := Append(path, oneRide(42.5))
		if err != nil {
			t.Fatalf("%q: %v", tt.old, err)
		}
		want := tt.old + tt.added + "[[ride]]\ndistance = 42.5\n"
		if strings.Contains(tt.old, "\r") {
			want = tt.old + tt.added + "[[ride]]\r\ndistance = 42.5\r\n"
		}
		if got := readAll(t, path); got != want {
			t.Errorf("%q became %q, want %q", tt.old, got, want)
		}
		if lines := strings.Split(readAll(t, path), "\n"); added.Text != "[[ride]]\ndistance = 42.5\n" || !strings.HasPrefix(lines[added.Line-1], "[[ride]]") {
			t.Errorf("%q: told of %+v", tt.old, added)
		}
		if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o640 {
			t.Errorf("mode %v, %v", info.Mode(), err)
		}
	}
}

// A log that cannot be read is refused with its own problems, an entry that
// does not fit with the entry's; both leave the log alone.
func TestAppendRefuses(t *testing.T) {
	reading := gearing.WearLog{Readings: []gearing.WearReading{{Part: "chain-2", KM: 3, Method: gearing.MethodRule, Pitches: 24, Length: 306, Lift: 3}}}
	tests := []struct {
		old  string
		add  gearing.WearLog
		want string
	}{
		{"name = \"x", oneRide(1), "w.toml:1: name: unexpected EOF; expected '\"'"},
		{"note = '''\nopen\n", oneRide(1), "w.toml:2: note: unexpected EOF; expected \"'''\""},
		{"nmae = 1\n", oneRide(1), "w.toml:1: nmae: unknown key; did you mean name?"},
		{"ride = [{distance = 1}]\n", oneRide(1), "nothing can be added at the end of w.toml; write its entries as [[reading]], [[finding]], [[ride]] and [[part]]: w.toml:3: Key 'ride' was already created and cannot be used as an array."},
		{"", oneRide(math.NaN()), "ride distance: NaN is not a number; allowed: over 0 to 1000000 in the log's distance unit"},
		{"", oneRide(-1), "ride distance: -1; allowed: over 0 to 1000000 in the log's distance unit"},
		{parts, reading, "reading lift_mm: does not belong to a reading by method \"rule\"; allowed: pitches, length_mm, error_mm"},
		{"", gearing.WearLog{Rides: []gearing.WearRide{{KM: 1, Note: "a\nb"}}}, "ride note: \"a\\nb\" is empty, too long, not UTF-8, or holds line breaks or control characters; allowed: text of 1 to 400 characters on one line"},
		{parts, gearing.WearLog{Parts: []gearing.WearPart{{ID: "cas", Kind: gearing.PartCable}}}, "part id: \"cas\" is the id of a cassette already; allowed: ids used once"},
	}
	for _, tt := range tests {
		path := logFile(t, tt.old)
		_, err := Append(path, tt.add)
		if err == nil || !strings.HasPrefix(strings.ReplaceAll(err.Error(), path, "w.toml"), tt.want) {
			t.Errorf("%q\ngot  %v\nwant %s", tt.old, err, tt.want)
		}
		if got := readAll(t, path); got != tt.old {
			t.Errorf("%q became %q", tt.old, got)
		}
	}
}

func TestDraftFlags(t *testing.T) {
	path := logFile(t, parts)
	d, err := NewDraft("reading")
	if err != nil {
		t.Fatal(err)
	}
	set := func(flag, text string) error {
		for _, f := range d.Fields() {
			if f.Flag == flag {
				return d.SetFlag(f, text)
			}
		}
		t.Fatalf("no flag %s", flag)
		return nil
	}
	for _, bad := range []struct{ flag, text, want string }{
		{"length", "nan", "--length: NaN is not a number; allowed: 1 to 4500 mm"},
		{"length", "-3 in", "--length: -3 in; allowed: 1 to 4500 mm"},
		{"length", "3 ft", `--length: "3 ft" has the unit "ft"; known are mm, cm and in; allowed: 1 to 4500 mm`},
		{"length", "1/2/3 in", `--length: "1/2/3 in" is not a number of inches; allowed: 1 to 4500 mm`},
		{"length", "long", `--length: "long" is not a length such as 306.9, 30.69 cm or 12 1/16 in; allowed: 1 to 4500 mm`},
		{"at", "x", `--at: "x" is not a number; allowed: 0 to 1000000 in the log's distance unit`},
		{"at", "1e999", `--at: +Inf; allowed: 0 to 1000000 in the log's distance unit`},
		{"pitches", "23.5", `--pitches: 23.5 is not a whole number; allowed: a whole number from 1 to 300 pitches`},
		{"on", "yesterday", `--on: "yesterday" is no date; allowed: a date from 1970 to 2199, such as 2026-03-14`},
		{"falls", "perhaps", `--falls: "perhaps" is neither true nor false; allowed: true or false`},
	} {
		if err := set(bad.flag, bad.text); err == nil || err.Error() != bad.want {
			t.Errorf("got %v, want %s", err, bad.want)
		}
	}
	for _, good := range [][2]string{{"note", "after rain"}, {"part", "chain-1"}, {"at", "1230"}, {"on", "2026-03-14"}, {"method", "rule"}, {"length", "1 in"}, {"length", "12 1/16 in"}, {"lift", "3"}} {
		if err := set(good[0], good[1]); err != nil {
			t.Error(err)
		}
	}
	var entry *BadEntry
	if _, err := d.Append(path, false); !errors.As(err, &entry) || entry.Flags().Error() != "--pitches: is missing; a reading by method \"rule\" needs it\n--lift: does not belong to a reading by method \"rule\"; allowed: --pitches, --length, --error" {
		t.Errorf("%v", err)
	}
	d.keys = d.keys[:len(d.keys)-1]
	if err := set("pitches", "24"); err != nil {
		t.Error(err)
	}
	const want = "[[reading]]\npart = \"chain-1\"\nat = 1230\non = 2026-03-14\nmethod = \"rule\"\npitches = 24\nlength_in = \"12 1/16\"\nnote = \"after rain\"\n"
	if added, err := d.Append(path, false); err != nil || added.Text != want || added.Line != 18 {
		t.Errorf("%v %+v", err, added)
	}
	if _, err := NewDraft("rides"); err == nil {
		t.Error("rides is a table")
	}
}

// A reading that no chain has is not added by oversight: 320.6 mm are 5.2 % over
// 24 pitches, 301 mm -1.2 %; 318 (4.3 %) and 302.5 (-0.8 %) may be.
func TestSlipIsRefused(t *testing.T) {
	path := logFile(t, "[[part]]\nid = \"chain-1\"\nkind = \"chain\"\n")
	before, _ := os.ReadFile(path)
	for _, c := range []struct {
		length string
		slip   bool
	}{{"320.6", true}, {"301", true}, {"318", false}, {"302.5", false}} {
		d, err := NewDraft("reading")
		if err != nil {
			t.Fatal(err)
		}
		for flag, text := range map[string]string{"part": "chain-1", "at": "1230", "method": "rule", "pitches": "24", "length": c.length} {
			for _, f := range d.Fields() {
				if f.Flag == flag {
					if err := d.SetFlag(f, text); err != nil {
						t.Fatal(err)
					}
				}
			}
		}
		_, err = d.Append(path, false)
		var bad *BadEntry
		if refused := errors.As(err, &bad); refused != c.slip || refused && !bad.Forcible || !refused && err != nil {
			t.Errorf("%s mm: %v", c.length, err)
		}
		after, _ := os.ReadFile(path)
		if c.slip != bytes.Equal(before, after) {
			t.Errorf("%s mm: the log is changed: %v", c.length, !bytes.Equal(before, after))
		}
		if _, err = d.Append(path, true); err != nil {
			t.Errorf("%s mm, forced: %v", c.length, err)
		}
		before, _ = os.ReadFile(path)
	}
}

func TestLinksAndModes(t *testing.T) {
	path := logFile(t, "")
	link := filepath.Join(t.TempDir(), "link.toml")
	if err := os.Symlink(path, link); err != nil {
		t.Skip(err)
	}
	if _, err := Append(link, oneRide(1)); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Lstat(link); err != nil || info.Mode()&os.ModeSymlink == 0 || !strings.Contains(readAll(t, path), "distance = 1") {
		t.Errorf("the link was not followed: %v %v", info, err)
	}
	before := readAll(t, path)
	if err := os.Chmod(path, 0o444); err != nil {
		t.Fatal(err)
	}
	if _, err := Append(path, oneRide(1)); err == nil || err.Error() != path+": is read-only and left as it is; allow writing to it first" {
		t.Errorf("%v", err)
	}
	for other, want := range map[string]string{
		filepath.Dir(path):                        ": is a directory; a wear log is wanted",
		filepath.Join(filepath.Dir(path), "none"): ": cannot be opened: no such file or directory",
		os.DevNull: ": is not a plain file; a wear log is wanted",
	} {
		if _, err := Append(other, oneRide(1)); err == nil || err.Error() != other+want {
			t.Errorf("%v", err)
		}
	}
	if os.Getuid() != 0 { // nothing is forbidden to root
		_ = os.Chmod(path, 0o644)
		_ = os.Chmod(filepath.Dir(path), 0o555)
		_, err := Append(path, oneRide(1))
		_ = os.Chmod(filepath.Dir(path), 0o755)
		if err == nil || !strings.HasSuffix(err.Error(), "permission denied") {
			t.Errorf("read-only directory: %v", err)
		}
	}
	if got := readAll(t, path); got != before {
		t.Errorf("the log became %q", got)
	}
}

// Appending entries and reading the log gives the entries back, and what was
// in the log before is there byte for byte.
func TestAppendRoundTrip(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		miles := rapid.Bool().Draw(t, "miles")
		old := rapid.SampledFrom([]string{"# hello\n", "note = '''x'''\n# \"\"\" '''\n", ""}).Draw(t, "head")
		if miles {
			old = "distance_unit = \"miles\"\n" + old
		}
		old += parts + rapid.SampledFrom([]string{"", "\n", "\n\n", "# end", "#\r\n"}).Draw(t, "tail")
		path := filepath.Join(dir, "w.toml")
		if err := os.WriteFile(path, []byte(old), 0o600); err != nil {
			t.Fatal(err)
		}
		before, _, err := Parse("w.toml", []byte(old))
		if err != nil {
			t.Fatal(err)
		}
		add := drawLog(t)
		if _, err := Append(path, add); err != nil {
			var problems build.Problems
			t.Fatalf("%v %v\n%s", err, errors.As(err, &problems), Format(add))
		}
		data, err := os.ReadFile(path)
		if err != nil || !bytes.HasPrefix(data, []byte(old)) {
			t.Fatalf("%v: %q became %q", err, old, data)
		}
		after, _, err := Load(path)
		if err != nil {
			t.Fatal(err)
		}
		want := before
		want.Parts = append(want.Parts, add.Parts...)
		want.Readings, want.Findings, want.Rides = add.Readings, add.Findings, add.Rides
		if dropLines(&after); !reflect.DeepEqual(after, *dropLines(&want)) {
			t.Fatalf("got  %+v\nwant %+v\n%s", after, want, data)
		}
	})
}

func dropLines(log *gearing.WearLog) *gearing.WearLog {
	for i := range log.Parts {
		log.Parts[i].Line = 0
	}
	for i := range log.Readings {
		log.Readings[i].Line = 0
	}
	for i := range log.Findings {
		log.Findings[i].Line = 0
	}
	for i := range log.Rides {
		log.Rides[i].Line = 0
	}
	return log
}

func drawLog(t *rapid.T) gearing.WearLog {
	var log gearing.WearLog
	if rapid.Bool().Draw(t, "part") {
		log.Parts = append(log.Parts, gearing.WearPart{ID: "new " + drawText(t) + "!", Kind: gearing.PartChain, Pitches: 2 * rapid.IntRange(20, 150).Draw(t, "pitches"),
			FittedKM: drawKM(t), RemovedKM: -1, FittedOn: drawDay(t), Price: 17.25, Source: gearing.SourceNone, RollerPlay: 0.25, StartElongation: -0.5, HasStart: true, Note: drawText(t)})
		log.Parts = append(log.Parts, gearing.WearPart{ID: "ring", Kind: gearing.PartRing, Teeth: []gearing.Teeth{44}, FittedKM: -1, RemovedKM: -1, Price: -1})
	}
	for range rapid.IntRange(0, 3).Draw(t, "readings") {
		log.Readings = append(log.Readings, drawReading(t))
	}
	if rapid.Bool().Draw(t, "finding") {
		log.Findings = append(log.Findings, gearing.WearFinding{Part: "cas", KM: drawKM(t), On: drawDay(t), Kind: gearing.FindSkip, Degree: "slight",
			Cogs: rapid.SampledFrom([][]gearing.Teeth{nil, {11}, {11, 13}}).Draw(t, "cogs"), Loaded: rapid.Bool().Draw(t, "loaded"), Note: drawText(t)})
	}
	if rapid.Bool().Draw(t, "ride") {
		log.Rides = append(log.Rides, gearing.WearRide{KM: max(0.001, drawKM(t)), On: drawDay(t), Chain: "chain-2", Note: drawText(t)})
	}
	return log
}

func drawReading(t *rapid.T) gearing.WearReading {
	rd := gearing.WearReading{Part: "chain-2", KM: drawKM(t), On: drawDay(t), Method: rapid.SampledFrom(gearing.ReadingMethods()).Draw(t, "method"), Note: drawText(t)}
	off := gearing.MM(rapid.Float64Range(-1, 1).Draw(t, "off"))
	switch rd.Method {
	case gearing.MethodRule:
		rd.Pitches, rd.Length, rd.Error = 24, 304.8+off, 0.5
	case gearing.MethodHung:
		rd.Offset = rapid.SampledFrom([]gearing.MM{0, off}).Draw(t, "offset")
	case gearing.MethodCaliper:
		rd.Inside10, rd.Inside2 = 120+off, 18.44
	case gearing.MethodLift:
		rd.Lift, rd.Ring = 2+off, 42
	default:
		if rd.HasScale = rapid.Bool().Draw(t, "scale"); rd.HasScale {
			rd.Scale = gearing.Percent(off)
		} else {
			rd.Mark, rd.Falls = 0.5, rapid.Bool().Draw(t, "falls")
		}
	}
	return rd
}

// drawKM gives metres at the finest: miles keep a millionth of a kilometre.
func drawKM(t *rapid.T) float64 {
	return float64(rapid.IntRange(0, 1e8).Draw(t, "km")) / 1000
}

func drawDay(t *rapid.T) time.Time {
	if rapid.Bool().Draw(t, "undated") {
		return time.Time{}
	}
	return date(2026, 1, rapid.IntRange(1, 999).Draw(t, "day"))
}

func drawText(t *rapid.T) string {
	return rapid.StringMatching(`[ -~\x{e4}\x{2028}'"\\#\[\]]{0,20}`).Draw(t, "text")
}
