package sim

import (
	"math"
	"slices"

	"cagewise/gearing"
)

// Bounds of the advice (invented here). An order to cut stands while the chance
// of too short a chain and of any danger are under their bounds; a chain on the
// bike stays under StayChance. A gear is lost, and any gear in doubt, from
// LostChance on.
const (
	CutShortChance = 0.02
	CutChance      = 0.10
	StayChance     = 0.10
	LostChance     = 0.10
	// ResolvedChance is the least chance that a sample resolves.
	ResolvedChance = 0.01
	// nearLeast is how much more danger than the least a shorter chain may have.
	nearLeast = 0.02
	// mostLost is the share of gears that may be lost.
	mostLost = 1.0 / 3
)

// Order says what to do with the chain.
type Order int

// The orders.
const (
	// NoChain: no length can be named.
	NoChain Order = iota
	// Stay: the chain on the bike stays.
	Stay
	// Cut: cut a chain to the length.
	Cut
	// Hang: hang the length uncut until more is known.
	Hang
	// Replace: the chain on the bike is too short; a chain of the length
	// takes its place.
	Replace
)

var orderWords = [...]string{"none", "stays", "cut", "leave uncut", "replace"}

// String is the order in words.
func (o Order) String() string {
	if o < 0 || int(o) >= len(orderWords) {
		return "unknown order"
	}
	return orderWords[o]
}

// MarshalText gives JSON the words.
func (o Order) MarshalText() ([]byte, error) { return []byte(o.String()), nil }

// GearAdvice is what to do with one gear.
type GearAdvice struct {
	gearing.GearID
	State State `json:"state"`
	// Danger and Slack are the chances, 0 to 1.
	Danger Danger  `json:"chance_of_danger"`
	Slack  float64 `json:"chance_of_slack"`
	// Lost: it does not run, or may hang slack with LostChance or more.
	Lost bool `json:"lost"`
	// Doubt: it may be otherwise than State says with LostChance or more.
	Doubt bool `json:"doubtful"`
	// Left names a pulley that the chain has left, "" for none.
	Left string `json:"left_pulley,omitempty"`
}

// KeepOut tells whether a rider should keep out of the gear: lost, dangerous or
// perhaps so.
func (g *GearAdvice) KeepOut() bool { return g.Lost || g.Danger.Any >= LostChance }

// Advice is the one judgement of a build that every output repeats.
type Advice struct {
	Knowledge Knowledge       `json:"derailleur_knowledge"`
	Verdict   gearing.Verdict `json:"verdict"`
	// Chance is that all gears but the lost ones run, AllGears that all do. The
	// danger of a gear that is lost to slack counts in both: a gear that is kept
	// out of is a slip of the thumb away.
	// Both are 0 when Judged is false: nothing is known of the cage.
	Judged   bool    `json:"judged"`
	Chance   float64 `json:"chance"`
	AllGears float64 `json:"chance_all_gears"`
	// Danger is the chance that any gear is dangerous with the chain judged.
	Danger Danger `json:"chance_of_danger"`
	// Pitches is the chain judged, Owned that it is on the bike. Length is the
	// length to have: that chain where it stays, else the one to cut, buy or
	// hang, as Order says; 0 for none.
	Pitches int   `json:"pitches"`
	Owned   bool  `json:"owned"`
	Order   Order `json:"order"`
	Length  int   `json:"length_pitches"`
	// LengthDanger is the chance of danger with Length.
	LengthDanger Danger       `json:"length_chance_of_danger"`
	Gears        []GearAdvice `json:"gears"` // in the order of gearing.Table.Gears
	// Next is the measurement that moves the chance most.
	Next Measurement `json:"next_measurement"`
	// Remedies are what would raise the chance most, the best first; empty
	// where it works or nothing helps.
	Remedies []Remedy `json:"remedies"`
	// Nonsense: the ratings suit no usual derailleur of this cage length.
	Nonsense bool `json:"ratings_unlikely"`
}

// Lost lists the gears lost.
func (a *Advice) Lost() []gearing.GearID {
	return a.where(func(g *GearAdvice) bool { return g.Lost })
}

// Dangerous lists the gears that are dangerous, Doubtful those that may be or
// may hang slack though they are named as neither.
func (a *Advice) Dangerous() []gearing.GearID {
	return a.where(func(g *GearAdvice) bool { return g.State.Dangerous() })
}

// Doubtful lists the gears in doubt.
func (a *Advice) Doubtful() []gearing.GearID {
	return a.where(func(g *GearAdvice) bool { return g.Doubt })
}

// In lists the gears in a state.
func (a *Advice) In(s State) []gearing.GearID {
	return a.where(func(g *GearAdvice) bool { return g.State == s })
}

// Mark gives the state of a gear to every output: its state, and whether that is
// in doubt.
func (a *Advice) Mark(i int) (s State, doubt bool) { return a.Gears[i].State, a.Gears[i].Doubt }

func (a *Advice) where(want func(g *GearAdvice) bool) []gearing.GearID {
	list := []gearing.GearID{}
	for i := range a.Gears {
		if want(&a.Gears[i]) {
			list = append(list, a.Gears[i].GearID)
		}
	}
	return list
}

// judged is a chain with all that samples say of it: a whole one of the gears
// near their bounds, a thin one of the rest.
type judged struct {
	fit        Fit
	near, rest *sample
	place      []placed // by gear
}

// placed is where a gear stands in a sample.
type placed struct {
	in *sample
	k  int
}

// leave tells of the gears near their bounds what the chance of the others leaves
// out: the slack of a gear that is lost to it, and all of one that is tight.
func (j *judged) leave(gears []GearAdvice) func(k int) leave {
	return func(k int) leave {
		switch g := &gears[j.near.gears[k]]; {
		case g.Lost && g.State == Tight:
			return leaveAll
		case g.Lost:
			return leaveSlack
		}
		return leaveNone
	}
}

// lengthToCut is the shortest count, from the first without a tight gear to
// longestCut more, whose chance of danger is within nearLeast of the least among
// them, and that chance. A count under nearLeast ends the look: a longer chain
// has no more to give.
func (r *Rig) lengthToCut() (int, Danger) {
	step := gearing.CountStep(r.Build.Chain)
	first, _ := r.candidates()
	return shortestSafe(first, step, func(n int) Danger {
		return r.sampled(r.cloud, n, r.critical(), false).danger(nil)
	})
}

// shortestSafe looks for a length from a count on, by its danger.
func shortestSafe(first, step int, danger func(n int) Danger) (int, Danger) {
	var list []Danger
	least := math.Inf(1)
	for n := first; n <= first+longestCut; n += step {
		d := danger(n)
		list, least = append(list, d), min(least, d.Any)
		if d.Any <= nearLeast {
			break
		}
	}
	for k, d := range list {
		if d.Any <= least+nearLeast {
			return first + k*step, d
		}
	}
	return 0, Danger{}
}

// critical are the gears that danger comes to first: every ring's with the two
// largest cogs, and the smallest ring's with the smallest, where a long chain
// leads the guide pulley into the cog.
func (r *Rig) critical() []int {
	cogs := len(r.Build.Cogs)
	var list []int
	for i := range r.gears {
		if i%cogs < 2 || i == cogs-1 {
			list = append(list, i)
		}
	}
	return list
}

// corners are the gears at the ends of rings and cogs.
func (r *Rig) corners() []int {
	list := []int{r.bigBig()}
	for _, i := range [...]int{r.reference, len(r.gears) - 1, len(r.Build.Cogs) - 1} {
		if !slices.Contains(list, i) {
			list = append(list, i)
		}
	}
	return list
}

// judge fits one count and looks at it in every draw.
func (r *Rig) judge(n int) judged {
	f := r.newFit()
	r.fit(float64(n), &f)
	f.Pitches = n
	return r.look(f, n)
}

// look samples a fit, whose B-screw was set for a chain of so many pitches.
func (r *Rig) look(f Fit, set int) judged {
	j := judged{fit: f, place: make([]placed, len(f.Gears))}
	near, far := r.nearBounds(&j.fit)
	j.near = r.sampledAfter(r.cloud, f.Pitches, set, near, true)
	j.rest = r.sampledAfter(r.cloud.thin(thinDraws), f.Pitches, set, far, true)
	for _, s := range [...]*sample{j.near, j.rest} {
		for k, i := range s.gears {
			j.place[i] = placed{s, k}
		}
	}
	return j
}

// thinDraws is the size of a thin sample.
const thinDraws = 32

// nearBounds tells the gears that may go wrong, and those that decide capacity,
// from the rest, by some four standard errors of what is measured or typical
// (invented here).
func (r *Rig) nearBounds(f *Fit) (near, far []int) {
	bound := figures{forward: 3, rearward: 2, gap: 9}
	if r.Derailleur.Knowledge < Measured {
		bound = figures{forward: 3, rearward: 6, gap: 20}
	}
	last := len(f.Gears) - 1
	for i := range f.Gears {
		g := &f.Gears[i]
		if g.NoPath || float64(g.Forward) < bound.forward || float64(g.Rearward) < bound.rearward || float64(g.Gap) < bound.gap ||
			i == r.bigBig() || i == r.reference || i == last || i == len(r.Build.Cogs)-1 {
			near = append(near, i)
		} else {
			far = append(far, i)
		}
	}
	return near, far
}

// gears turns a judged chain into the advice on every gear.
func (j *judged) gears(owned bool) []GearAdvice {
	list := make([]GearAdvice, len(j.fit.Gears))
	for i := range list {
		g := &j.fit.Gears[i]
		a := GearAdvice{
			GearID: g.GearID, State: g.State, Left: g.LeftWheel(),
			Danger: j.place[i].danger(), Slack: j.place[i].slack(),
		}
		a.Lost = a.Slack >= LostChance || owned && a.State == Tight
		a.Doubt = a.doubt()
		list[i] = a
	}
	return list
}

// doubt tells whether a gear may well be otherwise than its state says.
func (a *GearAdvice) doubt() bool {
	switch {
	case a.State.Dangerous():
		return a.Danger.Any < 1-LostChance
	case a.State == Slack:
		return a.Danger.Any >= LostChance || a.Slack < 1-LostChance
	}
	return a.Danger.Any >= LostChance || a.Slack >= LostChance
}

// advise judges the chain owned or the one to cut.
func (r *Rig) advise() (Advice, judged) {
	if n := r.Build.Chain.Pitches; n > 0 {
		return r.adviseOn(max(n, 3), true)
	}
	n, _ := r.lengthToCut()
	return r.adviseOn(n, false)
}

// adviseOn judges one chain.
func (r *Rig) adviseOn(n int, owned bool) (Advice, judged) {
	a := Advice{
		Knowledge: r.Derailleur.Knowledge, Judged: true, Pitches: n, Owned: owned,
		Nonsense: r.cloud.model > nonsenseModel, Remedies: []Remedy{},
	}
	j := r.judge(n)
	a.Danger = j.near.danger(nil)
	a.Gears = j.gears(owned)
	a.AllGears = j.near.runs(nil)
	a.Chance = j.near.runs(j.leave(a.Gears))
	a.Verdict = a.verdict(&j.fit)
	r.order(&a, &j)
	return a, j
}

// nonsenseModel is the model error, in pitches, beyond which ratings suit no
// usual derailleur.
const nonsenseModel = 2.0

// order says what to do with the chain.
func (r *Rig) order(a *Advice, j *judged) {
	a.Length, a.LengthDanger = a.Pitches, a.Danger
	switch {
	case a.Owned && a.Danger.Short < StayChance && !j.fit.shortEnd():
		a.Order = Stay
	case a.Owned:
		a.Length, a.LengthDanger = r.unworn().lengthToCut()
		a.Order = Replace
		if a.Length <= a.Pitches { // no longer chain is less dangerous
			a.Order, a.Length, a.LengthDanger = Stay, a.Pitches, a.Danger
		}
	case a.Danger.Short < CutShortChance && a.Danger.Any < CutChance && a.Verdict.Yes():
		a.Order = Cut
	default:
		a.Order = Hang
	}
}

// unworn is the rig with a new chain.
func (r *Rig) unworn() *Rig {
	n, err := r.changed(func(b *gearing.Build) { b.Chain.Elongation = 0 })
	if err != nil {
		return r
	}
	return n
}

// shortEnd tells whether any gear is too short or locks.
func (f *Fit) shortEnd() bool { return f.Count(TooShort)+f.Count(Locks) > 0 }

// verdict turns a chance into a word.
func (a *Advice) verdict(f *Fit) gearing.Verdict {
	lost := len(a.Lost())
	switch {
	case a.Owned && f.shortEnd(), a.Chance < 0.05, float64(lost) > mostLost*float64(len(a.Gears)):
		return gearing.DoesNotWork
	case a.Chance < 0.25:
		return gearing.LikelyDoesNot
	case a.Chance < 0.75:
		return gearing.CannotTell
	case a.Chance < 0.95:
		return gearing.LikelyWorks
	}
	return gearing.Works
}
