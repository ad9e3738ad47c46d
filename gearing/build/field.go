package build

import (
	"slices"
	"strconv"
	"strings"

	"cagewise/gearing"
)

// Kind says how a value is written.
type Kind int

// The kinds of values.
const (
	Text   Kind = iota
	Choice      // one of Field.Choices
	Switch      // true or false
	Count       // a whole number
	Number      // any number
	Length      // millimetres, or text with a unit
	Wheels      // a list of tooth counts
	Tyre        // an ETRTO marking: 37-622
	Band        // one or two numbers, low and high
	Series      // a list of millimetres
)

// Field is one value of a build file: how it is called, what is allowed, and
// where it goes.
type Field struct {
	Section string // table of the file; "" for the top
	Key     string
	Flag    string // name of the command-line flag; "" for none
	Kind    Kind
	Unit    string
	// Low and High are the allowed range, ends included; the advisable range
	// inside it draws a warning when left. All zero for texts.
	Low, High             float64
	AdviseLow, AdviseHigh float64
	// Centimetres are allowed lengths in mm, ends included, that are more
	// likely to have been read in cm and draw a warning; zero for none.
	Centimetres [2]float64
	Choices     []string
	Doc         string // one line of meaning
	Default     string // what happens when it is not given, in words
	Sample      string // TOML literal for the starting file
	Essential   bool   // the starting file asks for it

	put  func(*gearing.Build, value)
	read func(*gearing.Build) value
	// fallback is what a build gets when nothing is given; nil: stays unknown.
	fallback *value
}

// value is a parsed value of any kind.
type value struct {
	num  float64
	list []float64
	text string
	on   bool
}

// Path is the field's full key: frame.chainstay.
func (f *Field) Path() string {
	if f.Section == "" {
		return f.Key
	}
	return f.Section + "." + f.Key
}

// Allowed says in words which values are accepted.
func (f *Field) Allowed() string {
	switch f.Kind {
	case Text:
		return "text of at most 200 characters on one line"
	case Choice:
		return strings.Join(f.Choices, ", ")
	case Switch:
		return "true or false"
	case Tyre:
		return "an ETRTO marking, section-bead seat in mm, such as 37-622"
	case Wheels:
		return "1 to " + trim(float64(f.most())) + " counts of " + f.bounds()
	case Band:
		return "one or two numbers from " + f.bounds()
	case Series:
		return "1 to " + trim(float64(f.most())) + " lengths of " + f.bounds()
	case Count:
		return "a whole number from " + f.bounds()
	}
	return f.bounds()
}

func (f *Field) bounds() string {
	return strings.TrimSpace(trim(f.Low) + " to " + trim(f.High) + " " + f.Unit)
}

// most is the largest number of entries of a list.
func (f *Field) most() int {
	switch {
	case f.Kind == Band:
		return 2
	case f.Kind == Series:
		return 20
	case f.Section == "rings":
		return gearing.MaxRings
	}
	return gearing.MaxCogs
}

// trim writes a number without trailing zeros.
func trim(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// at makes the accessors of a numeric place in a build.
func at[T ~float64 | ~int](f Field, place func(*gearing.Build) *T) Field {
	f.put = func(b *gearing.Build, v value) { *place(b) = T(v.num) }
	f.read = func(b *gearing.Build) value { return value{num: float64(*place(b))} }
	return f
}

// atText makes the accessors of a text.
func atText(f Field, place func(*gearing.Build) *string) Field {
	f.put = func(b *gearing.Build, v value) { *place(b) = v.text }
	f.read = func(b *gearing.Build) value { return value{text: *place(b)} }
	return f
}

// atWheels makes the accessors of a sorted list of wheels.
func atWheels(f Field, place func(*gearing.Build) *[]gearing.Teeth) Field {
	f.put = func(b *gearing.Build, v value) {
		teeth := make([]gearing.Teeth, len(v.list))
		for i, n := range v.list {
			teeth[i] = gearing.Teeth(n)
		}
		*place(b) = gearing.SortTeeth(teeth)
	}
	f.read = func(b *gearing.Build) value {
		var v value
		for _, n := range *place(b) {
			v.list = append(v.list, float64(n))
		}
		return v
	}
	return f
}

// or sets what a build gets when nothing is given.
func (f Field) or(v value) Field {
	f.fallback = &v
	return f
}

// known tells whether a build holds a value worth writing down. A build that
// was written in Go may leave out what has a fallback: its wheel, its rider.
func (f *Field) known(b *gearing.Build) bool {
	v := f.read(b)
	if f.fallback != nil {
		return !v.equal(*f.fallback) && !v.blank()
	}
	return !v.equal(value{})
}

// blank tells whether a list holds nothing but zeros: nobody gave it.
func (v value) blank() bool {
	return len(v.list) > 0 && !slices.ContainsFunc(v.list, func(x float64) bool { return x != 0 })
}

func (v value) equal(w value) bool {
	if v.num != w.num || v.text != w.text || v.on != w.on || len(v.list) != len(w.list) {
		return false
	}
	for i := range v.list {
		if v.list[i] != w.list[i] {
			return false
		}
	}
	return true
}

// Fields lists every value of a build file in the order of the file.
func Fields() []*Field { return fields }
