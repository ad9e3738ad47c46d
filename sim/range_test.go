package sim

import (
	"encoding/json"
	"math/rand/v2"
	"strings"
	"testing"

	"cagewise/gearing"
)

// ranges are the physical ranges of the numbers an Answer prints, by the end of
// their JSON name, the longest first: beyond what a bicycle a few metres long, its
// chain of 10,000 pitches and angles of some turns can hold.
var ranges = []struct {
	name      string
	low, high float64
}{
	{"reserve_forward_error_pitches", 0, 200}, {"reserve_rearward_error_pitches", 0, 200},
	{"pulley_gap_error_mm", 0, 500}, {"pulley_gap_mm", -500, 1000},
	{"capacity_error", 0, 500}, {"error_teeth", 0, 500},
	{"simulated_teeth", -20100, 20100}, {"margin_teeth", -20100, 20100},
	{"chance_of_slack", 0, 1}, {"chance_all_gears", 0, 1}, {"chance_low", 0, 1}, {"chance_high", 0, 1}, {"chance", 0, 1},
	{"any", 0, 1}, {"too_short", 0, 1}, {"hits_the_cog", 0, 1},
	{"angle_deg", -1080, 1080}, {"_deg", -1080, 1080},
	{"_pitches", -10100, 10100}, {"pitches", 0, 10000}, {"_teeth", -20100, 20100}, {"teeth", -1000, 1000},
	{"_mm", -5000, 5000}, {"_n", 0, 1e6}, {"", -1e6, 1e6},
}

// checkRanges looks at every number that an answer prints.
func checkRanges(t testing.TB, a *Answer) {
	t.Helper()
	text, err := json.Marshal(a)
	if err != nil {
		t.Fatalf("%v: %+v", err, a)
	}
	var v any
	if err := json.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	walkNumbers("", v, func(name string, x float64) {
		for _, r := range ranges {
			if strings.HasSuffix(name, r.name) {
				if !(x >= r.low-1e-9 && x <= r.high+1e-9) {
					t.Errorf("%s is %v; it can be %v to %v", name, x, r.low, r.high)
				}
				return
			}
		}
	})
}

func walkNumbers(name string, v any, do func(name string, x float64)) {
	switch v := v.(type) {
	case float64:
		do(name, v)
	case []any:
		for _, e := range v {
			walkNumbers(name, e, do)
		}
	case map[string]any:
		for k, e := range v {
			walkNumbers(k, e, do)
		}
	}
}

// checkAdvice holds an advice against the rules of shared/design/MODEL.md section
// 7 that need nothing but itself.
func checkAdvice(t testing.TB, a *Advice) {
	t.Helper()
	if a.Order == Cut && !(a.Judged && !a.Owned && a.Verdict.Yes() && a.Danger.Short < 0.02 && a.Danger.Any < 0.10 && a.LengthDanger == a.Danger && a.Length == a.Pitches) {
		t.Errorf("an order to cut: %s, danger %+v, owned %v", a.Verdict, a.Danger, a.Owned)
	}
	if a.Order == Stay && (!a.Owned || a.Length != a.Pitches) || a.Order == Replace && (!a.Owned || a.Length <= a.Pitches && a.Judged) || a.Owned && a.Order != Stay && a.Order != Replace && a.Order != NoChain {
		t.Errorf("%s of %d, %d to have, owned %v", a.Order, a.Pitches, a.Length, a.Owned)
	}
	for _, d := range []Danger{a.Danger, a.LengthDanger} {
		if d.Any < d.Short-1e-9 || d.Any < d.Hits-1e-9 || d.Any > d.Short+d.Hits+1e-9 {
			t.Errorf("danger %+v", d)
		}
	}
	if a.Judged && (a.Chance < a.AllGears-1e-9 || a.AllGears > 1-a.Danger.Any+1e-9) {
		t.Errorf("all gears run by %.4f, all but the lost by %.4f, danger %.4f", a.AllGears, a.Chance, a.Danger.Any)
	}
	// What is lost is kept out of, and yet what is dangerous in it counts.
	if a.Judged && len(a.In(Tight)) == 0 && a.Chance > 1-a.Danger.Any+1e-9 {
		t.Errorf("all gears but %v run by %.4f, and yet danger is %.4f", a.Lost(), a.Chance, a.Danger.Any)
	}
	lost := len(a.Lost())
	if a.Judged && a.Verdict.Yes() && (a.Chance < 0.75 || 3*lost > len(a.Gears)) {
		t.Errorf("%s by %.3f, %d of %d gears lost", a.Verdict, a.Chance, lost, len(a.Gears))
	}
}

// No number of an answer lies beyond what can be, over builds in and out of the
// ordinary.
func TestNumbersInRange(t *testing.T) {
	n := 150
	if raced || testing.Short() {
		n = 15
	}
	rng := rand.New(rand.NewPCG(20261304, 1))
	judged := 0
	check := func(b gearing.Build) {
		r, err := NewRig(b)
		if err != nil {
			return
		}
		a := r.Answer()
		judged++
		checkRanges(t, &a)
		checkAdvice(t, &a.Advice)
		if t.Failed() {
			t.Fatalf("%+v", b)
		}
	}
	for i := range n {
		b := strange(rng, i)
		sprungAtRandom(&b, rng)
		b.Rear.Geometry.ScrewRange = gearing.Degrees(evenly(rng, 1, 40))
		if rng.IntN(3) == 0 {
			b.Rear.Geometry.SpringPreload = evenly(rng, 100, 2000)
		}
		check(chained(b, rng))
	}
	examples(n/5, check)
	for _, b := range []gearing.Build{bug2(), jb160(), fouled(), closed()} {
		check(b)
	}
	if judged < n/2 {
		t.Errorf("only %d judged", judged)
	}
}
