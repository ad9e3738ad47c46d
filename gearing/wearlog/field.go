package wearlog

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"cagewise/gearing"
)

// Kind says how a value is written.
type Kind int

// The kinds of values.
const (
	Text     Kind = iota
	Choice        // one of Field.Choices
	Switch        // true or false
	Count         // a whole number
	Number        // any number, in Field.Unit
	Distance      // in the log's distance_unit
	Length        // under a key that ends in _mm, or in _in for inches
	Date          // a calendar date
	Wheels        // one tooth count or a list
)

// Field is one key of a wear log: how it is called, what is allowed and where
// it goes.
type Field struct {
	Table string // "part", "reading", "finding", "ride"; "" for the top
	Key   string
	Flag  string // name of the command-line flag
	Kind  Kind
	Unit  string
	// Low and High are the allowed range, ends included; Over leaves Low out.
	Low, High float64
	Over      bool
	Choices   []string
	Needed    bool   // an entry without it is refused
	Doc       string // one line of meaning
	Sample    string // TOML literal for the starting log

	// put and get reach into a record: *gearing.WearLog for the top,
	// *gearing.WearPart and so on. get tells whether the value is known.
	put func(record any, v value)
	get func(record any) (v value, known bool)
}

// value is a parsed value of any kind; distances are kilometres, lengths
// millimetres.
type value struct {
	num  float64
	text string
	on   bool
	day  time.Time
	list []gearing.Teeth
}

// Allowed says in words which values are accepted.
func (f *Field) Allowed() string {
	switch f.Kind {
	case Choice:
		return strings.Join(f.Choices, ", ")
	case Switch:
		return "true or false"
	case Date:
		return "a date from 1970 to 2199, such as 2026-03-14"
	case Wheels:
		return "one to " + strconv.Itoa(gearing.MaxCogs) + " tooth counts of " + f.bounds() + ", no two alike"
	case Count:
		return "a whole number from " + f.bounds()
	case Number, Length:
		return f.bounds()
	case Distance:
		return f.bounds() + " in the log's distance unit"
	}
	return "text of 1 to " + trim(f.High) + " characters on one line"
}

func (f *Field) bounds() string {
	low := trim(f.Low)
	if f.Over {
		low = "over " + low
	}
	return strings.TrimSpace(low + " to " + trim(f.High) + " " + f.Unit)
}

// inches is the key of a length in inches.
func (f *Field) inches() string { return strings.TrimSuffix(f.Key, "_mm") + "_in" }

// trim writes a number without trailing zeros.
func trim(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// plain is trim for a number that was given, which may have any size.
func plain(x float64) string {
	const most = 1e15 // digits beyond it mean nothing
	if x > most || x < -most {
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	return trim(x)
}

// Fields lists every key of a wear log in the order it is written.
func Fields() []*Field {
	return slices.Concat(topFields, partFields, readingFields, findingFields, rideFields)
}

// Tables lists the kinds of tables in the order of the starting log.
func Tables() []string { return []string{"part", "reading", "finding", "ride"} }

// fieldsOf lists the fields of a table.
func fieldsOf(table string) []*Field {
	switch table {
	case "":
		return topFields
	case "part":
		return partFields
	case "reading":
		return readingFields
	case "finding":
		return findingFields
	case "ride":
		return rideFields
	}
	return nil
}

// find looks a key of a table up; nil for a key it does not have.
func find(table, key string) *Field {
	for _, f := range fieldsOf(table) {
		if f.Key == key || f.Kind == Length && f.inches() == key {
			return f
		}
	}
	return nil
}

// text makes the accessors of a text or choice in a record of type T.
func text[T any, S ~string](f Field, place func(*T) *S) *Field {
	f.put = func(record any, v value) { *place(record.(*T)) = S(v.text) }
	f.get = func(record any) (value, bool) {
		s := string(*place(record.(*T)))
		return value{text: s}, s != ""
	}
	return &f
}

// number makes the accessors of a number that is zero when it is not known.
func number[T any, N ~float64 | ~int](f Field, place func(*T) *N) *Field {
	f.put = func(record any, v value) { *place(record.(*T)) = N(v.num) }
	f.get = func(record any) (value, bool) {
		x := float64(*place(record.(*T)))
		return value{num: x}, x != 0
	}
	return &f
}

// orMinus is number for a value that is negative when it is not known.
func orMinus[T any, N ~float64 | ~int](f Field, place func(*T) *N) *Field {
	made := number(f, place)
	made.get = func(record any) (value, bool) {
		x := float64(*place(record.(*T)))
		return value{num: x}, x >= 0
	}
	return made
}

// given is number for a value that a switch of the record says is known.
func given[T any](f Field, place func(*T) (*gearing.Percent, *bool)) *Field {
	f.put = func(record any, v value) {
		x, has := place(record.(*T))
		*x, *has = gearing.Percent(v.num), true
	}
	f.get = func(record any) (value, bool) {
		x, has := place(record.(*T))
		return value{num: float64(*x)}, *has
	}
	return &f
}

// yes makes the accessors of a switch.
func yes[T any](f Field, place func(*T) *bool) *Field {
	f.Kind = Switch
	f.put = func(record any, v value) { *place(record.(*T)) = v.on }
	f.get = func(record any) (value, bool) {
		on := *place(record.(*T))
		return value{on: on}, on
	}
	return &f
}

// day makes the accessors of a date.
func day[T any](f Field, place func(*T) *time.Time) *Field {
	f.Kind, f.Sample = Date, "2026-03-14"
	f.put = func(record any, v value) { *place(record.(*T)) = v.day }
	f.get = func(record any) (value, bool) {
		d := *place(record.(*T))
		return value{day: d}, !d.IsZero()
	}
	return &f
}

// wheels makes the accessors of tooth counts.
func wheels[T any](f Field, place func(*T) *[]gearing.Teeth) *Field {
	f.Kind, f.Unit, f.Low, f.High = Wheels, "teeth", float64(gearing.MinTeeth), float64(gearing.MaxTeeth)
	f.put = func(record any, v value) { *place(record.(*T)) = v.list }
	f.get = func(record any) (value, bool) {
		list := *place(record.(*T))
		return value{list: list}, len(list) > 0
	}
	return &f
}
