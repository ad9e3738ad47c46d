package main

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/gearing"
	"cagewise/gearing/build"
	"cagewise/sim"
)

// sharedChain is one chain for two builds, such as two wheels of one bike.
type sharedChain struct {
	Other buildSummary `json:"other_build"`
	sim.Shared
	// What either wheel does with that chain; left out where it is not known.
	FirstFit  *sim.Fit `json:"first_fit,omitempty"`
	SecondFit *sim.Fit `json:"second_fit,omitempty"`

	study *sim.Study // of the other build
}

// share finds one chain that also serves the build of another file. The report
// is about that chain then.
func (r *fitReport) share(c *call, path string) error {
	other, err := c.loadBuild(path)
	if err != nil {
		return err
	}
	s, err := other.studyLike(r.study.Rig)
	if err != nil {
		return err
	}
	if s.Rated == nil {
		return build.Problems{{Where: path, Text: "one chain for two wheels needs the chainstay length of both: frame.chainstay or --chainstay"}}
	}
	shared, err := sim.Share(r.study, s)
	if err != nil {
		return err
	}
	shared.Window.Counts = listed(shared.Window.Counts)
	for _, a := range []*sim.Advice{&shared.First, &shared.Second} {
		a.Gears, a.Remedies = listed(a.Gears), listed(a.Remedies)
	}
	r.Shared = &sharedChain{Other: summarise(other.build.Build), Shared: shared, study: s}
	first := shared.First
	if !shared.Judged {
		first = r.study.Advice
	}
	first.Order, first.Length = shared.Order, shared.Length
	r.take(first, shared.Verdict)
	r.Simulation, r.SimulationMissing = nil, "of one wheel alone, see `cagewise fit` without --also"
	return r.Shared.fit(r.study.Rig, s.Rig)
}

// fit finds what either wheel does with the chain.
func (s *sharedChain) fit(first, second *sim.Rig) error {
	if !s.Judged || s.Length == 0 {
		return nil
	}
	a, err := first.Fit(s.Length)
	if err != nil {
		return err
	}
	b, err := second.Fit(s.Length)
	s.FirstFit, s.SecondFit = &a, &b
	return err
}

// lostWords name the gears lost on either wheel; "" for none.
func (s *sharedChain) lostWords() string {
	var parts []string
	for i, a := range []*sim.Advice{&s.First, &s.Second} {
		if lost := a.Lost(); len(lost) > 0 {
			parts = append(parts, fmt.Sprintf("%s on the %s wheel", gearList(lost), wheelNames[i]))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return "Lost with it: " + strings.Join(parts, ", ") + "."
}

var wheelNames = [...]string{"first", "second"}

// lengthSentence says which chain serves both wheels.
func (s *sharedChain) lengthSentence(own int, u gearing.Units) string {
	length := u.Chain(gearing.Pitches(s.Length))
	switch {
	case s.Length == 0:
		return "No chain length serves both wheels."
	case s.Order == sim.Stay:
		return fmt.Sprintf("Your chain of %s stays, for both wheels.", length)
	case s.Order == sim.Cut:
		return fmt.Sprintf("Cut one chain for both wheels to %s.", length)
	case s.Order == sim.Replace:
		return fmt.Sprintf("For both wheels put on one chain of %s: yours of %d pitches is too short for one of them, or may be.", length, own)
	}
	return fmt.Sprintf("One chain for both wheels is not to be shortened yet: hang it uncut, closed at %s, until more is known.", length)
}

// chanceSentence gives the chance behind the verdict, that of the worse wheel.
func (s *sharedChain) chanceSentence() string {
	if !s.Judged {
		return "No chance can be given, as nothing is known of the cage of one build or both: the length comes from the bare loops."
	}
	return fmt.Sprintf("The chance that the gears not lost run is %s on the worse wheel. The chance that some gear is dangerous on it is %s.", chanceWords(s.Chance), causes(s.Danger))
}

// writeShared is the page about one chain for two wheels.
func (r fitReport) writeShared(p *page) {
	s := r.Shared
	p.verdict(s.Verdict, strings.ToUpper(s.Verdict.String()), sentences(s.lengthSentence(r.study.Build.Chain.Pitches, p.units), s.lostWords(), s.chanceSentence()))
	r.writeWheel(p, 0, r.Build, r.study, &s.First)
	r.writeWheel(p, 1, s.Other, s.study, &s.Second)
	if s.Judged {
		r.window(windowWords{&s.First, s.Order, s.Length}, p, s.Window)
		p.para("Gears of both wheels are counted.")
		r.writeSharedGears(p)
	}
	p.section("How sure")
	for i, study := range []*sim.Study{r.study, s.study} {
		p.item("", "The %s wheel rests on %s.", wheelNames[i], basisWords(study.Advice.Knowledge))
	}
	for _, words := range slices.Compact([]string{r.Build.stopWords(), s.Other.stopWords()}) {
		if words != "" && s.Judged {
			p.item("", "%s", words)
		}
	}
	r.writeClose(p)
}

// writeWheel says what the shared chain does on one of the wheels.
func (r fitReport) writeWheel(p *page, i int, b buildSummary, s *sim.Study, a *sim.Advice) {
	p.section(fmt.Sprintf("The %s wheel: %s", wheelNames[i], b.heading()))
	if r.Shared.Judged {
		p.para("%s", sentences(verdictSentence(a), dangerLine(a)))
		writeKept(p, keepOut(a), a)
	} else if len(s.Rated.Lost) > 0 {
		p.item("SLACK", "%s: lost to the rated capacity.", gearList(s.Rated.Lost))
	}
	for _, words := range []string{overRating(s.Rated), nonsenseWords(&s.Advice)} {
		if words != "" {
			p.item("", "%s", words)
		}
	}
	if words := sentences(nextWords(&s.Advice), missingWords(s)); words != "" {
		p.item("", "%s", words)
	}
}

// writeSharedGears shows every gear of both wheels with the shared chain.
func (r fitReport) writeSharedGears(p *page) {
	s := r.Shared
	if s.FirstFit == nil {
		return
	}
	p.section(fmt.Sprintf("Every gear with %d pitches", s.Length))
	for i, wheel := range []struct {
		fit    *sim.Fit
		advice *sim.Advice
	}{{s.FirstFit, &s.First}, {s.SecondFit, &s.Second}} {
		p.para("The %s wheel:", wheelNames[i])
		p.grid(sharedTable(wheel.fit, wheel.advice))
	}
	p.para("Danger, slack: the chance that the gear is dangerous or hangs slack. A ? behind a state: doubtful, with a chance of %s %% or more the gear is otherwise. Reserves before the cage is at its forward and at its rearward limit; gap between the teeth of cog and guide pulley.", num(100*sim.LostChance, 0))
}

func sharedTable(f *sim.Fit, a *sim.Advice) *table {
	t := &table{cols: []column{
		{head: "gear", left: true}, {head: "state", left: true}, {head: "danger", unit: "%"}, {head: "slack", unit: "%"},
		{head: "forward", unit: "pitches"}, {head: "rearward", unit: "pitches"}, {head: "gap", unit: "mm"},
	}}
	for i := range f.Gears {
		g := &f.Gears[i]
		if i > 0 && g.Ring != f.Gears[i-1].Ring {
			t.breakHere()
		}
		row := chanceCells(&a.Gears[i])
		if g.NoPath {
			t.add(append(row, "", "", "")...)
			continue
		}
		t.add(append(row, num(float64(g.Forward), 1), num(float64(g.Rearward), 1), num(float64(g.Gap), 1))...)
	}
	return t
}
