package road

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"cagewise/gearing"
)

// detectAll finds the gears of samples.
func detectAll(t testing.TB, table gearing.Table, o DetectOptions, samples []Sample) ([]Moment, WheelFit) {
	t.Helper()
	var list []Moment
	d, err := NewDetector(table, o, func(m Moment) { list = append(list, m) })
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range samples {
		_ = d.Add(s)
	}
	w := d.Close()
	if len(list) != len(samples) {
		t.Fatalf("%d moments out of %d samples", len(list), len(samples))
	}
	return list, w
}

// score counts how the moments of a ride were taken.
type score struct {
	right, pedalled int
	ringWrong       int // right development within 2.5 %, wrong ring
	states          [stateCount][stateCount]int
	gears           [][]int // true gear, found gear; the last column is none
}

func newScore(table gearing.Table) *score {
	s := &score{gears: make([][]int, len(table.Gears))}
	for i := range s.gears {
		s.gears[i] = make([]int, len(table.Gears)+1)
	}
	return s
}

// add compares; moments without a recorded cadence show nothing and are left
// out.
func (s *score) add(table gearing.Table, ride []truth, samples []Sample, moments []Moment) {
	for i, m := range moments {
		if math.IsNaN(samples[i].Cadence) {
			continue
		}
		s.states[ride[i].state][m.State]++
		if ride[i].state != Pedalled {
			continue
		}
		s.pedalled++
		column := m.Gear
		if column < 0 {
			column = len(table.Gears)
		}
		s.gears[ride[i].gear][column]++
		switch a := table.Gears[ride[i].gear]; {
		case m.Gear == ride[i].gear:
			s.right++
		case m.Gear >= 0 && a.Ring != table.Gears[m.Gear].Ring && math.Abs(a.Ratio/table.Gears[m.Gear].Ratio-1) < 0.025:
			s.ringWrong++
		}
	}
}

func (s *score) percent() float64 { return 100 * float64(s.right) / float64(s.pedalled) }

// table is the confusion table: each true gear with what it was taken for.
func (s *score) table(table gearing.Table) string {
	var b strings.Builder
	fmt.Fprintf(&b, "pedalled moments right: %d of %d, %.2f %%; a duplicate on the other ring: %.2f %%\n",
		s.right, s.pedalled, s.percent(), 100*float64(s.ringWrong)/float64(s.pedalled))
	b.WriteString("true state    unknown pedalled freewheeling stopped\n")
	for state, row := range s.states {
		fmt.Fprintf(&b, "%-13s %7d %8d %12d %7d\n", State(state), row[Unknown], row[Pedalled], row[Freewheeling], row[Stopped])
	}
	for g, row := range s.gears {
		all := 0
		for _, n := range row {
			all += n
		}
		if all == 0 {
			continue
		}
		fmt.Fprintf(&b, "%s %6d  right %5.1f %%", table.Gears[g].Name(), all, 100*float64(row[g])/float64(all))
		for found, n := range row {
			switch {
			case n == 0 || found == g:
			case found == len(table.Gears):
				fmt.Fprintf(&b, "  none %d", n)
			default:
				fmt.Fprintf(&b, "  %s %d", table.Gears[found].Name(), n)
			}
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// TestGearDetection holds the share of right gears at 2 % of noise in speed
// and 1 rpm in cadence, with a wheel that is set right and 1 % wrong. The last
// two cases are harder than asked for: errors that drift over several seconds,
// and a rider who changes rings in the middle of the cassette, among the
// duplicates.
func TestGearDetection(t *testing.T) {
	table := rideTable(t)
	for _, c := range []struct {
		name     string
		wheel    float64
		alike    float64
		restless bool
		least    float64 // percent right
	}{
		{"true wheel", 1, 0, false, 97},
		{"wheel 1 % large", 1.01, 0, false, 97},
		{"wheel 1 % small", 0.99, 0, false, 97},
		{"drifting errors", 1.01, 0.7, false, 95},
		{"restless rider", 1.01, 0, true, 95},
	} {
		t.Run(c.name, func(t *testing.T) {
			all, worst := newScore(table), 100.0
			for seed := range uint64(8) {
				rider := newTestRider(table, seed)
				rider.restless = c.restless
				ride := rider.ride(2 * 3600)
				o := usual(seed)
				o.wheel, o.alike = c.wheel, c.alike
				samples := o.of(ride)
				moments, w := detectAll(t, table, DetectOptions{}, samples)
				one := newScore(table)
				one.add(table, ride, samples, moments)
				all.add(table, ride, samples, moments)
				worst = min(worst, one.percent())
				t.Logf("ride %d: %.2f %% right, wheel %.4f +- %.4f %s", seed, one.percent(), w.Scale, w.Error, w.Why)
				if !w.Found || math.Abs(w.Scale-c.wheel) > 0.002 {
					t.Errorf("ride %d: wheel %+v, want %v within 0.002", seed, w, c.wheel)
				}
			}
			t.Logf("worst ride %.2f %%\n%s", worst, all.table(table))
			if all.percent() < c.least {
				t.Errorf("%.2f %% of pedalled moments right, want %v", all.percent(), c.least)
			}
		})
	}
}

// Other rings and cogs. On the triple nearly every gear of the large ring has a
// duplicate on the middle one, and 36x15 and 48x20 are one: the rider shifts
// the ring and two cogs back from one to the other, which shows for a second
// at most. Less is demanded there.
func TestOtherDrivetrains(t *testing.T) {
	for _, c := range []struct {
		name  string
		least float64
		rings []gearing.Teeth
		cogs  []gearing.Teeth
	}{
		{"1x12", 99, []gearing.Teeth{38}, []gearing.Teeth{10, 12, 14, 16, 18, 21, 24, 28, 32, 36, 42, 50}},
		{"3x9", 93, []gearing.Teeth{26, 36, 48}, []gearing.Teeth{11, 13, 15, 17, 20, 23, 26, 30, 34}},
	} {
		b := gearing.Build{Rings: c.rings, Cogs: c.cogs, Wheel: gearing.Wheel{MeasuredRollOut: 2200}}
		table, err := gearing.NewTable(b, gearing.TableOptions{})
		if err != nil {
			t.Fatal(err)
		}
		all := newScore(table)
		for seed := range uint64(6) {
			ride := rideTruth(table, 2*3600, seed)
			o := usual(seed)
			o.wheel = 1.01
			samples := o.of(ride)
			moments, w := detectAll(t, table, DetectOptions{}, samples)
			all.add(table, ride, samples, moments)
			if !w.Found || math.Abs(w.Scale-1.01) > 0.002 {
				t.Errorf("%s, ride %d: wheel %+v", c.name, seed, w)
			}
		}
		t.Logf("%s\n%s", c.name, all.table(table))
		if all.percent() < c.least {
			t.Errorf("%s: %.2f %% of pedalled moments right, want %v", c.name, all.percent(), c.least)
		}
	}
}

// TestGearsFromPositions asks what a GPX without a speed still shows: the way
// between positions that wander by 1.5 m over half a minute. Nothing is
// demanded of a receiver but that most gears come out.
func TestGearsFromPositions(t *testing.T) {
	table := rideTable(t)
	all := newScore(table)
	for seed := range uint64(4) {
		ride := rideTruth(table, 2*3600, seed)
		samples := usual(seed).of(ride)
		rng := rand.New(rand.NewPCG(seed, 4))
		wander := record{alike: 0.97}.drift(rng)
		metres := way(ride)
		for i := range metres {
			metres[i] += 1.5 * wander()
		}
		read, rec, err := readAll(writeGPX(samples, metres, false), "p.gpx")
		if err != nil || rec.WithDerived < len(samples)*9/10 {
			t.Fatalf("%+v, %v", rec, err)
		}
		moments, w := detectAll(t, table, DetectOptions{}, read)
		all.add(table, ride, read, moments)
		t.Logf("ride %d: wheel %.4f +- %.4f %s", seed, w.Scale, w.Error, w.Why)
	}
	t.Logf("\n%s", all.table(table))
	if all.percent() < 85 {
		t.Errorf("%.2f %% of pedalled moments right, want 85", all.percent())
	}
}
