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
	Fit    sim.Fit    // names the gears, ring by ring from the smallest; its count gets a cell if it is the chosen one
	Window sim.Window // the states by count, in the order of Fit.Gears
	// Recommended is the count to cut to, 0: none is marked.
	Recommended int
	Chosen      int // the chain in question, pitches: a count of Window, or Fit's; 0: none is marked
	// Knowledge is what the geometry rests on; RatingOnly: not said.
	Knowledge sim.Knowledge
	Name      string // heading; empty: "Chain length window"
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
	s := fmt.Sprintf("What each of %s does with each chain count, in pitches. %s.",
		count(len(l.Fit.Gears), "gear"), strings.Join(l.facts(), "; "))
	if c := l.chosen(); c >= 0 {
		gears := slices.Clone(l.Fit.Gears)
		for i, st := range l.columns()[c].states {
			gears[i].State = st
		}
		if list := failing(gears); len(list) > 0 {
			s += fmt.Sprintf(" Failing with %d: %s.", l.Chosen, strings.Join(list, ", "))
		}
	}
	return s
}

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

// columns are the counts computed, ascending.
func (l LengthWindow) columns() []windowColumn {
	counts := l.Window.Counts
	list := make([]windowColumn, 0, len(counts)+1)
	for _, c := range counts {
		list = append(list, windowColumn{pitches: c.Pitches, states: c.States})
	}
	if _, ok := l.Window.Find(l.Fit.Pitches); !ok && l.Fit.Pitches > 0 && (l.Chosen == l.Fit.Pitches || len(counts) == 0) {
		own := windowColumn{pitches: l.Fit.Pitches}
		for i := range l.Fit.Gears {
			own.states = append(own.states, l.Fit.Gears[i].State)
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
	if c := l.Window.Counts; len(c) > 1 {
		return c[1].Pitches - c[0].Pitches
	}
	return 2
}

// chosen is the index of the chosen count's column, -1 for none.
func (l LengthWindow) chosen() int { return l.column(l.Chosen) }

func (l LengthWindow) column(pitches int) int {
	if pitches == 0 {
		return -1
	}
	return slices.IndexFunc(l.columns(), func(c windowColumn) bool { return c.pitches == pitches })
}

// facts are what the chart says in words.
func (l LengthWindow) facts() []string {
	list := basis(l.Knowledge)
	all := l.columns()
	if len(all) > 0 {
		of := rangeWords(all[0].pitches, all[len(all)-1].pitches)
		if running := l.running(); running != "" {
			list = append(list, fmt.Sprintf("of %s pitches, every gear runs with %s", of, running))
		} else {
			list = append(list, fmt.Sprintf("of %s pitches, no count runs in every gear", of))
		}
	}
	switch n := l.Recommended; {
	case n == 0:
	case n == l.Window.Shortest:
		list = append(list, fmt.Sprintf("recommended %d, the shortest without danger", n))
	default:
		list = append(list, fmt.Sprintf("recommended %d, as the shortest without danger, %d, is in doubt", n, l.Window.Shortest))
	}
	if c := l.chosen(); c >= 0 {
		list = append(list, fmt.Sprintf("chosen %d: %s", l.Chosen, strings.Join(stateCounts(all[c].states), ", ")))
	}
	return list
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

// stateCounts count the gears in each state that occurs.
func stateCounts(states []sim.State) []string {
	var list []string
	for st := sim.Clear; st <= sim.Locks; st++ {
		n := 0
		for _, s := range states {
			if s == st {
				n++
			}
		}
		if n > 0 {
			list = append(list, fmt.Sprintf("%d %s", n, st))
		}
	}
	return list
}

// Size is the default page in mm.
func (l LengthWindow) Size() (wMM, hMM float64) { return 160, l.heightAt(160) }

// mostPitches and mostColumns bound what is drawn, far outside any drivetrain.
const mostPitches, mostColumns = 10000, 200

func (l LengthWindow) check() error {
	if err := checkGears("length window", l.Fit.Gears); err != nil {
		return err
	}
	last := 0
	for _, c := range l.Window.Counts {
		if len(c.States) != len(l.Fit.Gears) {
			return fmt.Errorf("length window: %d states for %d gears with %d pitches", len(c.States), len(l.Fit.Gears), c.Pitches)
		}
		if c.Pitches <= last || c.Pitches > mostPitches {
			return fmt.Errorf("length window: a count of %d pitches after %d; allowed ascending ones up to %d", c.Pitches, last, mostPitches)
		}
		last = c.Pitches
	}
	switch n := len(l.columns()); {
	case n == 0 || n > mostColumns:
		return fmt.Errorf("length window: %d counts; allowed 1 to %d", n, mostColumns)
	case l.Fit.Pitches < 0 || l.Fit.Pitches > mostPitches:
		return fmt.Errorf("length window: a fit with %d pitches; allowed up to %d", l.Fit.Pitches, mostPitches)
	case l.Chosen != 0 && l.chosen() < 0:
		return fmt.Errorf("length window: nothing is computed for the chosen %d pitches; allowed: a count of the window or the fit", l.Chosen)
	}
	return nil
}
