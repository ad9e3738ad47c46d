package sim

import (
	"cmp"
	"math"
	"slices"

	"cagewise/gearing"
)

// Measurement is what to measure next.
type Measurement struct {
	Input Input `json:"input"`
	Helps bool  `json:"helps"` // false: nothing unmeasured moves the chance
	// Low and High are what the chance comes to on either side of today's, on
	// the average of either side; AllGears tells that it is the chance that every
	// gear runs, else that all but the lost do.
	Low      float64 `json:"chance_low"`
	High     float64 `json:"chance_high"`
	AllGears bool    `json:"of_all_gears"`
}

// leastMove is how much a measurement must move a chance, as a standard
// deviation, to be worth the ruler (invented here).
const leastMove = 0.02

// unmeasured is an input that a draw gives, in its unit.
type unmeasured struct {
	input Input
	known func(g *gearing.RearDerailleur) bool
	place func(d *draw) vec
}

var measurable = [...]unmeasured{
	{InputPivotLargeY, func(r *gearing.RearDerailleur) bool { return r.Geometry.PivotLargeY != 0 }, func(d *draw) vec { return d.pivotLarge }},
	{InputPivotSmallY, func(r *gearing.RearDerailleur) bool { return r.Geometry.PivotSmallY != 0 }, func(d *draw) vec { return d.pivotSmall }},
	{InputPivotAcross, func(r *gearing.RearDerailleur) bool {
		return r.Geometry.PivotToGuide != 0 && r.Geometry.PivotToTension != 0
	}, func(d *draw) vec { return d.toGuide }},
	{InputPulleyCentres, func(r *gearing.RearDerailleur) bool { return r.PulleyCentres != 0 }, func(d *draw) vec { return vec{d.toTension.sub(d.toGuide).length(), 0} }},
	{InputHangerY, func(r *gearing.RearDerailleur) bool { return r.Geometry.HangerBelow != 0 }, func(d *draw) vec { return d.hanger }},
	{InputStopRear, func(r *gearing.RearDerailleur) bool { return r.Geometry.CageStopRear != 0 }, func(d *draw) vec { return vec{degrees(d.stopRear), 0} }},
	{InputStopForward, func(r *gearing.RearDerailleur) bool { return r.Geometry.CageStopForward != 0 }, func(d *draw) vec { return vec{degrees(d.stopFront), 0} }},
}

// nextMeasurement is the input whose value would move the chance most: by how
// much the chance differs between draws that share it, found by a kernel
// regression of what runs over the input (Nadaraya 1964, Watson 1964).
func (r *Rig) nextMeasurement(a *Advice, j *judged) Measurement {
	s := j.near
	m := Measurement{AllGears: a.Chance >= 0.95}
	out := j.leave(a.Gears)
	if m.AllGears {
		out = nil
	}
	runs, mean := make([]float64, len(s.margins)), a.Chance
	if m.AllGears {
		mean = a.AllGears
	}
	for i := range runs {
		runs[i] = runsBut(s.margins[i], out)
	}
	best := leastMove
	for _, in := range measurable {
		if in.known(&r.Build.Rear) {
			continue
		}
		after := r.cloud.after(in.place, measuredError[in.input], runs)
		if move := s.deviation(after, mean); move > best {
			best = move
			m.Input, m.Helps = in.input, true
			m.Low, m.High = s.sides(after, mean)
		}
	}
	return m
}

// kernelWidth is the regression's width, as a share of the input's own spread:
// a sample of some hundred resolves no less.
const kernelWidth = 0.5

// after is, for every draw, the chance once an input is known to be as in that
// draw, but for a ruler's error.
func (c *cloud) after(place func(d *draw) vec, ruler float64, runs []float64) []float64 {
	at := make([]vec, len(c.draws))
	var mean, square vec
	for j := range c.draws {
		at[j] = place(&c.draws[j])
		w := c.draws[j].weight
		mean = mean.add(at[j].times(w))
		square = square.add(vec{at[j].x * at[j].x, at[j].y * at[j].y}.times(w))
	}
	width := func(m, sq float64) float64 {
		e := math.Sqrt(max(0, sq-m*m))
		return max(3*max(kernelWidth*e, ruler), 1e-9) // the kernel's reach
	}
	wx, wy := width(mean.x, square.x), width(mean.y, square.y)
	list := make([]float64, len(c.draws))
	inParallel(len(c.draws), func(j int) {
		sum, weight := 0.0, 0.0
		for k := range c.draws {
			dx, dy := (at[k].x-at[j].x)/wx, (at[k].y-at[j].y)/wy
			q := 1 - dx*dx - dy*dy
			if q <= 0 || k == j {
				continue
			}
			w := c.draws[k].weight * q * q * q
			sum, weight = sum+w*runs[k], weight+w
		}
		if list[j] = runs[j]; weight > 0 {
			list[j] = sum / weight
		}
	})
	return list
}

func (s *sample) deviation(p []float64, mean float64) float64 {
	sum := 0.0
	for j, v := range p {
		sum += s.weights[j] * (v - mean) * (v - mean)
	}
	return math.Sqrt(sum)
}

// sides are the averages of what lies under and over the mean.
func (s *sample) sides(p []float64, mean float64) (low, high float64) {
	var sums, weights [2]float64
	for j, v := range p {
		k := 0
		if v > mean {
			k = 1
		}
		sums[k], weights[k] = sums[k]+s.weights[j]*v, weights[k]+s.weights[j]
	}
	low, high = mean, mean
	if weights[0] > 0 {
		low = sums[0] / weights[0]
	}
	if weights[1] > 0 {
		high = sums[1] / weights[1]
	}
	return low, high
}

// RemedyKind names a remedy.
type RemedyKind int

// The remedies.
const (
	LongerScrew RemedyKind = iota // twice the B-screw's range
	TurnScrew                     // set the gap to To mm
	Extender                      // hanger extender, To mm down
	LongerChain                   // one step more, to To pitches
	SmallerCog                    // largest cog of To teeth
	LargerCog                     // smallest cog of To teeth
	LargerRing                    // smallest ring of To teeth
	SmallerRing                   // largest ring of To teeth
)

var remedyWords = [...]string{
	"longer B-screw", "B-screw set wider", "hanger extender", "longer chain", "smaller largest cog", "larger smallest cog", "larger smallest ring", "smaller largest ring",
}

// String is the remedy in words.
func (k RemedyKind) String() string {
	if k < 0 || int(k) >= len(remedyWords) {
		return "unknown remedy"
	}
	return remedyWords[k]
}

// MarshalText gives JSON the words.
func (k RemedyKind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// Remedy is a change with the chance it would give.
type Remedy struct {
	Kind RemedyKind `json:"remedy"`
	To   int        `json:"to"` // what it changes to; 0 where that says nothing
	// Chance is that every gear runs then.
	Chance float64 `json:"chance_all_gears"`
}

// Sizes of the samples by which remedies are ranked, and the best are judged.
const (
	rankDraws   = 16
	remedyDraws = 64
)

// Of a hanger extender, and of remedies worth naming (invented here).
const (
	extenderMM     = 15
	leastRaise     = 0.05
	mostRemedies   = 3
	cogLess        = 2
	ringMore       = 2
	screwTimes     = 2
	mostScrewRange = 40
)

// remedies are the changes that raise the chance of all gears by leastRaise or
// more, the best first.
func (r *Rig) remedies(a *Advice) []Remedy {
	list := []Remedy{}
	if a.Verdict == gearing.Works && len(a.Lost()) == 0 {
		return list
	}
	few, more := r.cloud.thin(rankDraws), r.cloud.thin(remedyDraws)
	now := r.runsAll(few, a.Pitches)
	var good []trial
	for _, try := range r.changes(a) {
		if n, err := r.changed(try.change); err == nil {
			first, _ := n.candidates()
			try.rig, try.pitches = n, max(try.pitches, first)
			if try.Chance = n.runsAll(few, try.pitches); try.Chance > now+leastRaise/2 {
				good = append(good, try)
			}
		}
	}
	bestFirst(good)
	for _, try := range good[:min(len(good), mostRemedies)] {
		if try.Chance = try.rig.runsAll(more, try.pitches); try.Chance >= a.AllGears+leastRaise {
			list = append(list, try.Remedy)
		}
	}
	slices.SortStableFunc(list, func(x, y Remedy) int { return cmp.Compare(y.Chance, x.Chance) })
	return list
}

func bestFirst(list []trial) {
	slices.SortStableFunc(list, func(x, y trial) int { return cmp.Compare(y.Chance, x.Chance) })
}

// runsAll is the chance that every gear runs with a chain.
func (r *Rig) runsAll(c *cloud, pitches int) float64 {
	return r.sampled(c, pitches, r.corners(), false).runs(nil)
}

// widerGap is the gap that a B-screw may be set to where more is wanted: the usual
// one, or 4 mm more where it is set to that.
func widerGap(b *gearing.Build) gearing.MM {
	usual := defaultTargetGap(*b)
	if orElse(b.Rear.Geometry.TargetGap, usual) < usual {
		return usual
	}
	return usual + 4
}

type trial struct {
	Remedy
	rig     *Rig
	pitches int
	change  func(b *gearing.Build)
}

// changes are the remedies that can be tried on a build.
func (r *Rig) changes(a *Advice) []trial {
	b, n, step := &r.Build, a.Pitches, gearing.CountStep(r.Build.Chain)
	largest, smallest := b.LargestCog(), b.SmallestCog()
	var list []trial
	add := func(kind RemedyKind, to, pitches int, change func(b *gearing.Build)) {
		list = append(list, trial{Remedy: Remedy{Kind: kind, To: to}, pitches: pitches, change: change})
	}
	g := func(b *gearing.Build) *gearing.Geometry { return &b.Rear.Geometry }
	if longer := orElse(b.Rear.Geometry.ScrewRange, defaultScrewRange) * screwTimes; longer <= mostScrewRange && !r.sprung {
		add(LongerScrew, 0, n, func(b *gearing.Build) { g(b).ScrewRange = longer })
	}
	if wider := widerGap(b); !r.sprung && float64(wider) > r.target {
		add(TurnScrew, int(wider), n, func(b *gearing.Build) { g(b).TargetGap = wider })
	}
	add(Extender, extenderMM, n, func(b *gearing.Build) { g(b).ExtenderBelow += extenderMM })
	if a.Length == n { // else the length to put on is named already; a shorter one is never a remedy
		add(LongerChain, n+step, n+step, func(*gearing.Build) {})
	}
	if k := len(b.Cogs); k > 1 && largest-cogLess > b.Cogs[k-2] {
		add(SmallerCog, int(largest-cogLess), n, func(b *gearing.Build) { b.Cogs = slices.Clone(b.Cogs); b.Cogs[k-1] = largest - cogLess })
	} else if k > 2 { // the next smaller cassette leaves the largest cog out
		add(SmallerCog, int(b.Cogs[k-2]), n, func(b *gearing.Build) { b.Cogs = b.Cogs[:k-1] })
	}
	if len(b.Cogs) > 1 && smallest+1 < b.Cogs[1] {
		add(LargerCog, int(smallest+1), n, func(b *gearing.Build) { b.Cogs = slices.Clone(b.Cogs); b.Cogs[0]++ })
	}
	if k := len(b.Rings); k > 1 {
		if b.Rings[0]+ringMore < b.Rings[1] {
			add(LargerRing, int(b.Rings[0]+ringMore), n, func(b *gearing.Build) { b.Rings = slices.Clone(b.Rings); b.Rings[0] += ringMore })
		}
		if b.Rings[k-1]-ringMore > b.Rings[k-2] {
			add(SmallerRing, int(b.Rings[k-1]-ringMore), n, func(b *gearing.Build) { b.Rings = slices.Clone(b.Rings); b.Rings[k-1] -= ringMore })
		}
	}
	return list
}

// changed is a build changed by a remedy, with the same derailleur: its cloud
// stays.
func (r *Rig) changed(change func(b *gearing.Build)) (*Rig, error) {
	b := r.Build
	change(&b)
	n, err := newReference(b)
	if err != nil {
		return nil, err
	}
	n.cloud = r.cloud
	return n, nil
}
