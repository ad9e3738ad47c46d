package sim

import (
	"errors"
	"math"
	"reflect"
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
	b := classBuild("short", 440, 40, []gearing.Teeth{32}, []gearing.Teeth{10, 14, 20, 28, 39, 51})
	b.Rear.RatedCapacity, b.Rear.LargestCog = 33, 30
	return b
}

// A cog far beyond the rating does not work, by a chance; the same cage measured
// with a pivot low enough does.
func TestCogBeyondItsRating(t *testing.T) {
	for name, b := range map[string]gearing.Build{"fouled": fouled(), "closed": closed()} {
		a, err := Judge(b)
		if err != nil {
			t.Fatal(err)
		}
		if a.Knowledge != Typical || a.Verdict.Yes() || a.Danger.Hits < 0.9 || a.Order != Hang || len(a.Remedies) == 0 && name == "fouled" {
			t.Errorf("%s, %s: %v, hits by %.2f, %s", name, a.Knowledge, a.Verdict, a.Danger.Hits, a.Order)
		}
	}
	b := fouled()
	b.Rear.PulleyCentres = 90
	g := &b.Rear.Geometry
	g.PivotSmallX, g.PivotSmallY, g.PivotLargeX, g.PivotLargeY = 10, -69, 18, -138
	g.PivotToGuide, g.PivotToTension, g.PivotSide = 8.6, 84.2, "ahead"
	if a, err := Judge(b); err != nil || a.Knowledge != Measured || a.Danger.Hits > 0.05 {
		t.Errorf("measured: hits by %.2f, %v", a.Danger.Hits, err)
	}
}

// The chain judged is the one owned, or else the one to cut; the answer is the
// advice on it, and the study repeats both.
func TestAnswerChain(t *testing.T) {
	b := marginBuilds()["measured"]
	for _, n := range []int{0, 104, 106, 108, 112, 120} {
		b.Chain.Pitches = n
		r := mustRig(t, b)
		a := r.Answer()
		if n == 0 {
			want, d := r.lengthToCut()
			if a.Owned || a.Pitches != want || a.Length != want || a.LengthDanger.Short > d.Short+0.01 {
				t.Errorf("owned %v, %d judged, %d to have, %d to cut", a.Owned, a.Pitches, a.Length, want)
			}
		} else if !a.Owned || a.Pitches != n {
			t.Errorf("%d pitches: owned %v, %d judged", n, a.Owned, a.Pitches)
		}
		if a.Fit.Pitches != a.Pitches || len(a.Margins) != r.Gears() || len(a.Gears) != r.Gears() {
			t.Errorf("%d pitches: fit of %d, %d margins, %d gears", a.Pitches, a.Fit.Pitches, len(a.Margins), len(a.Gears))
		}
		f, err := r.Fit(a.Pitches)
		if err != nil || !reflect.DeepEqual(f, a.Fit) || a.FailsFirst != f.failsFirst() {
			t.Errorf("%d pitches: another fit (%v)", a.Pitches, err)
		}
		for i := range f.Gears {
			if s, _ := a.Mark(i); s != f.Gears[i].State || a.Gears[i].GearID != f.Gears[i].GearID {
				t.Errorf("%s is %s in the fit and %s in the advice", f.Gears[i].GearID, f.Gears[i].State, s)
			}
		}
		s, err := NewStudy(b, gearing.TableOptions{})
		if err != nil || !reflect.DeepEqual(s.Advice, a.Advice) || !reflect.DeepEqual(*s.Answer, a) || s.LostBy != LostByCage || s.Missing != nil {
			t.Errorf("%d pitches: the study says otherwise (%v)", a.Pitches, err)
		}
		for i := range s.Table.Gears {
			if s.Table.Gears[i].Lost != (a.Gears[i].Lost || a.Gears[i].State.Dangerous()) {
				t.Errorf("%d pitches: %s lost in the table: %v", a.Pitches, a.Gears[i].GearID, s.Table.Gears[i].Lost)
			}
		}
	}
}

// What is not known is said, and what little is known is still judged.
func TestStudyMissing(t *testing.T) {
	b := classBuild("", 430, 70, []gearing.Teeth{30, 46}, []gearing.Teeth{11, 17, 24, 36})
	s, err := NewStudy(b, gearing.TableOptions{})
	if err != nil || !errors.Is(s.Missing, ErrNoGeometry) || s.Answer != nil || s.Advice.Judged || s.Advice.Order != Hang || s.Advice.Length != s.Rated.Lengths.Recommended || s.LostBy != LostByRating {
		t.Errorf("no cage: %+v, %v", s.Advice, err)
	}
	for n, want := range map[int]Order{100: Replace, 108: Stay, 112: Stay, 130: Stay} {
		b.Chain.Pitches = n
		s, err := NewStudy(b, gearing.TableOptions{})
		if err != nil {
			t.Fatal(err)
		}
		danger := s.Rated.Owned.State.Dangerous()
		if s.Advice.Order != want && !(n == 108 && danger && s.Advice.Order == Replace) || s.Advice.Pitches != n || !s.Advice.Owned {
			t.Errorf("%d pitches, %s over the bare loop: %s", n, s.Rated.Owned.State, s.Advice.Order)
		}
		if want == Replace && s.Advice.Length != s.Rated.Lengths.Recommended {
			t.Errorf("%d pitches: %d in its place", n, s.Advice.Length)
		}
	}
	b.Chain.Pitches, b.Frame.Chainstay = 112, 0
	s, err = NewStudy(b, gearing.TableOptions{})
	if err != nil || !errors.Is(s.Missing, gearing.ErrNoChainstay) || s.Rated != nil || s.Advice.Verdict != gearing.CannotTell || s.Advice.Gears == nil || s.Advice.Remedies == nil {
		t.Errorf("no chainstay: %+v, %v", s.Advice, err)
	}
}

// A rating alone is judged, whatever it is.
func TestRatingAloneIsJudged(t *testing.T) {
	b := classBuild("", 430, 70, teeth(34, 46), teeth(11, 17, 28))
	for capacity := gearing.Teeth(20); capacity <= 60; capacity += 4 {
		for _, cog := range []gearing.Teeth{0, 28, 50} {
			b.Rear = gearing.RearDerailleur{RatedCapacity: capacity, LargestCog: cog}
			r, err := NewRig(b)
			if err != nil {
				t.Errorf("rated %d/%d: %v", capacity, cog, err)
				continue
			}
			for i := range r.cloud.draws {
				if d := &r.cloud.draws[i]; d.toTension.sub(d.toGuide).length() < r.guideTip+r.tensionTip-1e-9 {
					t.Fatalf("rated %d/%d: pulleys overlap in a draw", capacity, cog)
				}
			}
		}
	}
}

// A chain that fits stays though a shorter one would do, and one that is too
// short is replaced by a longer one.
func TestOrderOfAnOwnedChain(t *testing.T) {
	b := rated(75, 39, 36)
	cut := mustRig(t, b).Answer()
	if cut.Order != Cut || !cut.Verdict.Yes() {
		t.Fatalf("%s, %s", cut.Order, cut.Verdict)
	}
	for n := cut.Length - 6; n <= cut.Length+8; n += 2 {
		b.Chain.Pitches = n
		a := mustRig(t, b).Answer()
		switch {
		case a.Order == Stay && a.Length == n && a.Danger.Short < StayChance:
		case a.Order == Replace && a.Length > n && a.Length >= cut.Length && (a.Danger.Short >= StayChance || a.Fit.shortEnd()):
		default:
			t.Errorf("%d pitches, short by %.3f: %s, %d", n, a.Danger.Short, a.Order, a.Length)
		}
		if n >= cut.Length && a.Order != Stay || n <= cut.Length-4 && a.Order != Replace {
			t.Errorf("%d pitches where %d is to be cut: %s", n, cut.Length, a.Order)
		}
		for i := range a.Gears {
			if a.Gears[i].State == Tight && !a.Gears[i].Lost {
				t.Errorf("%d pitches: %s is tight and not to keep out of", n, a.Gears[i].GearID)
			}
		}
	}
}

// What a verdict over the rating says to do raises the chance by about what it
// says, computed anew on the changed build with every gear and the whole cloud:
// the chance named is that of a thin sample's corners. The best is named first.
func TestRemediesComeTrue(t *testing.T) {
	seen := map[RemedyKind]bool{}
	for _, k := range tableCases {
		r := mustRig(t, k.build(0))
		a := r.Answer()
		if a.Verdict == gearing.Works && len(a.Lost()) == 0 {
			if len(a.Remedies) > 0 {
				t.Errorf("%s works and is mended: %+v", k.name, a.Remedies)
			}
			continue
		}
		before := 1.0
		for _, m := range a.Remedies {
			seen[m.Kind] = true
			if m.Chance < a.AllGears+leastRaise-1e-9 || m.Chance > before || len(a.Remedies) > mostRemedies {
				t.Errorf("%s: %+v after %.3f, today %.3f", k.name, m, before, a.AllGears)
			}
			before = m.Chance
			b := remedied(k.build(0), m)
			n, err := r.changed(func(c *gearing.Build) { *c = b })
			if err != nil {
				t.Fatal(err)
			}
			b.Chain.Pitches = a.Pitches
			if m.Kind == LongerChain {
				b.Chain.Pitches = m.To
			}
			first, _ := n.candidates()
			got, _ := n.adviseOn(max(b.Chain.Pitches, first), false)
			if math.Abs(got.AllGears-m.Chance) > remedyTol {
				t.Errorf("%s: %+v; judged with every gear %.3f", k.name, m, got.AllGears)
			}
		}
	}
	if len(seen) < 3 {
		t.Errorf("only %d kinds of remedies", len(seen))
	}
}

// remedyTol is how far a remedy's chance may lie from that of the build mended.
const remedyTol = 0.12

// remedied is a build changed as a remedy says.
func remedied(b gearing.Build, m Remedy) gearing.Build {
	b.Cogs, b.Rings = slices.Clone(b.Cogs), slices.Clone(b.Rings)
	last := len(b.Cogs) - 1
	switch m.Kind {
	case LongerScrew:
		b.Rear.Geometry.ScrewRange = 24
	case Extender:
		b.Rear.Geometry.ExtenderBelow += gearing.MM(m.To)
	case SmallerCog:
		if b.Cogs[last-1] == gearing.Teeth(m.To) {
			b.Cogs = b.Cogs[:last]
		} else {
			b.Cogs[last] = gearing.Teeth(m.To)
		}
	case LargerCog:
		b.Cogs[0] = gearing.Teeth(m.To)
	case LargerRing:
		b.Rings[0] = gearing.Teeth(m.To)
	case SmallerRing:
		b.Rings[len(b.Rings)-1] = gearing.Teeth(m.To)
	}
	return b
}

// The next measurement is one that was not made, and what it would bring lies on
// either side of today's chance; measuring everything leaves nothing to name.
func TestNextMeasurement(t *testing.T) {
	helped := 0
	for _, k := range tableCases {
		a := mustRig(t, k.build(0)).Answer()
		m := a.Next
		if !m.Helps {
			continue
		}
		helped++
		chance := a.Chance
		if m.AllGears {
			chance = a.AllGears
		}
		if m.AllGears != (a.Chance >= 0.95) || m.Low < -1e-9 || m.High > 1+1e-9 || m.Low > chance || m.High < chance || m.Input == InputChainstay {
			t.Errorf("%s: %+v, today %.3f", k.name, m, chance)
		}
	}
	if helped < 3 {
		t.Errorf("only %d builds have something to measure", helped)
	}
	b := marginBuilds()["stops"]
	b.Rear.PulleyCentres = 76
	if m := mustRig(t, b).Answer().Next; m.Helps {
		t.Errorf("all is measured, and yet: %+v", m)
	}
	b.Rear.Geometry.CageStopForward = 0
	if m := mustRig(t, b).Answer().Next; m.Helps && m.Input != InputStopForward {
		t.Errorf("only the forward stop is left: %+v", m)
	}
}

// A chain for two: the shared length leads, whichever way round, and serves both.
func TestShare(t *testing.T) {
	small, large := rated(75, 39, 36), rated(75, 39, 36)
	small.Cogs, large.Cogs = []gearing.Teeth{11, 13, 15, 17, 20, 24, 28}, []gearing.Teeth{11, 13, 16, 20, 25, 30, 36}
	study := func(b gearing.Build) *Study {
		s, err := NewStudy(b, gearing.TableOptions{})
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	a, b := study(small), study(large)
	one, err1 := Share(a, b)
	two, err2 := Share(b, a)
	if err1 != nil || err2 != nil || one.Length != two.Length || one.Chance != two.Chance || one.Verdict != two.Verdict {
		t.Errorf("%d and %d, %v and %v", one.Length, two.Length, one.Chance, two.Chance)
	}
	if one.Length < b.Advice.Length || one.Chance > min(one.First.Chance, one.Second.Chance) || one.Danger.Any < max(one.First.Danger.Any, one.Second.Danger.Any) || !one.Judged {
		t.Errorf("%+v", one)
	}
	if one.First.Pitches != one.Length || one.Second.Pitches != one.Length {
		t.Errorf("judged with %d and %d, named %d", one.First.Pitches, one.Second.Pitches, one.Length)
	}
	// Without geometry the bare loops give it.
	bare := func(b gearing.Build) *Study { b.Rear = gearing.RearDerailleur{}; return study(b) }
	got, err := Share(bare(small), bare(large))
	if want := max(bare(small).Rated.Lengths.Recommended, bare(large).Rated.Lengths.Recommended); err != nil || got.Judged || got.Length != want || got.Order != Hang {
		t.Errorf("by the bare loops: %+v, want %d (%v)", got, want, err)
	}
	small.Chain.Pitches = one.Length + 2
	if got, err := Share(study(small), b); err != nil || got.Order != Stay || got.Length != one.Length+2 {
		t.Errorf("a chain that is there: %s, %d (%v)", got.Order, got.Length, err)
	}
	small.Chain.Pitches = one.Length - 6
	if got, err := Share(study(small), b); err != nil || got.Order != Replace || got.Length != one.Length {
		t.Errorf("a chain too short: %s, %d (%v)", got.Order, got.Length, err)
	}
	small.Frame.Chainstay = 0
	if _, err := Share(study(small), b); !errors.Is(err, gearing.ErrNoChainstay) {
		t.Errorf("without a chainstay: %v", err)
	}
}
