package wear

import "cagewise/gearing"

// ToothWork is a work in kJ weighed as wear of one tooth: the sum of chain pull
// times how often the tooth comes under load, in N. A turn of the wheel loads
// every tooth once and moves its pitches of chain, so the sum is the work over
// the length of those pitches (derived here).
func ToothWork(kJ float64, n gearing.Teeth) float64 {
	if n <= 0 {
		return 0
	}
	return kJ * 1000 / (float64(n) * float64(gearing.Pitch) / 1000)
}

// WheelWork is the work that went through a cog or a ring.
type WheelWork struct {
	Teeth gearing.Teeth
	KJ    float64 // at the cranks; 0 or more
}

// ToothShares are the shares of tooth wear of the cogs of a cassette, or of the
// rings, by ToothWork; nil when no work was done.
func ToothShares(list []WheelWork) []CogUsage {
	sum := 0.0
	for _, w := range list {
		sum += ToothWork(w.KJ, w.Teeth)
	}
	if !(sum > 0) {
		return nil
	}
	shares := make([]CogUsage, len(list))
	for i, w := range list {
		shares[i] = CogUsage{Cog: w.Teeth, Share: gearing.Percent(100 * ToothWork(w.KJ, w.Teeth) / sum)}
	}
	return shares
}
