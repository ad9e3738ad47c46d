package gearing

import (
	"slices"
	"strings"
	"testing"
)

// Each bound is still allowed, what lies beyond is refused and named.
func TestBuildBounds(t *testing.T) {
	tests := []struct {
		change func(*Build)
		want   string // "": allowed
	}{
		{func(b *Build) { b.Rings = []Teeth{MinTeeth, MaxTeeth} }, ""},
		{func(b *Build) { b.Rings = []Teeth{81} }, "81 teeth"},
		{func(b *Build) { b.Frame.BottomBracketDrop = -429 }, ""},
		{func(b *Build) { b.Frame.BottomBracketDrop = -430 }, "bottom-bracket drop of -430 mm"},
		{func(b *Build) { b.Frame.BottomBracketDrop = 430 }, "bottom-bracket drop of 430 mm"},
		{func(b *Build) { b.Frame.Suspension.Travel = 500 }, ""},
		{func(b *Build) { b.Frame.Suspension.Travel = 501 }, "the travel is 501, out of range or not a number; allowed 0 to 500 mm"},
		{func(b *Build) { b.Frame.Suspension.Travel = -1 }, "the travel is -1"},
		{func(b *Build) { b.Chain.Elongation = 10.5 }, "the elongation is 10.5"},
		{func(b *Build) { b.Chain.Pitches = 2 }, "the chain is 2"},
		{func(b *Build) { b.Rear.GuidePulleyTeeth = 7 }, "the guide pulley is 7"},
		{func(b *Build) { b.Rear.Geometry.HangerBehind = -1000 }, ""},
		{func(b *Build) { b.Rear.Geometry.HangerBehind = -1001 }, "the hanger bolt behind the axle is -1001"},
		{func(b *Build) { b.Rear.Geometry.SpringRate = 2e6 }, "the cage spring's rate is 2e+06"},
		{func(b *Build) { b.Frame.Suspension.Travel, b.Chain.Elongation = 501, 11 }, "the travel is 501"}, // the first is told
	}
	for _, tt := range tests {
		err := with(tt.change).Check()
		if tt.want == "" && err != nil || tt.want != "" && (err == nil || !strings.Contains(err.Error(), tt.want)) {
			t.Errorf("got %v, want %q", err, tt.want)
		}
	}
}

func TestVerdictWords(t *testing.T) {
	words := map[Verdict]string{
		Works: "works", LikelyWorks: "likely works", CannotTell: "cannot tell", LikelyDoesNot: "likely does not work", DoesNotWork: "does not work",
		DoesNotWork + 1: "unknown verdict", -1: "unknown verdict",
	}
	for v, want := range words {
		if got := v.String(); got != want {
			t.Errorf("%d: %q, want %q", int(v), got, want)
		}
		if yes := v == Works || v == LikelyWorks; v >= 0 && v.Yes() != yes {
			t.Errorf("%v is a yes: %v", v, v.Yes())
		}
	}
}

// Needed is 41: 30x11 asks the cage to take up 16 + 25 teeth.
func TestLostByRating(t *testing.T) {
	for rating, want := range map[Teeth]bool{0: false, 40: true, 41: false} {
		b := with(func(b *Build) { b.Rear.RatedCapacity = rating })
		if got := LostByRating(b, 30, 11); got != want {
			t.Errorf("rated %d: lost %v", rating, got)
		}
	}
}

func TestCassetteBounds(t *testing.T) {
	all := make([]Teeth, 14)
	for i := range all {
		all[i] = Teeth(67 + i)
	}
	if got, err := BestCogs(14, 67, 80, StepPattern{Tightness: 50}); err != nil || !slices.Equal(got, all) {
		t.Errorf("%v, %v", got, err)
	}
	want := "cassette: cogs from 20 to 20 teeth; allowed rising, 8 to 80"
	if _, err := BestCogs(2, 20, 20, StepPattern{}); err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
	for _, p := range []StepPattern{{Cruise: 11}, {Cruise: 36}} {
		if _, err := BestCogs(5, 11, 36, p); err != nil {
			t.Error(err)
		}
	}
	for in, ok := range map[Teeth]bool{7: false, 8: true, 80: true, 81: false} {
		if _, err := MixCogs([]Teeth{11, 13}, 13, in); (err == nil) != ok {
			t.Errorf("%d teeth: %v", in, err)
		}
	}
}

// The step 16 to 25 weighs ln(25/16)^2 = 0.19917, four times that about a
// cruising cog of 20, its middle, and 1 + 3 exp(-(ln(20/25)/0.2)^2) = 1.8640
// times with one of 25 (by hand).
func TestStepWeights(t *testing.T) {
	for p, want := range map[StepPattern]float64{
		{}:                          0.19917,
		{Cruise: 20}:                4 * 0.19917,
		{Cruise: 25}:                0.37125,
		{Cruise: 25, Tightness: 6}:  0.48597,
		{Cruise: 20, Tightness: 10}: 10 * 0.19917,
	} {
		if got := p.cost(16, 25); !near(got, want, 0.0001) {
			t.Errorf("%+v: %.5f, want %.5f", p, got, want)
		}
	}
}

func TestCombinations(t *testing.T) {
	have, gone := BinPart{}, BinPart{Unavailable: true}
	least := PartsBin{
		RingSets:    []BinRings{{BinPart: have}, {BinPart: have}, {BinPart: gone}},
		Cassettes:   []BinCassette{{BinPart: have}, {BinPart: have}, {BinPart: have}},
		Derailleurs: make([]BinDerailleur, 5),
	}
	all := least
	all.Chains, all.Extenders, all.Wheels = make([]BinChain, 2), make([]BinExtender, 3), make([]BinWheel, 7)
	for _, c := range []struct {
		bin  PartsBin
		want float64
	}{{PartsBin{}, 0}, {least, 2 * 3 * 5}, {all, 2 * 3 * 5 * 2 * (1 + 3) * 7}} {
		if got := c.bin.Combinations(); got != c.want {
			t.Errorf("%v combinations, want %v", got, c.want)
		}
	}
}

// Every rating at its limit, one tooth under and one over it. The build needs 41
// teeth of capacity, a largest cog of 36, a smallest of 11, and has rings 16 and
// 8 apart, the largest of 46 (worked in the head).
func TestRatingLimits(t *testing.T) {
	tests := []struct {
		name    RatingName
		needed  Teeth
		minimum bool
		limit   func(*Build) *Teeth
	}{
		{RatedCapacity, 41, false, func(b *Build) *Teeth { return &b.Rear.RatedCapacity }},
		{RatedLargestCog, 36, false, func(b *Build) *Teeth { return &b.Rear.LargestCog }},
		{RatedSmallestCog, 11, true, func(b *Build) *Teeth { return &b.Rear.SmallestCog }},
		{RatedLeastLargest, 36, true, func(b *Build) *Teeth { return &b.Rear.LeastLargestCog }},
		{RatedRearRings, 16, false, func(b *Build) *Teeth { return &b.Rear.LargestRingStep }},
		{RatedFrontCapacity, 16, false, func(b *Build) *Teeth { return &b.Front.RatedCapacity }},
		{RatedFrontLargest, 46, false, func(b *Build) *Teeth { return &b.Front.LargestRing }},
		{RatedFrontLeastStep, 8, true, func(b *Build) *Teeth { return &b.Front.LeastRingStep }},
	}
	for _, tt := range tests {
		for _, over := range []Teeth{-1, 0, 1} {
			b := with(func(b *Build) {
				b.Rings = []Teeth{30, 38, 46}
				*tt.limit(b) = tt.needed + over
			})
			kept, margin := over >= 0, over // a maximum is kept by what is no larger
			if tt.minimum {
				kept, margin = over <= 0, -over
			}
			checks := RatingChecks(b)
			if len(checks) != len(tests) {
				t.Fatalf("%d checks", len(checks))
			}
			for _, c := range checks {
				if c.Name != tt.name {
					if c.Known || !c.OK() || c.Margin() != 0 {
						t.Errorf("%s was not given: %+v", c.Name, c)
					}
					continue
				}
				if !c.Known || c.Needed != tt.needed || c.Limit != tt.needed+over || c.AtLeast != tt.minimum || c.OK() != kept || c.Margin() != margin {
					t.Errorf("limit %d over: %+v, kept %v, margin %d; want %v, %d", over, c, c.OK(), c.Margin(), kept, margin)
				}
			}
		}
	}
}
