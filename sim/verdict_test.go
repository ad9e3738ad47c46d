package sim

import (
	"math"
	"slices"
	"testing"

	"cagewise/gearing"
)

// advised is an advice of so many gears, the first lost ones lost.
func advised(gears, lost int, chance float64, owned bool) Advice {
	a := Advice{Chance: chance, Owned: owned, Gears: make([]GearAdvice, gears)}
	for i := range lost {
		a.Gears[i].Lost = true
	}
	return a
}

// The words go by the chance, at 95, 75, 25 and 5 % (shared/design/MODEL.md,
// section 7); a chain at hand that is too short and more than a third of the
// gears lost do not work, whatever the chance.
func TestVerdictBounds(t *testing.T) {
	fine, short := Fit{Gears: make([]GearFit, 9)}, Fit{Gears: []GearFit{{State: TooShort}}}
	hits := Fit{Gears: []GearFit{{State: Hits}}}
	for _, c := range []struct {
		a    Advice
		f    *Fit
		want gearing.Verdict
	}{
		{advised(9, 0, 1, false), &fine, gearing.Works}, {advised(9, 0, 0.95, false), &fine, gearing.Works},
		{advised(9, 0, 0.949, false), &fine, gearing.LikelyWorks}, {advised(9, 0, 0.75, false), &fine, gearing.LikelyWorks},
		{advised(9, 0, 0.749, false), &fine, gearing.CannotTell}, {advised(9, 0, 0.25, false), &fine, gearing.CannotTell},
		{advised(9, 0, 0.249, false), &fine, gearing.LikelyDoesNot}, {advised(9, 0, 0.05, false), &fine, gearing.LikelyDoesNot},
		{advised(9, 0, 0.049, false), &fine, gearing.DoesNotWork},
		{advised(9, 3, 1, false), &fine, gearing.Works}, {advised(9, 4, 1, false), &fine, gearing.DoesNotWork},
		{advised(9, 0, 1, true), &short, gearing.DoesNotWork}, {advised(9, 0, 1, false), &short, gearing.Works},
		{advised(9, 0, 1, true), &hits, gearing.Works}, // the chance tells
	} {
		if got := c.a.verdict(c.f); got != c.want {
			t.Errorf("chance %v, %d lost, owned %v: %s, want %s", c.a.Chance, len(c.a.Lost()), c.a.Owned, got, c.want)
		}
	}
}

// What is in doubt: a gear that may well be otherwise than its state says.
func TestDoubt(t *testing.T) {
	for _, c := range []struct {
		state         State
		danger, slack float64
		doubt, out    bool
	}{
		{Clear, 0, 0, false, false}, {Clear, 0.099, 0.099, false, false}, {Clear, 0.10, 0, true, true}, {Far, 0, 0.10, true, true},
		{Tight, 0.3, 0, true, true}, {Slack, 0, 1, false, true}, {Slack, 0, 0.90, false, true}, {Slack, 0, 0.89, true, true}, {Slack, 0.10, 1, true, true},
		{Hits, 1, 0, false, true}, {Hits, 0.90, 0, false, true}, {Hits, 0.89, 0, true, true}, {Locks, 0.5, 0, true, true},
	} {
		g := GearAdvice{State: c.state, Danger: Danger{Any: c.danger}, Slack: c.slack, Lost: c.slack >= LostChance}
		if g.doubt() != c.doubt || g.KeepOut() != c.out {
			t.Errorf("%+v: doubt %v, keep out %v", c, g.doubt(), g.KeepOut())
		}
	}
}

// What an advice lists, and the marks every output repeats.
func TestAdviceLists(t *testing.T) {
	a := Advice{Pitches: 110, Gears: []GearAdvice{
		{GearID: id(46, 36), State: TooShort}, {GearID: id(46, 24), State: Tight, Lost: true}, {GearID: id(46, 11), State: Clear},
		{GearID: id(30, 36), State: Hits, Doubt: true}, {GearID: id(30, 24), State: Clear, Danger: Danger{Any: 0.2}, Doubt: true},
		{GearID: id(30, 13), State: Clear, Lost: true, Slack: 0.2, Doubt: true}, {GearID: id(30, 11), State: Slack, Lost: true},
	}}
	for _, c := range []struct {
		name      string
		got, want []gearing.GearID
	}{
		{"lost", a.Lost(), []gearing.GearID{id(46, 24), id(30, 13), id(30, 11)}},
		{"dangerous", a.Dangerous(), []gearing.GearID{id(46, 36), id(30, 36)}},
		{"doubtful", a.Doubtful(), []gearing.GearID{id(30, 36), id(30, 24), id(30, 13)}},
		{"tight", a.In(Tight), []gearing.GearID{id(46, 24)}}, {"far", a.In(Far), []gearing.GearID{}},
		{"never", a.Card().Never, []gearing.GearID{id(46, 36), id(30, 36)}}, {"perhaps never", a.Card().Doubtful, []gearing.GearID{id(30, 24)}},
		{"tight on the card", a.Card().Tight, []gearing.GearID{id(46, 24)}}, {"slack", a.Card().Slack, []gearing.GearID{id(30, 13), id(30, 11)}},
		{"free", a.Card().Free, []gearing.GearID{id(46, 11)}},
	} {
		if c.got == nil || !slices.Equal(c.got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, c.got, c.want)
		}
	}
	if s, doubt := a.Mark(3); s != Hits || !doubt || a.Card().Pitches != 110 {
		t.Errorf("%s, %v", s, doubt)
	}
}

// What is left forward counts from the least reserve of one pitch.
func TestFailsFirst(t *testing.T) {
	for _, c := range []struct {
		gears []GearFit
		want  End
	}{
		{[]GearFit{{Forward: 2.9, Rearward: 2}}, DangerousEnd}, // 1.9 against 2
		{[]GearFit{{Forward: 3, Rearward: 2}}, NoisyEnd},       // as much at either end: noise is the milder
		{[]GearFit{{Forward: 9, Rearward: 2}, {Forward: 2, Rearward: 8}}, DangerousEnd},
		{[]GearFit{{Forward: 9, Rearward: 2}, {NoPath: true}}, NoisyEnd},
	} {
		if got := (Fit{Gears: c.gears}).failsFirst(); got != c.want {
			t.Errorf("%+v: %s, want %s", c.gears, got, c.want)
		}
	}
}

// A chance of a sample by hand: two draws of weights 0.25 and 0.75, two gears.
// phi(1) = 0.84134, phi(2) = 0.97725, phi(-1) = 0.15866, phi(-0.5) = 0.30854,
// phi(0.5) = 0.69146 (normal distribution, from memory).
func TestSampleByHand(t *testing.T) {
	inf := math.Inf(1)
	s := sample{weights: []float64{0.25, 0.75}, gears: []int{0, 1}, margins: [][]margins{
		{{short: 1, hit: inf, slack: 2}, {short: inf, hit: 0.5, slack: inf}},
		{{short: inf, hit: inf, slack: -1}, {short: -0.5, hit: inf, slack: inf}},
	}}
	near := func(what string, got, want float64) {
		if math.Abs(got-want) > 2e-5 {
			t.Errorf("%s: %.5f, want %.5f", what, got, want)
		}
	}
	d := s.danger(nil)
	near("too short", d.Short, 0.25*0.15866+0.75*0.69146)
	near("hits", d.Hits, 0.25*0.30854)
	near("any danger", d.Any, 0.25*(1-0.84134*0.69146)+0.75*0.69146)
	first := placed{&s, 0}.danger()
	near("the first gear", first.Any, 0.25*0.15866)
	near("the first gear slack", placed{&s, 0}.slack(), 0.25*0.02275+0.75*0.84134)
	near("all run", s.runs(nil), 0.25*0.84134*0.69146*0.97725+0.75*0.30854*0.15866)
	// Of a gear that is lost the slack does not count, the danger does.
	first0 := func(l leave) func(k int) leave {
		return func(k int) leave {
			if k == 0 {
				return l
			}
			return leaveNone
		}
	}
	near("the first lost to slack", s.runs(first0(leaveSlack)), 0.25*0.84134*0.69146+0.75*0.30854)
	// Nothing of a gear that is tight counts.
	near("the first tight", s.runs(first0(leaveAll)), 0.25*0.69146+0.75*0.30854)
}
