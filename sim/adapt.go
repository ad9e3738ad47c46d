package sim

import (
	"math"

	"cagewise/gearing"
)

// How far, and how finely, typical geometry is adapted, mm (invented here: three
// standard errors of the pivot's place).
const (
	mostAdapted = 27.0
	adaptStep   = 3.0
	adaptTol    = 0.1
)

// adapt lowers the cage pivot on the largest cog of typical geometry, by no more
// than it takes, until the B-screw opens the gap to its target with the shortest
// chain and with a few pitches more: an invented derailleur stands for one that
// was made for this cassette. Without this the class's own cassette would decide
// over gaps (derived here). A gap that is too wide is left, it only slows
// shifts; a pivot that was measured stays.
func (r *Rig) adapt() {
	if r.Derailleur.Knowledge != Typical || r.Build.Rear.Geometry.PivotLargeY != 0 || r.sprung {
		return
	}
	big := r.bigBig()
	n := r.leastFor(r.gears[big:big+1], 0)
	if n == 0 {
		n = r.leastFor(r.gears, 0)
	}
	if n == 0 || r.opens(n) {
		return
	}
	for high := adaptStep; high <= mostAdapted; high += adaptStep {
		if !r.opensWith(n, high) {
			continue
		}
		low := high - adaptStep
		for high-low > adaptTol {
			if mid := (low + high) / 2; r.opensWith(n, mid) {
				high = mid
			} else {
				low = mid
			}
		}
		*r = r.lowered(high)
		return
	}
}

// longerChain is how many pitches more adapt looks at.
const longerChain = 6

// opens tells whether the B-screw opens the gap to its target, or wider. One end
// of the screw usually does; only where neither does is the way between looked
// at.
func (r *Rig) opens(n float64) bool {
	start := middleAngle
	wide := func(chain, body float64) bool {
		gap, cage, ok := r.gapAt(&r.gears[r.reference], chain, body, start)
		if ok {
			start = cage
		}
		return ok && gap >= r.target
	}
	for _, chain := range [...]float64{n, n + longerChain} {
		if wide(chain, -r.screw) || wide(chain, r.screw) {
			continue
		}
		if b := r.setBody(chain); !b.reaches && !wide(chain, b.angle) {
			return false
		}
	}
	return true
}

func (r *Rig) opensWith(n, mm float64) bool {
	moved := r.lowered(mm)
	return moved.opens(n)
}

// lowered is the rig with the pivot on the largest cog moved down by mm, rounded
// up to a tenth.
func (r *Rig) lowered(mm float64) Rig {
	tenths := gearing.MM(math.Ceil(mm*10-1e-9) / 10)
	n := *r
	n.Derailleur.Lowered = tenths
	n.Derailleur.PivotLarge.Y -= tenths
	return n
}
