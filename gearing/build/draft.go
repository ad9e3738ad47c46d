package build

import (
	"errors"
	"fmt"
	"maps"
	"strings"

	"cagewise/gearing"
)

// Problem is one thing wrong or odd with an input.
type Problem struct {
	// Where is file:line: key, or --flag.
	Where string
	Text  string
}

func (p Problem) String() string { return p.Where + ": " + p.Text }

// Problems is everything wrong with an input, one line each. It is the error
// type of this package.
type Problems []Problem

func (p Problems) Error() string {
	lines := make([]string, len(p))
	for i := range p {
		lines[i] = p[i].String()
	}
	return strings.Join(lines, "\n")
}

// Default is a value the user did not give.
type Default struct {
	Key   string `json:"key"`
	Value string `json:"value"` // in words, with the unit
}

// Result is a build that passed every check.
type Result struct {
	Build gearing.Build
	// Defaults lists what was assumed, in the order of Fields.
	Defaults []Default
	// Warnings lists values that were accepted but are unusual.
	Warnings []Problem
}

// Draft collects a build from a file and from flags; what comes later
// overrides what came before.
type Draft struct {
	given map[*Field]entry
	file  string // it was read from; "": none
}

type entry struct {
	value value
	where string
}

// Has tells whether a field was given.
func (d *Draft) Has(f *Field) bool {
	_, ok := d.given[f]
	return ok
}

func (d *Draft) set(f *Field, v value, where string) {
	if d.given == nil {
		d.given = map[*Field]entry{}
	}
	d.given[f] = entry{v, where}
}

// Clone is a draft that can be changed without changing d.
func (d *Draft) Clone() *Draft { return &Draft{given: maps.Clone(d.given), file: d.file} }

// SetFlag takes a field's value from the command line. The error is a
// Problems of one.
func (d *Draft) SetFlag(f *Field, text string) error {
	where := "--" + f.Flag
	v, err := f.fromText(text)
	if err != nil {
		return Problems{{where, err.Error()}}
	}
	d.set(f, v, where)
	return nil
}

// Finish checks the draft as a whole and fills the defaults in. The error is
// a Problems.
func (d *Draft) Finish() (Result, error) {
	var r Result
	for _, f := range fields {
		if e, ok := d.given[f]; ok {
			f.put(&r.Build, e.value)
			if advice := f.advice(e.value); advice != "" {
				r.Warnings = append(r.Warnings, Problem{e.where, advice})
			}
		} else if f.fallback != nil {
			f.put(&r.Build, *f.fallback)
		}
	}
	if problems := d.missing(); len(problems) > 0 {
		return Result{}, problems
	}
	r.Warnings = append(append(r.Warnings, d.swapped(r.Build)...), append(d.holes(r.Build), d.oddGeometry(r.Build)...)...)
	problems := append(d.pairs(), d.impossible(r.Build)...)
	if problems = append(problems, d.together(r.Build)...); len(problems) > 0 {
		return Result{}, problems
	}
	r.Defaults = d.defaults(r.Build)
	return r, nil
}

// missing asks for the two lists nothing can be said without.
func (d *Draft) missing() Problems {
	var problems Problems
	for _, f := range fields {
		if f.Kind != Wheels || d.Has(f) {
			continue
		}
		if d.file != "" {
			problems = append(problems, Problem{d.file, fmt.Sprintf("%s: is missing; allowed: the teeth of all %s, such as %q", f.Path(), f.Section, sampleList(f))})
		} else {
			problems = append(problems, Problem{"input",
				fmt.Sprintf("no %s; give a build file with %s, or --%s %s", f.Section, f.Path(), f.Flag, sampleList(f))})
		}
	}
	return problems
}

func sampleList(f *Field) string {
	if f.Section == "rings" {
		return "46,30"
	}
	return "11-13-15-17-19-21-24-28-32-36"
}

// halves are measures that say nothing without each other.
var halves = [...][2]string{
	{"pivot_small_x", "pivot_small_y"}, {"pivot_large_x", "pivot_large_y"}, {"hanger_behind", "hanger_below"},
	{"pivot_to_guide", "pivot_to_tension"},
}

// pairs asks for the other half of a measure.
func (d *Draft) pairs() Problems {
	var problems Problems
	for _, h := range halves {
		a, b := geometrySection+"."+h[0], geometrySection+"."+h[1]
		if d.gave(b) && !d.gave(a) {
			a, b = b, a
		}
		if d.gave(a) && !d.gave(b) {
			problems = append(problems, Problem{d.where(a), fmt.Sprintf("means nothing without %s; allowed: both or neither", b)})
		}
	}
	return problems
}

func (d *Draft) gave(path string) bool {
	f, ok := byPath[path]
	return ok && d.Has(f)
}

// swapped warns about rings and cogs that are likely mixed up: every cog is
// larger than every ring, or three rings and more have fewer cogs.
func (d *Draft) swapped(b gearing.Build) []Problem {
	ring, cog := b.LargestRing(), b.SmallestCog()
	switch {
	case ring < cog:
		return []Problem{{d.where("rings.teeth"), fmt.Sprintf("the largest ring, %d teeth, is smaller than the smallest cog, %d; rings and cogs swapped?", ring, cog)}}
	case len(b.Rings) >= 3 && len(b.Rings) > len(b.Cogs):
		return []Problem{{d.where("rings.teeth"), fmt.Sprintf("%d rings, but %s; rings and cogs swapped?", len(b.Rings), cogsWord(len(b.Cogs)))}}
	}
	return nil
}

func cogsWord(n int) string {
	if n == 1 {
		return "1 cog"
	}
	return fmt.Sprintf("%d cogs", n)
}

// holes warns about a cassette that was given by its ends.
func (d *Draft) holes(b gearing.Build) []Problem {
	for j := 1; j < len(b.Cogs); j++ {
		if step := gearing.StepPercent(float64(b.Cogs[j-1]), float64(b.Cogs[j])); step > 60 {
			return []Problem{{d.where("cogs.teeth"), fmt.Sprintf(
				"the cogs %d and %d are %.0f %% apart; list every cog, such as 11-13-15-17", b.Cogs[j-1], b.Cogs[j], step)}}
		}
	}
	return nil
}

// together checks what only several values together can get wrong.
func (d *Draft) together(b gearing.Build) Problems {
	if b.Frame.Chainstay > 0 {
		_, err := gearing.NewLoop(b.LargestRing(), b.LargestCog(), b.Frame.Chainstay)
		if err != nil {
			return Problems{{d.where("frame.chainstay"), err.Error()}}
		}
	}
	if b.Chain.Pitches%2 == 1 && !b.Chain.OffsetLink {
		return Problems{{d.where("chain.pitches"), fmt.Sprintf(
			"%d pitches is odd; a chain of inner and outer links closes only with an even count; allowed: an even number, or chain.offset_link (--offset-link)", b.Chain.Pitches)}}
	}
	if err := b.Check(); err != nil {
		return Problems{{"input", strings.TrimPrefix(err.Error(), gearing.ErrBuild.Error()+": ")}}
	}
	return nil
}

// where names the place a field was given at.
func (d *Draft) where(path string) string {
	if e, ok := d.given[byPath[path]]; ok {
		return e.where
	}
	return path
}

// defaults names every value that was assumed. Unknown ratings are not among
// them: nothing is assumed for those.
func (d *Draft) defaults(b gearing.Build) []Default {
	filled := b
	filled.Lines = b.Lines.WithDefaults(len(b.Rings), len(b.Cogs))
	list := []Default{}
	for _, f := range fields {
		if d.Has(f) || f.Kind == Text || f.Kind == Choice || f.Kind == Switch || f.Kind == Series {
			continue
		}
		if f.Path() == "wheel.tyre" || f.Path() == "wheel.load_allowance" {
			if b.Wheel.MeasuredRollOut > 0 {
				continue // overridden
			}
		}
		v := f.read(&filled)
		if f.fallback != nil || !v.equal(value{}) {
			list = append(list, Default{Key: f.Path(), Value: f.words(v)})
		}
	}
	return list
}

// words writes a value for people.
func (f *Field) words(v value) string {
	switch f.Kind {
	case Tyre:
		return trim(v.list[0]) + "-" + trim(v.list[1])
	case Band:
		return trim(v.list[0]) + " to " + trim(v.list[1]) + " " + f.Unit
	}
	return trim(v.num) + " " + f.Unit
}

// ErrNotFound is returned by Find for a path that no field has.
var ErrNotFound = errors.New("no such key")

// Find looks a field up by its path.
func Find(path string) (*Field, error) {
	if f, ok := byPath[path]; ok {
		return f, nil
	}
	return nil, fmt.Errorf("%s: %w%s", path, ErrNotFound, DidYouMean(path, paths()))
}

// byPath finds fields by their paths.
var byPath = func() map[string]*Field {
	m := make(map[string]*Field, len(fields))
	for _, f := range fields {
		m[f.Path()] = f
	}
	return m
}()

func paths() []string {
	list := make([]string, len(fields))
	for i, f := range fields {
		list[i] = f.Path()
	}
	return list
}
