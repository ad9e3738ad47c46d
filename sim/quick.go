package sim

import "math"

// quickDraws is the size of the sample of a quick judgement.
const quickDraws = 16

// Quick is the advice from a thin sample: by the same rules, some twenty times
// as fast, and its chances within some ten in a hundred. It is for ranking many
// builds; what is shown to people is Answer's.
func (r *Rig) Quick() Advice {
	few := *r
	few.cloud = r.cloud.thin(quickDraws)
	a, _ := few.advise()
	return a
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
	least := math.Inf(1)
	for i := range f.Gears {
		if g := &f.Gears[i]; !a.Gears[i].Lost && !g.NoPath {
			least = min(least, float64(g.Forward)-LeastReserve, float64(g.Rearward))
		}
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return least
}
