package main

import (
	"io"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"cagewise/gearing"
	"cagewise/sim"
)

// Forty drawn builds at every depth of knowledge: only an order to cut speaks of
// cutting, a chain that stays is told no other length, and what cannot be told
// says what to measure.
func TestWordsFollowTheOrder(t *testing.T) {
	draw := rand.New(rand.NewPCG(5, 6))
	seen := map[sim.Order]int{}
	for range 40 {
		c := &call{env: env{err: io.Discard, width: 80}, flags: fitCommand().flagSet(), read: map[string]input{}}
		if err := c.flags.Parse(drawnFlags(draw)); err != nil {
			t.Fatal(err)
		}
		in, err := c.loadBuild("")
		if err != nil {
			continue // refused
		}
		r, err := newFitReport(in)
		if err != nil {
			continue // cannot be laid out
		}
		a := &r.Advice
		seen[a.Order]++
		p := page{width: 80}
		r.write(&p)
		text := spaces.ReplaceAllString(p.String(), " ")
		for words, wanted := range map[string]bool{
			"Cut the chain to": a.Order == sim.Cut, "uncut": a.Order == sim.Hang && a.Length > 0, " stays": a.Order == sim.Stay,
			"Never ride it so": len(a.Dangerous()) > 0, "would do": false, "In doubt: ": len(a.Doubtful()) > 0,
			"Measure first: ": !a.Judged || a.Next.Helps, "What would help: ": len(a.Remedies) > 0,
			"Beyond the makers' ratings": overRating(r.study.Rated) != "",
		} {
			if strings.Contains(text, words) != wanted {
				t.Errorf("%s, %s: %q is there: %v\n%.600s", a.Verdict, a.Order, words, !wanted, text)
			}
		}
		for _, m := range a.Remedies {
			if chain := m.Kind == sim.LongerChain; chain && a.Order == sim.Replace && m.To != a.Length {
				t.Errorf("a chain of %d is to be put on, and one of %d named beside it", a.Length, m.To)
			}
		}
		head, _, _ := strings.Cut(strings.Replace(text, remedyWords(a), "", 1), "Window of chain lengths")
		for _, m := range regexp.MustCompile(`(\d+) pitches \(`).FindAllStringSubmatch(head, -1) {
			if m[1] != whole(a.Length) && r.Simulation != nil {
				t.Errorf("%s: %s pitches are named beside %d\n%.600s", a.Order, m[1], a.Length, head)
			}
		}
	}
	for _, o := range []sim.Order{sim.Stay, sim.Cut, sim.Hang, sim.Replace} {
		if seen[o] == 0 {
			t.Errorf("no build is told %q", o)
		}
	}
}

// Chances that a sample does not tell apart are not told apart.
func TestChanceWords(t *testing.T) {
	for chance, want := range map[float64]string{0: "under 1 %", 0.0099: "under 1 %", 0.01: "about 1 %", 0.316: "about 32 %", 0.99: "about 99 %", 0.9901: "over 99 %", 1: "over 99 %"} {
		if got := chanceWords(chance); got != want {
			t.Errorf("%v: %s, want %s", chance, got, want)
		}
	}
}

// A chain at hand that is dangerous is warned of in the same words by every
// command that speaks of it.
func TestOneWarning(t *testing.T) {
	want := "Your chain of 108 pitches locks the pedals in 46x36; it is too short in 46x32. Never ride it so, not even with a promise to keep out of those gears."
	build := "../../examples/gravel.toml"
	for _, line := range []string{
		"fit BUILD", "gears BUILD", "climb BUILD", "cogs BUILD --out 13 --in 14", "ride BUILD ../../examples/gravel-ride.csv",
	} {
		text := spaces.ReplaceAllString(printed(t, append(strings.Fields(strings.ReplaceAll(line, "BUILD", build)), "--chain", "108")...), " ")
		if !strings.Contains(text, want) {
			t.Errorf("%s does not say: %s", line, want)
		}
	}
	a := sim.Advice{Owned: true, Pitches: 108, Gears: []sim.GearAdvice{
		{GearID: gearing.GearID{Ring: 46, Cog: 36}, State: sim.Locks}, {GearID: gearing.GearID{Ring: 46, Cog: 32}, State: sim.TooShort},
	}}
	if got := ownedDanger(&a); got != want {
		t.Errorf("%s", got)
	}
	if a.Owned = false; ownedDanger(&a) != "" {
		t.Error("a chain that nobody has is warned of")
	}
}
