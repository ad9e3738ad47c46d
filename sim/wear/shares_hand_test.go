package wear

import (
	"math"
	"testing"

	"cagewise/gearing"
)

// 0.5 and 0.6 of weight 100 and 300 pool to 0.575 of 400 and scatter by 0.01 100
// 300/400 = 0.75, one degree of freedom; marks pool only with the same mark.
func TestPoolingByHand(t *testing.T) {
	var g group
	places := map[rowKey]int{}
	g.add(places, measured{value: 0.5, sigma: 0.1})
	g.add(places, measured{value: 0.6, sigma: math.Sqrt(1. / 300)})
	if r := g.rows[0]; len(g.rows) != 1 || math.Abs(r.y-0.575) > 1e-12 || math.Abs(r.weight-400) > 1e-9 || math.Abs(g.scatter-0.75) > 1e-9 || g.free != 1 || !g.valued {
		t.Errorf("%+v", g)
	}
	g.add(places, measured{value: 0.7, sigma: 0.05}) // 400 more: 0.6375, 0.015625 200 besides
	if r := g.rows[0]; math.Abs(r.y-0.6375) > 1e-12 || math.Abs(g.scatter-(0.75+0.015625*200)) > 1e-9 || g.free != 2 {
		t.Errorf("%+v", g)
	}
	for _, mark := range []float64{0.5, 0.75, 0.5} {
		g.add(places, measured{value: mark, sigma: 0.05, bound: 1})
	}
	g.add(places, measured{value: 0.5, sigma: 0.05, bound: -1})
	g.add(places, measured{value: 0.5, sigma: 0.05, perMM: 0.8})
	if len(g.rows) != 5 || g.free != 2 {
		t.Errorf("%d rows, %d degrees of freedom", len(g.rows), g.free)
	}
	var bounds group
	if bounds.add(map[rowKey]int{}, measured{value: 0.5, sigma: 0.05, bound: -1}); bounds.valued {
		t.Error("a bound alone gives no value")
	}
	if got := millsRatio(-40); math.Abs(got-40.025) > 0.001 { // -z - 1/z, from memory
		t.Errorf("far out the ratio is %v", got)
	}
	if near, far := millsRatio(-30+1e-9), millsRatio(-30-1e-9); math.Abs(near-far) > 0.001 {
		t.Errorf("%v and %v on either side of -30", near, far)
	}
}

// Straight against the best accelerating shape by AICc, the others by their
// likelihood: deviances 20 and 10, 12 with a scale of (10 + 4 + 0)/14 = 1. AICc
// 20 + 4 + 12/13 and 10 + 6 + 24/12: 6.923 apart, so 1/(1 + e^-3.4615) = 0.96957;
// e^0 and e^-1 share it (by hand).
func TestWeightsByHand(t *testing.T) {
	p := problemForWeights()
	all := []fitted{solved(p, t, 0), solved(p, t, 1), solved(p, t, 5)}
	for i, d := range []float64{20, 10, 12} {
		all[i].deviance, all[i].chi = d, 4
	}
	out := p.weigh(all)
	if math.Abs(out.delta-6.923077) > 1e-5 || math.Abs(out.weight-0.96957) > 1e-5 || math.Abs(out.scale-1) > 1e-12 {
		t.Errorf("delta %.6f, weight %.6f, scale %.6f", out.delta, out.weight, out.scale)
	}
	for i, want := range []float64{1 - 0.96957, 0.96957 / (1 + math.Exp(-1)), 0.96957 * math.Exp(-1) / (1 + math.Exp(-1))} {
		if got := out.curves[i].weight; math.Abs(got-want) > 1e-5 || out.curves[i].bend != all[i].bend {
			t.Errorf("curve %d weighs %.6f, want %.6f", i, got, want)
		}
	}
	for i := range all { // four times the scatter: deviances count a quarter
		all[i].chi = 46
	}
	out = p.weigh(all)
	if math.Abs(out.scale-2) > 1e-12 || math.Abs(out.delta-(10./4+4+12./13-6-2)) > 1e-5 || math.Abs(out.curves[2].weight/out.curves[1].weight-math.Exp(-0.25)) > 1e-9 {
		t.Errorf("scale %v, delta %v", out.scale, out.delta)
	}
	all[2].deviance = 8 // the last is the best now
	if out = p.weigh(all); math.Abs(out.delta-(12./4+4+12./13-6-2)) > 1e-5 {
		t.Errorf("delta %v with the last the best", out.delta)
	}
}

func problemForWeights() *problem {
	p := &problem{length: 3000, values: 6, start: 0.05, slope: 0.5, prior: play{p: 0.3, g: 0.2, cov: [2][2]float64{{0.01, 0}, {0, 0.01}}}}
	for i := range 5 {
		x := float64(i+1) / 5
		p.data = append(p.data, observation{row: row{y: 0.05 + 0.5*x, weight: 400}, x: x})
	}
	return p
}

func solved(p *problem, t *testing.T, bend float64) fitted {
	t.Helper()
	s, ok := p.solve(bend)
	if !ok {
		t.Fatal("not solved")
	}
	return fitted{s, bend}
}

// 0.05 + 0.5 x without error is found again, and no small change of start or
// rise fits better; the errors are those of weighted least squares.
func TestStraightFitByHand(t *testing.T) {
	p := problemForWeights()
	p.start = 0 // nothing known of it
	s, ok := p.solve(0)
	if !ok || math.Abs(s.theta[0]-0.05) > 1e-9 || math.Abs(s.theta[1]-0.5) > 1e-9 || s.deviance > 1e-12 {
		t.Errorf("%+v, %v", s.theta, ok)
	}
	// Sums over x = 0.2 to 1: n 5, x 3, x^2 2.2; determinant 5 2.2 - 9 = 2.
	for got, want := range map[float64]float64{s.cov.At(0, 0): 2.2 / 2 / 400, s.cov.At(1, 1): 5. / 2 / 400, s.cov.At(0, 1): -3. / 2 / 400} {
		if math.Abs(got-want) > 1e-9 {
			t.Errorf("covariance %v, want %v", got, want)
		}
	}
}

// 4 J a turn of 2 pi 20 N m are 3.183 %: 97 % are left, +- the error of mu. 360/44
// + 360/22 = 24.545 degrees (by hand).
func TestEfficiencyByHand(t *testing.T) {
	l := Loss{Work: 4}
	if l.addEfficiency(20); l.Efficiency != 97 || l.EfficiencyError != gearing.Percent(max(1, math.Round(MuError*3.183))) {
		t.Errorf("%+v", l)
	}
	l = Loss{Work: 60}
	if l.addEfficiency(20); l.Efficiency != 52 || l.EfficiencyError != gearing.Percent(math.Round(MuError*47.746)) {
		t.Errorf("%+v", l)
	}
	if got := Articulation(gearing.GearID{Ring: 44, Cog: 22}); math.Abs(float64(got)-24.5455) > 0.0001 {
		t.Errorf("%v degrees", got)
	}
	// 0.02/(0.1 + 2 0.05 3) = 0.05
	if got := (WearShape{Rate: 0.1, Accel: 0.05, RateError: 0.02}).lifeError(3000); math.Abs(got-0.05) > 1e-12 {
		t.Errorf("error of a life %v", got)
	}
}

// Shares add up to 1; of nothing they stay nothing.
func TestNormalised(t *testing.T) {
	if got := normalised([]float64{1, 3}); got[0] != 0.25 || got[1] != 0.75 {
		t.Errorf("%v", got)
	}
	if got := normalised([]float64{0, 0}); got[0] != 0 || got[1] != 0 {
		t.Errorf("%v", got)
	}
}

// The next limit is one not reached, from the first that counts; each has its
// meaning.
func TestNextLimit(t *testing.T) {
	for _, c := range []struct {
		e, first, want gearing.Percent
	}{{0.2, 0, LimitMany}, {LimitMany, 0, LimitFew}, {0.2, LimitFew, LimitFew}, {0.9, 0, LimitCassette}, {LimitCassette, 0, LimitDrive}, {LimitDrive, 0, 0}} {
		if got, ok := nextLimit(c.e, c.first); got != c.want || ok != (c.want > 0) {
			t.Errorf("%+v: %v, %v", c, got, ok)
		}
	}
	words := map[string]bool{}
	for _, l := range []gearing.Percent{LimitMany, LimitFew, LimitCassette, LimitDrive} {
		words[meaning(l)] = true
	}
	if len(words) != 3 || meaning(LimitMany) != meaning(LimitFew) || meaning(LimitDrive) != "the limit of industrial drives" {
		t.Errorf("%v", words)
	}
}

// 0.3 % to go at 0.2 % a 1000 km are 1500 km; the reading's 0.04 % make 200 of
// them, the rate's 0.05 % another 375: 425 (by hand). In doubt it looks twice as
// often.
func TestWatchByHand(t *testing.T) {
	d := &decider{units: lengths{}}
	s := ChainState{HasReading: true, Elongation: 0.2, Error: 0.04, HasRate: true, Rate: 0.2, RateError: 0.05}
	w := d.watchChain(s, 0, false)
	if !w.HasKM || w.Limit != LimitMany || math.Abs(w.KM-1500) > 1e-9 || math.Abs(w.Error-425) > 1e-9 {
		t.Errorf("%+v", w)
	}
	s.HasRate = false
	calm, doubt := d.watchChain(s, 0, false), d.watchChain(s, 0, true)
	if calm.HasKM || calm.LookEvery != lookDefault(false) || doubt.LookEvery != calm.LookEvery/2 {
		t.Errorf("%+v, in doubt %+v", calm, doubt)
	}
	s.Contradicts = true
	if odd := d.watchChain(s, 0, true); odd.LookEvery != lookAgainKM {
		t.Errorf("%+v", odd)
	}
	s.Elongation = LimitDrive
	if over := d.watchChain(s, 0, false); over.LookEvery != leastLookKM || over.Limit != 0 {
		t.Errorf("%+v", over)
	}
}
