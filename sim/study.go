package sim

import (
	"errors"

	"cagewise/gearing"
)

// Study is a build with all that was computed of it: made once a build, read by
// every view.
type Study struct {
	Build gearing.Build
	// Table is the gears, those marked Lost that Advice names as lost or
	// dangerous. LostBy says what tells.
	Table  gearing.Table
	LostBy LostBy
	// Rated is what tooth counts, ratings and the bare loop say; nil without a
	// chainstay.
	Rated *gearing.RatedFit
	// Rig and Answer are nil when nothing is known of the cage, or without a
	// chainstay; Missing says why: ErrNoGeometry or gearing.ErrNoChainstay.
	Rig     *Rig
	Answer  *Answer
	Missing error
	// Advice is the one judgement; it is the Answer's where there is one, else
	// what the bare loop and the ratings say. Its gears are empty without a
	// chainstay.
	Advice Advice
}

// LostBy says what marks the gears of a table as lost.
type LostBy int

// What tells.
const (
	LostByRating LostBy = iota // the rated capacity, and the owned chain over the bare loop
	LostByCage                 // the simulated cage
)

// NewStudy computes everything of a build. What is not known is Missing; an
// error is a build that cannot be.
func NewStudy(b gearing.Build, o gearing.TableOptions) (*Study, error) {
	return NewStudyLike(nil, b, o)
}

// NewStudyLike does the same and, where a rig has the same derailleur, takes from
// it what is known of that.
func NewStudyLike(like *Rig, b gearing.Build, o gearing.TableOptions) (*Study, error) {
	s := &Study{Build: b}
	var err error
	if s.Table, err = gearing.NewTable(b, o); err != nil {
		return nil, err
	}
	rated, err := gearing.NewRatedFit(b)
	if errors.Is(err, gearing.ErrNoChainstay) {
		s.Missing = err
		s.Advice = Advice{Verdict: gearing.CannotTell, Owned: b.Chain.Pitches > 0, Pitches: b.Chain.Pitches, Remedies: []Remedy{}, Gears: []GearAdvice{}}
		return s, nil
	} else if err != nil {
		return nil, err
	}
	s.Rated = &rated
	s.Rig, err = like.For(b)
	switch {
	case errors.Is(err, ErrNoGeometry):
		s.Missing = err
		s.Advice = byTeeth(&s.Table, &rated)
	case err != nil:
		return nil, err
	default:
		a := s.Rig.Answer()
		s.Answer, s.Advice, s.LostBy = &a, a.Advice, LostByCage
	}
	for i := range s.Advice.Gears {
		g := &s.Advice.Gears[i]
		s.Table.Gears[i].Lost = g.Lost || g.State.Dangerous()
	}
	return s, nil
}

// byTeeth is the advice where nothing is known of the cage: states over the bare
// loop, gears lost to the rated capacity. No chance is known.
func byTeeth(t *gearing.Table, f *gearing.RatedFit) Advice {
	a := Advice{
		Verdict: f.Verdict, Remedies: []Remedy{}, Gears: make([]GearAdvice, len(t.Gears)),
		Pitches: f.Lengths.Recommended, Length: f.Lengths.Recommended, Order: Hang,
	}
	states := map[gearing.GearID]State{}
	if o := f.Owned; o != nil {
		a.Owned, a.Pitches = true, o.Pitches
		mark := func(s State, list []gearing.GearID) {
			for _, g := range list {
				states[g] = s
			}
		}
		mark(Slack, o.Slack)
		mark(Tight, o.Tight)
		mark(TooShort, o.TooShort)
		mark(Locks, o.Locked)
		if a.Order = Replace; !o.State.Dangerous() {
			a.Order, a.Length = Stay, o.Pitches
		}
	}
	for i := range t.Gears {
		id := gearing.GearID{Ring: t.Gears[i].Ring, Cog: t.Gears[i].Cog}
		s := states[id]
		a.Gears[i] = GearAdvice{GearID: id, State: s, Lost: t.Gears[i].Lost || s == Slack || s == Tight}
	}
	return a
}
