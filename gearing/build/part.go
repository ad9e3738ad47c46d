package build

import "cagewise/gearing"

// What other file formats need that hold parts of builds under the same keys:
// gearing/bin.

// Take puts a decoded TOML value into the draft; where stands in later messages
// about it. The error says what is wrong and what is allowed, without a place.
func (d *Draft) Take(f *Field, raw any, where string) error {
	v, err := f.fromTOML(raw)
	if err != nil {
		return err
	}
	d.set(f, v, where)
	return nil
}

// Inherit takes over what base was given and d was not; where stands in messages
// about it.
func (d *Draft) Inherit(base *Draft, where string) {
	for f, e := range base.given {
		if !d.Has(f) {
			d.set(f, e.value, where)
		}
	}
}

// Part is what the draft says about parts of a build, with defaults, after the
// checks that need nothing but the parts themselves. It has no rings or cogs
// unless they were given. The error is a Problems.
func (d *Draft) Part() (gearing.Build, error) {
	var b gearing.Build
	for _, f := range fields {
		if e, ok := d.given[f]; ok {
			f.put(&b, e.value)
		} else if f.fallback != nil {
			f.put(&b, *f.fallback)
		}
	}
	if problems := append(d.pairs(), d.impossible(b)...); len(problems) > 0 {
		return gearing.Build{}, problems
	}
	return b, nil
}

// Number checks a decoded TOML value of a Number or Length field.
func (f *Field) Number(raw any) (float64, error) {
	v, err := f.fromTOML(raw)
	return v.num, err
}

// On checks a decoded TOML value of a Switch field.
func (f *Field) On(raw any) (bool, error) {
	v, err := f.fromTOML(raw)
	return v.on, err
}

// Line checks a decoded TOML value of a Text field; spaces round it are dropped.
func (f *Field) Line(raw any) (string, error) {
	v, err := f.fromTOML(raw)
	return v.text, err
}

// Written is the field's value in a build as a TOML literal; worth tells whether
// reading the build back needs it.
func (f *Field) Written(b *gearing.Build) (literal string, worth bool) {
	return f.literal(f.read(b)), f.known(b) || f.halfOf(b)
}

// LineOf finds the line of a dotted key in a TOML text that has parsed, from 1;
// the line of the table that would hold it when it is not there; 0 for neither.
func LineOf(text, path string) int { return lineOf(text, path) }

// Shorten keeps quoted input from flooding the terminal.
func Shorten(s string) string { return shorten(s) }

// KindOf says in words what a decoded TOML value is.
func KindOf(raw any) string {
	if _, ok := raw.(string); ok {
		return "text"
	}
	return kindOf(raw)
}
