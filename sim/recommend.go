package sim

import "cagewise/gearing"

// Recommended is the count to cut a chain to, and its fit: the shortest without
// a dangerous gear, as Shortest, unless that is in doubt and a longer one is as
// good. In doubt means that by the margins a gear is dangerous after all with
// DoubtfulChance or more; as good is a count that leaves less than SafeChance of
// that and no other gear slack. ok is as Shortest's.
func (r *Rig) Recommended() (n int, f Fit, ok bool) {
	tr := r.newTrace()
	if n, f, ok = r.shortest(&tr); !ok {
		return n, f, false
	}
	if longer, with := r.surer(f, &tr); longer > 0 {
		return longer, with, true
	}
	return n, f, true
}

// Shortest finds the shortest count without a dangerous gear and its fit,
// without computing the whole window. ok is false when there is none: then it
// is the shortest count whose worst gear is least bad, or 0 when no gear has a
// path.
func (r *Rig) Shortest() (n int, f Fit, ok bool) { return r.shortest(nil) }

func (r *Rig) shortest(tr *trace) (n int, f Fit, ok bool) {
	step := gearing.CountStep(r.Build.Chain)
	first, last := r.candidates()
	f = r.newFit()
	if first == 0 {
		r.fit(3, tr, &f)
		return 0, f, false
	}
	least, worst := 0, Locks
	for n := first; n <= last; n += step {
		r.fit(float64(n), tr, &f)
		f.Pitches = n
		now := f.Worst()
		if !now.Dangerous() {
			return n, f, true
		}
		if least == 0 || now < worst {
			least, worst = n, now
		}
	}
	r.fit(float64(least), tr, &f)
	f.Pitches = least
	return least, f, false
}

// Surer is the count and the fit that Recommended takes instead of n, a count
// without a dangerous gear; 0 when n stands.
func (r *Rig) Surer(n int) (int, Fit) {
	f, tr := r.newFit(), r.newTrace()
	r.fit(float64(n), &tr, &f)
	f.Pitches = n
	return r.surer(f, &tr)
}

func (r *Rig) surer(f Fit, tr *trace) (int, Fit) {
	if r.doubt(f, tr) < DoubtfulChance {
		return 0, Fit{}
	}
	step := gearing.CountStep(r.Build.Chain)
	with := r.newFit()
	for k := 1; k <= saferSteps; k++ {
		n := f.Pitches + k*step
		r.fit(float64(n), tr, &with)
		with.Pitches = n
		switch {
		case with.slacker(f):
			return 0, Fit{}
		case !with.Worst().Dangerous() && r.doubt(with, tr) < SafeChance:
			return n, with
		}
	}
	return 0, Fit{}
}

// slacker tells whether a gear hangs slack that does not in another fit.
func (f Fit) slacker(than Fit) bool {
	for i := range f.Gears {
		if f.Gears[i].State == Slack && than.Gears[i].State != Slack {
			return true
		}
	}
	return false
}

// What a gear may have left and still be looked at for doubt: four times what a
// ruler's errors come to (invented here).
const (
	nearPitches = 2.0
	nearMM      = 4.0
)

// nearBound tells whether a gear is near enough to danger to be in doubt.
func (r *Rig) nearBound(g *GearFit) bool {
	d := g.distances()
	return d[figForward] < nearPitches || r.Derailleur.Knowledge != Typical && d[figGap] < nearMM
}

// doubt is the chance of the gear most at risk, among those near their bounds.
func (r *Rig) doubt(f Fit, tr *trace) float64 {
	list, chance := []int{r.reference}, 0.0
	for i := range f.Gears {
		if i != r.reference && r.nearBound(&f.Gears[i]) {
			list = append(list, i)
		}
	}
	if len(list) == 1 && !r.nearBound(&f.Gears[r.reference]) {
		return 0
	}
	m := r.marginsOf(tr, list)
	for _, i := range list {
		chance = max(chance, m.Danger(f, i))
	}
	return chance
}
