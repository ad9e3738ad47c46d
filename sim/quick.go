package sim

import "math"

// Sizes of the samples of a quick judgement: most builds of a bin fail at a
// glance.
const (
	glanceDraws = 4
	quickDraws  = 16
)

// hopeless is the chance under which a glance is enough: of builds that work by 75
// %, one in 256 has four draws that all fail.
const hopeless = 0.05

// Quick is the advice from a thin sample: by the same rules, some twenty times
// as fast, and its chances within some ten in a hundred. It is for ranking many
// builds; what is shown to people is Answer's.
func (r *Rig) Quick() Advice {
	few := *r
	few.cloud = r.cloud.thin(glanceDraws)
	if a, _ := few.advise(); a.Chance < hopeless {
		return a
	}
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
