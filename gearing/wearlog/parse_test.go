package wearlog

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"cagewise/gearing"
)

func date(y int, m time.Month, d int) time.Time { return time.Date(y, m, d, 0, 0, 0, 0, time.UTC) }

// whole is a log with every kind of table and every method, out of order.
const whole = `# a log
name = "Errand bike" # of the house
note = "invented"
money = "crowns"
budget = 80
distance_unit = "km"
distance_per_year = 4000
motor = true

[[reading]]
part = "chain-1"
at = 1230
on = 2026-03-14
method = "rule"
pitches = 24
length_mm = 306.9
error_mm = 0.3
note = "a \"windy\" day"
[[reading]]
part = "chain-1"
at = 980.5
method = "hung"
offset_mm = 0
[[part]]
id = "chain-1"
kind = "chain"
pitches = 112
fitted_at = 0
fitted_on = 2025-09-01
removed_at = 2000
price = 30
source = "on hand"
roller_play_mm = 0.3
start_elongation_percent = 0
[[part]]
id = "cassette"
kind = "cassette"
teeth = [13, 11, 15]
[[reading]]
part = "chain-1"
at = 1230
method = "caliper"
inside_10_mm = 120.8
inside_2_mm = 18.44
[[reading]]
part = "chain-1"
at = 1230
method = "two-point"
mark_percent = 0.75
falls = false
[[reading]]
part = "chain-1"
at = 1230
method = "three-point"
pitches = 10
scale_percent = 0
[[reading]]
part = "chain-1"
at = 1230
method = "lift"
lift_mm = 4.5
ring = 44
[[finding]]
part = "cassette"
at = 1230
on = 2026-03-14
kind = "skips"
degree = "bad"
cogs = [11]
loaded = true
[[ride]]
on = 2026-03-15
distance = 42
chain = "chain-1"
`

func wholeLog() gearing.WearLog {
	return gearing.WearLog{
		Name: "Errand bike", Note: "invented", Money: "crowns", KMPerYear: 4000, Budget: 80, Motor: true,
		Parts: []gearing.WearPart{
			{ID: "chain-1", Kind: gearing.PartChain, Pitches: 112, FittedKM: 0, FittedOn: date(2025, 9, 1), RemovedKM: 2000, Price: 30,
				Source: gearing.SourceOnHand, RollerPlay: 0.3, HasStart: true, Line: 24},
			{ID: "cassette", Kind: gearing.PartCassette, Teeth: []gearing.Teeth{11, 13, 15}, FittedKM: -1, RemovedKM: -1, Price: -1, Line: 35},
		},
		Readings: []gearing.WearReading{
			{Part: "chain-1", KM: 1230, On: date(2026, 3, 14), Method: gearing.MethodRule, Pitches: 24, Length: 306.9, Error: 0.3, Note: `a "windy" day`, Line: 10},
			{Part: "chain-1", KM: 980.5, Method: gearing.MethodHung, Line: 19},
			{Part: "chain-1", KM: 1230, Method: gearing.MethodCaliper, Inside10: 120.8, Inside2: 18.44, Line: 39},
			{Part: "chain-1", KM: 1230, Method: gearing.MethodTwoPoint, Mark: 0.75, Line: 45},
			{Part: "chain-1", KM: 1230, Method: gearing.MethodThreePoint, Pitches: 10, HasScale: true, Line: 51},
			{Part: "chain-1", KM: 1230, Method: gearing.MethodLift, Lift: 4.5, Ring: 44, Line: 57},
		},
		Findings: []gearing.WearFinding{
			{Part: "cassette", KM: 1230, On: date(2026, 3, 14), Kind: gearing.FindSkip, Degree: "bad", Cogs: []gearing.Teeth{11}, Loaded: true, Line: 63},
		},
		Rides: []gearing.WearRide{{On: date(2026, 3, 15), KM: 42, Chain: "chain-1", Line: 71}},
	}
}

func TestParse(t *testing.T) {
	// Read plainly, by the TOML library, with other line ends and with a mark
	// at its beginning, the log is the same, lines and all.
	for name, text := range map[string]string{
		"plain":    whole,
		"library":  whole + "# \u00e4\n[[ ride ]]\ndistance = 0x2A\n",
		"crlf":     strings.ReplaceAll(whole, "\n", "\r\n"),
		"bom":      "\ufeff" + whole,
		"one line": strings.Replace(whole, "name = ", "note2 = '''\n'''\nname = ", 1),
	} {
		got, warnings, err := Parse("w.toml", []byte(text))
		want := wholeLog()
		switch name {
		case "library":
			want.Rides = append(want.Rides, gearing.WearRide{KM: 42, Line: 76})
		case "one line":
			if err == nil || err.Error() != "w.toml:2: note2: unknown key; did you mean note?" {
				t.Errorf("%s: %v", name, err)
			}
			continue
		}
		if err != nil || len(warnings) > 0 {
			t.Fatalf("%s: %v %v", name, err, warnings)
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s:\ngot  %+v\nwant %+v", name, got, want)
		}
	}
}

func TestUnits(t *testing.T) {
	text := `distance_per_year = 1000
distance_unit = "miles"
[[part]]
id = "c"
kind = "chain"
fitted_at = 100
[[reading]]
part = "c"
at = 1500
on = 2026-03-14T23:30:00-08:00
method = "rule"
pitches = 24
length_in = "12 1/16"
[[ride]]
on = "2026-03-14"
distance = 10
`
	for _, text := range []string{text, text + "[[ride]]\ndistance = 1e1\n"} {
		log, _, err := Parse("m.toml", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		rd := log.Readings[0]
		if !log.Miles || log.KMPerYear != 1609.344 || log.Parts[0].FittedKM != 160.9344 || rd.KM != 2414.016 || log.Rides[0].KM != 16.09344 {
			t.Errorf("miles: %+v", log)
		}
		if rd.Length != 306.3875 {
			t.Errorf("12 1/16 in is %v mm", rd.Length)
		}
		if !rd.On.Equal(date(2026, 3, 14)) || !log.Rides[0].On.Equal(date(2026, 3, 14)) {
			t.Errorf("dates %v, %v", rd.On, log.Rides[0].On)
		}
	}
}

// What quick accepts, the TOML library accepts with the same values.
func TestQuickIsTOML(t *testing.T) {
	for _, text := range []string{whole, string(Template(&Draft{})), "a = 1\n", "a = [1, 2,]\n[[b]]\nc=\"\\\\\\\"\"#x\n", "a = 'x\\' # '\nb = ''\nc=['a','b']\n", "a=+1.5\nb=-0.0\nc=[ ]\n", "x=[\"a#]\",2026-03-14 , true]\n"} {
		if !quickAgrees(t, text) {
			t.Errorf("not plain: %q", text)
		}
	}
	for _, text := range []string{"a = 1\na = 1\n", "a = 01\n", "a = 1.\n", "a = .5\n", "a = [1 2]\n", "a = 2026-13-01\n", "a = \"x\ty\x01\"\n", "a = \"\\u0041\"\n", "a = \"\"\"x\"\"\"\n", "a = 'x\n", "a = '''x'''\n", "a = 'x'y'\n",
		"[a]\n", "a = {}\n", "a.b = 1\n", "\"a\" = 1\n", "a = 1 b\n", "a = 2026-01-01 10:00:00\n", "a =\n", "= 1\n", "a = nan\n", "a = 1e3\n", "b = 1\n[[b]]\n", "a = [\n1]\n", "a = tru\n", "a = 1\r", "a = \"x\n"} {
		if _, ok := quick(text); ok {
			t.Errorf("taken for plain: %q", text)
		}
	}
}

// quickAgrees compares quick with the library and tells whether it accepts.
func quickAgrees(t *testing.T, text string) bool {
	t.Helper()
	fast, ok := quick(text)
	if !ok {
		return false
	}
	slow, err := decode("d.toml", text)
	if err != nil {
		t.Fatalf("quick accepts, the library does not: %v\n%s", err, text)
	}
	if got, want := spelled(fast), spelled(slow); got != want {
		t.Fatalf("quick reads\n%s\nthe library\n%s\nfrom\n%s", got, want, text)
	}
	return true
}

// spelled writes tables sorted by name and key, dates without their zone.
func spelled(tables []table) string {
	byName := map[string][]string{}
	for _, tt := range tables {
		keys := map[string]string{}
		for _, k := range tt.keys {
			keys[k.key] = fmt.Sprintf("%d %s", k.line, spelledValue(k.raw))
		}
		byName[tt.name] = append(byName[tt.name], fmt.Sprintf("%d %v", tt.line, keys))
	}
	return fmt.Sprint(byName)
}

func spelledValue(raw any) string {
	switch v := raw.(type) {
	case time.Time:
		return v.Format(time.DateOnly)
	case []any:
		s := "list"
		for _, item := range v {
			s += " " + spelledValue(item)
		}
		return s
	}
	return fmt.Sprintf("%T %v", raw, raw)
}

// The example logs are valid and say what the scenarios say.
func TestExamples(t *testing.T) {
	for name, want := range map[string][3]int{"cargo-wear.toml": {5, 3, 4}, "commuter-wear.toml": {3, 4, 0}} {
		path := filepath.Join("../../examples", name)
		log, warnings, err := Load(path)
		if err != nil || len(warnings) > 0 {
			t.Fatalf("%s: %v %v", name, err, warnings)
		}
		if got := [3]int{len(log.Parts), len(log.Readings), len(log.Findings)}; got != want {
			t.Errorf("%s: %v parts, readings, findings; want %v", name, got, want)
		}
		if text, err := os.ReadFile(path); err != nil || !strings.Contains(string(text), "# Invented for cagewise") {
			t.Errorf("%s does not say that it is invented (%v)", name, err)
		}
	}
}
