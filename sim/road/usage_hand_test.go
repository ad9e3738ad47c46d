package road

import (
	"errors"
	"math"
	"slices"
	"testing"

	"cagewise/gearing"
)

// parts joins rides of one gear each, a second between them.
func parts(list ...[]Sample) (all []Sample) {
	for _, p := range list {
		for _, s := range p {
			s.Seconds = float64(len(all))
			all = append(all, s)
		}
	}
	return all
}

// 200 s on 46x13, 100 s on 46x19, 300 s on 30x34, at one cadence (by hand): two
// changes of cog, one of ring; half of the turns are those of 30x34.
func TestThreeGearsByHand(t *testing.T) {
	u := usageOf(t, DetectOptions{}, parts(even(t, 46, 13, 80, 199, 150), even(t, 46, 19, 80, 99, 150), even(t, 30, 34, 80, 299, 150))).All
	if u.RearShifts != 2 || u.FrontShifts != 1 {
		t.Errorf("%d rear and %d front shifts", u.RearShifts, u.FrontShifts)
	}
	plan, err := gearing.ChainLines(rideBuild())
	if err != nil {
		t.Fatal(err)
	}
	table, turns, sum := rideTable(t), 0.0, 0.0
	for i, g := range u.Gears {
		want := map[gearing.GearID]float64{{Ring: 46, Cog: 13}: 199, {Ring: 46, Cog: 19}: 100, {Ring: 30, Cog: 34}: 300}[g.GearID]
		if math.Abs(g.Seconds-want) > 2 || math.Abs(g.Turns-g.Seconds*80/60) > 1e-9 || math.Abs(g.Work-0.15*g.Seconds) > 1e-9 {
			t.Errorf("%s: %+v, want %v s", g.GearID, g.Spent, want)
		}
		if g.Development != table.Gears[i].Development {
			t.Errorf("%s develops %v", g.GearID, g.Development)
		}
		turns += g.Turns
		sum += g.Turns * math.Abs(float64(plan.Gears[i].Angle))
	}
	near(t, "slant", float64(u.LineAngle), sum/turns, 1e-9)
	near(t, "one ring", u.Rings[1].Seconds, 299, 0.01)
	near(t, "other ring", u.Rings[0].Seconds, 300, 0.01)
	// Without the 13 the step is 15/11 or 36.36 %, 18.18 with it; a third of the
	// time is spent on it: 33.3 x 18.18. Without the 19: 23.53 less 11.76.
	for cog, want := range map[gearing.Teeth]float64{13: 100.0 * 199 / 599 * (100*15.0/11 - 100*13.0/11), 19: 100.0 * 100 / 599 * (100*21.0/17 - 100*19.0/17), 34: 0, 11: 0} {
		i := slices.IndexFunc(u.Cogs, func(c CogUse) bool { return c.Cog == cog })
		near(t, "missed", u.Cogs[i].Missed, want, 0.02)
	}
}

// The least and the most missed are looked for between the ends; the smaller of
// equals, and none where nothing was ridden.
func TestMissedCogs(t *testing.T) {
	use := func(pedalled float64, missed ...float64) Use {
		u := Use{Times: Times{Pedalled: pedalled}}
		for i, m := range missed {
			u.Cogs = append(u.Cogs, CogUse{Cog: gearing.Teeth(11 + 2*i), Missed: m})
		}
		return u
	}
	for _, c := range []struct {
		u           Use
		least, most gearing.Teeth // 0: none
	}{
		{use(1, 0, 5, 2, 9, 2, 9, 0), 15, 17}, {use(1, 0, 3, 0), 13, 13}, {use(1, 0, 0), 0, 0}, {use(1, 0), 0, 0}, {use(0, 0, 3, 0), 0, 0}, {use(1, 9, 3, 4, 0), 13, 15},
	} {
		least, ok1 := c.u.LeastMissed()
		most, ok2 := c.u.MostMissed()
		if least.Cog != c.least || most.Cog != c.most || ok1 != (c.least != 0) || ok2 != ok1 {
			t.Errorf("%+v: least %d, most %d", c, least.Cog, most.Cog)
		}
	}
}

// 45/30 and 30/20 are one development; 50/34 is 1.96 % under it, 51/33 3 % over.
func TestTwins(t *testing.T) {
	tab := climbTable(t, []gearing.Teeth{30, 45}, []gearing.Teeth{20, 30})
	for i, list := range twinsOf(tab) {
		g := tab.Gears[i]
		switch g.Name() {
		case "30x20", "45x30":
			if len(list) != 1 || tab.Gears[list[0]].Ratio != g.Ratio || tab.Gears[list[0]].Ring == g.Ring {
				t.Errorf("%s: %v", g.Name(), list)
			}
		default:
			if len(list) != 0 {
				t.Errorf("%s: %v", g.Name(), list)
			}
		}
	}
}

// With noise 0.004 a moment weighs as much as the run's error: n moments that
// are worse by 1 say n/(1 + n). Three strangers in a row end the run.
func TestTwinRunByHand(t *testing.T) {
	r := twinRun{twins: []int{1}}
	said := 0.0
	for n := 1.0; n <= 5; n++ {
		// Fits 3 and 1: the mean is 2, this gear 1 worse.
		said += r.weigh(0, []float64{3, 1}, runError) - 2
		if math.Abs(said-n/(1+n)) > 1e-12 {
			t.Errorf("%v moments say %v, want %v", n, said, n/(1+n))
		}
	}
	half := twinRun{twins: []int{1}} // twice the noise: a quarter of the weight
	if got := half.weigh(0, []float64{3, 1}, 2*runError) - 2; math.Abs(got-1/1.25) > 1e-12 {
		t.Errorf("one moment of twice the noise says %v", got)
	}
	for away, sum := range []float64{5, 5, 0} {
		if got := r.weigh(0, []float64{9, 4.6}, runError); got != 9 || r.sum != sum {
			t.Errorf("stranger %d: cost %v, run %v", away+1, got, r.sum)
		}
	}
	r.weigh(0, []float64{3, 1}, runError)
	r.weigh(0, []float64{9, 8}, runError)
	r.weigh(0, []float64{9, 8}, runError)
	r.weigh(0, []float64{4.5, 4.5}, runError) // still of the run: the count begins anew
	r.weigh(0, []float64{9, 8}, runError)
	if r.sum == 0 {
		t.Error("strangers not in a row ended the run")
	}
	alone := twinRun{}
	if got := alone.weigh(1, []float64{3, 7}, runError); got != 7 {
		t.Errorf("a gear without duplicates costs %v, not its fit", got)
	}
}

// Costs by hand from the constants: a cog 3.2, each further 0.8, a ring 5.7 with
// cogs at 0.8, into a lost gear 1.5 more.
func TestShiftCosts(t *testing.T) {
	gear := func(ring, cog int, lost bool) gearing.Gear {
		return gearing.Gear{RingIndex: ring, CogIndex: cog, Lost: lost}
	}
	for _, c := range []struct {
		from, to gearing.Gear
		want     float64
	}{
		{gear(0, 3, false), gear(0, 3, false), 0}, {gear(0, 3, false), gear(0, 4, false), 3.2}, {gear(0, 4, false), gear(0, 3, false), 3.2},
		{gear(0, 3, false), gear(0, 6, false), 4.8}, {gear(0, 3, false), gear(1, 3, false), 5.7}, {gear(1, 3, false), gear(0, 1, false), 7.3}, {gear(2, 3, false), gear(0, 3, false), 11.4},
		{gear(0, 3, false), gear(0, 4, true), 4.7}, {gear(0, 3, true), gear(0, 4, true), 3.2}, {gear(0, 3, true), gear(0, 4, false), 3.2},
	} {
		if got := shiftCost(c.from, c.to); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%+v to %+v: %v, want %v", c.from, c.to, got, c.want)
		}
	}
	tab := climbTable(t, []gearing.Teeth{20, 30, 40}, []gearing.Teeth{10, 14, 18, 22, 26})
	for _, c := range []struct {
		ring, cog gearing.Teeth
		want      float64
	}{{20, 26, 0}, {40, 10, 0}, {30, 18, 0}, {20, 10, 1}, {40, 26, 1}, {30, 10, 0.5}, {20, 22, 0.25}, {40, 22, 0.75}} {
		g, _ := tab.Gear(c.ring, c.cog)
		if got := crossed(tab, g); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s is crossed by %v, want %v", g.Name(), got, c.want)
		}
	}
	for _, tab := range []gearing.Table{climbTable(t, []gearing.Teeth{30}, []gearing.Teeth{10, 20}), climbTable(t, []gearing.Teeth{30, 40}, []gearing.Teeth{20})} {
		for _, g := range tab.Gears {
			if got := crossed(tab, g); got != 0 {
				t.Errorf("%s of one ring or cog is crossed by %v", g.Name(), got)
			}
		}
	}
}

// A fit is half the square of the miss in errors, never worse than a stray: ln
// 2.5/(0.05 x 0.02 x sqrt(2 pi)) = 6.9051 (by hand).
func TestFitsByHand(t *testing.T) {
	tab := climbTable(t, []gearing.Teeth{30}, []gearing.Teeth{10, 20}) // 3 and 6 m: ln 2 apart
	p := newGearPath(tab, 1)
	before := slices.Clone(p.cost)
	p.weigh(math.Log(3)+0.04, 0.02) // two errors off the lower gear
	if math.Abs(p.fit[0]-2) > 1e-9 || math.Abs(p.fit[1]-6.9051) > 0.0001 {
		t.Errorf("fits %v", p.fit)
	}
	if p.cost[0] != 0 || math.Abs(p.cost[1]-(before[1]-before[0]+4.9051)) > 0.0001 {
		t.Errorf("costs %v", p.cost)
	}
}

// A degree of latitude is 6371.0088 km x pi/180 = 111.195 km, one of longitude
// on 60 degrees 2 R asin(sin(0.5 degrees)/2) = 55.597 km; far places by the
// spherical law of cosines.
func TestGreatCircle(t *testing.T) {
	rad := func(d float64) float64 { return d * math.Pi / 180 }
	for _, c := range [][5]float64{{0, 0, 1, 0, 111195.08}, {0, 0, 0, 1, 111195.08}, {60, 0, 60, 1, 55597.0}, {60, 10, 60, 9, 55597.0}, {0, 0, 0, 180, math.Pi * earthRadius}} {
		if got := greatCircle(rad(c[0]), rad(c[1]), rad(c[2]), rad(c[3])); math.Abs(got-c[4]) > 0.1 {
			t.Errorf("%v: %.1f m", c, got)
		}
	}
	for _, c := range [][4]float64{{47, 8, 52, 13}, {10, 20, -30, 60}, {60, -5, 59, 12}} {
		want := earthRadius * math.Acos(math.Sin(rad(c[0]))*math.Sin(rad(c[2]))+math.Cos(rad(c[0]))*math.Cos(rad(c[2]))*math.Cos(rad(c[3]-c[1])))
		var tr track
		first, second := tr.distance(c[0], c[1]), tr.distance(c[2], c[3])
		if first != 0 || math.Abs(second-want) > 1 {
			t.Errorf("%v: %.1f then %.1f m, want %.1f", c, first, second, want)
		}
	}
	var tr track
	for at, ok := range map[[2]float64]bool{{90, 360}: true, {-90, -360}: true, {90.1, 0}: false, {0, 360.1}: false, {math.NaN(), 0}: false} {
		if got := tr.distance(at[0], at[1]); math.IsNaN(got) == ok {
			t.Errorf("%v: %v", at, got)
		}
	}
}

// Three points of -(x - 0.3)^2/2 s^2, s = 0.002 and steps of the search apart,
// give back 0.3 of a step and s (by hand).
func TestPeakByHand(t *testing.T) {
	const s = 0.002
	at := func(x float64) float64 { return -x * x / (2 * s * s) }
	top := 0.3 * wheelStep
	w := peak(at(-wheelStep-top), at(-top), at(wheelStep-top), 0.01)
	if !w.Found || math.Abs(math.Log(w.Scale)-0.01-top) > 1e-9 || math.Abs(w.Error-s) > 1e-9 {
		t.Errorf("%+v", w)
	}
	for _, flat := range [][3]float64{{1, 1, 1}, {2, 1, 2}} {
		if w := peak(flat[0], flat[1], flat[2], 0); w.Found {
			t.Errorf("%v has a peak: %+v", flat, w)
		}
	}
}

func TestDetectBounds(t *testing.T) {
	for _, o := range []DetectOptions{{SpeedNoise: 0.2, CadenceNoise: 0.1, Tolerance: 1}, {SpeedNoise: 10, CadenceNoise: 10, Tolerance: 20}} {
		if err := o.Check(); err != nil {
			t.Error(err)
		}
	}
	o := DetectOptions{}.WithDefaults()
	for _, c := range []struct {
		speed, cadence, over float64
		want                 State
	}{{0.5, 60, 0, Pedalled}, {0.49, 60, 0, Stopped}, {0.5, 0, 0, Freewheeling}, {8, 80, 0.16, Freewheeling}, {8, 80, 0.14, Pedalled}, {8, 80, math.NaN(), Unknown}} {
		if got := o.state(Moment{Speed: c.speed, Cadence: c.cadence}, 1+c.over, 0.02, 1); got != c.want {
			t.Errorf("%+v: %v", c, got)
		}
	}
}

func TestCSVWords(t *testing.T) {
	for in, want := range map[string]string{"Speed (km/h)": "speed_km_h", "TIME": "time", "a-z 0-9": "a_z_0_9", "Zaz09": "zaz09", "{`/:": ""} {
		if got := columnName(in); got != want {
			t.Errorf("%q: %q", in, got)
		}
	}
	for in, want := range map[string]byte{"a,b;c,d": ',', "a;b;c,d": ';', "a\tb": '\t', "a": ',', "a,b;c": ','} {
		if got := delimiterOf([]byte(in)); got != want {
			t.Errorf("%q: %q", in, got)
		}
	}
	flaws := func(cell string) (float64, int) {
		c := &cleaner{}
		v := c.csvTime([]byte(cell), 1)
		return v, c.flaws[flawNumber].count
	}
	for cell, want := range map[string]float64{
		"12.5": 12.5, "1:02:03": 3723, "0:30": 30, "123:00": 7380, "1970-01-01T00:01:00.25Z": 60.25, "1970-01-01 00:02:00": 120, "1970-01-01T01:00:00+01:00": 0,
	} {
		if got, bad := flaws(cell); math.Abs(got-want) > 1e-9 || bad != 0 {
			t.Errorf("%q: %v, %d flaws; want %v", cell, got, bad, want)
		}
	}
	for _, cell := range []string{":30", "1:xx", "yesterday at 10:30", "1970-13-01T00:00:00Z"} {
		if got, bad := flaws(cell); !math.IsNaN(got) || bad != 1 {
			t.Errorf("%q: %v, %d flaws", cell, got, bad)
		}
	}
	c := &cleaner{}
	if got := c.date(nil, 1); !math.IsNaN(got) || c.flaws[flawNumber].count != 0 {
		t.Errorf("no date: %v, %d flaws", got, c.flaws[flawNumber].count)
	}
}

// A clock that was set back is believed after ten times that rise.
func TestClockByHand(t *testing.T) {
	var c clock
	read := func(at, seconds float64, set, ok bool) {
		t.Helper()
		if s, gotSet, gotOK := c.read(at); s != seconds || gotSet != set || gotOK != ok {
			t.Errorf("at %v: %v, %v, %v; want %v, %v, %v", at, s, gotSet, gotOK, seconds, set, ok)
		}
	}
	read(1000, 0, false, true)
	read(1010, 10, false, true)
	read(1010, 0, false, false)
	for k := range 8 {
		read(500+float64(k), 0, false, false) // under the one before: the first of a new run
	}
	read(507, 0, false, false) // not after the one before: counted anew
	for k := range 8 {
		read(508+float64(k), 0, false, false)
	}
	read(516, 10+breakSeconds, true, true)
	read(517, 11+breakSeconds, false, true)
}

func TestASCII(t *testing.T) {
	in, _ := charsetReader("latin1", &chunks{[]byte("a\x7f\x80\xff")})
	p := make([]byte, 10)
	if n, err := in.Read(p); err != nil || string(p[:n]) != "a\x7f??" {
		t.Errorf("%q, %v", p[:n], err)
	}
}

type chunks struct{ data []byte }

func (c *chunks) Read(p []byte) (int, error) {
	if len(c.data) == 0 {
		return 0, errors.New("no more")
	}
	n := copy(p, c.data)
	c.data = c.data[n:]
	return n, nil
}
