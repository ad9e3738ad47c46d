package wear

import (
	"errors"
	"math"
	"testing"

	"cagewise/gearing"
)

// 44x22 on a wheel of 2 m and a push of 50 N: 4 m a crank turn, 250 turns a km,
// torque 50 2/(2 pi) 44/22 = 31.831 N m; pull by the 44's lever arm 88.936 mm,
// 357.91 N and 15 of the lower run; a cog's first tooth of 22 bears 1 - 0.6012 of it (by hand, the ratio
// sin 21.818/sin 38.182 of MODEL section 8).
func TestGearWearByHand(t *testing.T) {
	f := Friction{}.WithDefaults()
	c := Choice{Drive: Drive{GearID: gearing.GearID{Ring: 44, Cog: 22}}, Pitches: 100}
	w, err := f.gearWear(c, Road{Push: 50, RollOut: 2})
	if err != nil {
		t.Fatal(err)
	}
	for what, v := range map[string][2]float64{
		"development": {float64(w.Development), 4}, "torque": {w.Torque, 31.831}, "pull": {w.Pull, 372.91},
		"joint work": {w.ChainWork, w.Work * 250 / 100}, "ring": {w.RingWork, w.Pull * 250}, "cog": {w.CogWork, w.Pull * 500}, "tooth": {w.CogTooth, 372.91 * (1 - 0.60122)},
	} {
		if math.Abs(v[0]-v[1]) > 2e-4*math.Abs(v[1]) {
			t.Errorf("%s: %.4f, want %.4f", what, v[0], v[1])
		}
	}
	for n, ok := range map[int]bool{3: false, 4: true, 1000: true, 1001: false} {
		c.Pitches = n
		if _, err := f.gearWear(c, Road{Push: 50, RollOut: 2}); (err == nil) != ok || err != nil && !errors.Is(err, ErrDrive) {
			t.Errorf("%d pitches: %v", n, err)
		}
	}
	for _, r := range []struct {
		road Road
		ok   bool
	}{{Road{2000, 0.5}, true}, {Road{2001, 2}, false}, {Road{0, 2}, false}, {Road{50, 4}, true}, {Road{50, 4.1}, false}, {Road{50, 0.4}, false}} {
		if err := r.road.check(); (err == nil) != r.ok {
			t.Errorf("%+v: %v", r.road, err)
		}
	}
	ranked, err := f.RankGears([]Choice{{Drive: Drive{GearID: gearing.GearID{Ring: 30, Cog: 11}}}, {Drive: Drive{GearID: gearing.GearID{Ring: 48, Cog: 18}}}, {Drive: Drive{GearID: gearing.GearID{Ring: 40, Cog: 15}}}}, Road{50, 2})
	if err != nil || ranked[0].Ring != 48 || ranked[1].Ring != 40 || ranked[2].Ring != 30 {
		t.Errorf("small wheels wear a chain faster: %+v, %v", ranked, err)
	}
}

// The error of a lift is its own of the ruler, by the slope of LiftElongation,
// half of the result and 0.1 of a new chain's.
func TestLiftError(t *testing.T) {
	for _, ring := range []gearing.Teeth{3, 30, 42, 200} {
		for _, lift := range []gearing.MM{0, 2, 4, 100} {
			r := gearing.WearReading{Lift: lift, Error: 0.8}
			m, err := liftReading(r, ring)
			if err != nil {
				t.Fatal(err)
			}
			const h = 1e-4
			e := float64(LiftElongation(lift, ring))
			slope := (float64(LiftElongation(lift+h, ring)) - e) / h
			want := max(math.Sqrt(math.Pow(slope*0.8, 2)+math.Pow(e/2, 2)+0.01), 0.25)
			if math.Abs(m.value-(e-0.15)) > 1e-9 || math.Abs(m.sigma-want) > 0.01*want {
				t.Errorf("%v mm off %d teeth: %.4f +- %.4f, want %.4f +- %.4f", lift, ring, m.value, m.sigma, e-0.15, want)
			}
		}
	}
	for _, c := range []struct {
		lift gearing.MM
		ring gearing.Teeth
	}{{4, 2}, {4, 201}, {-0.1, 42}, {100.1, 42}, {gearing.MM(math.NaN()), 42}} {
		if _, err := liftReading(gearing.WearReading{Lift: c.lift}, c.ring); err == nil {
			t.Errorf("%+v was taken", c)
		}
	}
}

func TestReadingBounds(t *testing.T) {
	rule := gearing.WearReading{Method: gearing.MethodRule, Length: 305, Pitches: 24}
	tests := []struct {
		change func(*gearing.WearReading)
		ok     bool
	}{
		{func(*gearing.WearReading) {}, true}, {func(r *gearing.WearReading) { r.KM = 1e7 }, true}, {func(r *gearing.WearReading) { r.KM = 1.1e7 }, false}, {func(r *gearing.WearReading) { r.KM = -1 }, false},
		{func(r *gearing.WearReading) { r.Error = 99 }, true}, {func(r *gearing.WearReading) { r.Error = 100 }, false}, {func(r *gearing.WearReading) { r.Length = 0 }, false},
		{func(r *gearing.WearReading) { r.Pitches = mostPitches }, true}, {func(r *gearing.WearReading) { r.Pitches = mostPitches + 1 }, false}, {func(r *gearing.WearReading) { r.Pitches = -1 }, false},
		{func(r *gearing.WearReading) { r.Method, r.Inside2, r.Inside10 = gearing.MethodCaliper, 20, 122 }, true}, {func(r *gearing.WearReading) { r.Method, r.Inside2, r.Inside10 = gearing.MethodCaliper, 20, 20 }, false},
		{func(r *gearing.WearReading) { r.Method, r.Inside10 = gearing.MethodCaliper, 122 }, false}, {func(r *gearing.WearReading) { r.Method = "guess" }, false},
	}
	for i, tt := range tests {
		r := rule
		tt.change(&r)
		if _, err := byMethod(r, gearing.WearPart{Pitches: 112}, 42); (err == nil) != tt.ok {
			t.Errorf("%d: %v", i, err)
		}
	}
}

// Bounds alone: mean and deviation of the law e^(-2 e), cut softly, summed finely;
// the range is four soft widths about the bounds, at least 0.4 wide, at most 8.
func TestBoundsSummed(t *testing.T) {
	for _, c := range []struct {
		ties     []tie
		from, to float64
	}{
		{[]tie{{0.5, 0.05, -1}}, -0.1, 0.7}, {[]tie{{0.5, 0.05, 1}}, 0.3, min(8.3, float64(MostElongation))}, {[]tie{{0.5, 0.05, 1}, {0.75, 0.05, -1}}, 0.3, 0.95},
		{[]tie{{0.75, 0.05, 1}, {0.3, 0.05, -1}}, 0.3, 0.75}, {[]tie{{-0.8, 0.05, -1}}, -0.8, 0.1}, {nil, -0.1, min(7.9, float64(MostElongation))},
		{[]tie{{0.9, 0.05, 1}, {0.5, 0.05, -1}}, 0.5, 0.9},
	} {
		from, to := openRange(c.ties)
		if math.Abs(from-c.from) > 1e-9 || math.Abs(to-c.to) > 1e-9 {
			t.Errorf("%+v: %v to %v, want %v to %v", c.ties, from, to, c.from, c.to)
		}
		var s0, s1, s2 float64
		for e := from; e < to; e += 1e-4 {
			w := math.Exp(-2 * e)
			for _, b := range c.ties {
				w *= 0.5 * math.Erfc(-float64(b.bound)*(e-b.at)/b.sigma/math.Sqrt2)
			}
			s0, s1, s2 = s0+w, s1+w*e, s2+w*e*e
		}
		mean := s1 / s0
		sd := math.Sqrt(s2/s0 - mean*mean)
		if m, s := boundMoments(c.ties); math.Abs(m-mean) > 0.01 || math.Abs(s-sd) > 0.01 {
			t.Errorf("%+v: %.4f +- %.4f, summed %.4f +- %.4f", c.ties, m, s, mean, sd)
		}
	}
	// Bounds that leave nothing at all: the middle of what they span.
	if m, s := boundMoments([]tie{{5, 1e-4, 1}, {1, 1e-4, -1}}); math.Abs(m-3) > 0.01 || math.Abs(s-2.2) > 0.01 {
		t.Errorf("%.4f +- %.4f", m, s)
	}
}
