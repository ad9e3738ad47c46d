package main

import (
	"fmt"

	"cagewise/gearing"
	"cagewise/gearing/build"
	"cagewise/sim"
)

// input is a build with what was assumed about it.
type input struct {
	build    build.Result
	path     string       // "" without a file
	draft    *build.Draft // what the build was made of
	defaults []build.Default
	units    gearing.Units        // of what people read
	table    gearing.TableOptions // of its gears; set before the study is made
	made     *made
}

// made is what was computed of a build, shared by all copies of its input.
type made struct {
	done  bool
	study *sim.Study
	err   error
	saw   func(work, path string)
}

// name is the file, or what stands for it.
func (in input) name() string {
	if in.path == "" {
		return "input"
	}
	return in.path
}

// study is everything that is computed of the build, made when it is first asked
// for and read by every view.
func (in input) study() (*sim.Study, error) { return in.studyLike(nil) }

// studyLike is the study; where a rig has the same derailleur, what is known of
// that is not worked out again.
func (in input) studyLike(like *sim.Rig) (*sim.Study, error) {
	m := in.made
	if m.done {
		return m.study, m.err
	}
	m.done = true
	m.saw("study", in.path)
	m.study, m.err = sim.NewStudyLike(like, in.build.Build, in.table)
	if m.err != nil {
		m.err = fmt.Errorf("%s: %w", in.name(), m.err)
	}
	return m.study, m.err
}
