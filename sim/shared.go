package sim

import "cagewise/gearing"

// Shared is one chain for two builds, such as two wheels of one bike.
type Shared struct {
	// Length is the count that serves both, and what to do with it: the first
	// build's chain where it stays for both, else the shortest whose danger on
	// either is next to the least. 0 when no count closes.
	Length int   `json:"length_pitches"`
	Order  Order `json:"order"`
	// Verdict is the worse of the two, Chance the lesser, Danger the greater,
	// with that length. Judged is false when one of the cages is not known: then
	// the bare loops give the length.
	Judged  bool            `json:"judged"`
	Verdict gearing.Verdict `json:"verdict"`
	Chance  float64         `json:"chance"`
	Danger  Danger          `json:"chance_of_danger"`
	// First and Second are what each build does with that length; without gears
	// when Judged is false.
	First  Advice `json:"first"`
	Second Advice `json:"second"`
	// Window holds the states of the first build's gears, then the other's;
	// without counts when Judged is false.
	Window Window `json:"window"`
}

// Share finds one chain for two builds. Both need a chainstay
// (gearing.ErrNoChainstay).
func Share(a, b *Study) (Shared, error) {
	if a.Rated == nil || b.Rated == nil {
		return Shared{}, gearing.ErrNoChainstay
	}
	own := a.Build.Chain.Pitches
	if a.Rig == nil || b.Rig == nil {
		s := Shared{Length: max(a.Rated.Lengths.Recommended, b.Rated.Lengths.Recommended), Order: Hang, Verdict: gearing.CannotTell, Window: Window{Counts: []CountStates{}}}
		if own > 0 {
			if s.Order = Replace; own >= s.Length {
				s.Order, s.Length = Stay, own
			}
		}
		return s, nil
	}
	s := Shared{Judged: true, Window: Both(a.Rig, b.Rig)}
	n := commonLength(a.Rig, b.Rig)
	if own > 0 && s.judge(a.Rig, b.Rig, own, true) {
		return s, nil
	}
	owned := own > 0
	s.judge(a.Rig, b.Rig, n, false)
	if owned {
		s.Order = Replace
	}
	return s, nil
}

// judge takes one length; false when a chain that is there cannot stay.
func (s *Shared) judge(a, b *Rig, n int, owned bool) bool {
	s.First, _ = a.adviseOn(n, owned)
	s.Second, _ = b.adviseOn(n, owned)
	if owned && (s.First.Order != Stay || s.Second.Order != Stay) {
		return false
	}
	s.Length, s.Order = n, Hang
	if s.First.Order == s.Second.Order {
		s.Order = s.First.Order
	}
	s.Verdict = max(s.First.Verdict, s.Second.Verdict)
	s.Chance = min(s.First.Chance, s.Second.Chance)
	s.Danger = worseOf(s.First.Danger, s.Second.Danger)
	return true
}

func worseOf(a, b Danger) Danger {
	return Danger{max(a.Any, b.Any), max(a.Short, b.Short), max(a.Hits, b.Hits)}
}

// commonLength is lengthToCut for two rigs.
func commonLength(a, b *Rig) int {
	step := max(gearing.CountStep(a.Build.Chain), gearing.CountStep(b.Build.Chain))
	fa, _ := a.candidates()
	fb, _ := b.candidates()
	first := max(fa, fb)
	first += first % step
	n, _ := shortestSafe(first, step, func(n int) Danger {
		return worseOf(a.sampled(a.cloud, n, a.critical(), false).danger(nil), b.sampled(b.cloud, n, b.critical(), false).danger(nil))
	})
	return n
}
