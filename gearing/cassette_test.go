package gearing

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// bestByTrying tries every list of cogs.
func bestByTrying(n int, from, to Teeth, p StepPattern) float64 {
	if n == 2 {
		return p.cost(from, to)
	}
	best := math.Inf(1)
	for next := from + 1; next < to; next++ {
		if int(to-next) >= n-2 {
			best = min(best, p.cost(from, next)+bestByTrying(n-1, next, to, p))
		}
	}
	return best
}

func TestBestCogsAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		small := Teeth(rapid.IntRange(8, 20).Draw(rt, "small"))
		n := rapid.IntRange(2, 6).Draw(rt, "n")
		large := small + Teeth(rapid.IntRange(n-1, 16).Draw(rt, "span"))
		p := StepPattern{Cruise: Teeth(rapid.IntRange(int(small), int(large)).Draw(rt, "cruise")), Tightness: rapid.Float64Range(0, 50).Draw(rt, "tightness")}
		if rapid.Bool().Draw(rt, "even") {
			p = StepPattern{}
		}
		cogs, err := BestCogs(n, small, large, p)
		if err != nil {
			rt.Fatal(err)
		}
		sum := 0.0
		for i := 1; i < n; i++ {
			sum += p.cost(cogs[i-1], cogs[i])
		}
		if want := bestByTrying(n, small, large, p); math.Abs(sum-want) > 1e-12 || cogs[0] != small || cogs[n-1] != large {
			rt.Fatalf("%v costs %v, the best %v", cogs, sum, want)
		}
	})
}

func TestBestCogs(t *testing.T) {
	even, err := BestCogs(10, 11, 36, StepPattern{})
	if err != nil || !slices.IsSorted(even) {
		t.Fatal(even, err)
	}
	for _, s := range Steps(even) {
		if s.Size < 9 || s.Size > 19 { // the mean step is 14 %
			t.Errorf("even: step %v", s)
		}
	}
	tight, err := BestCogs(10, 11, 36, StepPattern{Cruise: 17, Tightness: 6})
	if err != nil {
		t.Fatal(err)
	}
	if stepAt(tight, 17) >= stepAt(even, 17) {
		t.Errorf("steps at 17 teeth: %v tight, %v even", tight, even)
	}
}

// stepAt is the step up to a number of teeth.
func stepAt(cogs []Teeth, at Teeth) Percent {
	for _, s := range Steps(cogs) {
		if s.To < at && s.From >= at {
			return s.Size
		}
	}
	return 0
}

func TestCassetteRefusals(t *testing.T) {
	tests := []struct {
		n    int
		a, b Teeth
		p    StepPattern
		want string
	}{
		{1, 11, 36, StepPattern{}, "cassette: 1 cogs; allowed 2 to 14"},
		{5, 36, 11, StepPattern{}, "cassette: cogs from 36 to 11 teeth; allowed rising, 8 to 80"},
		{10, 11, 15, StepPattern{}, "cassette: 10 cogs do not fit between 11 and 15 teeth; allowed at most 5"},
		{5, 11, 36, StepPattern{Cruise: 40}, "cassette: cruising cog of 40 teeth; allowed 11 to 36"},
		{5, 11, 36, StepPattern{Tightness: math.NaN()}, "cassette: tightness NaN; allowed 0 to 50"},
	}
	for _, tt := range tests {
		if _, err := BestCogs(tt.n, tt.a, tt.b, tt.p); err == nil || err.Error() != tt.want {
			t.Errorf("got %v, want %s", err, tt.want)
		}
	}
	cogs := []Teeth{11, 13, 15}
	for _, c := range []struct {
		out, in Teeth
		want    string
	}{{12, 20, "cassette: no cog of 12 teeth to take out; there are 11-13-15"}, {11, 15, "cassette: a cog of 15 teeth is there already"}, {11, 5, "cassette: cog of 5 teeth; allowed 8 to 80"}} {
		if _, err := MixCogs(cogs, c.out, c.in); err == nil || err.Error() != c.want {
			t.Errorf("got %v, want %s", err, c.want)
		}
	}
	if mixed, err := MixCogs(cogs, 11, 18); err != nil || !slices.Equal(mixed, []Teeth{13, 15, 18}) || cogs[0] != 11 {
		t.Error(mixed, err, cogs)
	}
}
