package sim

import (
	"cmp"
	"math"
	"slices"

	"cagewise/gearing"
)

// Quick is a rough judgement of a build with the chain to cut, for ranking many:
// by the rules of Advice, but from a thin sample, and of the gears that go wrong
// first. What is shown to people is Advice.
type Quick struct {
	Verdict gearing.Verdict
	// Chance is that all gears but the lost ones run, within some ten in a hundred;
	// where that is no yes, about the most that it can be.
	Chance float64
	Length int    // pitches
	Lost   []bool // in the order of gearing.Table.Gears
	// Surely is how many of them are lost whatever the whole sample says.
	Surely int
	Margin float64 // as Rig.Margin
}

// Sizes of a quick judgement (invented here).
const (
	// quickDraws is the size of its sample.
	quickDraws = 16
	// likely is the least chance that is a yes, hopeless the danger from which a
	// length is looked at no further: the one that is picked has at most nearLeast
	// more than the least, so that no yes is lost.
	likely   = 0.75
	hopeless = 1 - likely + nearLeast
)

// Quick judges a build roughly.
func (r *Rig) Quick() Quick {
	s := r.thinSample()
	n, d := shortestSafe(s.first, gearing.CountStep(r.Build.Chain), s.danger)
	q := Quick{Length: n, Lost: make([]bool, len(r.gears)), Chance: 1 - min(d.Any, hopeless)}
	if q.Chance < likely {
		q.judge()
		return q
	}
	if s.pitches != n {
		s.danger(n)
	}
	f := s.mean(n)
	s.rest(&f)
	s.runs(&q)
	q.Margin = f.least(func(i int) bool { return q.Lost[i] })
	q.judge()
	return q
}

// judge turns the chance and the gears lost into a word, as Advice does.
func (q *Quick) judge() {
	a := Advice{Chance: q.Chance, Gears: make([]GearAdvice, len(q.Lost))}
	for i, lost := range q.Lost {
		a.Gears[i].Lost = lost
	}
	q.Verdict = a.verdict(nil)
}

// thinSample is a rig in a few geometries, with one chain at a time.
type thinSample struct {
	*Rig
	draws   []Rig
	weights []float64
	looked  []int // gears
	hint    limits
	first   int // the shortest chain looked at
	// outOfReach: with no chain does the screw lift the guide pulley off the cog.
	outOfReach bool
	// Of the chain last looked at: the body and the margins by gear of each draw.
	pitches int
	bodies  []body
	margins [][]margins
}

// quick is the thin sample of a cloud. Its draws are taken in the order of the
// model error, so that all parts of what decides about slack are met.
func (c *cloud) quick() *cloud {
	c.once.Do(func() {
		draws := slices.Clone(c.draws)
		slices.SortStableFunc(draws, func(a, b draw) int { return cmp.Compare(a.slip, b.slip) })
		c.few = (&cloud{draws: draws, model: c.model}).thin(quickDraws)
	})
	return c.few
}

func (r *Rig) thinSample() *thinSample {
	few := r.cloud.quick()
	n := len(few.draws)
	s := &thinSample{
		Rig: r, draws: make([]Rig, n), weights: make([]float64, n), looked: r.critical(),
		bodies: make([]body, n), margins: make([][]margins, n),
	}
	all := slices.Repeat([]margins{noMargins}, n*len(r.gears))
	for j := range few.draws {
		s.draws[j], s.weights[j] = r.in(&few.draws[j]), few.draws[j].weight
		s.margins[j] = all[j*len(r.gears) : (j+1)*len(r.gears)]
	}
	s.first, _ = r.candidates()
	return s
}

// danger is the chance of danger with a chain; infinite where that is hopeless.
func (s *thinSample) danger(n int) (d Danger) {
	if s.outOfReach {
		return Danger{Any: math.Inf(1)}
	}
	s.pitches = n
	if !s.hint.ok {
		s.hint = s.swing(s.looked, float64(n))
	}
	for j := range s.draws {
		s.bodies[j] = s.draws[j].setBody(float64(n))
		m := s.look(j, s.looked)
		if d.Any += s.weights[j] * (1 - phi(m.short)*phi(m.hit)); d.Any > hopeless {
			s.outOfReach = n == s.first && s.cogOutOfReach()
			return Danger{Any: math.Inf(1)}
		}
	}
	return d
}

// cogOutOfReach tells whether in too many draws the guide pulley stands in the
// largest cog at either end of the screw, with the shortest chain and the longest.
func (s *thinSample) cogOutOfReach() bool {
	sum := 0.0
	for j := range s.draws {
		if d := &s.draws[j]; !d.sprung && d.inAtEnds(float64(s.first)) && d.inAtEnds(float64(s.first+longestCut)) {
			sum += s.weights[j]
		}
	}
	return sum > hopeless
}

// surelyIn is a gap at which a guide pulley hits the cog beyond doubt, mm.
const surelyIn = HitGap - 3*smoothGap

func (r *Rig) inAtEnds(n float64) bool {
	for _, turn := range [...]float64{-r.screw, r.screw} {
		if gap, _, ok := r.gapAt(&r.gears[r.reference], n, turn, middleAngle); !ok || gap > surelyIn {
			return false
		}
	}
	return true
}

// look finds the margins of some gears in one draw, and the worst.
func (s *thinSample) look(j int, gears []int) margins {
	m, c := noMargins, course{start: s.bodies[j].cage, hint: s.hint}
	for _, i := range gears {
		s.draws[j].marginsOf(i, float64(s.pitches), s.bodies[j], &c, &s.margins[j][i], nil)
		m.worst(&s.margins[j][i])
	}
	return m
}

// mean is the fit of the geometry shown, found as roughly as a draw's.
func (s *thinSample) mean(n int) Fit {
	r := *s.Rig
	r.coarse = true
	f := r.newFit()
	r.fit(float64(n), &f)
	return f
}

// rest looks at the gears that may hang slack or hit besides.
func (s *thinSample) rest(f *Fit) {
	bound := figures{forward: 2, rearward: 2, gap: 6}
	if s.Derailleur.Knowledge < Measured {
		bound.rearward = 4
	}
	var list []int
	for i := range f.Gears {
		g := &f.Gears[i]
		if slices.Contains(s.looked, i) {
			continue
		}
		if g.NoPath || float64(g.Forward) < bound.forward || float64(g.Rearward) < bound.rearward || float64(g.Gap) < bound.gap {
			list = append(list, i)
		}
	}
	for j := range s.draws {
		s.look(j, list)
	}
}

// runs marks the gears that are lost to slack, and finds the chance that nothing
// else is wrong.
func (s *thinSample) runs(q *Quick) {
	for i := range q.Lost {
		slack := 0.0
		for j, w := range s.weights {
			slack += w * phi(-s.margins[j][i].slack)
		}
		if q.Lost[i] = slack >= LostChance; slack >= 2*LostChance {
			q.Surely++
		}
	}
	q.Chance = 0
	for j, w := range s.weights {
		q.Chance += w * runsBut(s.margins[j], func(i int) leave {
			if q.Lost[i] {
				return leaveSlack
			}
			return leaveNone
		})
	}
}

// Advise is the whole advice but for the next measurement and the remedies.
func (r *Rig) Advise() Advice {
	a, _ := r.advise()
	return a
}

// Margin is the least that is left in any gear that is not lost, with the chain
// judged: chain beyond the least reserve, or take-up, pitches.
func (r *Rig) Margin(a *Advice) float64 {
	f := r.newFit()
	r.fit(float64(a.Pitches), &f)
	return f.least(func(i int) bool { return a.Gears[i].Lost })
}

// least is what is left at either end in the gear that has least, those that skip
// names left out.
func (f *Fit) least(skip func(i int) bool) float64 {
	least := math.Inf(1)
	for i := range f.Gears {
		if g := &f.Gears[i]; !g.NoPath && !skip(i) {
			least = min(least, float64(g.Forward)-LeastReserve, float64(g.Rearward))
		}
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return least
}
