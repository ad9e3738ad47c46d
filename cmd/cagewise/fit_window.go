package main

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/gearing"
	"cagewise/sim"
)

func (r fitReport) writeWindow(p *page) {
	w := r.Simulation.Window
	p.section("Window of chain lengths")
	t := &table{cols: []column{
		{key: "pitches", head: "pitches"}, {head: "pairs"}, {head: "runs"}, {head: "slack"}, {head: "too short"}, {head: "fouls"}, {head: "note", left: true},
	}}
	shown := r.countsShown()
	for _, c := range w.Counts[:shown] {
		var n [sim.Locks + 1]int
		for _, s := range c.States {
			n[s]++
		}
		t.add(whole(c.Pitches), num(gearing.Pitches(c.Pitches).LinkPairs(), 1), whole(n[sim.Clear]+n[sim.Far]),
			whole(n[sim.Slack]), whole(n[sim.Overstretched]+n[sim.Locks]), whole(n[sim.Fouls]), r.countWords(c))
	}
	p.grid(t)
	if last := len(w.Counts); shown < last {
		p.para("The same gears fail to %d pitches; json has every count.", w.Counts[last-1].Pitches)
	}
	if w.ClearFrom > 0 {
		p.para("%s", everyGearRuns(w))
	} else if w.Shortest > 0 {
		p.para("No length runs in every gear. The short end is dangerous, the long end only noisy: hence the shortest length without a dangerous gear.")
	} else {
		p.para("No length is without a dangerous gear.")
	}
	p.para("First to give when the gears get wider still: %s.", r.Simulation.FailsFirst)
}

// mostAlike rows are shown in which the same gears fail, where no length works.
const mostAlike = 6

// countsShown is how many rows of the window say something: where no length
// works, a longer chain only hangs slack in more of the gears that do not fail.
func (r fitReport) countsShown() int {
	w := r.Simulation.Window
	if w.Shortest > 0 {
		return len(w.Counts)
	}
	shown := 0
	for i, c := range w.Counts {
		named := r.countWords(c) != "" && r.countWords(c) != locksWords
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

func everyGearRuns(w sim.Window) string {
	if w.ClearFrom == w.ClearTo {
		return fmt.Sprintf("Every gear runs with %d pitches, and with no other count.", w.ClearFrom)
	}
	return fmt.Sprintf("Every gear runs from %d to %d pitches.", w.ClearFrom, w.ClearTo)
}

const locksWords = "locks the pedals"

func (r fitReport) countWords(c sim.CountStates) string {
	var words []string
	switch {
	case c.Pitches == r.Simulation.Recommended:
		words = append(words, "recommended")
	case c.Pitches == r.Simulation.Window.Shortest:
		words = append(words, "in doubt")
	}
	if r.Simulation.Owned && c.Pitches == r.Simulation.Pitches {
		words = append(words, "yours")
	}
	if r.Simulation.Safer.Pitches == c.Pitches {
		words = append(words, "safer")
	}
	if c.Worst() == sim.Locks {
		words = append(words, locksWords)
	}
	return strings.Join(words, ", ")
}
