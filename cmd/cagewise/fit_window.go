package main

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/gearing"
	"cagewise/sim"
)

// windowWords name what is marked in a table of chain lengths.
type windowWords struct {
	advice *sim.Advice
	order  sim.Order
	length int
}

func (r fitReport) writeWindow(p *page) {
	r.window(windowWords{&r.Advice, r.Advice.Order, r.Advice.Length}, p, r.Simulation.Window)
	p.para("First to give when the gears get wider still: %s.", r.Simulation.FailsFirst)
}

// window is the table of chain lengths and what it shows.
func (r fitReport) window(words windowWords, p *page, w sim.Window) {
	p.section("Window of chain lengths")
	t := &table{cols: []column{
		{key: "pitches", head: "pitches"}, {head: "pairs"}, {head: "runs"}, {head: "slack"}, {head: "tight"}, {head: "hits"}, {head: "too short"}, {head: "note", left: true},
	}}
	shown := words.shown(w)
	for _, c := range w.Counts[:shown] {
		var n [sim.Locks + 1]int
		for _, s := range c.States {
			n[s]++
		}
		t.add(whole(c.Pitches), num(gearing.Pitches(c.Pitches).LinkPairs(), 1), whole(n[sim.Clear]+n[sim.Far]),
			whole(n[sim.Slack]), whole(n[sim.Tight]), whole(n[sim.Hits]), whole(n[sim.TooShort]+n[sim.Locks]), words.of(c))
	}
	p.grid(t)
	if last := len(w.Counts); shown < last {
		p.para("The same gears fail to %d pitches; json has every count.", w.Counts[last-1].Pitches)
	}
	p.para("%s", windowSentence(w))
}

func windowSentence(w sim.Window) string {
	switch {
	case len(w.Counts) == 0:
		return "No chain length is worth looking at."
	case w.ClearFrom > 0 && w.ClearFrom == w.ClearTo:
		return fmt.Sprintf("By the figures, without their errors, every gear runs with %d pitches, and with no other count.", w.ClearFrom)
	case w.ClearFrom > 0:
		return fmt.Sprintf("By the figures, without their errors, every gear runs from %d to %d pitches.", w.ClearFrom, w.ClearTo)
	case w.Shortest > 0:
		return fmt.Sprintf("No length runs in every gear. The short end is dangerous, the long end only noisy; by the figures %d pitches is the first with no gear tight or dangerous.", w.Shortest)
	}
	return "No length is without a tight or dangerous gear."
}

// mostAlike rows are shown in which the same gears fail, where no length works.
const mostAlike = 6

// shown is how many rows of a window say something: where no length works, a
// longer chain only hangs slack in more of the gears that do not fail.
func (m windowWords) shown(w sim.Window) int {
	if w.Shortest > 0 {
		return len(w.Counts)
	}
	shown := 0
	for i, c := range w.Counts {
		named := m.of(c) != "" && m.of(c) != locksWords
		if i == 0 || named || !slices.Equal(failing(c), failing(w.Counts[i-1])) {
			shown = i + 1
		}
	}
	return min(shown+mostAlike, len(w.Counts))
}

// failing are the places of the gears that a count makes dangerous.
func failing(c sim.CountStates) []int {
	var list []int
	for i, s := range c.States {
		if s.Dangerous() {
			list = append(list, i)
		}
	}
	return list
}

const locksWords = "locks"

// of is the note beside a count.
func (m windowWords) of(c sim.CountStates) string {
	var words []string
	if m.advice.Owned && c.Pitches == m.advice.Pitches {
		words = append(words, "yours")
	}
	if c.Pitches == m.length {
		words = append(words, orderNote(m.order))
	}
	if c.Worst() == sim.Locks {
		words = append(words, locksWords)
	}
	return strings.Join(words, ", ")
}

// orderNote is an order as a note beside its length.
func orderNote(o sim.Order) string {
	switch o {
	case sim.Cut:
		return "cut to this"
	case sim.Hang:
		return "hang uncut"
	case sim.Replace:
		return "to put on"
	}
	return o.String()
}
