package sim

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
)

// The path's slope is the sum of the lever arms of the lower run and the run
// to the cog about the cage pivot. The arms are measured here
// on the tangent points. The path counts a wheel's wrap by its teeth; with wraps
// counted on the pitch circle the two agree exactly, and teeth make a few
// millimetres of difference (derived here).
func TestLeverArms(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawPlain(t)
		tr := &r.gears[rapid.IntRange(0, len(r.gears)-1).Draw(t, "gear")].train
		tr.aside = 0 // arms are in the side view
		l := r.limits(tr, nil)
		if !l.ok || l.rearWhy == LimitNone || l.frontWhy == LimitNone {
			t.Skip("no path")
		}
		angle := l.rear + (l.front-l.rear)*rapid.Float64Range(0.05, 0.95).Draw(t, "share")
		circles := *tr
		for _, w := range []*wheel{&circles.ring, &circles.cog, &circles.guide, &circles.tension} {
			w.perRadian = w.radius / pitchMM
		}
		teeth, p := tr.at(angle), circles.at(angle)
		if a, b, c, d := tr.wraps(&p); min(a, b, c, d) < 0.05 {
			t.Skip("off a wheel")
		}
		// A clockwise wheel keeps its centre right of the run: the tangent
		// point lies left of the centre.
		lower, back := heading(p.lower.direction), heading(p.back.direction)
		onTension := p.tension.add(lower.left().times(tr.tension.radius)).sub(tr.pivot)
		onGuide := p.guide.add(back.left().times(-tr.guide.radius)).sub(tr.pivot)
		// The run pulls the tension pulley back towards the ring, the guide
		// pulley on towards the cog.
		arms := onTension.cross(lower.times(-1)) + onGuide.cross(back)
		if got := -p.slope * pitchMM; math.Abs(got-arms) > 1e-6 || math.Abs(p.slope-teeth.slope)*pitchMM > 4 {
			t.Fatalf("lever arms %.3f mm, path says %.3f", arms, got)
		}
	})
}

// Tension times lever arm is the spring's moment; a clutch adds a band round
// it that is as wide as its friction.
func TestLowerTension(t *testing.T) {
	s := newSpring(gearing.Geometry{SpringPreload: 800, SpringRate: 4, ClutchTorque: 300, CageStopRear: -200, CageStopForward: 0})
	angle := -100 * math.Pi / 180
	low, mid, high := s.lowerTension(angle, -5)
	arm := 5 * 12.7
	if want := (800 + 4*100) / arm; math.Abs(mid-want) > 1e-9 {
		t.Errorf("tension %.4f N, want %.4f", mid, want)
	}
	if math.Abs(high-mid-300/arm) > 1e-9 || math.Abs(mid-low-300/arm) > 1e-9 {
		t.Errorf("band %.3f to %.3f round %.3f N", low, high, mid)
	}
	if low, mid, high := s.lowerTension(angle, 0.1); low != 0 || mid != 0 || high != 0 {
		t.Error("a straight cage has no tension that the spring decides")
	}
}

// A weak spring ends the swing where it pulls less than the least tension.
func TestTensionLimit(t *testing.T) {
	b := marginBuilds()["measured"]
	b.Rear.Geometry.SpringPreload, b.Rear.Geometry.SpringRate = 1, 2.5
	r := mustRig(t, b)
	f, err := r.Fit(114)
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for i := range f.Gears {
		if f.Gears[i].RearLimit != LimitTension {
			continue
		}
		found++
		tr, _ := r.trainAt(&r.gears[i], 0, f.BodyAngle.Radians())
		l := r.limits(&tr, nil)
		if _, mid, _ := r.spring.lowerTension(l.rear-tr.body, l.atRear.slope); math.Abs(mid-leastTension) > 1e-6 {
			t.Errorf("%s: %.4f N at the limit, want %.1f", f.Gears[i].GearID, mid, leastTension)
		}
	}
	if found == 0 {
		t.Error("no gear is limited by its spring")
	}
}

// With both pivots sprung the two balances hold at once: a small turn of the
// body does no work, the cage following the chain.
func TestSprungMountBalances(t *testing.T) {
	for pitches, worn := range map[int]gearing.Percent{112: 0, 106: 8} {
		b := sprungBuild(1400, 8)
		b.Chain = gearing.Chain{Pitches: pitches, Elongation: worn}
		checkBalance(t, mustRig(t, b), float64(pitches))
	}
}

func sprungBuild(preload, rate float64) gearing.Build {
	b := marginBuilds()["measured"]
	b.Rear.Geometry.SpringPreload, b.Rear.Geometry.SpringRate = 900, 5
	b.Rear.Geometry.MountPreload, b.Rear.Geometry.MountRate = preload, rate
	return b
}

func checkBalance(t *testing.T, r *Rig, pitches float64) {
	t.Helper()
	body := r.setBody(pitches)
	balanced := 0
	for i := range r.gears {
		beta := body.angleOf(i)
		if math.Abs(beta) > bodySwing-1e-6 {
			continue // at the end of its swing it rests
		}
		energy := func(angle float64) float64 { // of both springs with the chain kept
			tr, _ := r.trainAt(&r.gears[i], 0, angle)
			l := r.limits(&tr, nil)
			cage, _ := tr.solve(pitches*r.stretch, middleAngle, &l)
			x := cage - angle - r.spring.from
			return r.spring.least*x + r.spring.rate*x*x/2 + r.mountPreload*angle + r.mountRate*angle*angle/2
		}
		const h = 1e-4
		if work := (energy(beta+h) - energy(beta-h)) / (2 * h); math.Abs(work) > 2 {
			t.Errorf("%s: %.2f N mm left over at %.2f degrees", r.gears[i].id, work, degrees(beta))
		}
		balanced++
	}
	if balanced < 10 {
		t.Errorf("only %d gears balance", balanced)
	}
}

// A mounting spring that nothing holds finds no balance in any gear; one that
// does leaves the gap where it leaves it.
func TestSprungBody(t *testing.T) {
	for preload, most := range map[float64]int{1400: 0, 50000: 20} {
		r := mustRig(t, sprungBuild(preload, 8))
		body := r.setBody(112)
		if body.unbalanced != most || len(body.perGear) != 20 || body.angle != body.perGear[r.reference] {
			t.Errorf("preload %v: %d gears without balance, want %d", preload, body.unbalanced, most)
		}
		gap := float64(heldBody(r, r.reference, 112, body.angle).Gap)
		for off, reaches := range map[float64]bool{0: true, 0.49: true, -0.49: true, 0.51: false, -0.51: false} {
			r.target = gap + off
			if body := r.setBody(112); body.reaches != reaches || math.Abs(body.miss+off) > 1e-5 {
				t.Errorf("preload %v, target %v off: reaches %v, misses by %v", preload, off, body.reaches, body.miss)
			}
		}
	}
}

// Where a known spring first pulls too little, against a walk along the swing in
// small steps; a spring that is not known limits nothing.
func TestSlackAngleAgainstScan(t *testing.T) {
	found := 0
	for _, preload := range []float64{1, 40, 150, 300} {
		b := marginBuilds()["measured"]
		b.Rear.Geometry.SpringPreload, b.Rear.Geometry.SpringRate = preload, 1
		r := mustRig(t, b)
		for i := range r.gears {
			tr := &r.gears[i].train
			r.spring.known = false
			l := r.limits(tr, nil)
			r.spring.known = true
			got, ok := r.slackAngle(tr, l.rear, l.front)
			const steps = 3000
			want, weak := 0.0, false
			for k := 1; k <= steps && !weak; k++ {
				angle := l.front + (l.rear-l.front)*float64(k)/steps
				p := tr.at(angle)
				_, pull, _ := r.spring.lowerTension(angle, p.slope)
				want, weak = angle, pull > 0 && pull < leastTension
			}
			if ok != weak || ok && math.Abs(got-want) > (l.front-l.rear)/tensionSteps/20 {
				t.Errorf("preload %v, %s: slack from %.4f, %v; a walk finds %.4f, %v", preload, r.gears[i].id, got, ok, want, weak)
			}
			if ok {
				found++
			}
		}
	}
	if found < 10 {
		t.Errorf("only %d springs are too weak", found)
	}
	if newSpring(gearing.Geometry{SpringRate: 5}).known || !newSpring(gearing.Geometry{SpringPreload: 1}).known {
		t.Error("a spring is known by its preload")
	}
}

// Tooth loads fall geometrically, and keep falling faster on small wheels.
func TestToothLoads(t *testing.T) {
	small, large := ToothLoads(1000, 11, 5), ToothLoads(1000, 50, 5)
	for i := 1; i < 5; i++ {
		if !(small[i] < small[i-1] && large[i] < large[i-1] && small[i] < large[i]) {
			t.Errorf("tooth %d: %.1f and %.1f N", i, small[i], large[i])
		}
		if r := small[1] / small[0]; math.Abs(small[i]/small[i-1]-r) > 1e-12 {
			t.Errorf("tooth %d: not a geometric progression", i)
		}
	}
}
