package build

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"cagewise/gearing"
)

// A file as large as allowed is read, one byte more is not; what is no file says
// so.
func TestFileRead(t *testing.T) {
	dir := t.TempDir()
	write := func(name string, n int) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, bytes.Repeat([]byte("#"), n), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	k := File{"small file", 1000}
	for n, ok := range map[int]bool{0: true, 1: true, 999: true, 1000: true, 1001: false} {
		data, err := k.Read(write("f.toml", n))
		if (err == nil) != ok || ok && len(data) != n {
			t.Errorf("%d bytes: %d read, %v", n, len(data), err)
		}
		if err != nil && err.Error() != "is too large for a small file; allowed: at most 1000 bytes" {
			t.Error(err)
		}
		if _, err := k.Text("f.toml", bytes.Repeat([]byte("#"), n)); (err == nil) != ok {
			t.Errorf("text of %d bytes: %v", n, err)
		}
	}
	for path, want := range map[string]string{dir: "is a directory; a small file is wanted", filepath.Join(dir, "none"): "cannot be opened: no such file or directory"} {
		if _, err := k.Read(path); err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
	// Files that say they are empty are read to their end, no further than allowed.
	if _, err := os.Stat("/proc/self/status"); err == nil {
		if data, err := (File{"small file", 1 << 20}).Read("/proc/self/status"); err != nil || len(data) == 0 {
			t.Errorf("%d bytes, %v", len(data), err)
		}
		if _, err := (File{"small file", 10}).Read("/proc/self/status"); err == nil || !strings.Contains(err.Error(), "too large") {
			t.Error(err)
		}
	}
}

func TestLoad(t *testing.T) {
	path := filepath.Join(t.TempDir(), "b.toml")
	if _, err := Load(path); err == nil || err.Error() != path+": cannot be opened: no such file or directory" {
		t.Error(err)
	}
	if _, err := LoadReadings(path); err == nil || err.Error() != path+": cannot be opened: no such file or directory" {
		t.Error(err)
	}
	if err := os.WriteFile(path, []byte(least+"[frame]\nchainstay = 431\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	d, err := Load(path)
	if err != nil {
		t.Fatal(err)
	}
	if r, err := d.Finish(); err != nil || r.Build.Frame.Chainstay != 431 {
		t.Errorf("%+v, %v", r.Build.Frame, err)
	}
	if err := os.WriteFile(path, []byte("[[reading]]\ngear = \"46x36\"\ngap = 6\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if list, err := LoadReadings(path); err != nil || len(list) != 1 || list[0].Gap != 6 {
		t.Errorf("%+v, %v", list, err)
	}
}

// Twenty problems are told, further ones counted.
func TestManyProblems(t *testing.T) {
	for _, n := range []int{20, 23} {
		text := least
		for i := range n {
			text += fmt.Sprintf("zzz%02d = 1\n", i)
		}
		_, err := Parse("b.toml", []byte(text))
		if err == nil {
			t.Fatal("accepted")
		}
		lines := strings.Split(err.Error(), "\n")
		if n == 20 && len(lines) != 20 || n == 23 && (len(lines) != 21 || lines[20] != "b.toml: 3 more problems") {
			t.Errorf("%d problems in %d lines, the last %q", n, len(lines), lines[len(lines)-1])
		}
	}
}

// Where a key's line cannot be told the name stands alone; a key at the top is
// looked for at the top.
func TestSuggestAtTheTop(t *testing.T) {
	for text, want := range map[string]string{
		"nam = \"x\"\n" + least: "b.toml:1: nam: unknown key; did you mean name?",
		".x = 1":                "",
	} {
		if _, err := Parse("b.toml", []byte(text)); err == nil || want != "" && err.Error() != want {
			t.Errorf("%q: %v", text, err)
		}
	}
	r := reader{name: "b.toml", text: least}
	if got := r.suggest(".chainstai"); strings.Contains(got, "chainstay") && !strings.Contains(got, "frame") {
		t.Error(got)
	}
}

func TestReadingBounds(t *testing.T) {
	for gear, ok := range map[string]bool{"8x8": true, "80x80": true, "7x36": false, "46x7": false, "81x36": false, "46x81": false, "46xx36": false, "46": false} {
		list, err := ParseReadings("r.toml", []byte("[[reading]]\ngap = 6\ngear = \""+gear+"\"\n"))
		if (err == nil) != ok || ok && list[0].GearID.String() != gear {
			t.Errorf("%s: %v, %v", gear, list, err)
		}
	}
	one := "[[reading]]\ngear = \"46x36\"\ngap = 6\n"
	if list, err := ParseReadings("r.toml", []byte(strings.Repeat(one, 100))); err != nil || len(list) != 100 {
		t.Errorf("%d readings, %v", len(list), err)
	}
	if _, err := ParseReadings("r.toml", []byte(strings.Repeat(one, 101))); err == nil || err.Error() != "r.toml: 101 readings; allowed: at most 100" {
		t.Error(err)
	}
	// Headers in quotes are not looked for: the readings are counted only.
	quoted := strings.ReplaceAll(one, "reading", "\"reading\"")
	if _, err := ParseReadings("r.toml", []byte(quoted+strings.ReplaceAll(quoted, "6\n", "0\n"))); err == nil || !strings.HasPrefix(err.Error(), "r.toml: reading 2: gap: 0 mm") {
		t.Error(err)
	}
}

// Swapped neighbours are one slip, not two; other pairs are not.
func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"ab", "ba", 1}, {"abc", "acb", 1}, {"ab", "cd", 2}, {"ab", "ca", 2}, {"ab", "bc", 2}, {"axb", "bxa", 2}, {"", "abc", 3}, {"abc", "", 3}, {"kitten", "sitting", 3}} {
		if got := distance(c.a, c.b); got != c.want {
			t.Errorf("%s, %s: %d, want %d", c.a, c.b, got, c.want)
		}
	}
}

// A jump of up to 60 % is still a step, more is a cassette given by its ends.
func TestHoles(t *testing.T) {
	for cogs, hole := range map[string]bool{"[15, 23]": false, "[10, 17]": true, "[11, 34]": true} {
		r := mustParse(t, "[rings]\nteeth = [46]\n[cogs]\nteeth = "+cogs+"\n")
		found := slices.ContainsFunc(r.Warnings, func(p Problem) bool { return strings.Contains(p.Text, "apart; list every cog") })
		if found != hole {
			t.Errorf("%s: %v", cogs, r.Warnings)
		}
	}
}

// A measured roll-out leaves no tyre to assume, and no rating is assumed at all.
func TestNamedDefaults(t *testing.T) {
	keys := func(text string) []string {
		var list []string
		for _, d := range mustParse(t, text).Defaults {
			list = append(list, d.Key)
		}
		return list
	}
	plain, measured := keys(least), keys(least+"[wheel]\nroll_out = 2100\n")
	for key, want := range map[string][2]bool{
		"wheel.tyre": {true, false}, "wheel.load_allowance": {true, false}, "wheel.roll_out": {false, false},
		"rear_derailleur.rated_capacity": {false, false}, "frame.bottom_bracket_drop": {true, true}, "rings.spacing": {true, true},
	} {
		if got := [2]bool{slices.Contains(plain, key), slices.Contains(measured, key)}; got != want {
			t.Errorf("%s assumed without and with a roll-out: %v, want %v", key, got, want)
		}
	}
}

func TestWrittenNumbers(t *testing.T) {
	for x, want := range map[float64]string{0: "0", 430: "430", -7: "-7", 1e14: "100000000000000", 430.5: "430.5"} {
		if got := tomlNumber(x); got != want {
			t.Errorf("%v: %s", x, got)
		}
	}
	f := &Field{Unit: "mm"}
	for x, want := range map[float64]string{999999: "999999 mm", 1e6: "1e+06 mm", 0.00051: "0.001 mm", -2.5: "-2.5 mm"} {
		if got := f.said(x); got != want {
			t.Errorf("%v: %s, want %s", x, got, want)
		}
	}
	for n, cut := range map[int]bool{56: false, 57: true} {
		if got := shorten(strings.Repeat("x", n)); strings.HasSuffix(got, "...") != cut || len(got) > 59 {
			t.Errorf("%d letters: %s", n, got)
		}
	}
	advised := &Field{Kind: Length, AdviseLow: 390, AdviseHigh: 560, Unit: "mm"}
	for x, want := range map[float64]bool{389: true, 390: false, 560: false, 561: true} {
		if got := advised.advice(value{num: x}); (got != "") != want {
			t.Errorf("%v: %q", x, got)
		}
	}
}

// The template names the unit of lengths and numbers, and a blank line stands
// before every table but at the head of a text.
func TestTemplateForm(t *testing.T) {
	text := string(Template(&Draft{}))
	for _, f := range fields {
		want := "# " + f.Doc + "."
		if f.Kind == Length || f.Kind == Number {
			want = "# " + f.Doc + ", " + f.Unit + "."
		}
		if !strings.Contains(text, want+"\n") {
			t.Errorf("%s: no line %q", f.Path(), want)
		}
		if f.Section != "" && !strings.Contains(text, "\n\n["+f.Section+"]\n") {
			t.Errorf("no blank line before [%s]", f.Section)
		}
	}
	if formatted := string(Format(gearing.Build{Rings: []gearing.Teeth{30}, Cogs: []gearing.Teeth{11}})); !strings.HasPrefix(formatted, "[") {
		t.Errorf("the text begins with %q", formatted[:10])
	}
}
