package road

import (
	"bytes"
	"errors"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"cagewise/gearing"
)

// usageOf adds rides, given as CSV.
func usageOf(t *testing.T, o DetectOptions, rides ...[]Sample) Usage {
	t.Helper()
	m, err := NewMeter(rideBuild(), rideTable(t), o, Rider{})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rides {
		if err := m.AddRide(bytes.NewReader(writeCSV(r)), "r.csv"); err != nil {
			t.Fatal(err)
		}
	}
	return m.Usage()
}

// near holds a figure within a part of what it should be.
func near(t *testing.T, what string, got, want, part float64) {
	t.Helper()
	if math.Abs(got-want) > part*math.Abs(want) {
		t.Errorf("%s %.4g, want %.4g within %.1f %%", what, got, want, 100*part)
	}
}

// TestUsage compares with what was truly ridden.
func TestUsage(t *testing.T) {
	table := rideTable(t)
	ride := rideTruth(table, 3600, 11)
	o := usual(11)
	o.gaps = false
	u := usageOf(t, DetectOptions{}, o.of(ride)).All

	var seconds, turns, metres, work float64
	front := 0
	cogs := map[gearing.Teeth]float64{}
	for i, s := range ride[1:] {
		if ride[i].gear/len(table.Cogs) != s.gear/len(table.Cogs) {
			front++
		}
		if s.state == Pedalled {
			seconds++
			turns += s.Cadence / 60
			metres += s.Speed
			work += s.Power / 1000
			cogs[table.Gears[s.gear].Cog]++
		}
	}
	near(t, "pedalled s", u.Times.Pedalled, seconds, 0.02)
	near(t, "all s", u.Times.Total, 3599, 0)
	var got Spent
	for _, g := range u.Gears {
		got.add(g.Spent)
	}
	near(t, "turns", got.Turns, turns, 0.02)
	near(t, "metres", got.Metres, metres, 0.02)
	near(t, "kJ", got.Work, work, 0.02)
	if math.Abs(float64(u.FrontShifts-front)) > 2 {
		t.Errorf("%d front shifts, want about %d", u.FrontShifts, front)
	}
	for _, c := range u.Cogs {
		if math.Abs(c.Seconds-cogs[c.Cog]) > 10+0.05*cogs[c.Cog] {
			t.Errorf("cog %d: %.0f s, want about %.0f", c.Cog, c.Seconds, cogs[c.Cog])
		}
	}
}

// The sums by gear, ring and cog are one and the same, and so are the rides
// and all of them.
func TestUsageAddsUp(t *testing.T) {
	table := rideTable(t)
	a, b := usual(12).of(rideTruth(table, 1800, 12)), usual(13).of(rideTruth(table, 900, 13))
	u := usageOf(t, DetectOptions{}, a, b)
	var gears, rings, cogs Spent
	share := gearing.Percent(0)
	for _, g := range u.All.Gears {
		gears.add(g.Spent)
		share += g.Share
	}
	for _, r := range u.All.Rings {
		rings.add(r.Spent)
	}
	load := gearing.Percent(0)
	for _, c := range u.All.Cogs {
		cogs.add(c.Spent)
		load += c.ToothShare
	}
	for _, s := range []Spent{rings, cogs} {
		near(t, "seconds", s.Seconds, gears.Seconds, 1e-9)
		near(t, "turns", s.Turns, gears.Turns, 1e-9)
		near(t, "metres", s.Metres, gears.Metres, 1e-9)
		near(t, "kJ", s.Work, gears.Work, 1e-9)
	}
	near(t, "shares", float64(share), 100, 1e-9)
	near(t, "tooth load shares", float64(load), 100, 1e-9)
	times := u.All.Times
	near(t, "times", times.Pedalled+times.Freewheeling+times.Stopped+times.Unknown, times.Total, 1e-9)
	near(t, "two rides", u.Rides[0].Times.Total+u.Rides[1].Times.Total, times.Total, 1e-9)
	near(t, "pedalled in gears", gears.Seconds, times.Pedalled, 1e-9)
	if n := u.Rides[0].RearShifts + u.Rides[1].RearShifts; n != u.All.RearShifts {
		t.Errorf("%d rear shifts on two rides, %d on both", n, u.All.RearShifts)
	}
	if again := usageOf(t, DetectOptions{}, a, b); !reflect.DeepEqual(u, again) {
		t.Error("the same rides gave another result")
	}
}

// even is a ride in one gear at one cadence, without an error.
func even(t *testing.T, ring, cog gearing.Teeth, cadence, seconds float64, power float64) []Sample {
	t.Helper()
	g, ok := rideTable(t).Gear(ring, cog)
	if !ok {
		t.Fatalf("no gear %dx%d", ring, cog)
	}
	var list []Sample
	for i := range int(seconds) + 1 {
		list = append(list, Sample{Seconds: float64(i), Speed: float64(g.Development) * cadence / 60, Cadence: cadence, Power: power})
	}
	return list
}

// One gear by hand: 46x17 at 80 rpm and 200 W for 600 s.
func TestOneGearByHand(t *testing.T) {
	u := usageOf(t, DetectOptions{}, even(t, 46, 17, 80, 600, 200))
	all := u.All
	i := slices.IndexFunc(all.Gears, func(g GearUse) bool { return g.Ring == 46 && g.Cog == 17 })
	g := all.Gears[i]
	near(t, "s", g.Seconds, 600, 1e-9)
	near(t, "turns", g.Turns, 800, 1e-9)
	near(t, "kJ", g.Work, 120, 1e-9)
	near(t, "m", g.Metres, 800*2.150*46/17, 1e-3)
	near(t, "share", float64(g.Share), 100, 1e-9)
	near(t, "twins", float64(all.TwinShare), 100, 1e-9) // 30x11 is 0.8 % away
	if len(all.Unused) != 21 || all.RearShifts != 0 || all.EstimatedShare != 0 {
		t.Errorf("%d gears unused, %d shifts, %v %% estimated", len(all.Unused), all.RearShifts, all.EstimatedShare)
	}
	c := all.Cogs[3]
	// Pull 120 kJ / (800 turns x 46 x 12.7 mm) = 256.8 N, times 2164.7 turns
	// of the cog.
	near(t, "tooth load", c.ToothLoad, 256.76*800*46/17, 1e-3)
	near(t, "step without 17", float64(c.StepWithout), 100*(19.0/15-1), 1e-9)
	plan, err := gearing.ChainLines(rideBuild())
	if err != nil {
		t.Fatal(err)
	}
	near(t, "angle", float64(all.LineAngle), math.Abs(float64(plan.Gears[i].Angle)), 1e-9)
	if w := u.Rides[0].Wheel; w.Found || w.Scale != 1 || w.Why == "" {
		t.Errorf("one gear alone gave a wheel: %+v", w)
	}
}

// Without power the work is that of a steady speed on the flat, and says so.
func TestEstimatedWork(t *testing.T) {
	u := usageOf(t, DetectOptions{}, even(t, 46, 17, 80, 600, math.NaN())).All
	r := Rider{}.WithDefaults()
	near(t, "kJ", u.Cogs[3].Work, 0.6*r.AtCranks(r.Power(80*2.150*46/17/60, 0)), 1e-3)
	near(t, "estimated", float64(u.EstimatedShare), 100, 1e-9)
}

// Duplicates stay on the ring that was certain before: 30x15 and 46x23 show
// the same, and 46x21 comes before.
func TestDuplicateKeepsTheRing(t *testing.T) {
	join := func(parts ...[]Sample) (all []Sample) {
		for _, p := range parts {
			for _, s := range p {
				s.Seconds = float64(len(all))
				all = append(all, s)
			}
		}
		return all
	}
	for _, c := range []struct{ ring, certain, twin gearing.Teeth }{{46, 13, 23}, {30, 34, 15}} {
		moments, _ := detectAll(t, rideTable(t), DetectOptions{}, join(even(t, c.ring, c.certain, 80, 60, 100), even(t, c.ring, c.twin, 80, 60, 100)))
		if g := rideTable(t).Gears[moments[len(moments)-1].Gear]; g.Ring != c.ring {
			t.Errorf("after %dx%d the twin was taken for %s", c.ring, c.certain, g.Name())
		}
	}
	// The same after a stop of ten minutes, and with a break.
	stop := []Sample{}
	for range 600 {
		stop = append(stop, Sample{})
	}
	moments, _ := detectAll(t, rideTable(t), DetectOptions{}, join(even(t, 46, 13, 80, 60, 100), stop, even(t, 46, 23, 80, 60, 100)))
	if g := rideTable(t).Gears[moments[len(moments)-1].Gear]; g.Ring != 46 {
		t.Errorf("after a stop the twin was taken for %s", g.Name())
	}
}

func TestStates(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name           string
		speed, cadence float64
		want           State
	}{
		{"standing", 0, 0, Stopped}, {"standing, cadence lags", 0.2, 60, Stopped}, {"standing, no cadence", 0, nan, Stopped},
		{"coasting", 8, 0, Freewheeling}, {"turning cranks slowly downhill", 14, 40, Freewheeling},
		{"no cadence", 8, nan, Unknown}, {"no speed", nan, 80, Unknown}, {"neither", nan, nan, Unknown},
		{"46x17", 46.0 / 17 * 2.150 * 80 / 60, 80, Pedalled}, {"between 46x13 and 46x11", 8.3 * 80 / 60, 80, Unknown}, {"far under the lowest", 1, 90, Unknown},
	} {
		var list []Sample
		for i := range 5 {
			list = append(list, Sample{Seconds: float64(i), Speed: c.speed, Cadence: c.cadence, Power: nan})
		}
		moments, _ := detectAll(t, rideTable(t), DetectOptions{}, list)
		for _, m := range moments {
			if m.State != c.want {
				t.Errorf("%s: %v, want %v", c.name, m.State, c.want)
				break
			}
		}
	}
}

func TestRideOptionsChecked(t *testing.T) {
	for _, o := range []DetectOptions{{SpeedNoise: 50}, {CadenceNoise: math.NaN()}, {Tolerance: -1}} {
		if _, err := NewMeter(rideBuild(), rideTable(t), o, Rider{}); err == nil {
			t.Errorf("%+v was taken", o)
		}
	}
	if _, err := NewMeter(rideBuild(), gearing.Table{}, DetectOptions{}, Rider{}); err == nil {
		t.Error("a build without gears was taken")
	}
}

// The way is that of the build's wheel when the recorder's was found to be off,
// and work is estimated from the same speed; else both are as recorded.
func TestWayIsByTheBuildsWheel(t *testing.T) {
	table := rideTable(t)
	ride := rideTruth(table, 3600, 15)
	way := 0.0
	for _, s := range ride[1:] {
		way += s.Speed
	}
	o := usual(15)
	o.noPower, o.gaps = true, false
	right := usageOf(t, DetectOptions{}, o.of(ride)).All
	o.wheel = 1.03
	found := usageOf(t, DetectOptions{}, o.of(ride)).All
	kept := usageOf(t, DetectOptions{KeepWheel: true}, o.of(ride)).All
	near(t, "way", found.Distance, way, 0.003)
	near(t, "way as recorded", kept.Distance, 1.03*way, 0.003)
	near(t, "kJ", found.work(), right.work(), 0.003)
	for i, g := range found.Gears {
		near(t, "metres a turn in "+g.GearID.String(), g.Metres, g.Turns*float64(table.Gears[i].Development), 0.05)
	}
}

// A cadence sensor that sleeps says so, and such a ride takes no part in the
// shares.
func TestCadenceZeroThroughout(t *testing.T) {
	ride := usual(16).of(rideTruth(rideTable(t), 900, 16))
	asleep := slices.Clone(ride)
	for i := range asleep {
		asleep[i].Cadence = 0
	}
	u := usageOf(t, DetectOptions{}, ride, asleep)
	r := u.Rides[1]
	if r.HasGear() || r.Wheel.Why != "no cadence" || !strings.Contains(strings.Join(r.Warnings, "\n"), "cadence is 0 throughout") {
		t.Errorf("%+v, wheel %+v", r.Recording, r.Wheel)
	}
	if got := u.GearedTimes(); got != u.Rides[0].Times {
		t.Errorf("times of rides with a gear %+v, want %+v", got, u.Rides[0].Times)
	}
}

// A file that runs backwards is refused; one of which half does warns of it
// first.
func TestReversedRide(t *testing.T) {
	ride := usual(17).of(rideTruth(rideTable(t), 900, 17))
	back := slices.Clone(ride)
	slices.Reverse(back)
	m, err := NewMeter(rideBuild(), rideTable(t), DetectOptions{}, Rider{})
	if err != nil {
		t.Fatal(err)
	}
	err = m.AddRide(bytes.NewReader(writeCSV(back)), "back.csv")
	want := "back.csv: no ride: 899 of its 900 points are left out, as they have no time or one that is not after the one before; needed: points in order of time"
	if !errors.Is(err, ErrNoRide) || err.Error() != want || len(m.Usage().Rides) != 0 {
		t.Errorf("%v\nwant %s", err, want)
	}
	u := usageOf(t, DetectOptions{}, slices.Concat(ride[:200], back))
	r := u.Rides[0]
	if !r.MostLeftOut() || !strings.HasPrefix(r.Warnings[0], "r.csv: most of the ride is left out, 899 of its 1100 points") {
		t.Errorf("%+v", r.Recording)
	}
}
