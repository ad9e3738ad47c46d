package search

import (
	"testing"

	"cagewise/gearing"
	"cagewise/sim"
)

// Every part counts in the order of the bin, the rings first.
func TestChoiceOrder(t *testing.T) {
	order := []Choice{
		{0, 0, 0, -1, 0, 0}, {0, 0, 0, -1, 0, 1}, {0, 0, 0, -1, 1, 0}, {0, 0, 0, 0, 0, 0}, {0, 0, 1, -1, 0, 0}, {0, 1, 0, -1, 0, 0}, {1, 0, 0, -1, 0, 0},
	}
	for i, a := range order {
		for j, b := range order {
			if got := a.before(b); got != (i < j) {
				t.Errorf("%+v before %+v: %v", a, b, got)
			}
		}
	}
}

// One combination beats another when it is worse in nothing and better in
// something, or the same and earlier; the list goes by range, step, margin,
// price and place, in that order.
func TestBeatingAndOrder(t *testing.T) {
	at := func(place int, r, step gearing.Percent, margin gearing.Pitches, price cents) score {
		return score{Choice: Choice{Rings: place}, spread: r, step: step, margin: margin, cents: price}
	}
	base := at(1, 400, 15, 2, 1000)
	tests := []struct {
		other              score
		beats, beaten, led bool // base beats it, is beaten by it, stands before it
	}{
		{at(2, 400, 15, 2, 1000), true, false, true}, {at(0, 400, 15, 2, 1000), false, true, false},
		{at(0, 390, 15, 2, 1000), true, false, true}, {at(2, 410, 15, 2, 1000), false, true, false},
		{at(0, 400, 16, 2, 1000), true, false, true}, {at(2, 400, 14, 2, 1000), false, true, false},
		{at(0, 400, 15, 1, 1000), true, false, true}, {at(2, 400, 15, 3, 1000), false, true, false},
		{at(0, 400, 15, 2, 1001), true, false, true}, {at(2, 400, 15, 2, 999), false, true, false},
		{at(0, 390, 14, 3, 900), false, false, true}, {at(0, 410, 16, 1, 1100), false, false, false},
		{at(0, 400, 16, 3, 900), false, false, true}, {at(0, 400, 15, 1, 900), false, false, true},
	}
	for _, tt := range tests {
		if a, b := base.dominates(&tt.other), tt.other.dominates(&base); a != tt.beats || b != tt.beaten {
			t.Errorf("%+v: beaten by it %v, beats it %v", tt.other, b, a)
		}
		if a, b := base.better(&tt.other), tt.other.better(&base); a != tt.led || b == a {
			t.Errorf("%+v: stands behind %v, before %v", tt.other, a, b)
		}
	}
	if base.better(&base) || base.dominates(&base) {
		t.Error("a combination is better than itself")
	}
}

func TestReasonWords(t *testing.T) {
	for r, want := range map[Reason]string{TooHigh: "the lowest gear is too high", ChainShort: "no chain is long enough", reasons: "unknown reason", -1: "unknown reason"} {
		if got := r.String(); got != want {
			t.Errorf("%d: %q", int(r), got)
		}
	}
}

// The nearest miss has the length that a fit of the same build names: never
// under big-big + 2.
func TestNearestMissIsCutAsAFitSays(t *testing.T) {
	b := gearing.Build{
		Frame: gearing.Frame{Chainstay: 449}, Wheel: gearing.Wheel{MeasuredRollOut: 2050},
		Rings: []gearing.Teeth{28, 40}, Cogs: []gearing.Teeth{12, 14, 16, 18, 21, 24, 28, 32, 36},
		Rear: gearing.RearDerailleur{PulleyCentres: 90, RatedCapacity: 43, LargestCog: 36},
	}
	bin := gearing.PartsBin{
		RingSets: []gearing.BinRings{{Teeth: b.Rings}}, Cassettes: []gearing.BinCassette{{Teeth: b.Cogs}},
		Derailleurs: []gearing.BinDerailleur{{Rear: b.Rear}},
	}
	r, err := Run(t.Context(), b, bin, Wishes{Highest: 15, LostGears: -1}, Options{})
	if err != nil || r.Nearest == nil || !r.Nearest.Works {
		t.Fatal(err, r.Nearest)
	}
	a, err := sim.Judge(b)
	if err != nil {
		t.Fatal(err)
	}
	if m := r.Nearest; m.Chain != a.Length || m.Chance != a.Chance {
		t.Errorf("cut to %d, chance %v; a fit says %d, %v", m.Chain, m.Chance, a.Length, a.Chance)
	}
}
