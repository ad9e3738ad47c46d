package sim

import (
	"fmt"
	"testing"

	"cagewise/gearing"
)

// The first and the last word of every list, and what lies beyond.
func TestWords(t *testing.T) {
	for _, c := range []struct {
		v    fmt.Stringer
		want string
	}{
		{TeethOnly, "tooth counts only"}, {FromRating, "typical geometry for the rated capacity"}, {FromReadings, "geometry fitted to readings on the built bike"}, {FromReadings + 1, "unknown depth"}, {Knowledge(-1), "unknown depth"},
		{Clear, "clear"}, {Tight, "tight"}, {Hits, "hits"}, {TooShort, "too short"}, {Locks, "locks"}, {Locks + 1, "unknown state"}, {State(-1), "unknown state"},
		{LimitNone, "no path"}, {LimitTension, "too little spring tension"}, {LimitTension + 1, "unknown limit"}, {Limit(-1), "unknown limit"},
		{NoChain, "none"}, {Replace, "replace"}, {Replace + 1, "unknown order"}, {Order(-1), "unknown order"},
		{LongerScrew, "longer B-screw"}, {SmallerRing, "smaller largest ring"}, {SmallerRing + 1, "unknown remedy"}, {RemedyKind(-1), "unknown remedy"},
		{DangerousEnd, "the dangerous end"}, {NoisyEnd, "the noisy end"},
		{InputChainstay, "chainstay"}, {inputBody, "B-screw setting"}, {inputs, "unknown input"}, {Input(-1), "unknown input"},
	} {
		if got := c.v.String(); got != c.want {
			t.Errorf("%T: %q, want %q", c.v, got, c.want)
		}
	}
	for in := range inputs {
		if angle := in >= InputStopRear; (in.Unit() == "degrees") != angle || (in.Unit() == "mm") == angle {
			t.Errorf("%s in %s", in, in.Unit())
		}
	}
}

func TestReasons(t *testing.T) {
	for _, c := range []struct {
		g    GearFit
		want string
	}{
		{GearFit{State: Locks, Forward: -1.25, ForwardLimit: LimitStraight}, "1.25 pitches shorter than the shortest way round (the cage pulled straight)"},
		{GearFit{State: Locks, NoPath: true}, "no chain path closes: the guide pulley lies in the cog, or another wheel in its neighbour"},
		{GearFit{State: TooShort, Forward: 0.5, ForwardLimit: LimitForwardStop}, "only 0.50 pitches before the forward cage stop; at least 1 wanted"},
		{GearFit{State: Hits, Gap: 2.25}, "guide pulley 2.2 mm from the cog; under 3 mm it hits it"},
		{GearFit{State: Hits, Gap: 6, Rearward: -0.5}, "the chain is 0.50 pitches too long to keep the guide pulley off the cog"},
		{GearFit{State: Hits, Gap: 6, Forward: 0.5, ForwardLimit: LimitCog}, "only 0.50 pitches before the guide pulley reaching the cog; at least 1 wanted"},
		{GearFit{State: Tight, OverLoop: 1.25}, "1.25 pitches over the bare loop; 2 must be in hand"},
		{GearFit{State: Slack, Rearward: -0.75, RearLimit: LimitRearStop}, "0.75 pitches too many, limit: the rear cage stop"},
		{GearFit{State: Far, Gap: 26}, "guide pulley 26.0 mm from the cog; over 25 mm shifts are slow"},
		{GearFit{Forward: 3, Rearward: 2, Gap: 6}, "3.00 pitches forward, 2.00 rearward, gap 6.0 mm"},
	} {
		if got := c.g.Reason(); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

// A chain with nothing left over does not lock yet, a gap of just 25 mm is not
// far, two pitches over the bare loop are not tight.
func TestJudgeAtItsBounds(t *testing.T) {
	for _, c := range []struct {
		g    GearFit
		want State
	}{
		{GearFit{Forward: 0, OverLoop: 2, Rearward: 1, Gap: 6}, TooShort}, {GearFit{Forward: 1, OverLoop: 2, Rearward: 1, Gap: 6}, Clear},
		{GearFit{Forward: 1, OverLoop: 1.99, Rearward: 1, Gap: 6}, Tight}, {GearFit{Forward: 2, OverLoop: 2, Rearward: 0, Gap: HitGap}, Clear},
		{GearFit{Forward: 2, OverLoop: 2, Rearward: 1, Gap: FarGap}, Clear}, {GearFit{Forward: 2, OverLoop: 2, Rearward: 1, Gap: 25.01}, Far},
	} {
		if got := c.g.judge(); got != c.want {
			t.Errorf("%+v: %s", c.g, got)
		}
	}
	for s := Clear; s <= Locks; s++ {
		if s.Runs() != (s == Clear || s == Far) || s.Dangerous() != (s == Hits || s == TooShort || s == Locks) {
			t.Errorf("%s runs %v, is dangerous %v", s, s.Runs(), s.Dangerous())
		}
	}
}

func TestLeftWheel(t *testing.T) {
	on, off, none := Wrap{Angle: 10}, Wrap{Angle: -0.1}, Wrap{}
	for _, c := range []struct {
		g    GearFit
		want string
	}{
		{GearFit{OnGuide: on, OnTension: on}, ""}, {GearFit{OnGuide: none, OnTension: none}, ""},
		{GearFit{OnGuide: off, OnTension: on}, "guide pulley"}, {GearFit{OnGuide: on, OnTension: off}, "tension pulley"},
	} {
		if got := c.g.LeftWheel(); got != c.want {
			t.Errorf("%+v, %+v: %q", c.g.OnGuide, c.g.OnTension, got)
		}
	}
}

// A cassette of 44 teeth or more wants a wide gap, whatever the rings.
func TestDefaultTarget(t *testing.T) {
	for _, c := range []struct {
		rings, cogs []gearing.Teeth
		want        gearing.MM
	}{
		{[]gearing.Teeth{32}, []gearing.Teeth{11, 43}, 6}, {[]gearing.Teeth{32}, []gearing.Teeth{11, 44}, 10},
		{[]gearing.Teeth{26, 36}, []gearing.Teeth{11, 44}, 10}, {[]gearing.Teeth{26, 36}, []gearing.Teeth{11, 42}, 6},
	} {
		if got := defaultTargetGap(gearing.Build{Rings: c.rings, Cogs: c.cogs}); got != c.want {
			t.Errorf("%v x %v: %v mm, want %v", c.rings, c.cogs, got, c.want)
		}
	}
}
