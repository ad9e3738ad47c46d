package sim

import (
	"testing"

	"cagewise/gearing"
)

// The bounds of a chain count are answered by all that take one.
func TestChainCountBounds(t *testing.T) {
	b := marginBuilds()["measured"]
	b.Chain.OffsetLink = true
	r := mustRig(t, b)
	for _, n := range []int{3, 10000} {
		_, err1 := r.Fit(n)
		_, err2 := r.Roadside(n, 0)
		if err1 != nil || err2 != nil {
			t.Errorf("%d pitches: %v, %v", n, err1, err2)
		}
	}
	for _, n := range []int{2, 0, -1, 10001} {
		_, err1 := r.Fit(n)
		_, err2 := r.Roadside(n, 0)
		if err1 == nil || err2 == nil {
			t.Errorf("%d pitches are taken", n)
		}
	}
	if card, err := r.Roadside(112, 5); err != nil || card.Pitches != 107 {
		t.Errorf("112 less 5: %d, %v", card.Pitches, err)
	}
	if _, err := mustRig(t, marginBuilds()["measured"]).Roadside(112, 5); err == nil {
		t.Error("107 pitches close without an offset link")
	}
	for _, n := range []int{3, 10000} { // however absurd, a chain owned is judged
		b.Chain.Pitches = n
		if a := mustRig(t, b).Answer(); a.Verdict != gearing.DoesNotWork || a.Pitches != n {
			t.Errorf("%d pitches: %s", n, a.Verdict)
		}
	}
}

// Every gear stands on the list its state and its chances call for, and the
// B-screw as it was set for the whole chain.
func TestCardLists(t *testing.T) {
	filled := map[string]int{}
	list := marginBuilds()
	tight := list["measured"]
	tight.Frame.Chainstay, tight.Rear.Geometry.CageStopForward = 438, 40 // 112 pitches are 1.9 over the bare loop
	list["tight"] = tight
	for name, b := range list {
		r := mustRig(t, b)
		for missing := 0; missing <= 8; missing += 2 {
			f := r.newFit()
			r.fitHeld(float64(114-missing), r.setBody(114), &f)
			s := r.sampledAfter(r.cloud, 114-missing, 114, allGears(r), false)
			card, err := r.Roadside(114, missing)
			if err != nil || card.Pitches != 114-missing {
				t.Fatal(card.Pitches, err)
			}
			list := map[gearing.GearID]string{}
			for what, ids := range map[string][]gearing.GearID{"never": card.Never, "doubtful": card.Doubtful, "tight": card.Tight, "slack": card.Slack, "free": card.Free} {
				for _, g := range ids {
					list[g] = what
				}
				filled[what] += len(ids)
			}
			for i := range f.Gears {
				g, want := &f.Gears[i], "free"
				at := placed{s, i}
				switch danger := at.danger().Any; {
				case g.State == Locks || g.State == TooShort || g.State == Hits:
					want = "never"
				case danger >= 0.10:
					want = "doubtful"
				case g.State == Tight:
					want = "tight"
				case at.slack() >= 0.10:
					want = "slack"
				}
				near := func(p float64) bool { return p > 0.05 && p < 0.2 } // a thin sample may say otherwise
				if list[g.GearID] != want && !near(at.danger().Any) && !near(at.slack()) {
					t.Errorf("%s, %d of 114 pitches: %s is %s, want %s", name, 114-missing, g.GearID, list[g.GearID], want)
				}
			}
		}
	}
	for _, what := range []string{"never", "doubtful", "tight", "slack", "free"} {
		if filled[what] == 0 {
			t.Errorf("no gear is %s", what)
		}
	}
}
