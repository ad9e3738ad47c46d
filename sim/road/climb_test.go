package road

import (
	"math"
	"testing"

	"cagewise/gearing"
)

func climbTable(t *testing.T, rings, cogs []gearing.Teeth) gearing.Table {
	t.Helper()
	tab, err := gearing.NewTable(gearing.Build{Rings: rings, Cogs: cogs, Wheel: gearing.Wheel{MeasuredRollOut: 2000}}, gearing.TableOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return tab
}

// The bounds themselves are allowed.
func TestHillBounds(t *testing.T) {
	grades := func(n int) []float64 { return make([]float64, n) }
	powers := func(p ...float64) []float64 { return p }
	tests := []struct {
		h  Hill
		ok bool
	}{
		{Hill{grades(40), powers(100, 150, 200, 250), 60}, true}, {Hill{grades(41), powers(100), 60}, false}, {Hill{grades(1), powers(100, 150, 200, 250, 300), 60}, false},
		{Hill{[]float64{-0.3, 0.6}, powers(20, 2000), 20}, true}, {Hill{[]float64{-0.31}, powers(100), 60}, false}, {Hill{[]float64{0.61}, powers(100), 60}, false},
		{Hill{grades(1), powers(19), 60}, false}, {Hill{grades(1), powers(2001), 60}, false},
		{Hill{grades(1), powers(100), 120}, true}, {Hill{grades(1), powers(100), 19}, false}, {Hill{grades(1), powers(100), 121}, false},
	}
	for i, tt := range tests {
		if err := tt.h.Check(); (err == nil) != tt.ok {
			t.Errorf("%d: %v", i, err)
		}
	}
	for _, r := range []Rider{{MassKG: 30, CdA: 3}, {MassKG: 500, CdA: 0.1}, {Efficiency: 1}, {Efficiency: 0.5}, {Headwind: -30}, {Headwind: 30}} {
		if err := r.WithDefaults().Check(); err != nil {
			t.Error(err)
		}
	}
}

// Half of (80 + 0.1/0.25) kg times (36 - 16) m^2/s^2 in 4 s: 201 W (by hand).
func TestKineticPower(t *testing.T) {
	if got := (Rider{MassKG: 80}).KineticPower(4, 6, 4, 0.1, 0.5); math.Abs(got-201) > 1e-9 {
		t.Errorf("%v W", got)
	}
}

// Wheels of 2 m, 20-40 x 10-20-40: the lowest gear is 1 m a turn, at 60 rpm 1 m/s
// or 3.6 km/h; the steepest of the grades decides what is wanted.
func TestClimbByHand(t *testing.T) {
	tab := climbTable(t, []gearing.Teeth{20, 40}, []gearing.Teeth{10, 20, 40})
	c, err := NewClimb(tab, Rider{}, Hill{Grades: []float64{0, 0.12, 0.05}, Powers: []float64{150, 1500}, LeastCadence: 60}, 2)
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Gears) != 2 || c.Gears[0].Ring != 20 || c.Gears[0].Cog != 40 || math.Abs(c.Gears[0].SpeedKmH-3.6) > 1e-9 || math.Abs(c.Gears[1].SpeedKmH-7.2) > 1e-9 {
		t.Errorf("%+v", c.Gears)
	}
	for k, p := range c.Powers {
		v := c.Rider.Speed(p, 0.12)
		w := c.Wanted[k]
		if math.Abs(w.Development-v) > 1e-9 || w.Have != (1 <= v) || w.TooSlow != (KmH(v) < BalanceKmH) {
			t.Errorf("%v W hold %v m/s: %+v", p, v, w)
		}
		ring, cog := int(math.Floor(v/2*40)), int(math.Ceil(20*2/v)) // with the 40 cog, with the 20 ring
		if ring < 18 {
			ring = 0
		}
		if cog > 52 {
			cog = 0
		}
		if int(w.Ring) != ring || int(w.Cog) != cog {
			t.Errorf("%v W: ring %d, cog %d; want %d, %d", p, w.Ring, w.Cog, ring, cog)
		}
		for _, g := range c.Gears {
			if got, want := g.Cadences[k][1], 60*v/float64(g.Development); math.Abs(got-want) > 1e-9 {
				t.Errorf("%s: %v rpm, want %v", g.GearID, got, want)
			}
			if got, want := g.Steepest[k], c.Rider.Grade(p, g.SpeedKmH/3.6); got != want {
				t.Errorf("%s: steepest %v, want %v", g.GearID, got, want)
			}
		}
	}
	if all, err := NewClimb(tab, Rider{}, Hill{Grades: []float64{0}, Powers: []float64{150}, LeastCadence: 60}, 0); err != nil || len(all.Gears) != 6 {
		t.Errorf("%d gears, %v", len(all.Gears), err)
	}
}

// Wheels of 18 teeth and cogs of 52 are made, 17 and 53 are not.
func TestWantedWheels(t *testing.T) {
	tab := climbTable(t, []gearing.Teeth{20}, []gearing.Teeth{40})
	for dev, want := range map[float64][2]gearing.Teeth{0.9: {18, 45}, 0.8999: {0, 45}, 0.77: {0, 52}, 0.769: {0, 0}, 1: {20, 40}, 1.01: {20, 40}} {
		c := Climb{Grades: []float64{0.1}, Powers: []float64{100}, Needed: [][]float64{{dev}}, Balanced: [][]bool{{true}}, Gears: []ClimbGear{{Development: 1}}}
		c.addWanted(tab)
		if w := c.Wanted[0]; w.Ring != want[0] || w.Cog != want[1] || w.Have != (dev >= 1) || w.TooSlow {
			t.Errorf("%v m: %+v, want %v", dev, w, want)
		}
	}
}
