package bin

import (
	"fmt"
	"maps"
	"slices"

	"cagewise/gearing/build"
)

// state says how far a part's same_as has been followed.
type state int

const (
	fresh state = iota
	following
	settled
)

// inherit takes over the measures and ratings of the derailleur that a part is
// the same as. It tells whether the part can be used.
func (r *reader) inherit(p *part, rears map[string]*part) bool {
	if p.same == "" || p.state == settled || p.wrong {
		return !p.wrong
	}
	p.state = following
	defer func() { p.state = settled }()
	base := rears[p.same]
	switch {
	case base == nil:
		r.lost(p, rears)
		return false
	case base.state == following:
		r.wrong(p, sameKey, fmt.Sprintf("%q leads back to this part; allowed: the name of a rear derailleur with measures or ratings of its own", build.Shorten(p.same)))
		return false
	case !r.inherit(base, rears), !base.stands():
		p.wrong = true // what is wrong is said about the other
		return false
	}
	p.draft.Inherit(&base.draft, sameKey)
	return true
}

// stands tells whether the measures of a part go together.
func (p *part) stands() bool {
	_, err := p.draft.Part()
	return err == nil
}

// lost reports a derailleur that is not in the bin. Where text could not be read
// it may stand in there.
func (r *reader) lost(p *part, rears map[string]*part) {
	p.wrong = true
	if r.broken {
		return
	}
	r.wrong(p, sameKey, fmt.Sprintf("no [[%s]] has the name %q%s; allowed: the name of another one of the bin",
		rearTable, build.Shorten(p.same), r.near(p, rears)))
}

// near suggests a name, as often as problems are listed.
func (r *reader) near(p *part, rears map[string]*part) string {
	if r.hints++; r.hints > mostListed {
		return ""
	}
	var names []string
	for _, name := range slices.Sorted(maps.Keys(rears)) {
		if name != p.Name {
			names = append(names, name)
		}
	}
	if near := build.Nearest(p.same, names); near != "" {
		return fmt.Sprintf("; did you mean %q?", near)
	}
	return ""
}
