package sim

import (
	"math"
	"testing"

	"cagewise/gearing"
)

// The length to cut to is the shortest, from big-big + 2 at the longest chainstay
// to 8 pitches more, whose danger is within 2 points of the least among them
// (shared/design/MODEL.md section 7), by every gear and every count.
func TestLengthToCut(t *testing.T) {
	long(t)
	longer, builds, far := 0, 0, 0
	var like *Rig
	workshopBuilds(func(b gearing.Build) {
		if c := b.Rear.PulleyCentres; b.Frame.Chainstay != 432 || c != 55 && c != 75 && c != 87 && c != 99 {
			return
		}
		r, err := like.For(b)
		if err != nil {
			t.Fatal(err)
		}
		like = r
		builds++
		n, d := r.lengthToCut()
		first := 2 * int(math.Ceil((bareLoop(t, b)+2)/2-1e-9))
		dangers, least := map[int]float64{}, 1.0
		for k := first; k <= first+8; k += 2 {
			dangers[k] = r.sampled(r.cloud, k, allGears(r), false).danger(nil).Any
			least = min(least, dangers[k])
		}
		want := first
		for dangers[want] > least+0.02 {
			want += 2
		}
		if n > first {
			longer++
		}
		if dangers[n] > least+0.02+rankTol || n > want && dangers[want] < dangers[n]-rankTol {
			t.Errorf("%v x %v, %.0f mm: %d to cut, want %d: %v", b.Rings, b.Cogs, float64(b.Rear.PulleyCentres), n, want, dangers)
		}
		if math.Abs(d.Any-dangers[n]) > rankTol {
			t.Errorf("%v x %v, %.0f mm: %d to cut by a danger of %.3f, in all gears %.3f", b.Rings, b.Cogs, float64(b.Rear.PulleyCentres), n, d.Any, dangers[n])
		}
		if n != want {
			far++
		}
	})
	t.Logf("%d builds, %d longer than the first, %d otherwise than by every gear", builds, longer, far)
	if builds < 60 || longer < 5 {
		t.Error("these prove little")
	}
}

// rankTol is how far the danger in the gears that it comes to first may lie from
// that in all.
const rankTol = 0.06

// bareLoop is the loop on the largest ring and cog at the longest chainstay.
func bareLoop(t testing.TB, b gearing.Build) float64 {
	t.Helper()
	l, err := gearing.NewLoop(b.LargestRing(), b.LargestCog(), b.Frame.LongestChainstay())
	if err != nil {
		t.Fatal(err)
	}
	return float64(l.Length)
}

// allGears lists every gear of a rig.
func allGears(r *Rig) []int {
	list := make([]int, r.Gears())
	for i := range list {
		list[i] = i
	}
	return list
}
