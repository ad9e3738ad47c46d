package sim

import (
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
)

// slip is how far the path may fall between the limits, in pitches: two minima
// next to each other, or the end of all paths, are searched no finer.
const slip = 2e-3

// Between the limits the path grows as the cage swings rearward, and no wrap
// jumps.
func TestPathGrowsRearward(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawPlain(t)
		g := &r.gears[rapid.IntRange(0, len(r.gears)-1).Draw(t, "gear")]
		l := r.limits(&g.train, nil)
		if !l.ok {
			t.Skip("no path")
		}
		const steps = 400
		before := g.train.at(l.front)
		for k := 1; k <= steps; k++ {
			angle := l.front + (l.rear-l.front)*float64(k)/steps
			p := g.train.at(angle)
			if !p.ok || p.pitches < before.pitches-slip {
				t.Fatalf("%s: path %.9f after %.9f, slope %.3g at %.2f degrees", g.id, p.pitches, before.pitches, p.slope, degrees(angle))
			}
			a, b := wrapList(&g.train, &before), wrapList(&g.train, &p)
			for i := range a {
				if math.Abs(a[i]-b[i]) > 0.2 {
					t.Fatalf("%s: wrap %d jumps from %.4f to %.4f at %.2f degrees", g.id, i, a[i], b[i], degrees(angle))
				}
			}
			before = p
		}
	})
}

func wrapList(t *train, p *pose) [4]float64 {
	a, b, c, d := t.wraps(p)
	return [4]float64{a, b, c, d}
}

// The slope at gives is the path's derivative.
func TestSlopeIsTheDerivative(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawPlain(t)
		g := &r.gears[rapid.IntRange(0, len(r.gears)-1).Draw(t, "gear")]
		l := r.limits(&g.train, nil)
		if !l.ok {
			t.Skip("no path")
		}
		const h = 1e-5
		angle := l.rear + (l.front-l.rear)*rapid.Float64Range(0.1, 0.9).Draw(t, "share")
		p, a, b := g.train.at(angle), g.train.at(angle-h), g.train.at(angle+h)
		if want := (b.pitches - a.pitches) / (2 * h); math.Abs(p.slope-want) > 1e-4*(1+math.Abs(want)) {
			t.Fatalf("slope %.9f, differences give %.9f", p.slope, want)
		}
	})
}

// The slope alone and the lower run's clearance alone are those of the whole pose,
// everywhere.
func TestEdgesAreThePoses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawPlain(t)
		tr, ok := r.trainAt(&r.gears[rapid.IntRange(0, len(r.gears)-1).Draw(t, "gear")], 0, rapid.Float64Range(-0.3, 0.3).Draw(t, "body"))
		if !ok {
			t.Skip("no path")
		}
		for x := rearMost; x < frontMost; x += 0.05 {
			p := tr.at(x)
			if !p.ok {
				continue
			}
			if d := math.Abs(p.slope - tr.slopeAt(x)); d > 1e-9*(1+math.Abs(p.slope)) {
				t.Fatalf("slope %.12f, alone %.12f", p.slope, tr.slopeAt(x))
			}
			if d := math.Abs(p.runClearance(tr.tension.radius) - tr.clearanceAt(x)); d > 1e-9 {
				t.Fatalf("clearance %.12f, alone %.12f", p.runClearance(tr.tension.radius), tr.clearanceAt(x))
			}
		}
	})
}

// A longer chain never lowers the rearward swing, and with the body held the
// reserves change by just the chain; states follow locks, too short,
// tight, clear, slack, and every one has its reason.
func TestMorePitches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawPlain(t)
		i := rapid.IntRange(0, len(r.gears)-1).Draw(t, "gear")
		var before GearFit
		for n := 60; n <= 160; n++ {
			g := fixedBody(r, i, float64(n))
			if g.NoPath {
				t.Skip("no path")
			}
			if n > 60 {
				if g.CageAngle > before.CageAngle+1e-7 {
					t.Fatalf("%d pitches: cage at %.6f degrees, with one less %.6f", n, float64(g.CageAngle), float64(before.CageAngle))
				}
				if math.Abs(float64(g.Forward-before.Forward)-1) > 1e-6 || math.Abs(float64(g.OverLoop-before.OverLoop)-1) > 1e-6 || math.Abs(float64(before.Rearward-g.Rearward)-1) > 1e-6 {
					t.Fatalf("%d pitches: reserves %.6f and %.6f, with one less %.6f and %.6f", n, g.Forward, g.Rearward, before.Forward, before.Rearward)
				}
				if rank(&g) > rank(&before) {
					t.Fatalf("%d pitches: %s, with one less %s", n, g.State, before.State)
				}
			}
			if len(g.Reason()) < 10 {
				t.Fatalf("%s: reason %q", g.State, g.Reason())
			}
			before = g
		}
	})
}

// rank orders the states along the chain's length. The gap, which hits and far
// speak of, is another matter and is left out.
func rank(g *GearFit) int {
	switch {
	case g.short() < 0:
		return 4
	case g.short() < LeastReserve:
		return 3
	case float64(g.OverLoop) < TightReserve:
		return 2
	case g.Rearward < 0:
		return 0
	}
	return 1
}

// judge's order: the state named is the worst that applies.
func TestJudgeNamesTheWorst(t *testing.T) {
	for _, c := range []struct {
		forward, loop, rearward, gap float64
		front, rear                  Limit
		want                         State
	}{
		{-0.1, 3, 5, 10, 0, 0, Locks}, {-0.1, 3, -1, 1, 0, 0, Locks}, {-0.1, -0.1, 5, 10, 0, 0, Locks},
		{0.5, 3, 5, 10, 0, 0, TooShort}, {0.5, 0.5, -1, 1, 0, 0, TooShort}, {0.99, 3, 5, 10, LimitForwardStop, 0, TooShort},
		{2, 3, -1, 2.9, 0, 0, Hits}, {2, 1.5, 5, -4, 0, 0, Hits}, {2, 3, -0.1, 10, 0, LimitCog, Hits},
		// A forward end that the cog sets is no matter of the chain's length.
		{0.5, 3, 5, 10, LimitCog, 0, Hits}, {-5, 3, 5, 10, LimitCog, 0, Hits}, {-5, 0.5, 5, 10, LimitCog, 0, TooShort}, {-5, -0.5, 5, 10, LimitCog, 0, Locks},
		{1.5, 1.5, 5, 10, 0, 0, Tight}, {1.5, 1.99, -1, 30, 0, 0, Tight},
		{2, 3, -0.1, 10, 0, 0, Slack}, {2, 3, -0.1, 30, 0, LimitTouches, Slack}, {2, 3, 1, 30, 0, 0, Far}, {1, 2, 0, 3, 0, 0, Clear}, {1, 2, 0, 25, LimitCog, LimitCog, Clear},
	} {
		g := GearFit{
			Forward: gearing.Pitches(c.forward), OverLoop: gearing.Pitches(c.loop), Rearward: gearing.Pitches(c.rearward), Gap: gearing.MM(c.gap),
			ForwardLimit: c.front, RearLimit: c.rear,
		}
		if got := g.judge(); got != c.want {
			t.Errorf("%+v: %s", c, got)
		}
	}
}

// Scaling every length by k scales the path by k and leaves the angles: worn
// wheels are larger wheels.
func TestScaling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawPlain(t)
		g := r.gears[rapid.IntRange(0, len(r.gears)-1).Draw(t, "gear")]
		k := rapid.Float64Range(0.5, 2).Draw(t, "k")
		angle := rapid.Float64Range(-3, 0).Draw(t, "angle")
		big := g.train
		for _, w := range []*wheel{&big.ring, &big.cog, &big.guide, &big.tension} {
			w.radius, w.perRadian = k*w.radius, k*w.perRadian
		}
		big.crank, big.pivot = g.train.crank.times(k), g.train.pivot.times(k)
		big.toGuide, big.toTension = g.train.toGuide.times(k), g.train.toTension.times(k)
		big.aside = k * g.train.aside
		if !big.set() {
			t.Fatal("the scaled train has no path")
		}
		p, q := g.train.at(angle), big.at(angle)
		if p.ok != q.ok || p.ok && math.Abs(k*p.pitches-q.pitches) > 1e-9*q.pitches {
			t.Fatalf("path %.9f (%v), scaled by %.6f %.9f (%v)", p.pitches, p.ok, k, q.pitches, q.ok)
		}
		if a, b := wrapList(&g.train, &p), wrapList(&big, &q); p.ok && maxDiff(a, b) > 1e-9 {
			t.Fatalf("wraps %v, scaled %v", a, b)
		}
	})
}

func maxDiff(a, b [4]float64) float64 {
	m := 0.0
	for i := range a {
		m = max(m, math.Abs(a[i]-b[i]))
	}
	return m
}

// examples are builds as drawBuild draws them, the same every time: for tests
// that take too long for a hundred of them.
func examples(n int, do func(b gearing.Build)) {
	list := rapid.Custom(drawBuild)
	for k := range n {
		do(list.Example(k))
	}
}

// Swapping nothing changes nothing: the same build gives the same answer, and
// compared with itself no difference.
func TestSwappingNothing(t *testing.T) {
	answers := 0
	examples(12, func(b gearing.Build) {
		one, err1 := Judge(b)
		two, err2 := Judge(b)
		if !reflect.DeepEqual(one, two) || (err1 == nil) != (err2 == nil) {
			t.Fatal("two answers to one question")
		}
		if err1 != nil {
			return
		}
		answers++
		c, err := Compare([]gearing.Build{b, b}, CompareOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if x, y := c.Options[0], c.Options[1]; !reflect.DeepEqual(x.Advice, y.Advice) || !reflect.DeepEqual(x.Kept, y.Kept) || !reflect.DeepEqual(x.Table, y.Table) {
			t.Fatal("a build differs from itself")
		}
	})
	if answers < 5 {
		t.Errorf("only %d answers", answers)
	}
}

// A neighbour's limits save work and change nothing beyond 0.002 pitch, what two
// minima of the path next to each other may differ by.
func TestHintChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawPlain(t)
		hint := limits{}
		for i := range r.gears {
			tr := &r.gears[i].train
			with, without := r.limits(tr, &hint), r.limits(tr, nil)
			if with.ok != without.ok || with.frontWhy != without.frontWhy || with.rearWhy != without.rearWhy {
				t.Fatalf("%s: %v %v %v with a hint, %v %v %v without", r.gears[i].id, with.ok, with.frontWhy, with.rearWhy, without.ok, without.frontWhy, without.rearWhy)
			}
			if with.ok && (math.Abs(with.atFront.pitches-without.atFront.pitches) > slip || math.Abs(with.atRear.pitches-without.atRear.pitches) > slip) {
				t.Fatalf("%s: %.9f to %.9f with a hint, %.9f to %.9f without", r.gears[i].id,
					with.atFront.pitches, with.atRear.pitches, without.atFront.pitches, without.atRear.pitches)
			}
			hint = with
		}
	})
}

// The angles at which guide pulley and cog touch, against a scan.
func TestContactsAgainstScan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawPlain(t)
		tr := &r.gears[rapid.IntRange(0, len(r.gears)-1).Draw(t, "gear")].train
		from := rapid.Float64Range(-3, 1).Draw(t, "from")
		distance := func(angle float64) float64 {
			return tr.pivot.add(tr.toGuide.rotated(math.Sincos(angle))).length() - tr.contact
		}
		if distance(from) < 0.01 {
			t.Skip("starts touching")
		}
		rear, front := tr.contacts(from)
		const step = 1e-3
		scan := func(sign float64) float64 {
			for k := 1; float64(k)*step < 2*math.Pi; k++ {
				if x := from + sign*float64(k)*step; distance(x) < 0 {
					return x
				}
			}
			return math.Inf(int(sign))
		}
		for _, c := range [][2]float64{{rear, scan(-1)}, {front, scan(1)}} {
			got, want := c[0], c[1]
			grazing := !math.IsInf(got, 0) && math.IsInf(want, 0) && tr.pivot.length()-tr.toGuide.length()-tr.contact > -1e-3
			if !grazing && got != want && !(math.Abs(got-want) <= 2*step) {
				t.Fatalf("contact at %.5f, scan finds %.5f", got, want)
			}
		}
	})
}

// A worn chain of the same count is longer: its reserve forward grows, as long
// as the same thing stops the cage.
func TestWearGivesChain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBuild(t)
		b.Chain = gearing.Chain{Pitches: 112}
		fresh, err := newReference(b)
		if err != nil {
			t.Skip(err)
		}
		b.Chain.Elongation = 1
		worn, err := newReference(b)
		if err != nil {
			t.Skip(err)
		}
		g, w := fixedBody(fresh, 0, 112), fixedBody(worn, 0, 112)
		if !g.NoPath && !w.NoPath && g.ForwardLimit == w.ForwardLimit && g.ForwardLimit != LimitNone && w.Forward <= g.Forward {
			t.Fatalf("reserve forward %.4f new, %.4f worn", g.Forward, w.Forward)
		}
	})
}
