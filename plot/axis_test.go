package plot

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestTicks(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		lo := rapid.Float64Range(0.3, 80).Draw(rt, "low")
		s := scale{lo: lo, hi: lo * rapid.Float64Range(1.2, 20).Draw(rt, "ratio"), a: 0, b: 100, log: true}
		ticks := s.ticks(4)
		if len(ticks) < 4 || len(ticks) > 20 {
			rt.Fatalf("%d ticks", len(ticks))
		}
		for i, k := range ticks {
			if at := s.at(k.value); at < -1e-6 || at > 100+1e-6 || len(k.label) > 7 {
				rt.Fatalf("tick %q at %v", k.label, at)
			}
			if i > 0 && k.value <= ticks[i-1].value {
				rt.Fatal("ticks do not rise")
			}
		}
	})
}

func TestSpread(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		wanted := rapid.SliceOfN(rapid.Float64Range(0, 100), 1, 14).Draw(rt, "wanted")
		height := rapid.Float64Range(0, 7).Draw(rt, "height")
		got := spread(wanted, height, 0, 100)
		for i := range got {
			if got[i] < -1e-9 || got[i] > 100+1e-9 {
				rt.Fatalf("place %v is outside", got[i])
			}
			for j := range got {
				if wanted[i] < wanted[j] && got[j]-got[i] < height-1e-9 {
					rt.Fatalf("%v and %v are closer than %v", got[i], got[j], height)
				}
			}
		}
	})
	if got := spread([]float64{10, 50}, 5, 0, 100); got[0] != 10 || got[1] != 50 {
		t.Errorf("labels with room were moved: %v", got)
	}
	if got := spread([]float64{50, 50}, 10, 0, 100); got[0] != 45 || got[1] != 55 {
		t.Errorf("two labels share the move: %v", got)
	}
}

// Labels move as little as they can: no other allowed placing has a smaller
// sum of squares.
func TestSpreadMovesLeast(t *testing.T) {
	cost := func(at, wanted []float64) float64 {
		sum := 0.0
		for i := range at {
			sum += (at[i] - wanted[i]) * (at[i] - wanted[i])
		}
		return sum
	}
	rapid.Check(t, func(rt *rapid.T) {
		const height = 5.0
		n := rapid.IntRange(1, 12).Draw(rt, "labels")
		at := rapid.SliceOfN(rapid.Float64Range(0, 60), n, n)
		wanted := slices.Sorted(slices.Values(at.Draw(rt, "wanted")))
		other := slices.Sorted(slices.Values(at.Draw(rt, "other")))
		for i := range other { // make it an allowed placing: 60/11 is over 5
			low := 0.0
			if i > 0 {
				low = other[i-1] + height
			}
			other[i] = min(max(other[i], low), 60-height*float64(n-1-i))
		}
		if got := spread(wanted, height, 0, 60); cost(got, wanted) > cost(other, wanted)+1e-6 {
			rt.Fatalf("%v moves more than %v", got, other)
		}
	})
}

func TestRoomyTicks(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		lo := rapid.Float64Range(0.01, 1000).Draw(rt, "low")
		s := scale{lo: lo, hi: lo * rapid.Float64Range(1.05, 100).Draw(rt, "ratio"), a: 10, b: rapid.Float64Range(12, 200).Draw(rt, "top"), log: true}
		gap := rapid.Float64Range(1, 10).Draw(rt, "gap")
		ticks := s.roomyTicks(gap)
		if len(ticks) == 0 || len(ticks) > 40 {
			rt.Fatalf("%d ticks", len(ticks))
		}
		for i := 1; i < len(ticks); i++ {
			if s.at(ticks[i].value)-s.at(ticks[i-1].value) < gap-1e-9 {
				rt.Fatalf("%s and %s are too close", ticks[i-1].label, ticks[i].label)
			}
		}
	})
}

func TestTickLabels(t *testing.T) {
	tests := []struct {
		s    scale
		want int
		text string
	}{
		{scale{lo: 1.3, hi: 9.4, log: true}, 4, "1.5 2 3 5 7"},
		{scale{lo: 1, hi: 1.2, log: true}, 4, "1 1.05 1.1 1.15 1.2"},
		{scale{lo: 0, hi: 1}, 5, "0 0.2 0.4 0.6 0.8 1"},
		{scale{lo: -0.2, hi: 0.1}, 3, "-0.2 -0.1 0 0.1"},
		{scale{lo: 3, hi: 3}, 4, "3"},
	}
	for _, tt := range tests {
		var labels []string
		for _, k := range tt.s.ticks(tt.want) {
			labels = append(labels, k.label)
		}
		if got := strings.Join(labels, " "); got != tt.text {
			t.Errorf("%v to %v: %q, want %q", tt.s.lo, tt.s.hi, got, tt.text)
		}
	}
}
