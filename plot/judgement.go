package plot

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/gearing"
	"cagewise/sim"
)

// told is what every picture says of a gear, taken from the one judgement.
type told struct {
	gearing.GearID
	state sim.State
	doubt bool
	tail  string // of the words: what else the gear may do
	left  string // a pulley that the chain has left, "" for none
}

// tell gives mark and words of a gear to every picture.
func tell(g *sim.GearAdvice) told {
	return told{GearID: g.GearID, state: g.State, doubt: g.Doubt, tail: doubtTail(g), left: g.Left}
}

// doubtSign stands beside the mark or the word of a state that is in doubt.
const doubtSign = "?"

// sign is the doubtSign of a gear in doubt, else nothing.
func (t told) sign() string {
	if t.doubt {
		return doubtSign
	}
	return ""
}

// noted tells whether there is anything to say of the gear but that it runs.
func (t told) noted() bool { return t.doubt || !t.state.Runs() }

// short is the state in one word where there is little room.
func (t told) short() string { return t.state.String() + t.sign() }

// words are the state and what else the gear may do: clear, but may hang slack
// (31 %).
func (t told) words() string { return stateWords(t.state) + t.tail }

// sentence says the same of the gear by its name.
func (t told) sentence() string {
	switch t.state {
	case sim.Far:
		return fmt.Sprintf("In %s the guide pulley is far from the cog%s", t.GearID, t.tail)
	case sim.Slack:
		return fmt.Sprintf("In %s the chain hangs slack%s", t.GearID, t.tail)
	case sim.Hits:
		return fmt.Sprintf("In %s the guide pulley hits the cog%s", t.GearID, t.tail)
	case sim.TooShort:
		return fmt.Sprintf("In %s the chain is too short%s", t.GearID, t.tail)
	case sim.Locks:
		return fmt.Sprintf("In %s the chain locks%s", t.GearID, t.tail)
	}
	return fmt.Sprintf("%s is %s", t.GearID, t.words())
}

// stateWords are a state in words.
func stateWords(st sim.State) string {
	switch st {
	case sim.Slack:
		return "hangs slack"
	case sim.Hits:
		return "hits the cog"
	}
	return st.String()
}

// countWords are so many gears in a state.
func countWords(n int, st sim.State) string {
	words := stateWords(st)
	if n > 1 {
		switch st {
		case sim.Slack:
			words = "hang slack"
		case sim.Hits:
			words = "hit the cog"
		case sim.Locks:
			words = "lock"
		}
	}
	return fmt.Sprintf("%d %s", n, words)
}

// doubtTail says what a gear in doubt may do but for its state, or how sure
// that is.
func doubtTail(g *sim.GearAdvice) string {
	switch {
	case !g.Doubt:
		return ""
	case g.State.Dangerous():
		return " (chance " + percent(g.Danger.Any) + ")"
	}
	list := mayDo(g)
	if len(list) == 0 { // slack, and only that is in doubt
		return " (chance " + percent(g.Slack) + ")"
	}
	if n := len(list) - 1; n > 0 {
		list = []string{strings.Join(list[:n], ", ") + " or " + list[n]}
	}
	return ", but may " + list[0]
}

// mayDo lists what else a gear that is not dangerous may do, with the chances.
func mayDo(g *sim.GearAdvice) []string {
	var list []string
	add := func(words string, chance float64) {
		if chance >= sim.LostChance {
			list = append(list, words+" ("+percent(chance)+")")
		}
	}
	add("be too short", g.Danger.Short)
	if add("hit the cog", g.Danger.Hits); len(list) == 0 {
		add("be dangerous", g.Danger.Any) // for either cause
	}
	if g.State != sim.Slack {
		add("hang slack", g.Slack)
	}
	return list
}

// percent writes a chance of 0 to 1; a sample resolves no less than one in a
// hundred.
func percent(chance float64) string {
	switch {
	case chance < sim.ResolvedChance:
		return "under 1 %"
	case chance > 1-sim.ResolvedChance:
		return "over 99 %"
	}
	return fixed(100*chance, 0) + " %"
}

// judgement is the one judgement of a build as pictures tell it.
type judgement struct{ *sim.Advice }

// given tells whether there is anything to tell.
func (j judgement) given() bool { return j.Advice != nil && len(j.Gears) > 0 }

// tell is what to say of gear i.
func (j judgement) tell(i int) told { return tell(&j.Gears[i]) }

// find is what to say of a gear; ok is false for one that is not judged.
func (j judgement) find(id gearing.GearID) (t told, ok bool) {
	if j.Advice == nil {
		return told{}, false
	}
	i := slices.IndexFunc(j.Gears, func(g sim.GearAdvice) bool { return g.GearID == id })
	if i < 0 {
		return told{}, false
	}
	return j.tell(i), true
}

// check refuses a judgement of other gears than those in a picture.
func (j judgement) check(what string, gear func(i int) gearing.GearID, gears int) error {
	if len(j.Gears) != gears {
		return fmt.Errorf("%s: advice on %d gears for %d; take both from one sim.Study", what, len(j.Gears), gears)
	}
	for i := range j.Gears {
		if j.Gears[i].GearID != gear(i) {
			return fmt.Errorf("%s: advice on %s where %s is shown; take both from one sim.Study", what, j.Gears[i].GearID, gear(i))
		}
	}
	return nil
}

// checkFits refuses a judgement that is not of these gears as they are drawn.
func (j judgement) checkFits(what string, fits []sim.GearFit) error {
	if j.Advice == nil {
		return fmt.Errorf("%s: %w", what, errNoAnswer)
	}
	if err := j.check(what, func(i int) gearing.GearID { return fits[i].GearID }, len(fits)); err != nil {
		return err
	}
	for i := range fits {
		if st := j.Gears[i].State; st != fits[i].State {
			return otherState(what, &fits[i], st)
		}
	}
	return nil
}

func otherState(what string, g *sim.GearFit, judged sim.State) error {
	return fmt.Errorf("%s: %s is judged %s and drawn %s; take both from one sim.Study", what, g.GearID, judged, g.State)
}

// facts are verdict and chain in words.
func (j judgement) facts() []string {
	if !j.given() {
		return nil
	}
	return []string{j.verdictWords(), j.chainWords()}
}

// verdictWords are the verdict, the gears that it leaves out and the chances.
func (j judgement) verdictWords() string {
	s, lost := j.Verdict.String(), j.Lost()
	switch {
	case len(lost) == 0:
	case j.Verdict.Yes():
		s += " without " + namedTo(mostLost, lost)
	default:
		s += ", lost: " + namedTo(mostLost, lost)
	}
	switch {
	case !j.Judged:
		return s + ", no chance known"
	case len(lost) == 0:
		return s + ", chance " + percent(j.AllGears)
	}
	return fmt.Sprintf("%s, chance %s (all gears: %s)", s, percent(j.Chance), percent(j.AllGears))
}

// How many gears a picture names as lost, and for a reason that has a mark in
// the picture; the description names all.
const mostLost, mostNamed = 16, 6

func named(gears []gearing.GearID) string { return namedTo(mostNamed, gears) }

func namedTo(most int, gears []gearing.GearID) string {
	if len(gears) > most {
		return count(len(gears), "gear")
	}
	return allNamed(gears)
}

func allNamed(gears []gearing.GearID) string {
	list := make([]string, len(gears))
	for i, g := range gears {
		list[i] = g.String()
	}
	return strings.Join(list, ", ")
}

// chainWords say what to do with the chain.
func (j judgement) chainWords() string {
	if j.Length == 0 {
		return "no chain length can be named"
	}
	switch j.Order {
	case sim.Cut:
		return fmt.Sprintf("cut the chain to %d pitches", j.Length)
	case sim.Hang:
		return fmt.Sprintf("leave the chain uncut, closed at %d pitches", j.Length)
	case sim.Stay:
		return fmt.Sprintf("your chain of %d pitches stays", j.Length)
	case sim.Replace:
		return fmt.Sprintf("replace your chain of %d pitches by one of %d", j.Pitches, j.Length)
	}
	return "no chain length can be named"
}

// withChain counts the gears by state with the chain judged.
func (j judgement) withChain() string {
	list := []string{}
	for st := sim.Clear; st <= sim.Locks; st++ {
		if n := len(j.In(st)); n > 0 {
			list = append(list, countWords(n, st))
		}
	}
	return fmt.Sprintf("with %d pitches: %s", j.Pitches, strings.Join(list, ", "))
}

// gearFacts name the gears in doubt and those whose chain has left a pulley.
func (j judgement) gearFacts() []string {
	if !j.given() {
		return nil
	}
	var list []string
	if gears := j.Doubtful(); len(gears) > 0 {
		list = append(list, "in doubt ("+doubtSign+"): "+named(gears))
	}
	return append(list, j.leftFacts(named)...)
}

// leftFacts name the gears whose chain has left a pulley.
func (j judgement) leftFacts(names func([]gearing.GearID) string) []string {
	var pulleys []string
	gears := map[string][]gearing.GearID{}
	for i := range j.Gears {
		left := j.Gears[i].Left
		if left == "" {
			continue
		}
		if gears[left] == nil {
			pulleys = append(pulleys, left)
		}
		gears[left] = append(gears[left], j.Gears[i].GearID)
	}
	for i, p := range pulleys {
		pulleys[i] = leftWords(p) + " in " + names(gears[p])
	}
	return pulleys
}

func leftWords(pulley string) string { return "the chain has left the " + pulley }

// listing names every gear that fails, is in doubt or lost, or whose chain has
// left a pulley, for the description of a picture.
func (j judgement) listing() string {
	if !j.given() {
		return ""
	}
	s := j.failing()
	if lost := j.Lost(); len(lost) > 0 {
		s += " Lost: " + allNamed(lost) + "."
	}
	return s
}

// failing names those of them that are not lost alone.
func (j judgement) failing() string {
	if !j.given() {
		return ""
	}
	var failing, doubtful []string
	for st := sim.Locks; st >= sim.Clear; st-- {
		for i := range j.Gears {
			switch t := j.tell(i); {
			case t.state != st:
			case !st.Runs():
				failing = append(failing, t.String()+" "+t.words())
			case t.doubt:
				doubtful = append(doubtful, t.String()+" "+t.words())
			}
		}
	}
	s := ""
	if len(failing) > 0 {
		s += " Failing: " + strings.Join(failing, "; ") + "."
	}
	if len(doubtful) > 0 {
		s += " In doubt: " + strings.Join(doubtful, "; ") + "."
	}
	for _, f := range j.leftFacts(allNamed) {
		s += " " + strings.ToUpper(f[:1]) + f[1:] + "."
	}
	return s
}
