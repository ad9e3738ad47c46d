package wear

import (
	"math"
	"testing"

	"cagewise/gearing"
)

// From 0.9 past the limit, or read well and 0.3 past it or 200 km before it, a
// chain is replaced; from 0.05, 200 km before it, or with readings at odds, kept
// and tested.
func TestVerdictOfChainByHand(t *testing.T) {
	state := func(e, err gearing.Percent) ChainState {
		return ChainState{HasReading: true, Elongation: e, Error: err}
	}
	rated := func(e, err gearing.Percent, rate float64) ChainState {
		s := state(e, err)
		s.HasRate, s.Rate = true, rate
		return s
	}
	odd := state(0.1, 0.05)
	odd.Contradicts = true
	for _, c := range []struct {
		s    ChainState
		past float64
		want Verdict
	}{
		{state(0.1, 0.2), 0.9, Replace}, {state(0.1, 0.2), 0.89, KeepAndTest}, {state(0.1, 0.1), 0.3, Replace}, {state(0.1, 0.1), 0.29, KeepAndTest}, {state(0.1, 0.101), 0.3, KeepAndTest},
		{state(0.1, 0.2), 0.05, KeepAndTest}, {state(0.1, 0.2), 0.049, Keep}, {odd, 0, KeepAndTest},
		{rated(0.4, 0.05, 0.5), 0, Replace}, {rated(0.4, 0.2, 0.5), 0, KeepAndTest}, {rated(0.399, 0.05, 0.5), 0, Keep}, {rated(0.4, 0.05, 0), 0, Keep}, {rated(0.6, 0.05, 0), 0, Keep}, // 0.1 % at 0.5 % a 1000 km are 200 km
	} {
		if got := verdictOfChain(c.s, 0.5, c.past); got != c.want {
			t.Errorf("%+v, %v past: %v, want %v", c.s, c.past, got, c.want)
		}
	}
	for _, c := range []struct {
		e, err gearing.Percent
		want   float64
	}{{0.5, 0, 1}, {0.499, 0, 0}, {0.6, 0, 1}, {0.5, 0.1, 0.5}, {0.4, 0.1, 0.158655}, {0.7, 0.1, 0.97725}} {
		if got := chancePast(state(c.e, c.err), 0.5); math.Abs(got-c.want) > 1e-5 {
			t.Errorf("%v +- %v: %v past 0.5, want %v", c.e, c.err, got, c.want)
		}
	}
}

// The bounds of a shape, and the way to an elongation by hand: 0.1 + 0.2 x + 0.1
// x^2 is 0.9 at x = 2.
func TestShapeBounds(t *testing.T) {
	for _, c := range []struct {
		s  WearShape
		ok bool
	}{
		{WearShape{Start: -0.5, Rate: 0.1}, true}, {WearShape{Start: -0.51, Rate: 0.1}, false}, {WearShape{Start: 0.3, Rate: 0.1}, true}, {WearShape{Start: 0.31, Rate: 0.1}, false},
		{WearShape{Rate: 100}, true}, {WearShape{Rate: 100.1}, false}, {WearShape{Accel: 1000}, true}, {WearShape{Accel: 1001}, false}, {WearShape{Rate: -0.1, Accel: 1}, false}, {WearShape{Rate: 1, Accel: -0.1}, false},
		{WearShape{Rate: leastRate}, true}, {WearShape{Rate: leastRate / 2}, false}, {WearShape{Rate: 1, RateError: -1}, false}, {WearShape{Rate: 1, RateError: math.Inf(1)}, false},
	} {
		if err := c.s.Check(); (err == nil) != c.ok {
			t.Errorf("%+v: %v", c.s, err)
		}
	}
	s := WearShape{Start: 0.1, Rate: 0.2, Accel: 0.1}
	if got := s.At(2000); math.Abs(float64(got)-0.9) > 1e-12 {
		t.Errorf("%v %% after 2000 km", got)
	}
	for e, km := range map[gearing.Percent]float64{0.9: 2000, 0.1: 0, 0.05: 0, 1.6: 3000} {
		if got := s.KM(e); math.Abs(got-km) > 1e-9 {
			t.Errorf("%v %% after %v km, want %v", e, got, km)
		}
	}
}

// What a reading shows less the play gives back the elongation; play takes part
// with the growth beyond its reference.
func TestPlaySolves(t *testing.T) {
	k := play{ref: 0.2, p: 0.4, g: 0.5}
	if got := k.reads(0.6, 0.8); math.Abs(got-(0.6+0.8*(0.4+0.5*0.4))) > 1e-12 {
		t.Errorf("reads %v", got)
	}
	for _, e := range []float64{-0.1, 0, 0.2, 0.9} {
		for _, per := range []float64{0, 0.5, 2} {
			if got := k.solve(k.reads(e, per), per); math.Abs(got-e) > 1e-12 {
				t.Errorf("%v with %v a mm: %v", e, per, got)
			}
		}
	}
	k.cov = [2][2]float64{{0.04, 0.01}, {0.01, 0.09}}
	// At 0.6: 0.4 + 0.5 0.4 = 0.6 mm, variance 0.04 + 2 0.4 0.01 + 0.16 0.09 = 0.0624.
	if mm, sd := k.at(0.6); math.Abs(mm-0.6) > 1e-12 || math.Abs(sd-math.Sqrt(0.0624)) > 1e-12 {
		t.Errorf("%v +- %v mm", mm, sd)
	}
	m := [2][2]float64{{4, 1}, {1, 2}} // inverse by hand: 1/7 of {2 -1, -1 4}
	inv := invert2(m)
	for i, row := range [2][2]float64{{2. / 7, -1. / 7}, {-1. / 7, 4. / 7}} {
		for j, want := range row {
			if math.Abs(inv[i][j]-want) > 1e-12 {
				t.Errorf("inverse %v", inv)
			}
		}
	}
}

// The step of two equations 4 p + g = 3, p + 2 g = 1 is 5/7 and 1/7; where play
// or its growth would leave what they can be, the other is solved for alone.
func TestPlayStaysWithin(t *testing.T) {
	n := [2][2]float64{{4, 1}, {1, 2}}
	for _, c := range []struct {
		c      [2]float64
		k      play
		dp, dg float64
	}{
		{[2]float64{3, 1}, play{p: 1, g: 1}, 5. / 7, 1. / 7},
		{[2]float64{3, -9}, play{p: 1, g: 0.5}, (3 + 0.5) / 4, -0.5},       // alone: g to 0
		{[2]float64{30, 1}, play{p: 1, g: 1}, 2, max(-1, (1-2)/2.0)},       // play to 3 mm
		{[2]float64{-30, 1}, play{p: 1, g: 1}, -1, (1 + 1) / 2.0},          // play to 0
		{[2]float64{30, -9}, play{p: 1, g: 0.5}, 2, max(-0.5, (-9-2)/2.0)}, // both
	} {
		s := normal{n: n, c: c.c}
		dp, dg := s.within(c.k, invert2(n))
		if math.Abs(dp-c.dp) > 1e-12 || math.Abs(dg-c.dg) > 1e-12 {
			t.Errorf("%v from %+v: %v and %v, want %v and %v", c.c, c.k, dp, dg, c.dp, c.dg)
		}
	}
}

// The parts on the bike: fitted last, of two at once the first.
func TestOnBike(t *testing.T) {
	part := func(id string, kind gearing.PartKind, fitted, removed float64) gearing.WearPart {
		return gearing.WearPart{ID: id, Kind: kind, FittedKM: fitted, RemovedKM: removed}
	}
	log := gearing.WearLog{Parts: []gearing.WearPart{
		part("a", gearing.PartChain, 0, 0), part("b", gearing.PartChain, 100, -1), part("c", gearing.PartChain, 900, 1000), part("d", gearing.PartChain, 100, -1), part("e", gearing.PartCassette, 500, -1),
	}}
	if got := onBike(log, gearing.PartChain); got == nil || got.ID != "b" {
		t.Errorf("%+v", got)
	}
	if got := onBike(log, gearing.PartRing); got != nil {
		t.Errorf("%+v", got)
	}
	// The cassette ran from 500 on: what part of each chain's way is that.
	d := &decider{km: 2000, cassette: &log.Parts[4]}
	for _, c := range []struct {
		fitted, removed, part float64
		ran                   bool
	}{{0, -1, 0.75, true}, {500, -1, 1, true}, {1000, -1, 1, true}, {0, 1000, 0.5, true}, {0, 500, 0, false}, {0, 501, 1. / 501, true}, {-1, -1, 1, true}, {2000, -1, 1, true}} {
		got, ran := d.together(part("x", gearing.PartChain, c.fitted, c.removed))
		if math.Abs(got-c.part) > 1e-12 || ran != c.ran {
			t.Errorf("%+v: %v, %v", c, got, ran)
		}
	}
	d.cassette = &gearing.WearPart{FittedKM: -1}
	if got, ran := d.together(part("x", gearing.PartChain, 0, 1000)); got != 1 || !ran {
		t.Errorf("cassette of no known distance: %v, %v", got, ran)
	}
}

// Pairs share a reading whichever place it has; dates share nothing. Of examples
// the one further on tells more, then the one further apart.
func TestPairs(t *testing.T) {
	at := func(a, b int, kind suspectKind) suspect { return suspect{a: a, b: b, kind: kind} }
	for _, c := range []struct {
		p, q suspect
		want bool
	}{
		{at(1, 2, sameDistance), at(2, 3, sameDistance), true}, {at(1, 2, sameDistance), at(1, 3, sameDistance), true}, {at(2, 3, sameDistance), at(1, 2, sameDistance), true}, {at(1, 3, sameDistance), at(2, 3, sameDistance), true},
		{at(1, 2, sameDistance), at(3, 4, sameDistance), false}, {at(1, 2, clock), at(1, 2, sameDistance), false}, {at(1, 2, shrinks), at(2, 9, clock), true},
	} {
		if got := c.p.shares(c.q); got != c.want {
			t.Errorf("%+v, %+v: %v", c.p, c.q, got)
		}
	}
	if clocks(nil) != nil {
		t.Error("no dates are out of order")
	}
}

// Of a distance the most precise value, the highest lower and the lowest upper
// bound, each the first of equals.
func TestExtremes(t *testing.T) {
	value := func(at, sigma float64, bound int) reading {
		return reading{m: measured{value: at, sigma: sigma, bound: bound}}
	}
	for _, c := range []struct {
		list              []reading
		best, floor, roof int
	}{
		{[]reading{value(0.5, 0.1, 0), value(0.6, 0.05, 0), value(0.4, 0.2, 0)}, 1, -1, -1}, {[]reading{value(0.5, 0.1, 0), value(0.6, 0.1, 0)}, 0, -1, -1},
		{[]reading{value(0.5, 0.1, 1), value(0.75, 0.1, 1), value(0.75, 0.1, 1), value(1, 0.1, -1), value(0.9, 0.1, -1), value(0.9, 0.1, -1)}, -1, 1, 4},
		{[]reading{value(0.5, 0.1, -1)}, -1, -1, 0}, {[]reading{value(0.5, 0.1, 1)}, -1, 0, -1}, {nil, -1, -1, -1},
		{[]reading{value(-0.1, 0.1, 1), value(-0.2, 0.1, 1), value(0.1, 0.1, -1), value(0.2, 0.1, -1)}, -1, 0, 2},
	} {
		g := group{}
		for i := range c.list {
			g.from = append(g.from, i)
		}
		if best, floor, roof := extremes(c.list, g, play{}); best != c.best || floor != c.floor || roof != c.roof {
			t.Errorf("%+v: %d, %d, %d, want %d, %d, %d", c.list, best, floor, roof, c.best, c.floor, c.roof)
		}
	}
}

// Off by hand: play 0.1 mm and growth 0.2 from what was expected, one error each;
// rows 0 and 2 errors off, and a bound just met, -2 ln(1/2).
func TestMisfitByHand(t *testing.T) {
	prior := play{p: 0.1, g: 0.2, cov: [2][2]float64{{0.01, 0}, {0, 0.04}}}
	k := play{p: 0.2}
	groups := []group{
		{valued: true, e: 0.5, rows: []row{{y: 0.6, weight: 100, perMM: 0.5}, {y: 0.7, weight: 100}, {y: 0.5, weight: 100, bound: 1}}},
		{e: 9, rows: []row{{y: 0, weight: 100}}}, // bounds alone do not count
	}
	if got := misfitOf(groups, k, prior); math.Abs(got-(1+1+0+4+2*math.Ln2)) > 1e-9 {
		t.Errorf("%v", got)
	}
	groups[0].rows[2].y = 0.3 // falls in at 0.3, two errors under 0.5: P = 0.97725
	if got := misfitOf(groups, k, prior); math.Abs(got-(6-2*math.Log(0.9772499))) > 1e-6 {
		t.Errorf("%v", got)
	}
	groups[0].rows[2].bound = -1 // does not fall in there: P = 0.02275
	if got := misfitOf(groups, k, prior); math.Abs(got-(6-2*math.Log(0.0227501))) > 1e-4 {
		t.Errorf("%v", got)
	}
}

// No small change of play, growth or an elongation lowers the misfit of the fit;
// play at a bound may want to leave it.
func TestFitPlayIsAMinimum(t *testing.T) {
	for name, gauge := range map[string][3]float64{"as expected": {0.45, 0.75, 1.1}, "little play": {0.2, 0.4, 0.7}, "much play": {1.5, 2.2, 3.1}} {
		groups := make([]group, 3)
		for i := range groups {
			e := 0.1 + 0.2*float64(i)
			groups[i] = group{valued: true, rows: []row{{y: e, weight: 1 / (0.04 * 0.04)}, {y: gauge[i], weight: 1 / (0.05 * 0.05), perMM: 0.8}, {y: e + 0.1, weight: 400, perMM: 0.8, bound: 1}}}
		}
		prior := play{p: 0.3, g: 0.4, ref: 0.1, cov: [2][2]float64{{0.0225, 0}, {0, 0.09}}}
		k := fitPlay(groups, prior)
		least := misfitOf(groups, k, prior)
		for _, by := range []float64{-0.002, 0.002} {
			moved := k
			if moved.p += by; boundPlay(moved.p) == moved.p && misfitOf(groups, moved, prior) < least {
				t.Errorf("%s: play %v moved by %v fits better", name, k.p, by)
			}
			moved = k
			if moved.g += by; moved.g >= 0 && misfitOf(groups, moved, prior) < least {
				t.Errorf("%s: growth %v moved by %v fits better", name, k.g, by)
			}
			for i := range groups {
				groups[i].e += by
				if misfitOf(groups, k, prior) < least {
					t.Errorf("%s: elongation %v moved by %v fits better", name, groups[i].e, by)
				}
				groups[i].e -= by
			}
		}
	}
}
