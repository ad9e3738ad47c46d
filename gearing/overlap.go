package gearing

import (
	"math"
	"slices"
)

// Overlap tells how far two neighbouring rings cover the same developments.
type Overlap struct {
	Smaller Teeth `json:"smaller_ring_teeth"`
	Larger  Teeth `json:"larger_ring_teeth"`
	// GearsSmaller and GearsLarger count the gears of either ring that lie
	// within the other ring's span, ends included.
	GearsSmaller int `json:"gears_on_smaller_ring"`
	GearsLarger  int `json:"gears_on_larger_ring"`
	// Band is the shared span: the top of the smaller ring over the bottom
	// of the larger, less 100. Negative: a hole between the rings.
	Band Percent `json:"band_percent"`
}

// Overlaps gives one Overlap for each pair of neighbouring rings, smallest
// rings first; none for a single ring.
func (t Table) Overlaps() []Overlap {
	if len(t.Rings) < 2 {
		return nil
	}
	n := len(t.Cogs)
	overlaps := make([]Overlap, 0, len(t.Rings)-1)
	for i := 1; i < len(t.Rings); i++ {
		small, large := t.Gears[(i-1)*n:i*n], t.Gears[i*n:(i+1)*n]
		bottom, top := large[0].Ratio, small[n-1].Ratio
		o := Overlap{
			Smaller: t.Rings[i-1], Larger: t.Rings[i],
			Band: Percent(100 * (top/bottom - 1)),
		}
		for k := range n {
			if small[k].Ratio >= bottom {
				o.GearsSmaller++
			}
			if large[k].Ratio <= top {
				o.GearsLarger++
			}
		}
		overlaps = append(overlaps, o)
	}
	return overlaps
}

// Recovery tells what a front shift down does and how many cogs put the rider
// back (the recovery shift).
type Recovery struct {
	From Teeth `json:"from_ring_teeth"` // larger ring
	To   Teeth `json:"to_ring_teeth"`   // smaller ring
	// Drop is how far the development falls when only the front is shifted.
	Drop Percent `json:"drop_percent"`
	// CadenceRPM is the cadence after it, at the last cadence of the table.
	CadenceRPM float64 `json:"cadence_after_rpm"`
	// Shifts holds one recovery for each cog from which the gear before the
	// front shift can be met again, the largest cog first.
	Shifts []RecoveryShift `json:"shifts"`
	// Usual is the most frequent count of cogs (the lower one on a tie),
	// Fewest and Most the extremes; all 0 when Shifts is empty.
	Usual  int `json:"usual_cogs"`
	Fewest int `json:"fewest_cogs"`
	Most   int `json:"most_cogs"`
}

// RecoveryShift is the recovery from one cog.
type RecoveryShift struct {
	Cog      Teeth   `json:"cog_teeth"`    // cog before the front shift
	ToCog    Teeth   `json:"to_cog_teeth"` // cog after the recovery
	Cogs     int     `json:"cogs"`         // number of cogs moved
	Residual Percent `json:"residual_percent"`
}

// Recoveries gives one Recovery for each pair of neighbouring rings, smallest
// rings first. A cog near the small end from which even the smallest cog wins
// back less than half the drop has no recovery and is left out.
func (t Table) Recoveries() []Recovery {
	if len(t.Rings) < 2 {
		return nil
	}
	last := t.Cadences[len(t.Cadences)-1]
	recoveries := make([]Recovery, 0, len(t.Rings)-1)
	for i := 1; i < len(t.Rings); i++ {
		small, large := t.Rings[i-1], t.Rings[i]
		k := float64(large) / float64(small)
		r := Recovery{From: large, To: small, Drop: Percent(100 * (1 - 1/k)), CadenceRPM: last * k}
		r.Shifts = t.recoveryShifts(k)
		r.count()
		recoveries = append(recoveries, r)
	}
	return recoveries
}

// recoveryShifts finds, for each cog, the cog nearest to it divided by k.
func (t Table) recoveryShifts(k float64) []RecoveryShift {
	shifts := make([]RecoveryShift, 0, len(t.Cogs))
	for j := len(t.Cogs) - 1; j >= 0; j-- {
		wanted := float64(t.Cogs[j]) / k
		if wanted < float64(t.Cogs[0])/math.Sqrt(k) {
			break
		}
		to := j
		for to > 0 && nearer(wanted, t.Cogs[to-1], t.Cogs[to]) {
			to--
		}
		shifts = append(shifts, RecoveryShift{
			Cog: t.Cogs[j], ToCog: t.Cogs[to], Cogs: j - to,
			Residual: Percent(100 * (wanted/float64(t.Cogs[to]) - 1)),
		})
	}
	return shifts
}

// nearer tells whether a is nearer to the wanted size than b, as a ratio.
func nearer(wanted float64, a, b Teeth) bool {
	return math.Abs(math.Log(float64(a)/wanted)) <= math.Abs(math.Log(float64(b)/wanted))
}

func (r *Recovery) count() {
	if len(r.Shifts) == 0 {
		return
	}
	var tally [MaxCogs + 1]int
	r.Fewest = r.Shifts[0].Cogs
	for _, s := range r.Shifts {
		tally[s.Cogs]++
		r.Fewest, r.Most = min(r.Fewest, s.Cogs), max(r.Most, s.Cogs)
	}
	r.Usual = slices.Index(tally[:], slices.Max(tally[:]))
}
