package gearing

import (
	"testing"

	"pgregory.net/rapid"
)

// The stated change of the chainstay leads to the nearer edge: just short of
// it every count stays, just beyond that method's count changes.
func TestChainstayToEdge(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := drawBuild(rt, 3, 10)
		l, err := ChainLengths(b)
		if err != nil {
			rt.Skip()
		}
		for i, m := range l.Methods {
			if near(float64(m.ToLonger), float64(m.ToShorter), 0.05) {
				continue // as far one way as the other
			}
			if (m.ToLonger < m.ToShorter) != (m.Chainstay > 0) {
				rt.Fatalf("%+v does not lead to the nearer edge", m)
			}
			for share, changes := range map[MM]bool{0.98: false, 1.02: true} {
				moved := b
				moved.Frame.Chainstay += m.Chainstay * share
				after, err := ChainLengths(moved)
				if err != nil {
					rt.Fatal(err)
				}
				if got := after.Methods[i].Pitches; (got != m.Pitches) != changes {
					rt.Fatalf("%v of the way: %d pitches after %+v", share, got, m)
				}
			}
		}
	})
}

// A chain exactly as long as the loop goes round, one with exactly the reserve
// is long enough.
func TestOwnedChainEdges(t *testing.T) {
	for surplus, want := range map[Pitches]OwnedState{-0.001: OwnedLocks, 0: OwnedOverstretched, 1.999: OwnedOverstretched, ReservePitches: OwnedLongEnough} {
		o := OwnedChain{State: OwnedLongEnough}
		o.place(GearID{30, 11}, surplus)
		listed := map[OwnedState]int{OwnedLocks: len(o.Locked), OwnedOverstretched: len(o.Overstretched), OwnedLongEnough: 1}
		if o.State != want || listed[want] != 1 {
			t.Errorf("%v pitches over: %+v, want %s", surplus, o, want)
		}
	}
}
