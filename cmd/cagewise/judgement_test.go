package main

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"cagewise/gearing"
	"cagewise/sim"
)

// verdictSaid is what an output says of a build; "" for what it does not speak of.
type verdictSaid struct {
	length, lost, tight, doubtful string
	chance                        string // in percent
}

// tightDouble is a doubtful build whose chain at hand is tight; invented.
const tightDouble = `name = "Invented road double"
rings.teeth = "50/34"
cogs.teeth = "11-12-13-14-16-18-20-22-25-28-32"
frame.chainstay = 412
wheel.tyre = "28-622"
chain.pitches = 108
[rear_derailleur]
rated_capacity = 37
pulley_centres = 56
`

// Every output names the same length, the same lost, tight and doubtful gears and
// the same chance: those of the study.
func TestOneJudgement(t *testing.T) {
	tight := filepath.Join(t.TempDir(), "tight.toml")
	if err := os.WriteFile(tight, []byte(tightDouble), 0o644); err != nil {
		t.Fatal(err)
	}
	names := map[string]bool{}
	for _, path := range []string{"../../examples/gravel.toml", tight} {
		want := studied(t, path)
		if want.doubtful == "" || want.lost == "" {
			t.Fatalf("%s is no doubtful build: %+v", path, want)
		}
		names[want.tight] = true
		doubtful, _, _ := strings.Cut(want.doubtful, ", ")
		for _, o := range []struct {
			args string
			read func(t *testing.T, text string) verdictSaid
			not  []string // what it does not speak of
		}{
			{"fit BUILD", readText, nil},
			{"fit BUILD --format markdown", readText, nil},
			{"fit BUILD --format json", readJSON, nil},
			{"fit BUILD --format csv", readCSV, nil},
			{"card BUILD", readText, nil},
			{"chart sheet BUILD", readPicture, nil},
			{"chart window BUILD", readPicture, nil},
			{"chart map BUILD", readPicture, nil},
			{"chart ladder BUILD", readPicture, nil},
			{"chart side BUILD --gear " + doubtful, readPicture, []string{"doubtful"}},
			{"report BUILD --format html", readText, nil},
			{"report BUILD --format html", readPicker, []string{"length", "lost", "chance"}},
			{"compare BUILD --swap name=other", readText, []string{"length", "lost", "chance"}},
			{"compare BUILD --swap name=other --format csv", readCompared, nil},
			{"compare BUILD --swap name=other --format json", readComparison, nil},
			{"chart compare BUILD --swap name=other", readCompareChart, []string{"lost"}},
			{"cogs BUILD --count 8 --from 11 --to 32 --format json", readCogs, []string{"tight", "doubtful"}},
			{"gears BUILD --format csv", readLost, []string{"length", "tight", "doubtful", "chance"}},
			{"climb BUILD --format json", readLeftOut, []string{"length", "tight", "doubtful", "chance"}},
		} {
			got, want := o.read(t, printed(t, strings.Fields(strings.ReplaceAll(o.args, "BUILD", path))...)), want
			for _, field := range o.not {
				*want.field(field), *got.field(field) = "", ""
			}
			if got != want {
				t.Errorf("%s %s:\nsays %+v\nis   %+v", filepath.Base(path), o.args, got, want)
			}
		}
	}
	if len(names) < 2 {
		t.Error("no build has a tight gear")
	}
}

func (s *verdictSaid) field(name string) *string {
	switch name {
	case "length":
		return &s.length
	case "lost":
		return &s.lost
	case "tight":
		return &s.tight
	case "doubtful":
		return &s.doubtful
	}
	return &s.chance
}

// studied is what the study says.
func studied(t *testing.T, path string) verdictSaid {
	t.Helper()
	c := &call{env: env{out: os.Stdout, err: os.Stderr, width: 80}, flags: fitCommand().flagSet(), read: map[string]input{}}
	in, err := c.loadBuild(path)
	if err != nil {
		t.Fatal(err)
	}
	s, err := in.study()
	if err != nil {
		t.Fatal(err)
	}
	return ofAdvice(&s.Advice)
}

func ofAdvice(a *sim.Advice) verdictSaid {
	return verdictSaid{whole(a.Length), gearList(a.Lost()), gearList(a.In(sim.Tight)), gearList(a.Doubtful()), percentOf(a.Chance)}
}

var (
	spaces = regexp.MustCompile(`\s+`)
	tags   = regexp.MustCompile(`<[^>]*>`)
	marks  = strings.NewReplacer("**", "", "&gt;", ">", "&lt;", "<", "&#39;", "'")
)

// first is what the first match catches, "" for none.
func first(text string, patterns ...string) string {
	for _, p := range patterns {
		if m := regexp.MustCompile(p).FindStringSubmatch(text); m != nil {
			return m[1]
		}
	}
	return ""
}

const someGears = `(\d+x\d+(?:, \d+x\d+)*)`

// readText reads words for people, of a page with tags too.
func readText(_ *testing.T, text string) verdictSaid {
	text = marks.Replace(spaces.ReplaceAllString(tags.ReplaceAllString(text, " "), " "))
	text = spaces.ReplaceAllString(text, " ")
	var tight []string
	list := `((?:\d+x\d+ \([^)]*\)(?:, )?)+)`
	for _, m := range regexp.MustCompile(`RISKY `+list+`: tight|RISKY: tight[^(]*keep out `+list+`|TIGHT `+list+`:|TIGHT:[^(]*keep out `+list).FindAllStringSubmatch(text, -1) {
		for _, g := range regexp.MustCompile(`\d+x\d+`).FindAllString(strings.Join(m[1:], " "), -1) {
			if !slices.Contains(tight, g) {
				tight = append(tight, g)
			}
		}
	}
	return verdictSaid{
		length: first(text, `put on one of (\d+) pitches`, `Cut the chain to (\d+) pitches`, `Your chain of (\d+) pitches \([^)]*\) stays`, `closed at (\d+) pitches`),
		lost:   first(text, `WORKS without `+someGears+`\.`, `WORKS without `+someGears, `gears? (?:is|are) lost: `+someGears),
		tight:  strings.Join(tight, ", "), doubtful: first(text, `In doubt: `+someGears),
		chance: first(text, `The chance is (?:about )?(\d+) % that`),
	}
}

// readPicture reads the description of a picture.
func readPicture(t *testing.T, text string) verdictSaid {
	desc := marks.Replace(first(text, `<desc[^>]*>([^<]*)</desc>`))
	if desc == "" {
		t.Error("no description")
	}
	var tight []string
	for _, m := range regexp.MustCompile(`(\d+x\d+)(?: is)? tight`).FindAllStringSubmatch(desc, -1) {
		tight = append(tight, m[1])
	}
	return verdictSaid{
		length:   first(desc, `by one of (\d+)`, `your chain of (\d+) pitches stays`, `cut the chain to (\d+) pitches`, `closed at (\d+) pitches`),
		lost:     first(desc, `works without `+someGears+`,`, `lost: `+someGears+`,`),
		tight:    strings.Join(tight, ", "),
		doubtful: first(desc, `in doubt \(\?\): `+someGears),
		chance:   first(desc, `chance (\d+) %`),
	}
}

func decode[T any](t *testing.T, text string) T {
	t.Helper()
	var v T
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		t.Fatal(err)
	}
	return v
}

// adviceJSON is the part of an advice that is read here.
type adviceJSON struct {
	Length int     `json:"length_pitches"`
	Chance float64 `json:"chance"`
	Gears  []struct {
		Ring     int    `json:"ring_teeth"`
		Cog      int    `json:"cog_teeth"`
		State    string `json:"state"`
		Lost     bool   `json:"lost"`
		Doubtful bool   `json:"doubtful"`
	} `json:"gears"`
}

func (a adviceJSON) told() verdictSaid {
	var s verdictSaid
	s.length, s.chance = whole(a.Length), percentOf(a.Chance)
	for _, g := range a.Gears {
		name := gearing.GearName(gearing.Teeth(g.Ring), gearing.Teeth(g.Cog))
		for _, l := range []struct {
			on   bool
			list *string
		}{{g.Lost, &s.lost}, {g.State == "tight", &s.tight}, {g.Doubtful, &s.doubtful}} {
			if l.on {
				*l.list = strings.TrimPrefix(*l.list+", "+name, ", ")
			}
		}
	}
	return s
}

// idJSON is a gear in a list.
type idJSON struct {
	Ring gearing.Teeth `json:"ring_teeth"`
	Cog  gearing.Teeth `json:"cog_teeth"`
}

func listOf(ids []idJSON) string {
	var names []string
	for _, g := range ids {
		names = append(names, gearing.GearName(g.Ring, g.Cog))
	}
	return strings.Join(names, ", ")
}

func readJSON(t *testing.T, text string) verdictSaid {
	v := decode[struct {
		Advice   adviceJSON `json:"advice"`
		Lost     []idJSON   `json:"lost_gears"`
		Tight    []idJSON   `json:"tight_gears"`
		Doubtful []idJSON   `json:"doubtful_gears"`
	}](t, text)
	s := v.Advice.told()
	if lists := (verdictSaid{lost: listOf(v.Lost), tight: listOf(v.Tight), doubtful: listOf(v.Doubtful)}); lists != (verdictSaid{lost: s.lost, tight: s.tight, doubtful: s.doubtful}) {
		t.Errorf("lists %+v, gears %+v", lists, s)
	}
	return s
}

// readCompared reads the row of the first build of a comparison.
func readCompared(t *testing.T, text string) verdictSaid {
	row := rows(t, text)[0]
	return verdictSaid{row["chain_pitches"], row["lost_gears"], row["tight_gears"], row["doubtful_gears"], percentOf(decode[float64](t, row["chance"]))}
}

// readCompareChart reads the first build of a comparison's description.
func readCompareChart(_ *testing.T, text string) verdictSaid {
	desc := first(text, `Build 1, ([^<]*)Build 2`)
	return verdictSaid{length: first(desc, `chain (\d+) pitches`), tight: first(desc, `tight: ([^;]*)[;.]`), doubtful: first(desc, `in doubt: ([^;]*)[;.]`), chance: first(desc, `chance (\d+) %`)}
}

// readComparison reads what a comparison says of its first build.
func readComparison(t *testing.T, text string) verdictSaid {
	v := decode[struct {
		Options []struct {
			Advice adviceJSON `json:"advice"`
		} `json:"options"`
	}](t, text)
	return v.Options[0].Advice.told()
}

// readCogs reads what the swap of a cassette says of the build as it is.
func readCogs(t *testing.T, text string) verdictSaid {
	v := decode[struct {
		Before struct {
			Length int    `json:"length_pitches"`
			Words  string `json:"fit_words"`
		} `json:"before"`
	}](t, text)
	s := readText(t, v.Before.Words)
	if s.length != whole(v.Before.Length) {
		t.Errorf("%d pitches, but %s", v.Before.Length, v.Before.Words)
	}
	return s
}

func readLeftOut(t *testing.T, text string) verdictSaid {
	return verdictSaid{lost: listOf(decode[struct {
		Left []idJSON `json:"left_out_gears"`
	}](t, text).Left)}
}

// rows reads CSV by its headings.
func rows(t *testing.T, text string) []map[string]string {
	t.Helper()
	lines, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(lines) < 2 {
		t.Fatal(err, len(lines))
	}
	var list []map[string]string
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, key := range lines[0] {
			row[key] = line[i]
		}
		list = append(list, row)
	}
	return list
}

// where lists the gears of rows that have a value under a key.
func where(list []map[string]string, key, value string) string {
	var names []string
	for _, row := range list {
		if row[key] == value {
			names = append(names, row["gear"])
		}
	}
	return strings.Join(names, ", ")
}

func readCSV(t *testing.T, text string) verdictSaid {
	list := rows(t, text)
	chance := decode[float64](t, list[0]["chance"])
	return verdictSaid{list[0]["length_pitches"], where(list, "lost", "true"), where(list, "state", "tight"), where(list, "doubtful", "true"), percentOf(chance)}
}

func readLost(t *testing.T, text string) verdictSaid {
	return verdictSaid{lost: where(rows(t, text), "lost", "true")}
}

// readPicker reads the buttons of a page's picker, ring by ring from the smallest.
func readPicker(_ *testing.T, text string) verdictSaid {
	var s verdictSaid
	for _, m := range slices.Backward(regexp.MustCompile(`<span class="ring">.*?</div>`).FindAllString(text, -1)) {
		for _, b := range regexp.MustCompile(`aria-label="(\d+x\d+), ([^"]*)"`).FindAllStringSubmatch(m, -1) {
			state, doubt := strings.CutSuffix(b[2], ", doubtful")
			if state == "tight" {
				s.tight = strings.TrimPrefix(s.tight+", "+b[1], ", ")
			}
			if doubt {
				s.doubtful = strings.TrimPrefix(s.doubtful+", "+b[1], ", ")
			}
		}
	}
	return s
}
