package sim

import (
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
)

// teethUp draws n rising tooth counts.
func teethUp(t *rapid.T, label string, n int, low, high gearing.Teeth) []gearing.Teeth {
	list := rapid.SliceOfNDistinct(rapid.IntRange(int(low), int(high)), n, n, rapid.ID[int]).Draw(t, label)
	teeth := make([]gearing.Teeth, n)
	for i, v := range list {
		teeth[i] = gearing.Teeth(v)
	}
	return gearing.SortTeeth(teeth)
}

// drawBuild draws a build that a workshop might see: typical geometry of any
// class, sometimes with measured parts, wear, stops or suspension.
func drawBuild(t *rapid.T) gearing.Build {
	mm := func(label string, low, high float64) gearing.MM {
		return gearing.MM(rapid.Float64Range(low, high).Draw(t, label))
	}
	class := classes[rapid.IntRange(0, len(classes)-1).Draw(t, "class")]
	b := classBuild(class.name, mm("chainstay", 395, 520), mm("drop", -5, 85),
		teethUp(t, "rings", rapid.IntRange(1, 3).Draw(t, "number of rings"), 20, 54),
		teethUp(t, "cogs", rapid.IntRange(1, 13).Draw(t, "number of cogs"), 10, 48))
	switch rapid.IntRange(0, 5).Draw(t, "extra") {
	case 0:
		b.Chain.Pitches, b.Chain.Elongation = 112, gearing.Percent(rapid.Float64Range(0, 2).Draw(t, "elongation"))
	case 1:
		b.Rear.Geometry.CageStopRear, b.Rear.Geometry.CageStopForward = -205, -5
	case 2:
		b.Frame.Suspension = gearing.Suspension{PivotAhead: mm("pivot ahead", -20, 40), PivotAbove: mm("pivot above", 10, 120), Travel: mm("travel", 40, 160)}
	case 3:
		b.Frame.DropoutRange = mm("dropout", 1, 25)
	case 4:
		b.Rear.PulleyCentres = mm("centres", 54, 105)
	}
	return b
}

// drawRig leaves out builds whose wheels run into each other.
func drawRig(t *rapid.T) *Rig {
	r, err := NewRig(drawBuild(t))
	if err != nil {
		t.Skip(err)
	}
	return r
}

// slip is how far the path may fall between the limits, in pitches: two minima
// next to each other, or the end of all paths, are searched no finer.
const slip = 2e-3

// Between the limits the path grows as the cage swings rearward, and no wrap
// jumps.
func TestPathGrowsRearward(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRig(t)
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
		r := drawRig(t)
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

// A longer chain never lowers the rearward swing, and with the body held the
// reserves change by just the chain; states follow locks, overstretched,
// clear, slack, and every one has its reason.
func TestMorePitches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRig(t)
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
				if math.Abs(float64(g.Forward-before.Forward)-1) > 1e-6 || math.Abs(float64(before.Rearward-g.Rearward)-1) > 1e-6 {
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

// rank orders the states along the chain's length. The gap, which fouls and
// far speak of, is another matter and is left out.
func rank(g *GearFit) int {
	switch {
	case g.Forward < 0:
		return 3
	case g.Forward < LeastReserve:
		return 2
	case g.Rearward < 0:
		return 0
	}
	return 1
}

// judge's order: the state named is the worst that applies.
func TestJudgeNamesTheWorst(t *testing.T) {
	for _, c := range []struct {
		forward, rearward, gap float64
		want                   State
	}{
		{-0.1, 5, 10, Locks}, {-0.1, -1, 1, Locks}, {0.5, 5, 10, Overstretched}, {0.5, -1, 1, Overstretched},
		{2, -1, 2.9, Fouls}, {2, 5, -4, Fouls}, {2, -0.1, 10, Slack}, {2, -0.1, 30, Slack}, {2, 1, 30, Far}, {1, 0, 3, Clear},
	} {
		g := GearFit{Forward: gearing.Pitches(c.forward), Rearward: gearing.Pitches(c.rearward), Gap: gearing.MM(c.gap)}
		if got := g.judge(); got != c.want {
			t.Errorf("%+v: %s", c, got)
		}
	}
}

// Scaling every length by k scales the path by k and leaves the angles: worn
// wheels are larger wheels.
func TestScaling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRig(t)
		g := r.gears[rapid.IntRange(0, len(r.gears)-1).Draw(t, "gear")]
		k := rapid.Float64Range(0.5, 2).Draw(t, "k")
		angle := rapid.Float64Range(-3, 0).Draw(t, "angle")
		big := g.train
		for _, w := range []*wheel{&big.ring, &big.cog, &big.guide, &big.tension} {
			w.radius, w.perRadian = k*w.radius, k*w.perRadian
		}
		big.crank, big.pivot = g.train.crank.times(k), g.train.pivot.times(k)
		big.toGuide, big.toTension = g.train.toGuide.times(k), g.train.toTension.times(k)
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

// Swapping nothing changes nothing: the same build gives the same answer, and
// compared with itself no difference.
func TestSwappingNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBuild(t)
		one, err1 := Judge(b)
		two, err2 := Judge(b)
		if !reflect.DeepEqual(one, two) || (err1 == nil) != (err2 == nil) {
			t.Fatal("two answers to one question")
		}
		if err1 != nil {
			t.Skip(err1)
		}
		c, err := Compare([]gearing.Build{b, b}, CompareOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(c.Options[0], c.Options[1]) {
			t.Fatal("a build differs from itself")
		}
	})
}

// A neighbour's limits save work and change nothing beyond 0.002 pitch, what two
// minima of the path next to each other may differ by.
func TestHintChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRig(t)
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
		r := drawRig(t)
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
		fresh, err := NewRig(b)
		if err != nil {
			t.Skip(err)
		}
		b.Chain.Elongation = 1
		worn, err := NewRig(b)
		if err != nil {
			t.Skip(err)
		}
		g, w := fixedBody(fresh, 0, 112), fixedBody(worn, 0, 112)
		if !g.NoPath && !w.NoPath && g.ForwardLimit == w.ForwardLimit && g.ForwardLimit != LimitNone && w.Forward <= g.Forward {
			t.Fatalf("reserve forward %.4f new, %.4f worn", g.Forward, w.Forward)
		}
	})
}
