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

// A chain exactly as long as the loop goes round, one with exactly the least
// reserve is tight, one with exactly the trade's is long enough.
func TestOwnedChainEdges(t *testing.T) {
	for surplus, want := range map[Pitches]OwnedState{
		-0.001: OwnedLocks, 0: OwnedTooShort, 0.999: OwnedTooShort,
		LeastReserve: OwnedTight, 1.999: OwnedTight, ReservePitches: OwnedLongEnough,
	} {
		o := OwnedChain{State: OwnedLongEnough}
		o.place(GearID{30, 11}, surplus)
		listed := map[OwnedState]int{OwnedLocks: len(o.Locked), OwnedTooShort: len(o.TooShort), OwnedTight: len(o.Tight), OwnedLongEnough: 1}
		if o.State != want || listed[want] != 1 || len(o.Locked)+len(o.TooShort)+len(o.Tight) > 1 {
			t.Errorf("%v pitches over: %+v, want %s", surplus, o, want)
		}
	}
}

// The chain's state is that of its worst gear, in whatever order gears come.
func TestOwnedChainKeepsTheWorst(t *testing.T) {
	surplus := map[OwnedState]Pitches{OwnedLocks: -1, OwnedTooShort: 0.5, OwnedTight: 1.5, OwnedLongEnough: 3}
	worstFirst := []OwnedState{OwnedLocks, OwnedTooShort, OwnedTight, OwnedLongEnough}
	for i, worse := range worstFirst {
		for _, better := range worstFirst[i:] {
			for _, order := range [][]OwnedState{{worse, better}, {better, worse}} {
				o := OwnedChain{State: OwnedLongEnough}
				for _, s := range order {
					o.place(GearID{30, 11}, surplus[s])
				}
				if o.State != worse {
					t.Errorf("%v: %s", order, o.State)
				}
			}
		}
	}
}
