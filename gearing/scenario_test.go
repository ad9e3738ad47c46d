package gearing

import (
	"math"
	"slices"
	"testing"
)

// Worked cases, invented bikes; the figures are worked by hand from the
// formulas in the package (derived here) unless a line says otherwise.

var (
	mountain9    = []Teeth{11, 12, 14, 16, 18, 21, 24, 28, 32}
	wide34       = []Teeth{11, 13, 15, 17, 20, 23, 26, 30, 34}
	wide36       = []Teeth{12, 14, 16, 18, 21, 24, 28, 32, 36}
	gravel11     = []Teeth{11, 12, 13, 14, 16, 18, 20, 22, 25, 29, 34}
	single42     = []Teeth{11, 13, 15, 17, 19, 21, 24, 28, 32, 37, 42}
	single44     = []Teeth{10, 11, 13, 15, 17, 19, 21, 24, 28, 32, 38, 44}
	five         = []Teeth{14, 17, 20, 24, 29}
	tourerWheel  = Wheel{BeadSeat: 559, Section: 50, MeasuredRollOut: 2050}
	gravelWheel  = Wheel{BeadSeat: 622, Section: 42, LoadAllowance: 1}
	oldWheel     = Wheel{BeadSeat: 622, Section: 32, LoadAllowance: 1}
	tourerRating = RearDerailleur{RatedCapacity: 43, LargestCog: 36}
)

func tourer(rings, cogs []Teeth) Build {
	return Build{Frame: Frame{Chainstay: 450}, Wheel: tourerWheel, Rings: rings, Cogs: cogs, Rear: tourerRating}
}

func must[T any](t *testing.T) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// count is the answer of one method.
func count(l Lengths, m MethodName) int {
	for _, x := range l.Methods {
		if x.Method == m {
			return x.Pitches
		}
	}
	return 0
}

func near(got, want, tol float64) bool { return math.Abs(got-want) <= tol }

// A loaded tourer looks for a lower bottom gear: what each swap needs of a
// derailleur rated 43, which gears it loses and how long the chain is.
func TestLoadedTourer(t *testing.T) {
	tests := []struct {
		name          string
		rings, cogs   []Teeth
		needed        Teeth
		lost          []GearID
		exact, quick  int // big-big + 2 exactly, quick formula to the nearest inch; 0: not stated
		lowest        float64
		verdict       Verdict
		distinctAt5   int
		distinctKnown bool
	}{
		{name: "as it is", rings: []Teeth{26, 36, 48}, cogs: mountain9, needed: 43, lowest: 1.666, verdict: Works},
		{name: "44/32/22 x 11-34", rings: []Teeth{22, 32, 44}, cogs: wide34, needed: 45, lost: []GearID{{22, 11}},
			exact: 112, lowest: 1.326, verdict: CannotTell, distinctAt5: 19, distinctKnown: true},
		{name: "44/32/20 x 12-36", rings: []Teeth{20, 32, 44}, cogs: wide36, needed: 48,
			lost: []GearID{{20, 16}, {20, 14}, {20, 12}}, exact: 114, quick: 112, lowest: 1.139, verdict: CannotTell},
		{name: "42/32/20 x 12-36", rings: []Teeth{20, 32, 42}, cogs: wide36, needed: 46,
			lost: []GearID{{20, 14}, {20, 12}}, lowest: 1.139, verdict: CannotTell},
		{name: "40/28 x 12-36", rings: []Teeth{28, 40}, cogs: wide36, needed: 36, lowest: 1.594, verdict: Works},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			b := tourer(tt.rings, tt.cogs)
			f := must[RatedFit](t)(NewRatedFit(b))
			if f.Needed != tt.needed || !slices.Equal(f.Lost, tt.lost) || f.Verdict != tt.verdict {
				t.Errorf("needed %d, lost %v, %v; want %d, %v, %v", f.Needed, f.Lost, f.Verdict, tt.needed, tt.lost, tt.verdict)
			}
			if got := count(f.Lengths, MethodLoop); tt.exact != 0 && got != tt.exact {
				t.Errorf("exact %d, want %d", got, tt.exact)
			}
			if got := count(f.Lengths, MethodQuickNearest); tt.quick != 0 && got != tt.quick {
				t.Errorf("quick %d, want %d", got, tt.quick)
			}
			tab := must[Table](t)(NewTable(b, TableOptions{}))
			if got := float64(tab.Lowest().Development); !near(got, tt.lowest, 0.001) {
				t.Errorf("lowest %.3f m, want %.3f", got, tt.lowest)
			}
			if tt.distinctKnown && tab.WideGroups != tt.distinctAt5 {
				t.Errorf("%d gears differ by 5 %%, want %d", tab.WideGroups, tt.distinctAt5)
			}
		})
	}
}

// The same tourer's cadence at the speeds 160 W gives on 8 and 12 %: 5.1 and
// 3.5 km/h (given, not computed here).
func TestLoadedTourerCadences(t *testing.T) {
	tests := []struct {
		ring, cog Teeth
		speed     float64
		cadence   float64
	}{
		{26, 32, 5.1, 51}, {22, 34, 5.1, 64}, {20, 36, 5.1, 75},
		{26, 32, 3.5, 35}, {22, 34, 3.5, 44}, {20, 36, 3.5, 52}, // 51.2 by hand, the case says 52
	}
	for _, tt := range tests {
		d := Metres(float64(tt.ring)/float64(tt.cog)) * tourerWheel.RollOut()
		got := tt.speed / SpeedKmH(d, 1)
		if !near(got, tt.cadence, 1.01) {
			t.Errorf("%s at %v km/h: %.1f rpm, want %.0f", GearName(tt.ring, tt.cog), tt.speed, got, tt.cadence)
		}
	}
}

// A gravel bike goes from two rings to one.
func TestTwoRingsToOne(t *testing.T) {
	tests := []struct {
		name             string
		rings, cogs      []Teeth
		needed           Teeth
		low, top, spread float64 // lowest ratio, km/h at 90 rpm in the top gear, range in %
		step             float64
		chain            int
	}{
		{"46/30 x 11-34", []Teeth{30, 46}, gravel11, 39, 0.882, 49.6, 474, 0, 110},
		{"38 x 11-42", []Teeth{38}, single42, 31, 0.905, 41.0, 382, 18, 110},
		{"40 x 10-44", []Teeth{40}, single44, 34, 0.909, 47.4, 440, 19, 112},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			b := Build{Frame: Frame{Chainstay: 430}, Wheel: gravelWheel, Rings: tt.rings, Cogs: tt.cogs,
				Rear: RearDerailleur{RatedCapacity: 39}}
			tab := must[Table](t)(NewTable(b, TableOptions{}))
			if !near(tab.Lowest().Ratio, tt.low, 0.0006) || !near(tab.Highest().SpeedsKmH[1], tt.top, 0.06) || !near(float64(tab.Range), tt.spread, 0.6) {
				t.Errorf("low %.3f, top %.2f, range %.1f", tab.Lowest().Ratio, tab.Highest().SpeedsKmH[1], tab.Range)
			}
			if tt.step > 0 && !near(float64(tab.LargestStep.Size), tt.step, 0.8) {
				t.Errorf("largest step %.1f, want %.0f", tab.LargestStep.Size, tt.step)
			}
			f := must[RatedFit](t)(NewRatedFit(b))
			if f.Needed != tt.needed || len(f.Lost) != 0 {
				t.Errorf("needed %d, lost %v", f.Needed, f.Lost)
			}
			if got := count(f.Lengths, MethodLoop); got != tt.chain && count(f.Lengths, MethodQuickNearest) != tt.chain {
				t.Errorf("chain %d exact, %d quick; want %d", got, count(f.Lengths, MethodQuickNearest), tt.chain)
			}
		})
	}
	// The ring that keeps the low gear of 30 x 34 with another largest cog.
	for cog, want := range map[Teeth][2]float64{42: {37, 37}, 44: {38, 39}} {
		ring := 30.0 / 34 * float64(cog)
		if math.Floor(ring) > want[1] || math.Ceil(ring) < want[0] {
			t.Errorf("ring for %d: %.2f, want %v", cog, ring, want)
		}
	}
}

// An old tourer: two rings half a cog step apart, and a small one.
func TestHalfStepTourer(t *testing.T) {
	build := func(largest Teeth) Build {
		return Build{Frame: Frame{Chainstay: 440}, Wheel: oldWheel, Rings: []Teeth{26, 45, largest}, Cogs: five}
	}
	f := must[RatedFit](t)(NewRatedFit(build(49)))
	if f.Needed != 38 || f.Verdict != CannotTell {
		t.Errorf("needed %d, %v", f.Needed, f.Verdict)
	}
	if got := count(f.Lengths, MethodLoop); got != 112 {
		t.Errorf("exact %d, want 112", got)
	}
	if got := count(f.Lengths, MethodQuickNearest); got != 110 {
		t.Errorf("nearest inch %d, want 110", got)
	}
	tab := must[Table](t)(NewTable(build(49), TableOptions{}))
	h, ok := tab.HalfStep()
	if !ok || !h.Granny || h.Rings != [2]Teeth{45, 49} || !near(float64(h.RingStep), 8.9, 0.05) {
		t.Fatalf("half-step %+v, %v", h, ok)
	}
	if !near(float64(h.Smallest), 8.0, 0.1) || !near(float64(h.Largest), 11.5, 0.1) {
		t.Errorf("steps %.2f to %.2f, want 8.0 to 11.5", h.Smallest, h.Largest)
	}
	for _, s := range tab.Steps {
		if s.Size < 17.6 || s.Size > 21.5 { // stated as 18 to 21 %
			t.Errorf("cog step %.1f", s.Size)
		}
	}
	checkGranny(t, tab)
	worse := must[Table](t)(NewTable(build(48), TableOptions{}))
	if s := StepPercent(45, 48); !near(float64(s), 6.7, 0.05) {
		t.Errorf("48 over 45 is %.2f %%", s)
	}
	if h2, ok := worse.HalfStep(); ok && h2.Largest <= h.Largest {
		t.Errorf("48 should worsen the pattern: %.1f against %.1f", h2.Largest, h.Largest)
	}
}

// checkGranny: the small ring adds 0.90, 1.08 and 1.30; 1.53 and 1.86 are
// duplicates within 2 %.
func checkGranny(t *testing.T, tab Table) {
	t.Helper()
	want := []struct {
		ratio float64
		twin  bool
	}{{0.90, false}, {1.08, false}, {1.30, false}, {1.53, true}, {1.86, true}}
	for i, w := range want {
		g := tab.Gears[i]
		twins := 0
		for _, o := range tab.Gears {
			if o.Group == g.Group {
				twins++
			}
		}
		if !near(g.Ratio, w.ratio, 0.006) || (twins > 1) != w.twin {
			t.Errorf("%s: ratio %.3f, %d alike; want %.2f, twin %v", g.Name(), g.Ratio, twins, w.ratio, w.twin)
		}
	}
}

// A long cargo bike: chain counts only.
func TestCargoChain(t *testing.T) {
	for ring, want := range map[Teeth]int{44: 124, 38: 122} {
		b := Build{Frame: Frame{Chainstay: 520}, Wheel: gravelWheel, Rings: []Teeth{ring}, Cogs: []Teeth{11, 13, 15, 17, 19, 21, 24, 28, 32, 36}}
		if l := must[Lengths](t)(ChainLengths(b)); l.Recommended != want {
			t.Errorf("ring %d: %d pitches, want %d", ring, l.Recommended, want)
		}
	}
}
