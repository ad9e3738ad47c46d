package sim

import (
	"testing"

	"cagewise/gearing"
)

// A longer count than the shortest is recommended where the shortest is in
// doubt and the longer one neither is nor leaves another gear slack, and
// nowhere else. Checked by the whole margins.
func TestRecommendedIsSure(t *testing.T) {
	shorter, longer, doubtful := 0, 0, 0
	workshopBuilds(func(b gearing.Build) {
		r := mustRig(t, b)
		short, shortFit, ok := r.Shortest()
		n, fit, _ := r.Recommended()
		if !ok {
			return
		}
		before, err1 := r.Risk(short)
		after, err2 := r.Risk(n)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		name := []any{b.Rings, b.Cogs, b.Rear.PulleyCentres}
		switch {
		case n == short && before.Chance < DoubtfulChance:
			shorter++
		case n == short:
			doubtful++
			next, m, err := r.Margins(n + gearing.CountStep(b.Chain))
			if err != nil {
				t.Fatal(err)
			}
			if m.risk(next).Chance < SafeChance && !next.Worst().Dangerous() && !next.slacker(shortFit) {
				t.Errorf("%v: %d recommended with %.2f in doubt, though %d is as good", name, n, before.Chance, next.Pitches)
			}
		default:
			longer++
			if before.Chance < DoubtfulChance || after.Chance >= SafeChance || fit.Worst().Dangerous() || fit.slacker(shortFit) {
				t.Errorf("%v: %d recommended at %.2f for %d at %.2f", name, n, after.Chance, short, before.Chance)
			}
		}
	})
	if shorter < 100 || longer < 50 || doubtful < 5 {
		t.Errorf("%d shortest, %d longer, %d in doubt: these builds prove little", shorter, longer, doubtful)
	}
	t.Logf("%d shortest, %d longer, %d in doubt", shorter, longer, doubtful)
}

func BenchmarkRecommended2x12(b *testing.B) {
	r := mustRig(b, benchBuild())
	b.ReportAllocs()
	for b.Loop() {
		r.Recommended()
	}
}

func BenchmarkShortest2x12(b *testing.B) {
	r := mustRig(b, benchBuild())
	b.ReportAllocs()
	for b.Loop() {
		r.Shortest()
	}
}
