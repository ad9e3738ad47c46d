package plot

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/sim"
)

// LengthWindow shows what every gear does with every chain count that was
// computed, from the dangerous end, too little chain, to the noisy end, too
// much: a row for each gear, a cell for each count. Neighbours in one state are
// one bar. Nothing is said of other counts.
type LengthWindow struct {
	// Answer gives gears, states, the chain judged and the length to have.
	Answer *sim.Answer
	Name   string // heading; empty: "Chain length window"
}

// Title is the heading.
func (l LengthWindow) Title() string {
	if strings.TrimSpace(l.Name) == "" {
		return "Chain length window"
	}
	return l.Name
}

// Describe says what the chart shows.
func (l LengthWindow) Describe() string {
	if l.Answer == nil {
		return l.Title()
	}
	return fmt.Sprintf("What each of %s does with each chain count, in pitches. %s.%s",
		count(len(l.Answer.Fit.Gears), "gear"), strings.Join(l.facts(), "; "), l.judgement().listing())
}

func (l LengthWindow) judgement() judgement { return judgement{&l.Answer.Advice} }

// windowColumn is one chain count.
type windowColumn struct {
	pitches int
	states  []sim.State
	at      float64 // of its left edge, in widths of a column from the first
}

func (c *windowColumn) counts() sim.CountStates { return sim.CountStates{States: c.states} }

// apart is the space between columns where counts were not computed, in widths
// of a column.
const apart = 0.5

// columns are the counts computed, ascending; the chain judged is among them.
func (l LengthWindow) columns() []windowColumn {
	a := l.Answer
	list := make([]windowColumn, 0, len(a.Window.Counts)+1)
	for _, c := range a.Window.Counts {
		list = append(list, windowColumn{pitches: c.Pitches, states: c.States})
	}
	if _, ok := a.Window.Find(a.Pitches); !ok && a.Pitches > 0 {
		own := windowColumn{pitches: a.Pitches}
		for i := range a.Gears {
			own.states = append(own.states, a.Gears[i].State)
		}
		at, _ := slices.BinarySearchFunc(list, own.pitches, func(c windowColumn, n int) int { return c.pitches - n })
		list = slices.Insert(list, at, own)
	}
	for i := 1; i < len(list); i++ {
		list[i].at = list[i-1].at + 1
		if list[i].pitches-list[i-1].pitches > l.step() {
			list[i].at += apart
		}
	}
	return list
}

// step is the number of pitches between counts that are neighbours.
func (l LengthWindow) step() int {
	if c := l.Answer.Window.Counts; len(c) > 1 {
		return c[1].Pitches - c[0].Pitches
	}
	return 2
}

// column is the index of a count's column, -1 for none.
func (l LengthWindow) column(pitches int) int {
	return slices.IndexFunc(l.columns(), func(c windowColumn) bool { return c.pitches == pitches })
}

// facts are what the chart says in words.
func (l LengthWindow) facts() []string {
	j := l.judgement()
	list := slices.Concat(basis(j.Knowledge), j.facts(), []string{j.withChain()}, j.gearFacts())
	all := l.columns()
	if len(all) == 0 {
		return list
	}
	of := rangeWords(all[0].pitches, all[len(all)-1].pitches)
	if running := l.running(); running != "" {
		return append(list, fmt.Sprintf("of %s pitches, every gear runs with %s", of, running))
	}
	return append(list, fmt.Sprintf("of %s pitches, no count runs in every gear", of))
}

// running names the counts with which every gear runs, empty for none.
func (l LengthWindow) running() string {
	var list []string
	from, to := 0, 0
	all := l.columns()
	for i := range all {
		runs := all[i].counts().Worst().Runs()
		if runs && from == 0 {
			from = all[i].pitches
		}
		if runs {
			to = all[i].pitches
		}
		if ends := !runs || i == len(all)-1 || all[i+1].at-all[i].at > 1; ends && from > 0 {
			list = append(list, rangeWords(from, to))
			from = 0
		}
	}
	return strings.Join(list, ", ")
}

func rangeWords(from, to int) string {
	if from == to {
		return fmt.Sprint(from)
	}
	return fmt.Sprintf("%d to %d", from, to)
}

// Size is the default page in mm.
func (l LengthWindow) Size() (wMM, hMM float64) { return 160, l.heightAt(160) }

// mostPitches and mostColumns bound what is drawn, far outside any drivetrain.
const mostPitches, mostColumns = 10000, 200

func (l LengthWindow) check() error {
	const what = "length window"
	a := l.Answer
	if a == nil {
		return fmt.Errorf("%s: %w", what, errNoAnswer)
	}
	if err := checkGears(what, a.Fit.Gears); err != nil {
		return err
	}
	if err := l.judgement().checkFits(what, a.Fit.Gears); err != nil {
		return err
	}
	last := 0
	for _, c := range a.Window.Counts {
		if len(c.States) != len(a.Fit.Gears) {
			return fmt.Errorf("%s: %d states for %d gears with %d pitches", what, len(c.States), len(a.Fit.Gears), c.Pitches)
		}
		if c.Pitches <= last || c.Pitches > mostPitches {
			return fmt.Errorf("%s: a count of %d pitches after %d; allowed ascending ones up to %d", what, c.Pitches, last, mostPitches)
		}
		last = c.Pitches
	}
	switch n := len(l.columns()); {
	case n == 0 || n > mostColumns:
		return fmt.Errorf("%s: %d counts; allowed 1 to %d", what, n, mostColumns)
	case a.Pitches < 0 || a.Pitches > mostPitches:
		return fmt.Errorf("%s: a chain of %d pitches; allowed up to %d", what, a.Pitches, mostPitches)
	}
	return nil
}
