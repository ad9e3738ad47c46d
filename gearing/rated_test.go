package gearing

import (
	"encoding/json"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func double() Build {
	return Build{Frame: Frame{Chainstay: 430}, Wheel: gravelWheel, Rings: []Teeth{30, 46}, Cogs: []Teeth{11, 13, 15, 17, 19, 21, 24, 28, 32, 36}}
}

func with(change func(*Build)) Build {
	b := double()
	change(&b)
	return b
}

// What the ratings and the loop can tell: a build within all of them works; one
// beyond a rating, or without a rated capacity, is not known to fail. Only a
// chain at hand tells that one does not work.
func TestVerdicts(t *testing.T) {
	tests := []struct {
		want  Verdict
		words string
		yes   bool
		build Build
	}{
		{Works, "works", true, with(func(b *Build) { b.Rear.RatedCapacity = 41 })},
		{Works, "works", true, with(func(b *Build) { b.Rear.RatedCapacity, b.Chain.Pitches = 41, 112 })},
		{Works, "works", true, with(func(b *Build) { b.Rear.RatedCapacity, b.Chain.Pitches = 41, 110 })}, // without 46x36, tight
		{CannotTell, "cannot tell", false, with(func(b *Build) { b.Rear.RatedCapacity = 40 })},
		{CannotTell, "cannot tell", false, with(func(b *Build) { b.Rear.RatedCapacity, b.Chain.Pitches = 41, 114 })},
		{CannotTell, "cannot tell", false, double()},
		{CannotTell, "cannot tell", false, with(func(b *Build) { b.Rear.LargestCog = 34 })},
		{CannotTell, "cannot tell", false, with(func(b *Build) { b.Rear.RatedCapacity, b.Front.RatedCapacity = 41, 14 })},
		{CannotTell, "cannot tell", false, with(func(b *Build) { b.Rear.RatedCapacity, b.Rear.SmallestCog = 41, 12 })},
		{CannotTell, "cannot tell", false, with(func(b *Build) { b.Rear.RatedCapacity, b.Front.LeastRingStep = 41, 17 })},
		{DoesNotWork, "does not work", false, with(func(b *Build) { b.Rear.RatedCapacity, b.Chain.Pitches = 41, 108 })},
		{DoesNotWork, "does not work", false, with(func(b *Build) { b.Rear.RatedCapacity, b.Chain.Pitches = 37, 136 })}, // 48 teeth too long
	}
	for _, tt := range tests {
		f := must[RatedFit](t)(NewRatedFit(tt.build))
		text, err := json.Marshal(f.Verdict)
		if f.Verdict != tt.want || f.Verdict.Yes() != tt.yes || err != nil || string(text) != `"`+tt.words+`"` {
			t.Errorf("rear %+v, chain %d: got %v (%s), want %v", tt.build.Rear, tt.build.Chain.Pitches, f.Verdict, text, tt.want)
		}
	}
}

// Gears in which the chain at hand is tight are lost; a build that loses more
// than a third of its gears does not work.
func TestTightGearsAreLost(t *testing.T) {
	for cogs, want := range map[int]Verdict{2: DoesNotWork, 3: Works, 4: Works} {
		b := level()
		b.Cogs, b.Chain.Pitches, b.Rear.RatedCapacity = b.Cogs[4-cogs:], 109, 50
		f := must[RatedFit](t)(NewRatedFit(b))
		if len(f.Owned.Tight) != 1 || f.Owned.State != OwnedTight || f.Verdict != want {
			t.Errorf("1 of %d gears tight: %v, %+v", cogs, f.Verdict, f.Owned)
		}
	}
}

// Moving the raw length past an edge changes the count, moving it nearly there
// does not; the stated change of the chainstay does the same.
func TestRoundingEdges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		raw := Pitches(rapid.Float64Range(80, 140).Draw(t, "raw"))
		step := rapid.SampledFrom([]float64{1, 2}).Draw(t, "step")
		up := rapid.SampledFrom([]float64{0, 0.5, 1}).Draw(t, "up")
		m := RoundCount(MethodLoop, raw, step, up, 2/Pitch)
		count := func(raw Pitches) int { return RoundCount(MethodLoop, raw, step, up, 2/Pitch).Pitches }
		if !near(float64(m.ToLonger+m.ToShorter), step, 1e-9) || m.ToLonger < 0 || m.ToShorter < 0 {
			t.Fatalf("%+v", m)
		}
		if count(raw+m.ToLonger+1e-6) != m.Pitches+int(step) || count(raw-m.ToShorter-1e-6) != m.Pitches-int(step) {
			t.Fatalf("edges of %+v", m)
		}
		if m.ToLonger > 1e-5 && count(raw+m.ToLonger-1e-6) != m.Pitches {
			t.Fatalf("inside the edges of %+v", m)
		}
		moved := count(raw + Pitches(m.Chainstay*1.0001*2/Pitch))
		if math.Abs(float64(m.Chainstay)) > 0.01 && moved == m.Pitches {
			t.Fatalf("a chainstay %v mm off changes nothing: %+v", m.Chainstay, m)
		}
	})
}

// 3 mm of chainstay are 6 mm or 0.47 pitch of chain (common practice, no
// source; derived here).
func TestChainstayError(t *testing.T) {
	a, b := must[Lengths](t)(ChainLengths(double())), must[Lengths](t)(ChainLengths(with(func(b *Build) { b.Frame.Chainstay += 3 })))
	if got := float64(b.Loop - a.Loop); !near(got, 0.47, 0.01) {
		t.Errorf("%.3f pitches", got)
	}
}

// level has a ring as large as its largest cog, so that its loops are worked out
// in the head: 33.9 pitches of chainstay there and back and half of either wheel,
// 67.8 + 40 = 107.8 for 40x40; by the handbook's formula 67.8 + 39 + 0.003 for
// 40x38, 67.8 + 38 + 0.012 for 40x36 and 67.8 + 37 + 0.027 for 40x34.
func level() Build {
	return Build{
		Frame: Frame{Chainstay: 33.9 * Pitch}, Wheel: gravelWheel, Rings: []Teeth{40}, Cogs: []Teeth{34, 36, 38, 40},
		Chain: Chain{OffsetLink: true},
	}
}

// A chain is judged by what it has over the bare loop of each gear: under 0 it
// locks, under 1 it is too short, under 2 it is tight (hand-worked above).
func TestOwnedChainOverTheBareLoop(t *testing.T) {
	gears := func(cogs ...Teeth) []GearID {
		list := []GearID{}
		for _, c := range cogs {
			list = append(list, GearID{40, c})
		}
		return list
	}
	tests := []struct {
		pitches                 int
		surplus                 float64
		state                   OwnedState
		dangerous               bool
		locked, tooShort, tight []GearID
	}{
		{110, 2.2, OwnedLongEnough, false, gears(), gears(), gears()},
		{109, 1.2, OwnedTight, false, gears(), gears(), gears(40)},
		{108, 0.2, OwnedTooShort, true, gears(), gears(40), gears(38)},
		{107, -0.8, OwnedLocks, true, gears(40), gears(38), gears(36)},
		{106, -1.8, OwnedLocks, true, gears(38, 40), gears(36), gears(34)},
	}
	for _, tt := range tests {
		b := level()
		b.Chain.Pitches = tt.pitches
		f := must[RatedFit](t)(NewRatedFit(b))
		o := f.Owned
		if o.State != tt.state || o.State.Dangerous() != tt.dangerous || !near(float64(o.Surplus), tt.surplus, 1e-9) || o.Add != 110-tt.pitches {
			t.Errorf("%d pitches: %+v", tt.pitches, o)
		}
		if !slices.Equal(o.Locked, tt.locked) || !slices.Equal(o.TooShort, tt.tooShort) || !slices.Equal(o.Tight, tt.tight) {
			t.Errorf("%d pitches: locked %v, too short %v, tight %v", tt.pitches, o.Locked, o.TooShort, o.Tight)
		}
	}
}

func TestOwnedChain(t *testing.T) {
	tests := []struct {
		pitches                 int
		elongation              Percent
		state                   OwnedState
		add                     int
		locked, tooShort, tight int
		surplusLow, toHigh      float64
	}{
		{112, 0, OwnedLongEnough, 0, 0, 0, 0, 3.2, 3.22},
		{116, 0, OwnedLongEnough, -4, 0, 0, 0, 7.2, 7.22},
		{110, 0, OwnedTight, 2, 0, 0, 1, 1.2, 1.22},
		{108, 0, OwnedLocks, 4, 1, 0, 1, -0.8, -0.78}, // 46x32 has 2 pitches more
		{110, 1, OwnedTight, 2, 0, 0, 1, 1.85, 1.90},  // the strands' 67 pitches grow by 1 %
	}
	for _, tt := range tests {
		f := must[RatedFit](t)(NewRatedFit(with(func(b *Build) { b.Chain.Pitches, b.Chain.Elongation = tt.pitches, tt.elongation })))
		o := f.Owned
		if o == nil || o.State != tt.state || o.Add != tt.add || len(o.Locked) != tt.locked || len(o.TooShort) != tt.tooShort || len(o.Tight) != tt.tight {
			t.Errorf("%d pitches: %+v", tt.pitches, o)
			continue
		}
		if s := float64(o.Surplus); s < tt.surplusLow || s > tt.toHigh {
			t.Errorf("%d pitches: surplus %.3f, want %v to %v", tt.pitches, s, tt.surplusLow, tt.toHigh)
		}
	}
}

// Two pitches too many use up four teeth of the rating.
func TestLongerChainLosesGears(t *testing.T) {
	f := must[RatedFit](t)(NewRatedFit(with(func(b *Build) { b.Rear.RatedCapacity, b.Chain.Pitches = 41, 114 })))
	want := []GearID{{30, 13}, {30, 11}}
	if f.Owned == nil || !slices.Equal(f.Owned.Slack, want) || len(f.Lost) != 0 {
		t.Errorf("slack %v, want %v", f.Owned, want)
	}
}

func TestOffsetLinkAllowsOddCounts(t *testing.T) {
	l := must[Lengths](t)(ChainLengths(with(func(b *Build) { b.Chain.OffsetLink = true })))
	if l.Recommended != 111 {
		t.Errorf("recommended %d, want 111 for 110.79", l.Recommended)
	}
}

func TestErrors(t *testing.T) {
	tests := []struct {
		name string
		b    Build
		want string
	}{
		{"no rings", with(func(b *Build) { b.Rings = nil }), "0 rings; allowed 1 to 4"},
		{"15 cogs", with(func(b *Build) { b.Cogs = make([]Teeth, 15) }), "15 cogs; allowed 1 to 14"},
		{"7 teeth", with(func(b *Build) { b.Rings = []Teeth{7} }), "rings: 7 teeth; allowed 8 to 80"},
		{"twice", with(func(b *Build) { b.Cogs = []Teeth{11, 11} }), "cogs must rise without repeats, got 11 after 11"},
		{"unsorted", with(func(b *Build) { b.Cogs = []Teeth{13, 11} }), "cogs must rise without repeats, got 11 after 13"},
		{"no wheel", with(func(b *Build) { b.Wheel = Wheel{} }), "the wheel rolls out 0 m; give a tyre marking or a measured roll-out"},
		{"NaN", with(func(b *Build) { b.Frame.Chainstay = MM(math.NaN()) }), "a frame length is NaN"},
		{"negative", with(func(b *Build) { b.Frame.DropoutRange = -1 }), "chainstay and dropout range cannot be negative"},
	}
	for _, tt := range tests {
		for _, err := range []error{tt.b.Check(), second(NewRatedFit(tt.b)), second(NewTable(tt.b, TableOptions{}))} {
			if !errors.Is(err, ErrBuild) || err.Error() != ErrBuild.Error()+": "+tt.want {
				t.Errorf("%s: %v", tt.name, err)
			}
		}
	}
	if _, err := NewRatedFit(with(func(b *Build) { b.Frame.Chainstay = 0 })); !errors.Is(err, ErrNoChainstay) {
		t.Error(err)
	}
	for _, o := range []TableOptions{{Cadences: []float64{-1}}, {Cadences: make([]float64, 9)}, {Tolerance: 99}, {WideTolerance: Percent(math.NaN())}} {
		if _, err := NewTable(double(), o); err == nil || !strings.Contains(err.Error(), "allowed") {
			t.Errorf("%+v: %v", o, err)
		}
	}
}

func second[T any](_ T, err error) error { return err }

func TestPitchesString(t *testing.T) {
	for p, want := range map[Pitches]string{
		114:   "114 pitches (57 link pairs, 1447.8 mm)",
		113:   "113 pitches (56.5 link pairs, 1435.1 mm)",
		108.5: "108.5 pitches (54.25 link pairs, 1377.9 mm)",
	} {
		if got := p.String(); got != want {
			t.Errorf("got %s, want %s", got, want)
		}
	}
}

// The slant is steepest in the crossed gears, and a chain that runs inwards
// never comes nearer to the larger ring than straight.
func TestChainLines(t *testing.T) {
	p := must[LinePlan](t)(ChainLines(double()))
	if len(p.Gears) != 20 || p.Rings[0] != 45 || p.Rings[1] != 50 {
		t.Fatalf("%+v", p.Rings)
	}
	cassette := p.Cogs[0] - p.Cogs[9]
	if !near(float64(cassette), 9*3.95, 1e-9) {
		t.Errorf("cassette %.2f mm wide", cassette)
	}
	for _, g := range p.Gears {
		if want := math.Atan2(float64(g.Offset), 430) * 180 / math.Pi; !near(float64(g.Angle), want, 0.05) {
			t.Errorf("%v: %.3f, want about %.3f degrees", g.GearID, g.Angle, want)
		}
		if g.HasNextRing != (g.Ring == 30) {
			t.Errorf("%v: next ring", g.GearID)
		}
		if straight := MM(5 - 5.9/2 - 1); g.HasNextRing && (g.NextRing > straight+1e-9 || g.Offset > 0 && !near(float64(g.NextRing), float64(straight), 1e-9)) {
			t.Errorf("%v: %.2f mm, straight %.2f", g.GearID, g.NextRing, straight)
		}
	}
}
