package road

import (
	"testing"

	"pgregory.net/rapid"
)

// TestBoth holds ring and cog against the ratio they are to give, and against
// every other pair.
func TestBoth(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		ratio := rapid.Float64Range(0.3, 1.2).Draw(rt, "ratio")
		ring, cog := float64(rapid.IntRange(20, 60).Draw(rt, "ring")), float64(rapid.IntRange(20, 52).Draw(rt, "cog"))
		r, c := both(ratio, ring, cog)
		for other := UsualRing; float64(other) < ring; other++ {
			for with := mostCog; float64(other)/float64(with) <= ratio; with-- {
				if r == 0 || max(ring/float64(other), float64(with)/cog) < max(ring/float64(r), float64(c)/cog) {
					rt.Fatalf("%d and %d, but %d and %d change less", r, c, other, with)
				}
			}
		}
		if r > 0 && (r < UsualRing || c > mostCog || float64(r)/float64(c) > ratio*(1+1e-12)) {
			rt.Fatalf("%d and %d give %v", r, c, ratio)
		}
	})
}
