package sim

import (
	"slices"
	"testing"

	"cagewise/gearing"
)

// fouled is a typical build whose guide pulley lies in the largest cog with
// every chain, closed one whose path does not even close there (invented).
func fouled() gearing.Build {
	return classBuild("long", 440, 40, []gearing.Teeth{30, 46}, []gearing.Teeth{11, 15, 24, 46})
}

func closed() gearing.Build {
	return classBuild("short", 440, 40, []gearing.Teeth{32}, []gearing.Teeth{10, 14, 20, 28, 39, 51})
}

// held is the build with the rig's typical geometry as if it had been measured.
func held(t *testing.T, b gearing.Build) gearing.Build {
	t.Helper()
	d := mustRig(t, b).Derailleur
	b.Rear.PulleyCentres, b.Rear.GuidePulleyTeeth, b.Rear.TensionPulleyTeeth = d.PulleyCentres, d.GuideTeeth, d.TensionTeeth
	g := &b.Rear.Geometry
	g.HangerBehind, g.HangerBelow = -d.Hanger.X, -d.Hanger.Y
	g.PivotSmallX, g.PivotSmallY, g.PivotLargeX, g.PivotLargeY = d.PivotSmall.X, d.PivotSmall.Y, d.PivotLarge.X, d.PivotLarge.Y
	g.PivotToGuide, g.PivotToTension, g.PivotSide = d.PivotToGuide, d.PivotToTension, "ahead"
	return b
}

// An invented pivot cannot condemn a build, a measured one can.
func TestTypicalGapCannotCondemn(t *testing.T) {
	for name, b := range map[string]gearing.Build{"fouled": fouled(), "closed": closed()} {
		a, err := Judge(b)
		if err != nil {
			t.Fatal(err)
		}
		if a.Knowledge != Typical || !a.Fit.Worst().Dangerous() || a.Verdict != gearing.CannotTell {
			t.Errorf("%s, %s: %v, worst %s", name, a.Knowledge, a.Verdict, a.Fit.Worst())
		}
		c, err := Compare([]gearing.Build{b}, CompareOptions{})
		if err != nil || c.Options[0].Verdict != gearing.CannotTell {
			t.Errorf("%s compared: %v, %v", name, c.Options, err)
		}
		b = held(t, b)
		if a, err = Judge(b); err != nil || a.Knowledge != Measured || a.Verdict != gearing.DoesNotWork {
			t.Errorf("%s, %s: %v, %v", name, a.Knowledge, a.Verdict, err)
		}
		if c, err = Compare([]gearing.Build{b}, CompareOptions{}); err != nil || c.Options[0].Verdict != gearing.DoesNotWork {
			t.Errorf("%s measured and compared: %v, %v", name, c.Options, err)
		}
	}
}

// The chain judged is the one owned, or else the recommended one.
func TestAnswerChain(t *testing.T) {
	b := marginBuilds()["measured"]
	r := mustRig(t, b)
	want, _, _ := r.Recommended()
	a, err := r.Answer()
	if err != nil || a.Owned || a.Pitches != want || a.Fit.Pitches != want || want == 0 {
		t.Errorf("owned %v, %d pitches, recommended %d (%v)", a.Owned, a.Pitches, want, err)
	}
	for _, n := range []int{106, 112, 120} {
		b.Chain.Pitches = n
		r := mustRig(t, b)
		a, err := r.Answer()
		if err != nil {
			t.Fatal(err)
		}
		f, m, err := r.Margins(n)
		if err != nil || !a.Owned || a.Pitches != n || a.Verdict != f.Verdict() || !slices.Equal(a.Margins, m.Gears) {
			t.Errorf("%d pitches: owned %v, %d judged, %v (%v)", n, a.Owned, a.Pitches, a.Verdict, err)
		}
		if risk, err := r.Risk(n); err != nil || risk != a.Risk || a.FailsFirst != f.failsFirst() || a.Weakest != m.weakest(f) || a.Gain != m.gain(f, a.Weakest) {
			t.Errorf("%d pitches: risk %+v, %+v alone (%v)", n, a.Risk, risk, err)
		}
	}
	if _, err := r.Risk(2); err == nil {
		t.Error("the risk of a chain of 2 pitches")
	}
}

// A safer chain is the shortest of the next three counts without a dangerous
// gear and with less than one chance in twenty; looked for only from a chance
// of one in ten.
func TestSafer(t *testing.T) {
	found, none := 0, 0
	for class, low := range map[string]int{"medium": 110, "long": 110, "wide": 108} {
		for _, rings := range [][]gearing.Teeth{{32}, {30, 46}, {26, 36, 48}} {
			r := mustRig(t, classBuild(class, 440, 40, rings, []gearing.Teeth{11, 13, 15, 17, 19, 21, 24, 28, 32, 36, 42}))
			for n := low; n < low+12; n += 2 {
				now, err := r.Risk(n)
				if err != nil {
					t.Fatal(err)
				}
				want := 0
				for k := n + 2; k <= n+6 && want == 0 && now.Chance >= 0.10; k += 2 {
					f, err1 := r.Fit(k)
					risk, err2 := r.Risk(k)
					if err1 != nil || err2 != nil {
						t.Fatal(err1, err2)
					}
					if risk.Chance < 0.05 && f.Worst() < Fouls {
						want = k
					}
				}
				s := r.safer(n, now)
				if s.Pitches != want {
					t.Errorf("%s, %v, %d pitches: safer %d, want %d", class, rings, n, s.Pitches, want)
				}
				if want == 0 {
					none++
					continue
				}
				found++
				f, _ := r.Fit(want)
				if risk, _ := r.Risk(want); s.Risk != risk || !slices.Equal(s.Slack, f.inState(Slack)) {
					t.Errorf("%d pitches: %+v, risk alone %+v", want, s, risk)
				}
			}
		}
	}
	if found < 3 || none < 3 {
		t.Errorf("%d safer chains, %d without", found, none)
	}
}
