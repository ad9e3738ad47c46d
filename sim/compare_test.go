package sim

import (
	"errors"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"cagewise/gearing"
)

// ride is a build for the cruising gear: one wheel turn is 2.1 m.
func ride(rings, cogs []gearing.Teeth) gearing.Build {
	return gearing.Build{Frame: gearing.Frame{Chainstay: 440}, Wheel: gearing.Wheel{MeasuredRollOut: 2100}, Rings: rings, Cogs: cogs}
}

func compared(t *testing.T, o CompareOptions, builds ...gearing.Build) Comparison {
	t.Helper()
	c, err := Compare(builds, o)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// 48x20 and 36x15 develop the same 5.04 m. By default lines 48x20 slants by 50 -
// 47.1 mm, 36x15 by 45 - 58.1: the straighter is ridden. At 20 and 25 % both
// stand beside a hole of 15 %, over 21 % only 36x15 does, over 25 % none (by
// hand).
func TestCruiseTakesTheStraighterChain(t *testing.T) {
	b := ride([]gearing.Teeth{36, 48}, []gearing.Teeth{12, 15, 18, 20, 24})
	for _, tt := range []struct {
		hole     gearing.Percent
		here     bool
		of, near int
	}{{0, true, 2, 2}, {21, false, 1, 2}, {24.99, false, 1, 2}, {25, false, 0, 2}, {11.2, true, 2, 2}} {
		c := compared(t, CompareOptions{CruiseKmH: gearing.SpeedKmH(5.04, 90), Hole: tt.hole}, b)
		got := c.Options[0].Cruise
		if got.GearID != id(48, 20) || math.Abs(got.Cadence-90) > 1e-9 || math.Abs(float64(got.Down)-20) > 1e-9 || math.Abs(float64(got.Up)-11.111) > 0.001 {
			t.Fatalf("%+v", got)
		}
		if got.Hole != tt.here || got.Near != tt.near || got.NearHoles != tt.of || got.AllHoles() != (tt.of == 2) {
			t.Errorf("hole %v: %+v", tt.hole, got)
		}
		if want := math.Atan2(50-47.075, 440) * 180 / math.Pi; math.Abs(float64(got.LineAngle)-want) > 0.05 {
			t.Errorf("slant %.3f degrees, want about %.3f", got.LineAngle, want)
		}
	}
	// 48x12 is alone at 4 to 1, and 15 to 12 is 25 % to the larger cog.
	for hole, beside := range map[gearing.Percent]bool{25: false, 24.99: true} {
		c := compared(t, CompareOptions{CruiseKmH: gearing.SpeedKmH(8.4, 90), Hole: hole}, b)
		if got := c.Options[0].Cruise; got.GearID != id(48, 12) || got.Hole != beside {
			t.Errorf("hole %v: %+v", hole, got)
		}
	}
	if (Cruise{}).AllHoles() {
		t.Error("no gear at all is beside a hole")
	}
}

// With one ring at 49.5 mm the 11, 12 and 13 lie at 63.6, 58.1 and 52.6: 1.83,
// 1.12 and 0.40 degrees, as 0.0183 and so on of cadence, and 0.01 more at the
// ends of three cogs or more. miss is how far the end cog lies off, of the
// ln(12/11) = 0.0870 or ln(13/12) = 0.0800 to its neighbour (by hand).
func TestCruiseShunsEndCogs(t *testing.T) {
	tests := []struct {
		cogs []gearing.Teeth
		end  gearing.Teeth
		miss float64
		want gearing.Teeth
	}{
		{[]gearing.Teeth{11, 12, 13}, 11, 0.0375, 12}, // 0.0375 + 0.0283 against 0.0495 + 0.0112
		{[]gearing.Teeth{11, 12, 13}, 11, 0.0300, 11}, // 0.0583 against 0.0682
		{[]gearing.Teeth{11, 12}, 11, 0.0375, 11},     // 0.0558 against 0.0607
		{[]gearing.Teeth{11, 12, 13}, 13, -0.0410, 12},
		{[]gearing.Teeth{11, 12, 13}, 13, -0.0360, 13},
	}
	for _, tt := range tests {
		wanted := gearing.Metres(40 / float64(tt.end) * 2.1 * math.Exp(-tt.miss))
		c := compared(t, CompareOptions{CruiseKmH: gearing.SpeedKmH(wanted, 90)}, ride([]gearing.Teeth{40}, tt.cogs))
		if got := c.Options[0].Cruise; got.GearID != id(40, tt.want) {
			t.Errorf("%v, %v off the %d: %s, want %d", tt.cogs, tt.miss, tt.end, got.GearID, tt.want)
		}
	}
}

// Gears within 3 % of the nearest count as about as near: 1.0 and 2.9 % off, not
// 3.1 more than the nearest.
func TestCruiseNear(t *testing.T) {
	b := ride([]gearing.Teeth{60, 62}, []gearing.Teeth{30, 40})
	wanted := gearing.Metres(62.0 / 40 * 2.1) // 62x40; 60x40 is ln(62/60) = 3.28 % off
	for miss, near := range map[float64]int{0: 1, 0.0013: 1, 0.0015: 2} {
		c := compared(t, CompareOptions{CruiseKmH: gearing.SpeedKmH(wanted, 90) * math.Exp(-miss)}, b)
		if got := c.Options[0].Cruise.Near; got != near { // off by miss and 0.0328 - miss
			t.Errorf("%v off: %d about as near, want %d", miss, got, near)
		}
	}
}

func TestCompareDefaults(t *testing.T) {
	b := ride([]gearing.Teeth{30, 46}, []gearing.Teeth{11, 13, 15, 17, 19, 21, 24, 28, 32, 36})
	if c := compared(t, CompareOptions{}, b); c.CruiseKmH != 25 || c.Cadence != 90 || c.Hole != 15 {
		t.Errorf("%+v", c)
	}
	b.Rider.CadenceHigh = 80
	if c := compared(t, CompareOptions{}, b, b); c.Cadence != 80 {
		t.Errorf("cadence %v", c.Cadence)
	}
	slow := compared(t, CompareOptions{CruiseKmH: 5, Cadence: 70}, b)
	if slow.Cadence != 70 || slow.Options[0].Cruise.GearID != id(30, 36) {
		t.Errorf("%+v", slow.Options[0].Cruise)
	}
	if _, err := Compare(slices.Repeat([]gearing.Build{b}, 12), CompareOptions{}); err != nil {
		t.Error(err)
	}
	if _, err := Compare(slices.Repeat([]gearing.Build{b}, 13), CompareOptions{}); !errors.Is(err, ErrCompare) {
		t.Error(err)
	}
	// Nothing is known of the cage; 108 pitches lock 46x36 and leave the 46x32 less
	// than a pair. 46x36 would be the nearest.
	lost := b
	lost.Frame.Chainstay, lost.Chain.Pitches = 430, 108
	wanted := gearing.Metres(46.0 / 36 * 2.1)
	o := compared(t, CompareOptions{CruiseKmH: gearing.SpeedKmH(wanted, 80)}, lost).Options[0]
	if o.Cruise.GearID != id(30, 24) || !slices.Equal(o.LostIDs, []gearing.GearID{id(46, 36), id(46, 32)}) {
		t.Errorf("%+v, lost %v", o.Cruise, o.LostIDs)
	}
}

func TestCompareNamesTheBuild(t *testing.T) {
	good := ride([]gearing.Teeth{30, 46}, []gearing.Teeth{11, 13, 15})
	bad, short, narrow := good, good, marginBuilds()["measured"]
	bad.Rings, short.Chain.Pitches, narrow.Rear.Geometry.PivotToTension = nil, 2, 20
	typical := marginBuilds()["typical"]
	typical.Chain.Pitches = 2
	for want, builds := range map[string][]gearing.Build{
		"build 2: build cannot be computed: 0 rings":   {good, bad},
		"build 2: cage triangle":                       {good, narrow},
		"build 2: build cannot be computed: the chain": {good, short},
		"build 1: build cannot be computed: the chain": {typical, good},
	} {
		if _, err := Compare(builds, CompareOptions{}); err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("got %v, want %q", err, want)
		}
	}
}

// Where nothing is known of the cage the bare loop judges the chain there is: that
// of 46x36 is 108.79 pitches, 112 leaves 3.2, 110 1.2 and 108 locks.
func TestTodaysChainByTeeth(t *testing.T) {
	b := ride([]gearing.Teeth{30, 46}, []gearing.Teeth{11, 13, 15, 17, 19, 21, 24, 28, 32, 36})
	b.Frame.Chainstay = 430
	for _, tt := range []struct {
		chain     int
		verdict   gearing.Verdict
		stays     bool
		dangerous []gearing.GearID
		tight     []gearing.GearID
	}{
		{112, gearing.CannotTell, true, nil, nil}, {114, gearing.CannotTell, true, nil, nil},
		{110, gearing.CannotTell, true, nil, []gearing.GearID{id(46, 36)}},
		{108, gearing.DoesNotWork, false, []gearing.GearID{id(46, 36)}, []gearing.GearID{id(46, 32)}},
	} {
		b.Chain.Pitches = tt.chain
		o := compared(t, CompareOptions{}, b).Options[0]
		if o.Missing != ErrNoGeometry.Error() || o.Knowledge != TeethOnly || o.Advice.Judged || o.Today != tt.chain || o.Fresh.Length != 112 {
			t.Fatalf("%+v", o)
		}
		if o.WithToday != tt.verdict || o.Stays != tt.stays || !slices.Equal(o.Dangerous, tt.dangerous) || !slices.Equal(o.Kept.In(Tight), tt.tight) {
			t.Errorf("%d pitches: %v, stays %v, dangerous %v, tight %v; want %+v", tt.chain, o.WithToday, o.Stays, o.Dangerous, o.Kept.In(Tight), tt)
		}
		if want := 112; !o.Stays && o.Chain != want || o.Stays && o.Chain != tt.chain {
			t.Errorf("%d pitches: %d are named", tt.chain, o.Chain)
		}
	}
}

// With a geometry every option is judged as by itself; its own chain goes before
// today's, and a worn chain counts with its length.
func TestTodaysChainSimulated(t *testing.T) {
	plain := marginBuilds()["measured"]
	stay, leave, wornDiffers := 0, 0, 0
	for n := 104; n <= 122; n += 2 {
		for _, worn := range []gearing.Percent{0, 1} {
			first, second, third := plain, plain, plain
			first.Chain = gearing.Chain{Pitches: n, Elongation: worn}
			second.Rings = []gearing.Teeth{28, 44}
			third.Chain.Pitches = 112
			c := compared(t, CompareOptions{}, first, second, third)
			for i, b := range []gearing.Build{first, second, third} {
				o := &c.Options[i]
				checkOption(t, o, b, first.Chain)
				if o.Stays {
					stay++
				} else {
					leave++
				}
			}
			first.Chain.Elongation = 0
			if fresh := mustStudy(t, first).Advice; fresh.Verdict != c.Options[0].WithToday {
				wornDiffers++
			}
		}
	}
	if stay == 0 || leave == 0 || wornDiffers == 0 {
		t.Errorf("%d stay, %d leave, wear decides %d", stay, leave, wornDiffers)
	}
	if o := compared(t, CompareOptions{}, plain).Options[0]; o.Today != 0 || o.Stays || len(o.Kept.Gears) != 0 {
		t.Errorf("no chain is there: %+v", o)
	}
}

func mustStudy(t *testing.T, b gearing.Build) *Study {
	t.Helper()
	s, err := NewStudy(b, gearing.TableOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// checkOption: an option says what studies of the build by itself say: with its
// own chain or else with today's, and with a new one.
func checkOption(t *testing.T, o *Option, b gearing.Build, today gearing.Chain) {
	t.Helper()
	own := b.Chain.Pitches > 0
	kept, bare := b, b
	if bare.Chain = (gearing.Chain{}); !own {
		kept.Chain = today
	}
	with, fresh := mustStudy(t, kept).Advice, mustStudy(t, bare).Advice
	if !reflect.DeepEqual(o.Kept, with) || o.Today != kept.Chain.Pitches || o.WithToday != with.Verdict || !slices.Equal(o.Dangerous, with.Dangerous()) {
		t.Errorf("with the chain there is: %+v; alone %+v", o.Kept, with)
	}
	if stays := with.Order == Stay && (with.Verdict.Yes() || with.Verdict <= fresh.Verdict); o.Stays != stays {
		t.Errorf("stays %v, want %v", o.Stays, stays)
	}
	want := fresh
	if own || o.Stays {
		want = with
	}
	if !reflect.DeepEqual(o.Advice, want) || o.Chain != want.Length || o.Verdict != want.Verdict || o.Knowledge != want.Knowledge {
		t.Errorf("%+v; alone %+v", o.Advice, want)
	}
	groups, lost := map[int]bool{}, []gearing.GearID{}
	for k := range want.Gears {
		if g := &want.Gears[k]; g.Lost || g.State.Dangerous() {
			lost = append(lost, g.GearID)
		} else {
			groups[o.Table.Gears[k].Group] = true
		}
	}
	if o.Useful != len(groups) || !slices.Equal(o.LostIDs, lost) {
		t.Errorf("%d useful, lost %v; want %d, %v", o.Useful, o.LostIDs, len(groups), lost)
	}
	for _, id := range lost {
		if o.Chain == o.Today && !slices.Contains(o.TodayLost, id) {
			t.Errorf("%s is lost, but not with the chain there is", id)
		}
	}
}
