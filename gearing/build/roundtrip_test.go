package build

import (
	"errors"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
)

// drawn gives a random draft: every field is set or left out.
func drawn(t *rapid.T) *Draft {
	d := &Draft{}
	for _, f := range fields {
		if f.Kind == Wheels || rapid.Bool().Draw(t, f.Path()+" given") {
			d.set(f, f.draw(t), "drawn")
		}
	}
	for _, h := range halves { // both or neither
		for i, key := range h {
			f, _ := Find(geometrySection + "." + key)
			other, _ := Find(geometrySection + "." + h[1-i])
			if d.Has(f) && !d.Has(other) {
				d.set(other, other.draw(t), "drawn")
			}
		}
	}
	return d
}

func (f *Field) draw(t *rapid.T) value {
	name := f.Path()
	number := rapid.Float64Range(f.Low, f.High)
	whole := rapid.Map(rapid.IntRange(int(f.Low), int(f.High)), func(i int) float64 { return float64(i) })
	switch f.Kind {
	case Text:
		return value{text: strings.TrimSpace(rapid.StringMatching(`[ -~äß"\\#]{0,40}`).Draw(t, name))}
	case Choice:
		return value{text: rapid.SampledFrom(f.Choices).Draw(t, name)}
	case Switch:
		return value{on: rapid.Bool().Draw(t, name)}
	case Count:
		if f.Key == "pitches" { // odd counts want an offset link
			return value{num: 2 * float64(rapid.IntRange(20, 150).Draw(t, name))}
		}
		return value{num: whole.Draw(t, name)}
	case Wheels:
		return value{list: rapid.SliceOfNDistinct(whole, 1, f.most(), rapid.ID[float64]).Draw(t, name)}
	case Band:
		list := rapid.SliceOfN(number, 2, 2).Draw(t, name)
		slices.Sort(list)
		return value{list: list}
	case Tyre:
		return value{list: []float64{
			rapid.Float64Range(sectionLow, sectionHigh).Draw(t, name+" section"),
			rapid.Float64Range(seatLow, seatHigh).Draw(t, name+" seat"),
		}}
	}
	return value{num: number.Draw(t, name)}
}

// Writing a build and reading it back changes nothing.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		first, err := drawn(t).Finish()
		if err != nil {
			t.Skip("drawn values do not go together:", err)
		}
		text := Format(first.Build)
		again, err := Parse("again.toml", text)
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		second, err := again.Finish()
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		if !reflect.DeepEqual(second.Build, first.Build) {
			t.Fatalf("got  %+v\nwant %+v\n%s", second.Build, first.Build, text)
		}
	})
}

// The starting file is a valid build file, and so are its commented samples.
func TestTemplate(t *testing.T) {
	text := string(Template(&Draft{}))
	if _, err := parse(t, text); err != nil {
		t.Errorf("as written: %v", err)
	}
	sample := regexp.MustCompile(`(?m)^# ([a-z_]+ = )`)
	r, err := parse(t, sample.ReplaceAllString(text, "$1"))
	if err != nil {
		t.Fatalf("with every sample: %v", err)
	}
	if len(r.Warnings) > 0 {
		t.Errorf("samples are unusual: %v", r.Warnings)
	}
	for _, f := range fields {
		if !strings.Contains(text, f.Key+" = ") || !strings.Contains(text, f.Doc) {
			t.Errorf("%s is not explained", f.Path())
		}
	}
}

// Every field has what the reference needs, and no flag stands twice.
func TestSchema(t *testing.T) {
	flags := map[string]bool{}
	for _, f := range fields {
		if f.Doc == "" || f.Default == "" || f.Sample == "" || f.put == nil || f.read == nil {
			t.Errorf("%s is incomplete", f.Path())
		}
		if f.Flag != "" && flags[f.Flag] {
			t.Errorf("flag --%s twice", f.Flag)
		}
		flags[f.Flag] = true
		if f.Low > f.High || f.AdviseLow != 0 && f.AdviseLow < f.Low || f.AdviseHigh != 0 && f.AdviseHigh > f.High {
			t.Errorf("%s: ranges", f.Path())
		}
	}
}

// Whatever the bytes, there is a build without a NaN or a Problems error.
func FuzzParse(f *testing.F) {
	f.Add([]byte(least))
	f.Add(Template(&Draft{}))
	for _, s := range []string{"", "\xff", "[rings]\nteeth=\"46-\"", "a.b.c=1", "frame=[[]]", "[[rings]]\nteeth=3",
		"rings.teeth=[1e308,nan]", "[frame]\nchainstay='9e99in'", "name='''\n'''\n[cogs]\nteeth=\"-11\"", "[wheel]\ntyre='-'", "[chain]\npitches=0x7fffffffffffffff"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := Parse("f.toml", data)
		if err != nil {
			if _, ok := err.(Problems); !ok || err.Error() == "" {
				t.Fatalf("error %T %q", err, err)
			}
			return
		}
		r, err := d.Finish()
		if err != nil {
			return
		}
		if err := r.Build.Check(); err != nil {
			t.Fatalf("accepted, but: %v", err)
		}
		for _, f := range fields {
			if v := f.read(&r.Build); math.IsNaN(v.num) || slices.ContainsFunc(v.list, math.IsNaN) {
				t.Fatalf("%s is NaN", f.Path())
			}
		}
	})
}

// A build written in Go may leave out the wheel and the rider's band; what is
// written of it reads back with the defaults of a file.
func TestFormatWithoutWheel(t *testing.T) {
	b := gearing.Build{Rings: []gearing.Teeth{46}, Cogs: []gearing.Teeth{11, 15}}
	text := string(Format(b))
	d, err := Parse("test.toml", []byte(text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	r, err := d.Finish()
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	if w := r.Build.Wheel; w.Section != 37 || w.BeadSeat != 622 || r.Build.Rider.CadenceHigh != gearing.DefaultCadenceHigh {
		t.Errorf("%+v, %+v\n%s", w, r.Build.Rider, text)
	}
}

// Read is Load and Finish, and fails as they do.
func TestRead(t *testing.T) {
	r, err := Read("../../examples/gravel.toml")
	if err != nil || r.Build.Rear.PulleyCentres != 76 || len(r.Defaults) == 0 {
		t.Errorf("%+v, %v", r.Build, err)
	}
	for _, path := range []string{"../../examples/none.toml", "../../examples/parts-bin.toml"} {
		var p Problems
		if _, err := Read(path); !errors.As(err, &p) {
			t.Errorf("%s: %v", path, err)
		}
	}
}
