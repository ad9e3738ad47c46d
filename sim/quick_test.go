package sim

import (
	"testing"

	"cagewise/gearing"
)

// quickBuilds are drivetrains from well within to far beyond what their
// derailleurs are rated for (invented here).
func quickBuilds() []gearing.Build {
	var list []gearing.Build
	sets := [][]gearing.Teeth{{40}, {30, 46}, {34, 50}, {24, 42}, {22, 32, 44}}
	cogs := [][]gearing.Teeth{
		{11, 12, 13, 14, 16, 18, 21, 24, 28}, {11, 12, 14, 16, 18, 20, 23, 26, 30, 34}, {11, 13, 15, 17, 19, 21, 24, 28, 32, 37, 42}, {10, 12, 14, 16, 18, 21, 24, 28, 33, 39, 45, 51},
	}
	rears := []gearing.RearDerailleur{
		{PulleyCentres: 56, RatedCapacity: 33, LargestCog: 30}, {PulleyCentres: 75, RatedCapacity: 39, LargestCog: 34},
		{PulleyCentres: 90, RatedCapacity: 45, LargestCog: 36}, {PulleyCentres: 98}, {RatedCapacity: 37},
	}
	for i, rings := range sets {
		for j, c := range cogs {
			for k, rear := range rears {
				list = append(list, gearing.Build{
					Frame: gearing.Frame{Chainstay: gearing.MM(418 + 4*i + 3*j + k), BottomBracketDrop: 70}, Wheel: gearing.Wheel{MeasuredRollOut: 2100},
					Rings: rings, Cogs: c, Rear: rear,
				})
			}
		}
	}
	return append(list, marginBuilds()["measured"])
}

// A quick judgement leaves out what cannot change its answer: with the same thin
// sample the whole advice says yes to the same builds, with the same chain and the
// same gears lost.
func TestQuickLeavesNothingOut(t *testing.T) {
	yes, differ := 0, 0
	for i, b := range quickBuilds() {
		r := mustRig(t, b)
		q, few := r.Quick(), *r
		few.cloud = r.cloud.quick()
		a, _ := few.advise()
		if q.Verdict.Yes() != a.Verdict.Yes() {
			t.Errorf("build %d, %v x %v: %s, %.3f; the advice by the same sample: %s, %.3f", i, b.Rings, b.Cogs, q.Verdict, q.Chance, a.Verdict, a.Chance)
		}
		if !a.Verdict.Yes() {
			if q.Chance < a.Chance-0.02 {
				t.Errorf("build %d: a chance of at most %.3f, and it is %.3f", i, q.Chance, a.Chance)
			}
			continue
		}
		yes++
		if q.Length != a.Length {
			t.Errorf("build %d: %d pitches and %d", i, q.Length, a.Length)
		}
		for k := range a.Gears {
			if q.Lost[k] != a.Gears[k].Lost {
				differ++
			}
		}
		if m := r.Margin(&a); differ == 0 && (q.Margin-m > 0.01 || m-q.Margin > 0.01) {
			t.Errorf("build %d: a margin of %.3f and %.3f", i, q.Margin, m)
		}
	}
	t.Logf("%d of %d are a yes", yes, len(quickBuilds()))
	if yes < 15 || differ > 0 {
		t.Errorf("%d yes, %d gears lost by one alone", yes, differ)
	}
}

// What the thin sample says is about what the whole one says.
func TestQuickIsAboutRight(t *testing.T) {
	wrong, length, lost, yes := 0, 0, 0, 0
	list := quickBuilds()
	for _, b := range list {
		r := mustRig(t, b)
		q, a := r.Quick(), r.Advise()
		switch {
		case q.Verdict.Yes() != a.Verdict.Yes():
			wrong++
			if a.Chance < 0.5 || q.Chance < 0.5 && a.Chance > 0.9 {
				t.Errorf("%v x %v: %.2f and %.2f", b.Rings, b.Cogs, q.Chance, a.Chance)
			}
		case a.Verdict.Yes():
			yes++
			if q.Length != a.Length {
				length++
			}
			for k := range a.Gears {
				if q.Lost[k] != a.Gears[k].Lost {
					lost++
					break
				}
			}
		}
	}
	t.Logf("of %d: %d other verdicts; of %d yes by both %d other lengths, %d other gears lost", len(list), wrong, yes, length, lost)
	if wrong > 5 || length > yes/5 || lost > yes/5 {
		t.Error("a thin sample is too rough")
	}
}
