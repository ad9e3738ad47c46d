package bin

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// least is the smallest bin that a search can use.
const least = `[[rings]]
name = "double"
teeth = "46/30"
[[cassette]]
name = "ten"
teeth = "11-13-15-17-19-21-24-28-32-36"
[[rear_derailleur]]
name = "medium"
pulley_centres = 75
`

func TestParse(t *testing.T) {
	got, err := Parse("b.toml", []byte(`name = "Shelf"
note = "invented"
money = "euro"

[[cassette]]
name = "ten"
teeth = [36, 11, 13]
price = 30.5
note = "used"

[[rings]]
name = "single"
teeth = 38
on_hand = true
[[rings]]
name = "double"
teeth = "46/30"
price = 45
available = false

[[rear_derailleur]]
name = "changed"
price = 85
same_as = "measured"
tension_pulley = 14
[rear_derailleur.geometry]
hanger_behind = 0
hanger_below = "3 cm"

[[rear_derailleur]]
name = "measured"
on_hand = true
rated_capacity = 39
tension_pulley = 11
[rear_derailleur.geometry]
pivot_to_guide = 11
pivot_to_tension = 71

[[chain]]
name = "packet"
price = 20
pitches = 116
[[extender]]
name = "down"
price = 15
below = 22
[[wheel]]
name = "gravel"
on_hand = true
tyre = "42-622"
[[wheel]]
name = "rolled"
on_hand = true
roll_out = 2174
`))
	if err != nil {
		t.Fatal(err)
	}
	part := func(name string, price float64, line int) gearing.BinPart {
		return gearing.BinPart{Name: name, Price: price, OnHand: price == 0, Line: line}
	}
	geometry := gearing.Geometry{PivotToGuide: 11, PivotToTension: 71}
	changed := geometry
	changed.HangerBelow = 30
	used, away := part("ten", 30.5, 5), part("double", 45, 15)
	used.Note, away.Unavailable = "used", true
	want := gearing.PartsBin{
		Name: "Shelf", Note: "invented", Money: "euro",
		RingSets:  []gearing.BinRings{{BinPart: part("single", 0, 11), Teeth: []gearing.Teeth{38}}, {BinPart: away, Teeth: []gearing.Teeth{30, 46}}},
		Cassettes: []gearing.BinCassette{{BinPart: used, Teeth: []gearing.Teeth{11, 13, 36}}},
		Derailleurs: []gearing.BinDerailleur{
			{BinPart: part("changed", 85, 21), Rear: gearing.RearDerailleur{RatedCapacity: 39, TensionPulleyTeeth: 14, Geometry: changed}},
			{BinPart: part("measured", 0, 30), Rear: gearing.RearDerailleur{RatedCapacity: 39, TensionPulleyTeeth: 11, Geometry: geometry}},
		},
		Chains:    []gearing.BinChain{{BinPart: part("packet", 20, 39), Pitches: 116}},
		Extenders: []gearing.BinExtender{{BinPart: part("down", 15, 43), Below: 22}},
		Wheels: []gearing.BinWheel{
			{BinPart: part("gravel", 0, 47), Wheel: gearing.Wheel{Section: 42, BeadSeat: 622, LoadAllowance: 1}},
			{BinPart: part("rolled", 0, 51), Wheel: gearing.Wheel{Section: 37, BeadSeat: 622, LoadAllowance: 1, MeasuredRollOut: 2174}},
		},
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	if n := got.Combinations(); n != 1*1*2*1*2*2 {
		t.Errorf("%v combinations", n)
	}
}

// The other ways of writing tables.
func TestParseForms(t *testing.T) {
	want, err := Parse("b.toml", []byte(least))
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{
		"\ufeff" + least,
		strings.ReplaceAll(least, "\n", "\r\n"),
		"rings = [{name = 'double', teeth = '46/30'}]\ncassette = [{name = 'ten', teeth = '''\n11-13-15-17-19-21-24-28-32-36'''}]\nrear_derailleur = [\n{name = 'medium', pulley_centres = 75}]\n",
		"[[ \"rings\" ]] # [[cassette]]\nteeth = [ # ]\n30, # [[cassette]]\n46\n]\nname = \"\"\"double\"\"\"\n" + least[strings.Index(least, "[[cassette]]"):],
	} {
		got, err := Parse("b.toml", []byte(text))
		if err != nil {
			t.Errorf("%v\n%s", err, text)
		} else if !reflect.DeepEqual(linesOff(got), linesOff(want)) {
			t.Errorf("got  %+v\nwant %+v\n%s", got, want, text)
		}
	}
}

func TestMessages(t *testing.T) {
	rear := "[[rear_derailleur]]\nname = \"b\"\n"
	const (
		ringKeys = "name, note, price, on_hand, available, teeth"
		rearKeys = "name, note, price, on_hand, available, same_as, geometry, rated_capacity, largest_cog, smallest_cog, least_largest_cog, largest_ring_difference, pulley_centres, guide_pulley, tension_pulley"
		topKeys  = "name, note, money, rings, cassette, rear_derailleur, chain, extender, wheel"
	)
	tests := []struct{ text, want string }{
		{"", "b.toml: holds no parts; allowed: at least one [[rings]], one [[cassette]] and one [[rear_derailleur]]"},
		{"[[rings]]\nname = \"a\"\nteeth = 40\n", "b.toml: cassette: none in the bin; allowed: at least one [[cassette]]\nb.toml: rear_derailleur: none in the bin; allowed: at least one [[rear_derailleur]]"},
		{"\xff", "b.toml:1: is not UTF-8 text; allowed: a TOML file in UTF-8"},
		{"mony = 'x'\n" + least, "b.toml:1: mony: unknown key; did you mean money?; allowed: " + topKeys},
		{"name = 3\n" + least, "b.toml:1: name: is a number, 3; allowed: text of at most 200 characters on one line"},
		{least + "[[casette]]\n", "b.toml:10: casette: unknown key; did you mean cassette?; allowed: " + topKeys},
		{least + "[[wheel]]\nname = 'w'\ntyre = '42-622'\n[chain]\n", "b.toml:13: chain: is a table; allowed: tables under [[chain]], in double brackets"},
		{"rings = 3\n" + least, "b.toml:1: rings: is a number; allowed: tables under [[rings]], in double brackets"},
		{"rings = []\n" + least, "b.toml:2: rings: is a list at the top of the file already; allowed: either the list or [[rings]]"},
		{least + "[[rings]]\nname = 'c'\nteath = 3\n", "b.toml:12: rings 2: teath: unknown key; did you mean teeth?; allowed: " + ringKeys},
		{least + "[[rings]]\nteeth = 40\n", "b.toml:10: rings 2: name: is missing; allowed: text of at most 200 characters on one line, not empty"},
		{least + "[[rings]]\nteeth = 40\n\nname = 'double'\n", "b.toml:13: rings 2: name: \"double\" stands at line 1 already; allowed: a name that no other [[rings]] has"},
		{least + "[[rings]]\nname = 'c'\n", "b.toml:10: rings 2: teeth: is missing; allowed: 1 to 4 counts of 8 to 80 teeth"},
		{least + "[[rings]]\nname = 'c'\nteeth = '46/46'\n", "b.toml:12: rings 2: teeth: 46 twice; allowed: 1 to 4 counts of 8 to 80 teeth"},
		{least + "[[cassette]]\nname = 'c'\nteeth = [11, 130]\n", "b.toml:12: cassette 2: teeth: 130 teeth; allowed: 1 to 14 counts of 8 to 80 teeth"},
		{least + "[[cassette]]\nname = 'c'\nteeth = [11, 13.5]\n", "b.toml:12: cassette 2: teeth: 13.5 is not a whole number; allowed: 1 to 14 counts of 8 to 80 teeth"},
		{least + "[[rings]]\nname = 'c'\nteeth = 40\nprice = -1\n", "b.toml:13: rings 2: price: -1 money units; allowed: 0 to 1000000 money units"},
		{least + "[[rings]]\nname = 'c'\nteeth = 40\nprice = nan\n", "b.toml:13: rings 2: price: NaN is not a number; allowed: 0 to 1000000 money units"},
		{least + "[[rings]]\nname = 'c'\nteeth = 40\nprice = 1e300\n", "b.toml:13: rings 2: price: 1e+300 money units; allowed: 0 to 1000000 money units"},
		{least + "[[rings]]\nname = 'c'\nteeth = 40\non_hand = 'yes'\n", "b.toml:13: rings 2: on_hand: is text, \"yes\"; allowed: true or false"},
		{"[[rings]]\nname = 'c'\nteeth = 40\nprice = 3\n[[rings]]\nname = 'shed'\nteeth = 41\non_hand = true\n" + strings.Replace(strings.Replace(least, "\"ten\"", "\"ten\"\navailable = false", 1), "\"medium\"", "\"medium\"\nprice = 0", 1),
			"b.toml:9: rings 3: price: is missing, and other parts have one; allowed: 0 to 1000000 money units, or on_hand = true"},
		{least + "[[chain]]\nname = 'c'\n", "b.toml:10: chain 1: pitches: is missing; allowed: a whole number from 40 to 300 pitches"},
		{least + "[[chain]]\nname = 'c'\npitches = 1e6\n", "b.toml:12: chain 1: pitches: 1e+06 pitches; allowed: a whole number from 40 to 300 pitches"},
		{least + "[[extender]]\nname = 'c'\nbehind = 0\n", "b.toml:10: extender 1: below: the extender moves nothing; allowed: behind and below of -40 to 40 mm, not both 0"},
		{least + "[[extender]]\nname = 'c'\nbelow = 90\n", "b.toml:12: extender 1: below: 90 mm; allowed: -40 to 40 mm"},
		{least + "[[wheel]]\nname = 'c'\n", "b.toml:10: wheel 1: tyre: is missing; allowed: an ETRTO marking, section-bead seat in mm, such as 37-622; or roll_out, 700 to 3000 mm"},
		{least + rear, "b.toml:10: rear_derailleur 2: pulley_centres: nothing is known of the derailleur; allowed: pulley_centres of 30 to 150 mm, or at the least a rating such as rated_capacity"},
		{least + rear + "pulley_centers = 75\n", "b.toml:12: rear_derailleur 2: pulley_centers: unknown key; did you mean pulley_centres?; allowed: " + rearKeys},
		{least + rear + "hanger_below = 28\n", "b.toml:12: rear_derailleur 2: hanger_below: unknown key; it stands under [rear_derailleur.geometry]; allowed: " + rearKeys},
		{least + rear + "geometry = 3\n", "b.toml:12: rear_derailleur 2: geometry: is a number; it is a table: write [rear_derailleur.geometry] under the [[rear_derailleur]]"},
		{least + rear + "pulley_centres = 75\n[rear_derailleur.geometry]\nclass = \"wid\"\n", "b.toml:14: rear_derailleur 2: geometry.class: \"wid\"; did you mean wide?; allowed: short, medium, long, wide"},
		{least + rear + "pulley_centres = 75\n[rear_derailleur.geometry]\nhanger_below = 28\n", "b.toml:14: rear_derailleur 2: geometry.hanger_below: means nothing without rear_derailleur.geometry.hanger_behind; allowed: both or neither"},
		{least + rear + "pulley_centres = 75\n[rear_derailleur.geometry]\npivot_to_guide = 9\npivot_to_tension = 120\n", "b.toml:15: rear_derailleur 2: geometry.pivot_to_tension: a triangle of pivot_to_guide 9, pivot_to_tension 120 and pulley_centres 75 mm cannot close; allowed: pivot_to_tension from 66 to 84 mm"},
		{least + rear + "same_as = \"medum\"\n", "b.toml:12: rear_derailleur 2: same_as: no [[rear_derailleur]] has the name \"medum\"; did you mean \"medium\"?; allowed: the name of another one of the bin"},
		{least + rear + "same_as = \"b\"\n", "b.toml:12: rear_derailleur 2: same_as: \"b\" leads back to this part; allowed: the name of a rear derailleur with measures or ratings of its own"},
		{least + rear + "same_as = \"d\"\n[[rear_derailleur]]\nname = 'd'\nsame_as = 'b'\n", "b.toml:15: rear_derailleur 3: same_as: \"b\" leads back to this part; allowed: the name of a rear derailleur with measures or ratings of its own"},
		{least + rear + "same_as = \"\"\n", "b.toml:12: rear_derailleur 2: same_as: is empty; allowed: the name of another rear derailleur of the bin"},
		{least + rear + "same_as = \"d\"\n[[rear_derailleur]]\nname = 'd'\npulley_centres = 7\n", "b.toml:15: rear_derailleur 3: pulley_centres: 7 mm; is it in cm? that is 70 mm; allowed: 30 to 150 mm"},
		{least + rear + "same_as = \"d\"\n[[rear_derailleur]]\nname = 'd'\n[rear_derailleur.geometry]\nhanger_below = 28\n", "b.toml:16: rear_derailleur 3: geometry.hanger_below: means nothing without rear_derailleur.geometry.hanger_behind; allowed: both or neither"},
		{least + rear + "same_as = \"d\"\n[[rear_derailleur]]\nname = 'd'\n[rear_derailleur.geometry]\npivot_to_guide = 9\npivot_to_tension = 120\n[[rear_derailleur]]\nname = 'e'\nsame_as = 'd'\npulley_centres = 75\n",
			"b.toml:20: rear_derailleur 4: same_as: a triangle of pivot_to_guide 9, pivot_to_tension 120 and pulley_centres 75 mm cannot close; allowed: pivot_to_tension from 66 to 84 mm"},
		{least + rear + "pulley_centres = 75\n[rear_derailleur.geometry]\nextender_below = 20\n", "b.toml:14: rear_derailleur 2: geometry.extender_below: unknown key; extenders are parts of their own: write an [[extender]]; allowed: class, hanger_behind, hanger_below, pivot_small_x, pivot_small_y, pivot_large_x, pivot_large_y, pivot_to_guide, pivot_to_tension, pivot_side, cage_stop_rear, cage_stop_forward, screw_range, target_gap, pivot_error, cage_error, plate_height, spring_preload, spring_rate, mount_preload, mount_rate, clutch_torque"},
		{least + "[[rings]]\nname = c\n[[rings]]\nname = 'd'\nteeth = 3\n" + rear + "same_as = 'x'\n", "b.toml:11: rings.name: expected value but found \"c\" instead\nb.toml:14: rings 2: teeth: 3 teeth; allowed: 1 to 4 counts of 8 to 80 teeth"},
		{"[[rings]]\nname = 'c'\nteeth = 40\nprice = 3\n" + strings.Replace(strings.Replace(least, "\"ten\"", "\"ten\"\non_hand = true", 1), "\"medium\"", "\"medium\"\nprice = 0", 1) + "[[rings]]\nname = 'c'\n",
			"b.toml:5: rings 2: price: is missing, and other parts have one; allowed: 0 to 1000000 money units, or on_hand = true\n" +
				"b.toml:16: rings 3: teeth: is missing; allowed: 1 to 4 counts of 8 to 80 teeth\n" +
				"b.toml:16: rings 3: price: is missing, and other parts have one; allowed: 0 to 1000000 money units, or on_hand = true\n" +
				"b.toml:17: rings 3: name: \"c\" stands at line 1 already; allowed: a name that no other [[rings]] has"},
		{"a = " + strings.Repeat("[", 40), "b.toml:1: lists and tables are nested too deep; allowed: 32 in each other"},
	}
	for _, tt := range tests {
		if _, err := Parse("b.toml", []byte(tt.text)); err == nil || err.Error() != tt.want {
			t.Errorf("%q\ngot  %v\nwant %s", tt.text, err, tt.want)
		}
	}
}

// Many problems are counted, and reading ends after a hundred.
func TestManyProblems(t *testing.T) {
	for _, tt := range []struct {
		n    int
		want string
	}{{25, "b.toml: 5 more problems"}, {5000, "b.toml: 80 more problems; the rest was not read"}} {
		_, err := Parse("b.toml", []byte(least+strings.Repeat("[[rings]]\nteath = 3\n", tt.n)))
		problems, ok := err.(build.Problems)
		if !ok || len(problems) != mostListed+1 || problems[mostListed].String() != tt.want {
			t.Errorf("%d: %v", tt.n, err)
		}
	}
}

func TestLimits(t *testing.T) {
	many := strings.Repeat("[[chain]]\npitches = 100\n", MaxParts+1)
	if _, err := Parse("b.toml", []byte(many)); err == nil || !strings.Contains(err.Error(), "more problems") {
		t.Errorf("too many parts: %v", err)
	}
	if _, err := Parse("b.toml", []byte(least+"#"+strings.Repeat("x", MaxTableBytes))); err == nil ||
		err.Error() != "b.toml:7: the table that begins here is too large; allowed: at most 1048576 bytes up to the next one" {
		t.Errorf("too large a table: %v", err)
	}
	if _, err := Parse("b.toml", make([]byte, MaxBytes+1)); err == nil ||
		err.Error() != "b.toml: is too large for a parts bin; allowed: at most 67108864 bytes" {
		t.Errorf("too large a file: %v", err)
	}
}

func TestLoad(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "b.toml")
	if err := os.WriteFile(path, []byte(least), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Load(path); err != nil {
		t.Error(err)
	}
	large := filepath.Join(dir, "large.toml")
	if err := os.WriteFile(large, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(large, MaxBytes+1); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]string{
		dir:                           "is a directory; a parts bin is wanted",
		large:                         "is too large for a parts bin; allowed: at most 67108864 bytes",
		filepath.Join(dir, "no.toml"): "cannot be opened: no such file or directory",
	} {
		if _, err := Load(path); err == nil || err.Error() != path+": "+want {
			t.Errorf("%s: %v", path, err)
		}
	}
}
