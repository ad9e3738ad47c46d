package plot

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
	"cagewise/sim"
)

// The words of a gear in doubt, derived here from its chances: at 10 % and more
// it may be otherwise.
func TestToldWords(t *testing.T) {
	for want, g := range map[string]sim.GearAdvice{
		"clear":                     {Slack: 0.09},
		"far":                       {State: sim.Far},
		"tight":                     {State: sim.Tight},
		"too short":                 {State: sim.TooShort},
		"locks":                     {State: sim.Locks},
		"hits the cog":              {State: sim.Hits},
		"hangs slack":               {State: sim.Slack, Slack: 0.95},
		"hangs slack (chance 71 %)": {State: sim.Slack, Slack: 0.71, Doubt: true},
		"hangs slack, but may hit the cog (12 %)":                                     {State: sim.Slack, Slack: 0.88, Danger: sim.Danger{Any: 0.12, Hits: 0.12}, Doubt: true},
		"clear, but may hang slack (31 %)":                                            {Slack: 0.31, Doubt: true},
		"far, but may hang slack (10 %)":                                              {State: sim.Far, Slack: 0.1, Doubt: true},
		"clear, but may be dangerous (12 %)":                                          {Danger: sim.Danger{Any: 0.12, Short: 0.07, Hits: 0.06}, Doubt: true},
		"hits the cog (chance 55 %)":                                                  {State: sim.Hits, Danger: sim.Danger{Any: 0.55, Hits: 0.5, Short: 0.1}, Doubt: true},
		"clear, but may be too short (15 %), hit the cog (20 %) or hang slack (11 %)": {Danger: sim.Danger{Any: 0.3, Short: 0.15, Hits: 0.2}, Slack: 0.11, Doubt: true},
	} {
		told := tell(&g)
		if got := told.words(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
		if got := strings.HasSuffix(told.short(), "?"); got != g.Doubt {
			t.Errorf("%s: short %q", want, told.short())
		}
	}
}

func TestPercent(t *testing.T) {
	for chance, want := range map[float64]string{0: "under 1 %", 0.0099: "under 1 %", 0.01: "1 %", 0.314: "31 %", 0.99: "99 %", 0.991: "over 99 %", 1: "over 99 %"} {
		if got := percent(chance); got != want {
			t.Errorf("%v: %q, want %q", chance, got, want)
		}
	}
}

func TestJudgementFacts(t *testing.T) {
	id := func(r, c gearing.Teeth) gearing.GearID { return gearing.GearID{Ring: r, Cog: c} }
	clear := sim.GearAdvice{GearID: id(46, 36)}
	lost := sim.GearAdvice{GearID: id(30, 11), Slack: 0.31, Lost: true, Doubt: true, Left: "guide pulley"}
	for want, a := range map[string]sim.Advice{
		"works, chance over 99 %; cut the chain to 112 pitches": {
			Judged: true, AllGears: 0.995, Chance: 0.995, Order: sim.Cut, Length: 112, Pitches: 112, Gears: []sim.GearAdvice{clear}},
		"likely works without 30x11, chance 90 % (all gears: 63 %); leave the chain uncut, closed at 112 pitches": {
			Judged: true, Verdict: gearing.LikelyWorks, AllGears: 0.63, Chance: 0.9, Order: sim.Hang, Length: 112, Pitches: 112, Gears: []sim.GearAdvice{clear, lost}},
		"cannot tell, lost: 30x11, chance 40 % (all gears: under 1 %); replace your chain of 106 pitches by one of 112": {
			Judged: true, Verdict: gearing.CannotTell, AllGears: 0.002, Chance: 0.4, Order: sim.Replace, Length: 112, Pitches: 106, Gears: []sim.GearAdvice{clear, lost}},
		"does not work, no chance known; your chain of 112 pitches stays": {
			Verdict: gearing.DoesNotWork, Order: sim.Stay, Length: 112, Pitches: 112, Gears: []sim.GearAdvice{clear}},
		"cannot tell, chance under 1 %; no chain length can be named": {
			Judged: true, Verdict: gearing.CannotTell, Gears: []sim.GearAdvice{clear}},
		"": {Verdict: gearing.CannotTell, Gears: []sim.GearAdvice{}},
	} {
		if got := strings.Join(judgement{&a}.facts(), "; "); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	j := judgement{&sim.Advice{Gears: []sim.GearAdvice{clear, lost}}}
	if got, want := strings.Join(j.gearFacts(), "; "), "in doubt (?): 30x11; the chain has left the guide pulley in 30x11"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := j.listing(), " In doubt: 30x11 clear, but may hang slack (31 %). The chain has left the guide pulley in 30x11. Lost: 30x11."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	many := judgement{&sim.Advice{Gears: slices.Repeat([]sim.GearAdvice{lost}, 9)}}
	if got := many.gearFacts()[0]; got != "in doubt (?): 9 gears" {
		t.Error(got)
	}
	if got := strings.Count(many.listing(), "30x11 clear"); got != 9 {
		t.Errorf("a description names %d of 9 gears in doubt", got)
	}
}

// Every picture of one study says the same: verdict, chances, chain, lost and
// doubtful gears, those that fail and those whose chain has left a pulley.
func TestPicturesRepeatTheAdvice(t *testing.T) {
	seen := map[string]bool{}
	look := func(name string, s *sim.Study) {
		a := &s.Advice
		j := judgement{a}
		pictures := []Picture{NewContactSheet(s), window(s), gapMap(s), ladderOf(s)}
		for i := range a.Gears {
			v, err := NewSideView(s, i)
			if err != nil {
				t.Fatal(err)
			}
			told := j.tell(i)
			seen[told.state.String()] = true
			seen["doubt"] = seen["doubt"] || told.doubt
			for _, want := range append(j.facts(), told.sentence()) {
				if !strings.Contains(v.Describe(), want) {
					t.Errorf("%s: the side view of %s does not say %q: %s", name, told.GearID, want, v.Describe())
				}
			}
			if told.left != "" {
				seen["left"] = true
				if want := "the chain has left the " + told.left; !strings.Contains(v.Describe(), want) {
					t.Errorf("%s: the side view of %s does not say %q", name, told.GearID, want)
				}
			}
		}
		for _, p := range pictures {
			n := noProblems(t, name, p, Options{})
			page, words := strings.Join(n.texts, " "), p.Describe()
			for _, want := range append(j.facts(), j.gearFacts()...) {
				if !strings.Contains(words, want) || !strings.Contains(strings.ReplaceAll(page, " · ", " "), want) {
					t.Errorf("%s: %T does not say %q: %s", name, p, want, words)
				}
			}
			for i := range a.Gears {
				told := j.tell(i)
				if want := told.String() + " " + told.words(); told.noted() != strings.Contains(words, want) {
					t.Errorf("%s: %T says %q: %v", name, p, want, !told.noted())
				}
			}
			if lost := a.Lost(); len(lost) > 0 && !strings.Contains(words, ": "+allNamed(lost)) && s.LostBy == sim.LostByCage {
				if _, ladder := p.(Ladder); !ladder {
					t.Errorf("%s: %T does not name the lost gears: %s", name, p, words)
				}
			}
		}
	}
	for _, c := range rigCases {
		s := study(t, c.build)
		look(c.name, s)
		for _, more := range []int{-6, -2, 8} {
			look(c.name, study(t, withChain(c.build, s.Advice.Pitches+more)))
		}
	}
	for _, want := range []string{"clear", "slack", "tight", "too short", "locks", "doubt", "left"} {
		if !seen[want] {
			t.Errorf("no gear was seen with: %s", want)
		}
	}
}

// A ladder without a cage shows what the bare loop and the rating say: gears
// lost, those of the chain at hand that are tight, and no chance.
func TestLadderWithoutCage(t *testing.T) {
	b := rigBuild("", 412, 70, teeth(34, 50), teeth(11, 13, 16, 20, 25, 32))
	for pitches, want := range map[int][]string{
		0:   {"no chance known"},
		108: {"50x32 tight", "your chain of 108 pitches stays", "Lost to the rated capacity or the chain: 50x32."},
		106: {"50x32 locks", "replace your chain of 106 pitches by one of"},
	} {
		s, err := sim.NewStudy(withChain(b, pitches), gearing.TableOptions{})
		if err != nil || s.Answer != nil {
			t.Fatal(err, s.Answer != nil)
		}
		l := ladderOf(s)
		noProblems(t, "ladder", l, Options{})
		for _, w := range want {
			if !strings.Contains(l.Describe(), w) {
				t.Errorf("with %d pitches: no %q in %s", pitches, w, l.Describe())
			}
		}
	}
	b.Frame.Chainstay = 0
	s, err := sim.NewStudy(b, gearing.TableOptions{})
	if err != nil {
		t.Fatal(err)
	}
	n := noProblems(t, "no chainstay", ladderOf(s), Options{})
	if all := strings.Join(n.texts, " "); strings.Contains(all, "chance") || strings.Contains(all, "chain") {
		t.Errorf("a judgement out of nothing: %s", all)
	}
}

// Any advice at all is told without an empty word or a chance of nothing.
func TestAnyAdvice(t *testing.T) {
	chance := rapid.Float64Range(0, 1)
	rapid.Check(t, func(rt *rapid.T) {
		g := sim.GearAdvice{
			GearID: gearing.GearID{Ring: 30, Cog: 11}, State: sim.State(rapid.IntRange(0, 6).Draw(rt, "state")),
			Danger: sim.Danger{Any: chance.Draw(rt, "any"), Short: chance.Draw(rt, "short"), Hits: chance.Draw(rt, "hits")},
			Slack:  chance.Draw(rt, "slack"), Doubt: rapid.Bool().Draw(rt, "doubt"),
		}
		told := tell(&g)
		for _, s := range []string{told.words(), told.short(), told.sentence()} {
			if strings.Contains(s, "  ") || strings.TrimSpace(s) != s || strings.Contains(s, "()") {
				rt.Fatalf("%q", s)
			}
		}
		if got := told.tail != ""; got != g.Doubt {
			rt.Fatalf("in doubt: %v, told %q", g.Doubt, told.words())
		}
	})
}
