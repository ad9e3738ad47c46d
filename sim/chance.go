package sim

import (
	"math"
	"slices"

	"cagewise/gearing"
)

// margins are how far a gear is from going wrong, in the smoothing's standard
// errors: from too short, from the guide pulley in the cog, from slack.
type margins struct{ short, hit, slack float64 }

var noMargins = margins{math.Inf(1), math.Inf(1), math.Inf(1)}

func (m *margins) worst(o *margins) {
	m.short, m.hit, m.slack = min(m.short, o.short), min(m.hit, o.hit), min(m.slack, o.slack)
}

// figures are a gear's reserves and gap.
type figures struct{ forward, rearward, gap float64 }

// marginsOf finds one gear's margins with the body as it stands. Each end is
// attributed by its limit: where the guide pulley reaches the cog it is no
// matter of too short or slack. out, where given, takes the figures.
func (r *Rig) marginsOf(i int, n float64, body body, c *course, m *margins, out *figures) {
	g, want := &r.gears[i], n*r.stretch
	over := n - g.loop - g.loopSlope*r.longer
	*m = margins{(over - LeastReserve) / smoothForward, math.Inf(1), math.Inf(1)}
	forward, rearward := over, math.Inf(1)
	for k := range r.places {
		t, ok := r.trainAt(g, k, body.angleOf(i))
		l := limits{}
		if ok {
			l = r.limits(&t, &c.hint)
		}
		if !l.ok {
			*m = margins{(over - LeastReserve) / smoothForward, math.Inf(-1), math.Inf(1)} // in the cog, whatever the chain
			if out != nil {
				*out = figures{math.NaN(), math.NaN(), math.NaN()}
			}
			return
		}
		fore, aft := (want-l.atFront.pitches)/r.stretch, (l.atRear.pitches-want)/r.stretch-r.slip
		forward, rearward = min(forward, fore), min(rearward, aft)
		if z := (fore - LeastReserve) / smoothForward; l.frontWhy == LimitCog {
			m.hit = min(m.hit, z)
		} else {
			m.short = min(m.short, z)
		}
		if z := aft / smoothRearward; l.rearWhy == LimitCog {
			m.hit = min(m.hit, z)
		} else {
			m.slack = min(m.slack, z)
		}
		if k == 0 {
			angle, p := t.solveTo(want, c.start, &l, coarseTol)
			gap := p.guide.length() - g.tip - r.guideTip
			m.hit = min(m.hit, (gap-HitGap)/smoothGap)
			if out != nil {
				out.gap = gap
			}
			c.start, c.hint = angle, l
		}
	}
	if out != nil {
		out.forward, out.rearward = forward, rearward
	}
}

// sample is what every draw of a cloud does with one chain, in some gears.
type sample struct {
	pitches int
	gears   []int
	weights []float64
	margins [][]margins // by draw, then as gears
	figures [][]figures // likewise; nil where not asked for
}

// sampled looks at gears with a chain of n pitches in every draw. The B-screw is
// set anew in each.
func (r *Rig) sampled(c *cloud, n int, gears []int, figured bool) *sample {
	return r.sampledAfter(c, n, n, gears, figured)
}

// sampledAfter does so with the B-screw as it was set for another count.
func (r *Rig) sampledAfter(c *cloud, n, set int, gears []int, figured bool) *sample {
	s := &sample{
		pitches: n, gears: gears, weights: make([]float64, len(c.draws)),
		margins: make([][]margins, len(c.draws)), figures: make([][]figures, len(c.draws)),
	}
	all := make([]margins, len(c.draws)*len(gears))
	var figs []figures
	if figured {
		figs = make([]figures, len(c.draws)*len(gears))
	}
	hint := r.swing(gears, float64(set))
	inParallel(len(c.draws), func(j int) {
		d := &c.draws[j]
		s.weights[j] = d.weight
		s.margins[j] = all[j*len(gears) : (j+1)*len(gears)]
		if figured {
			s.figures[j] = figs[j*len(gears) : (j+1)*len(gears)]
		}
		n := r.in(d)
		body := n.setBody(float64(set))
		c := course{start: body.cage, hint: hint}
		for k, i := range gears {
			var out *figures
			if figured {
				out = &s.figures[j][k]
			}
			n.marginsOf(i, float64(s.pitches), body, &c, &s.margins[j][k], out)
		}
	})
	return s
}

// swing are the limits of the first of some gears in the geometry shown: where
// those of a draw are looked for first.
func (r *Rig) swing(gears []int, n float64) limits {
	if len(gears) == 0 {
		return limits{}
	}
	t, ok := r.trainAt(&r.gears[gears[0]], 0, r.setBody(n).angleOf(gears[0]))
	if !ok {
		return limits{}
	}
	return r.limits(&t, nil)
}

// Danger is the chance, 0 to 1, that a gear is dangerous: for either cause, too
// short a chain and the guide pulley in the cog, and for any.
type Danger struct {
	Any   float64 `json:"any"`
	Short float64 `json:"too_short"`
	Hits  float64 `json:"hits_the_cog"`
}

// over sums a chance over the draws.
func (s *sample) over(chance func(m []margins) float64) float64 {
	sum := 0.0
	for j, m := range s.margins {
		sum += s.weights[j] * chance(m)
	}
	return min(sum, 1) // weights add up to 1 but for rounding
}

// worst is the least of each margin over gears; nil keep is all.
func worst(list []margins, keep func(k int) bool) margins {
	m := noMargins
	for k := range list {
		if keep == nil || keep(k) {
			m.worst(&list[k])
		}
	}
	return m
}

// danger is the chance that any of the gears that keep names is dangerous.
func (s *sample) danger(keep func(k int) bool) (d Danger) {
	d.Short = s.over(func(list []margins) float64 { return phi(-worst(list, keep).short) })
	d.Hits = s.over(func(list []margins) float64 { return phi(-worst(list, keep).hit) })
	d.Any = s.over(func(list []margins) float64 {
		m := worst(list, keep)
		return 1 - phi(m.short)*phi(m.hit)
	})
	return d
}

// danger is the chance that one gear is dangerous.
func (p placed) danger() Danger { return p.in.danger(func(k int) bool { return k == p.k }) }

// slack is the chance that one gear hangs slack.
func (p placed) slack() float64 {
	return p.in.over(func(list []margins) float64 { return phi(-list[p.k].slack) })
}

// leave is what of a gear is left out of a chance.
type leave int

const (
	leaveNone  leave = iota
	leaveSlack       // the gear is lost to slack; its danger counts
	leaveAll         // the gear is tight, and kept out of for that
)

// runs is the chance that nothing is wrong in any gear but what is left out; nil
// leaves nothing out.
func (s *sample) runs(out func(k int) leave) float64 {
	return s.over(func(list []margins) float64 { return runsBut(list, out) })
}

// runsBut is that of one draw.
func runsBut(list []margins, out func(k int) leave) float64 {
	m := noMargins
	for k := range list {
		at := list[k]
		if out != nil {
			switch out(k) {
			case leaveSlack:
				at.slack = math.Inf(1)
			case leaveAll:
				continue
			}
		}
		m.worst(&at)
	}
	return m.runs()
}

func (m margins) runs() float64 { return phi(m.short) * phi(m.hit) * phi(m.slack) }

// GearMargin holds the standard errors of one gear's figures.
type GearMargin struct {
	Forward  gearing.Pitches `json:"reserve_forward_error_pitches"`
	Rearward gearing.Pitches `json:"reserve_rearward_error_pitches"`
	Gap      gearing.MM      `json:"pulley_gap_error_mm"`
}

// spread are the standard errors of one gear's figures: the spread of the sample
// round the figures shown.
func (p placed) spread(g *GearFit) GearMargin {
	s, k := p.in, p.k
	about := func(get func(f *figures) float64, at float64) float64 {
		sum, weight := 0.0, 0.0
		for j := range s.figures {
			if v := get(&s.figures[j][k]); !math.IsNaN(v) {
				sum, weight = sum+s.weights[j]*(v-at)*(v-at), weight+s.weights[j]
			}
		}
		if weight == 0 {
			return 0
		}
		return math.Sqrt(sum / weight)
	}
	if g.NoPath {
		return GearMargin{}
	}
	return GearMargin{
		Forward:  gearing.Pitches(about(func(f *figures) float64 { return f.forward }, float64(g.Forward))),
		Rearward: gearing.Pitches(about(func(f *figures) float64 { return f.rearward }, float64(g.Rearward))),
		Gap:      gearing.MM(about(func(f *figures) float64 { return f.gap }, float64(g.Gap))),
	}
}

// weighted is a value with its weight.
type weighted struct{ value, weight float64 }

// median is the weighted median.
func median(list []weighted) float64 {
	list = slices.Clone(list)
	slices.SortFunc(list, func(a, b weighted) int {
		switch {
		case a.value < b.value:
			return -1
		case a.value > b.value:
			return 1
		}
		return 0
	})
	total := 0.0
	for _, w := range list {
		total += w.weight
	}
	sum := 0.0
	for _, w := range list {
		if sum += w.weight; sum >= total/2 {
			return w.value
		}
	}
	return 0
}
