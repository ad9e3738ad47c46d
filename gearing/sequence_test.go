package gearing

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// drawBuild gives a random valid build.
func drawBuild(t *rapid.T, rings, cogs int) Build {
	wheel := rapid.Map(rapid.IntRange(8, 60), func(i int) Teeth { return Teeth(i) })
	return Build{
		Frame: Frame{Chainstay: MM(rapid.Float64Range(390, 560).Draw(t, "chainstay"))},
		Wheel: Wheel{BeadSeat: 622, Section: 37, LoadAllowance: 1},
		Rings: SortTeeth(rapid.SliceOfNDistinct(wheel, 1, rings, rapid.ID[Teeth]).Draw(t, "rings")),
		Cogs:  SortTeeth(rapid.SliceOfNDistinct(wheel, 1, cogs, rapid.ID[Teeth]).Draw(t, "cogs")),
		Rear:  RearDerailleur{RatedCapacity: Teeth(rapid.IntRange(0, 60).Draw(t, "capacity"))},
	}
}

// cheapest tries every way through the groups.
func cheapest(t Table, layers [][]int, at int) int {
	if len(layers) == 0 {
		return 0
	}
	best := math.MaxInt
	for _, i := range layers[0] {
		cost := 0
		if at >= 0 {
			cost = t.shiftCost(at, i)
		}
		best = min(best, cost+cheapest(t, layers[1:], i))
	}
	return best
}

// The sequence is the cheapest of all, passes every usable group once, rises,
// and its shifts add up.
func TestSequenceAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		tab, err := NewTable(drawBuild(rt, 3, 5), TableOptions{})
		if err != nil {
			rt.Fatal(err)
		}
		layers, changes := tab.layers(), tab.Sequence()
		if len(layers) < 2 {
			if len(changes) != 0 {
				rt.Fatal("changes without gears")
			}
			return
		}
		if len(changes) != len(layers)-1 {
			rt.Fatalf("%d changes through %d groups", len(changes), len(layers))
		}
		cost, ring, cog := 0, tab.Gears[changes[0].From].RingIndex, tab.Gears[changes[0].From].CogIndex
		for _, c := range changes {
			cost += frontShiftCost*abs(c.FrontShifts) + abs(c.RearShifts)
			ring, cog = ring+c.FrontShifts, cog-c.RearShifts
			if g := tab.Gears[c.To]; g.RingIndex != ring || g.CogIndex != cog || g.Lost || c.Size <= 0 {
				rt.Fatalf("change %+v ends at ring %d, cog %d", c, ring, cog)
			}
		}
		if want := cheapest(tab, layers, -1); cost != want {
			rt.Fatalf("cost %d, the cheapest is %d", cost, want)
		}
	})
}

// Groups, overlaps and recoveries hold what they say, for any build, and
// nothing is NaN.
func TestTableProperties(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := drawBuild(rt, 4, 14)
		tab, err := NewTable(b, TableOptions{Cadences: []float64{60, 90}})
		if err != nil {
			rt.Fatal(err)
		}
		checkOrder(rt, tab)
		for i, o := range tab.Overlaps() {
			small, large := float64(tab.Rings[i]), float64(tab.Rings[i+1])
			want := 100 * (small/large*float64(b.LargestCog())/float64(b.SmallestCog()) - 1)
			if !near(float64(o.Band), want, 1e-9) || (o.Band < 0) != (o.GearsSmaller == 0 && o.GearsLarger == 0) {
				rt.Fatalf("overlap %+v, want %v", o, want)
			}
		}
		for _, r := range tab.Recoveries() {
			for _, s := range r.Shifts {
				best := math.Inf(1)
				for _, c := range tab.Cogs {
					best = min(best, math.Abs(math.Log(float64(s.Cog)*float64(r.To)/float64(r.From)/float64(c))))
				}
				if got := math.Abs(math.Log1p(float64(s.Residual) / 100)); !near(got, best, 1e-9) {
					rt.Fatalf("recovery %+v is not the nearest", s)
				}
			}
		}
		if f, err := NewRatedFit(b); err == nil {
			checkNumbers(rt, f)
		}
	})
}

func checkOrder(t *rapid.T, tab Table) {
	for k := 1; k < len(tab.Order); k++ {
		a, b := tab.Gears[tab.Order[k-1]], tab.Gears[tab.Order[k]]
		if a.Development > b.Development || b.Group < a.Group || b.Group > a.Group+1 {
			t.Fatalf("%s then %s: groups %d, %d", a.Name(), b.Name(), a.Group, b.Group)
		}
	}
	for _, g := range tab.Gears {
		for _, v := range append(g.SpeedsKmH, g.Ratio, float64(g.Development), float64(g.GearInches), float64(g.StepToLargerCog)) {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%s: %v", g.Name(), v)
			}
		}
	}
	if tab.Groups < tab.WideGroups || tab.Groups > len(tab.Gears) {
		t.Fatalf("%d and %d groups", tab.Groups, tab.WideGroups)
	}
}

func checkNumbers(t *rapid.T, f RatedFit) {
	for _, m := range f.Lengths.Methods {
		if math.IsNaN(float64(m.Raw)) || m.ToLonger < -1e-9 || m.ToShorter < -1e-9 || m.Pitches%2 != 0 {
			t.Fatalf("%+v", m)
		}
	}
	for _, g := range f.Line.Gears {
		if math.IsNaN(float64(g.Angle)) || math.IsNaN(float64(g.NextRing)) {
			t.Fatalf("%+v", g)
		}
	}
	for _, id := range f.Lost {
		if i := slices.Index(f.Lost, id); f.Lost[i] != id {
			t.Fatal("lost gear twice")
		}
	}
}
