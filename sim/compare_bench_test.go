package sim

import (
	"testing"

	"cagewise/gearing"
)

// swaps are four builds of a loaded tourer (invented).
func swaps() []gearing.Build {
	base := gearing.Build{
		Frame: gearing.Frame{Chainstay: 450, BottomBracketDrop: 70},
		Wheel: gearing.Wheel{MeasuredRollOut: 2050},
		Rear:  gearing.RearDerailleur{RatedCapacity: 43, LargestCog: 36, PulleyCentres: 90},
		Rings: []gearing.Teeth{26, 36, 48}, Cogs: []gearing.Teeth{11, 12, 14, 16, 18, 21, 24, 28, 32},
	}
	list := []gearing.Build{base, base, base, base}
	list[1].Rings, list[1].Cogs = []gearing.Teeth{22, 32, 44}, []gearing.Teeth{11, 13, 15, 17, 20, 23, 26, 30, 34}
	list[2].Rings, list[2].Cogs = []gearing.Teeth{20, 32, 44}, []gearing.Teeth{12, 14, 16, 18, 21, 24, 28, 32, 36}
	list[3].Rings, list[3].Cogs = []gearing.Teeth{28, 40}, []gearing.Teeth{12, 14, 16, 18, 21, 24, 28, 32, 36}
	return list
}

func TestCompare(t *testing.T) {
	c, err := Compare(swaps(), CompareOptions{CruiseKmH: 20, Cadence: 80})
	if err != nil {
		t.Fatal(err)
	}
	wantChain := []int{114, 112, 114, 112} // derived here: big-big + 2, rounded up, by hand from the bare loops
	for i, o := range c.Options {
		if o.Chain != wantChain[i] {
			t.Errorf("%d: chain %d, want %d", i, o.Chain, wantChain[i])
		}
		if o.Useful > o.Table.Groups || o.Useful == 0 || o.Cruise.Cadence < 60 || o.Cruise.Cadence > 105 {
			t.Errorf("%d: %d useful gears, %+v", i, o.Useful, o.Cruise)
		}
	}
	if _, err := Compare(nil, CompareOptions{}); err == nil {
		t.Error("nothing was compared")
	}
}

// Compare of 4 builds.
func BenchmarkCompare4(b *testing.B) {
	list := swaps()
	list[0].Chain.Pitches = 114
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Compare(list, CompareOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
