package plot

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"cagewise/gearing"
	"cagewise/sim"
)

// Ladder is the gear ladder: every gear a rung at its development in metres a
// crank turn, one column a ring. Gears of one duplicate group are tied, lost
// gears are hollow with their label in brackets. Gears that fail or are in doubt
// bear the mark of their state where there is advice.
type Ladder struct {
	Table gearing.Table
	Name  string // heading; empty: "Gear ladder"
	// LostBy is what decides Gear.Lost.
	LostBy sim.LostBy
	// Advice is the judgement of the build; nil: not known.
	Advice *sim.Advice
	// Units are those of the words; the axes show metres and gear inches both.
	Units gearing.Units
}

// Title is the heading.
func (l Ladder) Title() string {
	if strings.TrimSpace(l.Name) == "" {
		return "Gear ladder"
	}
	return l.Name
}

// Describe says what the ladder shows.
func (l Ladder) Describe() string {
	t := l.Table
	s := fmt.Sprintf("Gear ladder: developments of %s on a logarithmic axis, one column for each of %s. %s.",
		count(len(t.Gears), "gear"), count(len(t.Rings), "ring"), strings.Join(l.facts(), "; "))
	var lost []string
	for _, g := range t.Gears {
		if g.Lost {
			lost = append(lost, g.Name())
		}
	}
	if len(lost) > 0 {
		s += " Lost to " + l.lostTo() + ": " + strings.Join(lost, ", ") + "."
	}
	return s + judgement{l.Advice}.failing()
}

// Size is the default page in mm.
func (l Ladder) Size() (wMM, hMM float64) { return 160, 140 }

// Developments a ladder draws, in m: far outside any bicycle, and what keeps
// the axes sound.
const leastDevelopment, mostDevelopment = 0.01, 1000.0

func (l Ladder) check() error {
	t := l.Table
	if len(t.Gears) == 0 || len(t.Gears) != len(t.Rings)*len(t.Cogs) {
		return errors.New("gear ladder: the table is not complete; make it with gearing.NewTable")
	}
	for _, g := range t.Gears {
		if d := float64(g.Development); !(d >= leastDevelopment && d <= mostDevelopment) {
			return fmt.Errorf("gear ladder: %s has a development of %v m; allowed %v to %v", g.Name(), d, leastDevelopment, mostDevelopment)
		}
		if in := float64(g.GearInches); !(in >= leastDevelopment && in <= 100*mostDevelopment) {
			return fmt.Errorf("gear ladder: %s has %v gear inches", g.Name(), in)
		}
	}
	if j := (judgement{l.Advice}); j.given() {
		return j.check("gear ladder", func(i int) gearing.GearID { return gearing.GearID{Ring: t.Gears[i].Ring, Cog: t.Gears[i].Cog} }, len(t.Gears))
	}
	return nil
}

// count is a number of things, with the plural they need.
func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// facts are what the ladder says in words.
func (l Ladder) facts() []string {
	t := l.Table
	if len(t.Gears) == 1 {
		return []string{"1 gear: " + gearWords(l.Units, t.Lowest())}
	}
	list := []string{
		fmt.Sprintf("Range %s %%", fixed(float64(t.Range), 0)),
		"lowest " + gearWords(l.Units, t.Lowest()),
		"highest " + gearWords(l.Units, t.Highest()),
		count(t.Groups, "different gear"),
	}
	if s := t.LargestStep; s.From != 0 {
		list = append(list, fmt.Sprintf("largest step %s %% (cogs %d to %d)", fixed(float64(s.Size), 1), s.From, s.To))
	}
	j := judgement{l.Advice}
	return slices.Concat(list, j.facts(), j.gearFacts())
}

func gearWords(u gearing.Units, g gearing.Gear) string {
	return developmentIn(u, g.Development) + " (" + g.Name() + ")"
}

// gearsOf are the gears of ring i, the lowest first.
func (l Ladder) gearsOf(i int) []gearing.Gear {
	n := len(l.Table.Cogs)
	return l.Table.Gears[i*n : (i+1)*n]
}

// ringOf is the column of a gear of the table.
func (l Ladder) ringOf(gear int) int { return gear / len(l.Table.Cogs) }

// ties lists the pairs of gears, as indices into Table.Gears, that are of one
// group and on different rings with no member of the group in between.
func (l Ladder) ties() [][2]int {
	var pairs [][2]int
	last := map[int]int{} // group to its latest gear
	for i, g := range l.Table.Gears {
		if j, ok := last[g.Group]; ok && l.ringOf(j) != l.ringOf(i) {
			pairs = append(pairs, [2]int{j, i})
		}
		last[g.Group] = i
	}
	return pairs
}

// lostTo is what decides which gears are lost.
func (l Ladder) lostTo() string {
	j := judgement{l.Advice}
	switch {
	case l.LostBy == sim.LostByCage && j.given():
		return fmt.Sprintf("the simulated cage with %d pitches", j.Pitches)
	case l.LostBy == sim.LostByCage:
		return "the simulated cage"
	case j.given() && len(j.In(sim.Clear)) < len(j.Gears): // over the bare loop
		return "the rated capacity or the chain"
	}
	return "the rated capacity"
}

// told is what the judgement says of gear i of the table; ok is false where
// there is none or nothing to mark.
func (l Ladder) told(i int) (t told, ok bool) {
	j := judgement{l.Advice}
	if !j.given() {
		return told{}, false
	}
	t = j.tell(i)
	return t, t.noted()
}

// firstRing is the ring of the first gear that is lost or is not; -1 when there
// is none.
func (l Ladder) firstRing(lost bool) int {
	for i, g := range l.Table.Gears {
		if g.Lost == lost {
			return l.ringOf(i)
		}
	}
	return -1
}

// cogLabel stands beside a rung. Brackets tell a lost gear where a hollow bar
// is too small to see, the sign of doubt one in doubt.
func (l Ladder) cogLabel(i int) string {
	g := &l.Table.Gears[i]
	t, _ := l.told(i)
	if g.Lost {
		return fmt.Sprintf("(%d)%s", g.Cog, t.sign())
	}
	return fmt.Sprint(g.Cog) + t.sign()
}
