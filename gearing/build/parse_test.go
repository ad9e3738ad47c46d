package build

import (
	"slices"
	"strings"
	"testing"

	"cagewise/gearing"
)

const least = "[rings]\nteeth = [46, 30]\n[cogs]\nteeth = [11, 13, 15]\n"

func parse(t *testing.T, text string) (Result, error) {
	t.Helper()
	d, err := Parse("b.toml", []byte(text))
	if err != nil {
		return Result{}, err
	}
	return d.Finish()
}

func mustParse(t *testing.T, text string) Result {
	t.Helper()
	r, err := parse(t, text)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestLeastBuildGetsDefaults(t *testing.T) {
	r := mustParse(t, least)
	want := gearing.Build{
		Frame: gearing.Frame{BottomBracketDrop: 70},
		Wheel: gearing.Wheel{BeadSeat: 622, Section: 37, LoadAllowance: 1},
		Rings: []gearing.Teeth{30, 46}, Cogs: []gearing.Teeth{11, 13, 15},
		Rider: gearing.Rider{CadenceLow: 60, CadenceHigh: 90},
	}
	if string(Format(r.Build)) != string(Format(want)) || r.Build.Wheel != want.Wheel || r.Build.Rider != want.Rider {
		t.Errorf("got %+v\nwant %+v", r.Build, want)
	}
	if len(r.Warnings) != 0 {
		t.Errorf("warnings %v", r.Warnings)
	}
	var keys []string
	for _, d := range r.Defaults {
		keys = append(keys, d.Key+" "+d.Value)
	}
	for _, k := range []string{"frame.bottom_bracket_drop 70 mm", "wheel.tyre 37-622", "wheel.load_allowance 1 %", "rider.cadence 60 to 90 rpm", "rings.spacing 5 mm"} {
		if !slices.Contains(keys, k) {
			t.Errorf("default %q is not named in %q", k, keys)
		}
	}
}

// Every way of writing the same value gives the same build.
func TestSpellings(t *testing.T) {
	plain := mustParse(t, "frame.chainstay = 431.8\nwheel.tyre = \"42-622\"\nrider.cadence = [75, 75]\n"+least).Build
	for _, text := range []string{
		"frame.chainstay = \"17 in\"\nwheel.tyre = \"622-42\"\nrider.cadence = 75\n" + least,
		"frame.chainstay = \"17\\\"\"\nwheel.tyre = \" 42 - 622 \"\nrider.cadence = \"75\"\n" + least,
		"frame = {chainstay = \"43.18cm\"}\nwheel.tyre = \"42-622\"\nrider.cadence = [75.0]\nrings.teeth = \"30/46\"\ncogs.teeth = \"15-13-11\"\n",
		"frame.chainstay = \"431.8 mm\"\nwheel.tyre = \"42-622\"\nrider.cadence = \"75, 75\"\nrings.teeth = [30, 46]\ncogs.teeth = \"13, 15, 11\"\n",
	} {
		got := mustParse(t, text).Build
		if string(Format(got)) != string(Format(plain)) {
			t.Errorf("%s\ngave %s\nwant %s", text, Format(got), Format(plain))
		}
	}
}

// Whole messages: place, what was wrong, what is allowed.
func TestMessages(t *testing.T) {
	const cogs = "[cogs]\nteeth = [11, 13, 15]\n"
	tests := []struct{ name, text, want string }{
		{"misspelt key", least + "[frame]\nchainstey = 430\n",
			"b.toml:6: frame.chainstey: unknown key; did you mean chainstay?"},
		{"misspelt table", least + "[fraem]\nchainstay = 430\n",
			"b.toml:5: fraem: unknown key; did you mean frame?"},
		{"key of another table", least + "[frame]\ncadence = 90\n",
			"b.toml:6: frame.cadence: unknown key; did you mean rider.cadence?"},
		{"key like nothing", least + "[rider]\nzzzzzzzz = 1\n",
			"b.toml:6: rider.zzzzzzzz: unknown key; allowed: cadence"},
		{"two problems in order", "[frame]\nchainstay = 20\nbottom_bracket_drop = 900\n" + least,
			"b.toml:2: frame.chainstay: 20 mm; is it in inches? that is 508 mm; allowed: 250 to 1200 mm\nb.toml:3: frame.bottom_bracket_drop: 900 mm; allowed: -100 to 150 mm"},
		{"text for a count", least + "[chain]\npitches = \"114\"\n",
			"b.toml:6: chain.pitches: is text, \"114\"; allowed: a whole number from 40 to 300 pitches"},
		{"list for a length", least + "[frame]\nchainstay = [430]\n",
			"b.toml:6: frame.chainstay: is a list; allowed: 250 to 1200 mm"},
		{"table for a length", least + "[frame.chainstay]\nmm = 430\n",
			"b.toml:5: frame.chainstay: is a table; allowed: 250 to 1200 mm"},
		{"date for a length", least + "[frame]\nchainstay = 2026-01-01\n",
			"b.toml:6: frame.chainstay: is a date or time; allowed: 250 to 1200 mm"},
		{"number for a table", "frame = 430\n" + least,
			"b.toml:1: frame: is a number; it is a table: write [frame] on a line of its own and its keys under it"},
		{"unknown unit", least + "[frame]\nchainstay = \"43 ft\"\n",
			"b.toml:6: frame.chainstay: \"43 ft\" has the unit \"ft\"; known are mm, cm and in; allowed: 250 to 1200 mm"},
		{"no teeth", "[rings]\nteeth = [0]\n" + cogs, "b.toml:2: rings.teeth: 0 teeth; allowed: 1 to 4 counts of 8 to 80 teeth"},
		{"seven teeth", "[rings]\nteeth = 7\n" + cogs, "b.toml:2: rings.teeth: 7 teeth; allowed: 1 to 4 counts of 8 to 80 teeth"},
		{"half a tooth", "[rings]\nteeth = [30.5]\n" + cogs, "b.toml:2: rings.teeth: 30.5 is not a whole number; allowed: 1 to 4 counts of 8 to 80 teeth"},
		{"empty list", "[rings]\nteeth = []\n" + cogs, "b.toml:2: rings.teeth: the list is empty; allowed: 1 to 4 counts of 8 to 80 teeth"},
		{"twice", "[rings]\nteeth = [30]\n[cogs]\nteeth = [11, 13, 13]\n", "b.toml:4: cogs.teeth: 13 twice; allowed: 1 to 14 counts of 8 to 80 teeth"},
		{"not a number", least + "[frame]\nchainstay = nan\n", "b.toml:6: frame.chainstay: NaN is not a number; allowed: 250 to 1200 mm"},
		{"infinite", least + "[frame]\nchainstay = inf\n", "b.toml:6: frame.chainstay: +Inf mm; allowed: 250 to 1200 mm"},
		{"huge", least + "[frame]\nchainstay = 1e308\n", "b.toml:6: frame.chainstay: 1e+308 mm; allowed: 250 to 1200 mm"},
		{"negative", least + "[chain]\nelongation = -1\n", "b.toml:6: chain.elongation: -1 %; allowed: 0 to 5 %"},
		{"tyre", least + "[wheel]\ntyre = \"28 x 1.5\"\n", "b.toml:6: wheel.tyre: \"28 x 1.5\"; allowed: an ETRTO marking, section-bead seat in mm, such as 37-622"},
		{"tyre range", least + "[wheel]\ntyre = \"5-622\"\n", "b.toml:6: wheel.tyre: \"5-622\": section allowed 15 to 130 mm, bead seat 200 to 700 mm; allowed: an ETRTO marking, section-bead seat in mm, such as 37-622"},
		{"class", least + "[rear_derailleur.geometry]\nclass = \"mediun\"\n", "b.toml:6: rear_derailleur.geometry.class: \"mediun\"; did you mean medium?; allowed: short, medium, long, wide"},
		{"band order", least + "[rider]\ncadence = [90, 60]\n", "b.toml:6: rider.cadence: 90 is over 60; the lower number comes first; allowed: one or two numbers from 20 to 200 rpm"},
		{"odd chain", least + "[chain]\npitches = 113\n", "b.toml:6: chain.pitches: 113 pitches is odd; a chain of inner and outer links closes only with an even count; allowed: an even number, or chain.offset_link (--offset-link)"},
		{"no cogs", "[rings]\nteeth = [30]\n", "b.toml: cogs.teeth: is missing; allowed: the teeth of all cogs, such as \"11-13-15-17-19-21-24-28-32-36\""},
		{"syntax", "[rings\nteeth = 3\n", "b.toml:2: expected '.' or ']' to end table name, but got '\\n' instead"},
		{"key twice", "name = \"a\"\nname = \"b\"\n" + least, "b.toml:2: name: Key 'name' has already been defined."},
		{"not UTF-8", "name = \"a\"\n\xff\xfe = 3\n", "b.toml:2: is not UTF-8 text; allowed: a TOML file in UTF-8"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := parse(t, tt.text)
			if err == nil {
				t.Fatal("accepted")
			}
			if err.Error() != tt.want {
				t.Errorf("got  %s\nwant %s", err, tt.want)
			}
		})
	}
}

func TestWarning(t *testing.T) {
	r := mustParse(t, "[frame]\nchainstay = 300\n"+least)
	want := "b.toml:2: frame.chainstay: 300 mm is unusual (usual: 390 to 560 mm); is it a slip?"
	if len(r.Warnings) != 1 || r.Warnings[0].String() != want {
		t.Errorf("got %v, want %s", r.Warnings, want)
	}
}

func TestFlagsWinOverTheFile(t *testing.T) {
	d, err := Parse("b.toml", []byte("[frame]\nchainstay = 430\n"+least))
	if err != nil {
		t.Fatal(err)
	}
	f, err := Find("frame.chainstay")
	if err != nil {
		t.Fatal(err)
	}
	if err := d.SetFlag(f, "17.5 in"); err != nil {
		t.Fatal(err)
	}
	r, err := d.Finish()
	if err != nil || r.Build.Frame.Chainstay != 444.5 {
		t.Errorf("chainstay %v, %v", r.Build.Frame.Chainstay, err)
	}
	err = d.SetFlag(f, "-3")
	if err == nil || err.Error() != "--chainstay: -3 mm; allowed: 250 to 1200 mm" {
		t.Errorf("got %v", err)
	}
}

func TestFindSuggests(t *testing.T) {
	_, err := Find("frame.chainstays")
	if err == nil || err.Error() != "frame.chainstays: no such key; did you mean frame.chainstay?" {
		t.Errorf("got %v", err)
	}
}

func TestNearest(t *testing.T) {
	words := []string{"chainstay", "dropout_range", "cogs"}
	tests := map[string]string{
		"chainstey": "chainstay", "hcainstay": "chainstay", "Chainstay": "chainstay",
		"cgos": "cogs", "cog": "cogs", "wheel": "", "": "", strings.Repeat("x", 10000): "",
	}
	for word, want := range tests {
		if got := Nearest(word, words); got != want {
			t.Errorf("Nearest(%.20q) = %q, want %q", word, got, want)
		}
	}
}

// A wrong value stands on its line in every way TOML can write it.
func TestLineOf(t *testing.T) {
	text := "# frame.chainstay = 1\nname = \"\"\"\nframe.chainstay = 2\n\"\"\"\nrings.teeth = [\n46,\n30]\n[ frame ] # x\n'chainstay' = 3\n[rear_derailleur]\ngeometry.class = \"long\"\n"
	tests := map[string]int{
		"name": 2, "rings.teeth": 5, "frame": 8, "frame.chainstay": 9,
		"rear_derailleur.geometry.class": 11, "chain.pitches": 0,
	}
	for path, want := range tests {
		if got := lineOf(text, path); got != want {
			t.Errorf("%s: line %d, want %d", path, got, want)
		}
	}
}
