package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"cagewise/gearing"
)

// The oracle: the taut path as the tight closed polyline over densely sampled
// wheels. It knows no tangent formula and no angle of a run: where a run leaves
// a wheel, corners are dropped while the string bends the wrong way there and
// taken up while the next one would stand out of the string, until nothing
// moves (derived here). Only cross products of corners decide.

const oracleSamples = 1440 // corners a turn of a wheel

// oracleWheel is a wheel in the order of travel: place, teeth, radius, spin.
type oracleWheel struct {
	x, y, teeth, radius, spin float64
}

type corner struct{ x, y float64 }

var unitCorners = func() (list [oracleSamples]corner) {
	for k := range list {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / oracleSamples)
		list[k] = corner{cos, sin}
	}
	return list
}()

// corner k of a wheel, counted along the travel without end.
func (w *oracleWheel) corner(k int) corner {
	u := unitCorners[((int(w.spin)*k)%oracleSamples+oracleSamples)%oracleSamples]
	return corner{w.x + w.radius*u.x, w.y + w.radius*u.y}
}

// bends tells whether the string a-b-c turns at b as the wheel turns.
func (w *oracleWheel) bends(a, b, c corner) bool {
	return ((b.x-a.x)*(c.y-b.y)-(b.y-a.y)*(c.x-b.x))*w.spin > 0
}

// near is the corner a right angle off a direction of travel: to the right of
// a wheel's centre that turns ccw, to the left of one that turns cw.
func (w *oracleWheel) near(direction float64) int {
	angle := direction - w.spin*math.Pi/2
	return int(math.Round(w.spin * angle / (2 * math.Pi) * oracleSamples))
}

// pullTight moves the ends of a run, corner u of a and corner v of b.
func pullTight(a, b *oracleWheel, u, v int) (int, int) {
	for range 20 * oracleSamples {
		p, q := a.corner(u), b.corner(v)
		switch {
		case !a.bends(a.corner(u-1), p, q):
			u--
		case a.bends(p, a.corner(u+1), q):
			u++
		case !b.bends(p, q, b.corner(v+1)):
			v++
		case b.bends(p, b.corner(v-1), q):
			v--
		default:
			return u, v
		}
	}
	panic("the string does not come to rest")
}

// oracleRun is a straight part of the string.
type oracleRun struct {
	leave, reach int // corners of its two wheels
	from, to     corner
}

func tautString(wheels [4]oracleWheel) (runs [4]oracleRun) {
	for i := range wheels {
		a, b := &wheels[i], &wheels[(i+1)%4]
		along := math.Atan2(b.y-a.y, b.x-a.x)
		u, v := pullTight(a, b, a.near(along), b.near(along))
		runs[i] = oracleRun{u, v, a.corner(u), b.corner(v)}
	}
	return runs
}

// oraclePath is the length of the string in pitches and the wraps in radians,
// between a quarter turn back and three quarters on. A pitch on n teeth takes
// 2 pi/n of the wheel.
func oraclePath(wheels [4]oracleWheel) (pitches float64, wraps [4]float64) {
	runs := tautString(wheels)
	for i, r := range runs {
		turn := r.leave - runs[(i+3)%4].reach
		turn = ((turn+oracleSamples/4)%oracleSamples+oracleSamples)%oracleSamples - oracleSamples/4
		wraps[i] = 2 * math.Pi * float64(turn) / oracleSamples
		pitches += math.Hypot(r.to.x-r.from.x, r.to.y-r.from.y)/12.7 + wraps[i]*wheels[i].teeth/(2*math.Pi)
	}
	return pitches, wraps
}

// oracleSetup is a drivetrain as numbers; nothing of the solver's.
type oracleSetup struct {
	ring, cog, guide, tension          int
	chainstay, drop                    float64
	pivotX, pivotY                     float64
	centres, pivotToGuide, pivotDegree float64 // as in the table of classes
	elongation                         float64
}

func (s oracleSetup) wheels(cageAngle float64) [4]oracleWheel {
	wheel := func(n int, x, y, spin float64) oracleWheel {
		stretch := 1 + s.elongation
		return oracleWheel{x, y, float64(n) * stretch, 12.7 / 2 / math.Sin(math.Pi/float64(n)) * stretch, spin}
	}
	toPivot := cageAngle + s.pivotDegree*math.Pi/180
	gx, gy := s.pivotX-s.pivotToGuide*math.Cos(toPivot), s.pivotY-s.pivotToGuide*math.Sin(toPivot)
	return [4]oracleWheel{
		wheel(s.cog, 0, 0, -1),
		wheel(s.ring, math.Sqrt(s.chainstay*s.chainstay-s.drop*s.drop), -s.drop, -1),
		wheel(s.tension, gx+s.centres*math.Cos(cageAngle), gy+s.centres*math.Sin(cageAngle), -1),
		wheel(s.guide, gx, gy, +1),
	}
}

// train is the same set-up as the solver takes it.
func (s oracleSetup) train() (train, error) {
	d := Derailleur{
		PulleyCentres: gearing.MM(s.centres), PivotToGuide: gearing.MM(s.pivotToGuide), PivotAngle: gearing.Degrees(s.pivotDegree),
		PivotSmall: Point{gearing.MM(s.pivotX), gearing.MM(s.pivotY)}, PivotLarge: Point{gearing.MM(s.pivotX), gearing.MM(s.pivotY)},
		GuideTeeth: gearing.Teeth(s.guide), TensionTeeth: gearing.Teeth(s.tension),
	}
	b := gearing.Build{
		Frame: gearing.Frame{Chainstay: gearing.MM(s.chainstay), BottomBracketDrop: gearing.MM(s.drop)},
		Chain: gearing.Chain{Elongation: gearing.Percent(100 * s.elongation)},
	}
	tr, err := d.newTrain(b, gearing.Teeth(s.ring), gearing.Teeth(s.cog), 0, 0)
	tr.contact = float64(gearing.Teeth(s.cog).TipRadius() + gearing.Teeth(s.guide).TipRadius())
	return tr, err
}

// randomSetup draws ring 20-56, cog 10-50, pulleys 10-16, chainstay 390-520;
// half of them with a class's geometry, half with a random one.
func randomSetup(rng *rand.Rand) oracleSetup {
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	s := oracleSetup{
		ring: 20 + rng.IntN(37), cog: 10 + rng.IntN(41), guide: 10 + rng.IntN(7), tension: 10 + rng.IntN(7),
		chainstay: between(390, 520), drop: between(-10, 85),
		pivotX: between(-15, 35), centres: between(56, 110), pivotToGuide: between(1, 22), pivotDegree: between(-60, 150),
	}
	cogRadius := 6.35 / math.Sin(math.Pi/float64(s.cog))
	s.pivotY = -cogRadius - between(45, 70)
	if rng.IntN(2) == 0 {
		c := classes[rng.IntN(len(classes))]
		f := rng.Float64()
		s.pivotX, s.pivotY = c.pivotSmall.x+f*(c.pivotLarge.x-c.pivotSmall.x), c.pivotSmall.y+f*(c.pivotLarge.y-c.pivotSmall.y)
		s.centres, s.pivotToGuide, s.pivotDegree = c.centres, c.toGuide, c.angle
		s.guide, s.tension = int(c.guide), int(c.tension)
		s.cog = min(s.cog, 11+int(25*f))
	}
	if rng.IntN(3) == 0 {
		s.elongation = between(0, 0.02)
	}
	return s
}

// workingSetups draws set-ups that have a working branch of at least two
// pitches with the chain well on every wheel.
func workingSetups(t *testing.T, n int, do func(s oracleSetup, tr *train, l *limits, rng *rand.Rand)) {
	const seed = 20240611
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, seed))
	rig := &Rig{plate: 8.6, stopRear: math.Inf(-1), stopFront: math.Inf(1)}
	done := 0
	for tries := 0; done < n; tries++ {
		if tries > 20*n {
			t.Fatalf("only %d of %d set-ups work", done, tries)
		}
		s := randomSetup(rng)
		tr, err := s.train()
		l := rig.limits(&tr, nil)
		if err != nil || !l.ok || l.atRear.pitches-l.atFront.pitches < 2 {
			continue
		}
		do(s, &tr, &l, rng)
		done++
	}
}

// onAll tells whether the chain lies on every wheel by more than the oracle's
// sampling.
func onAll(tr *train, angle float64) bool {
	p := tr.at(angle)
	a, b, c, d := tr.wraps(&p)
	return min(a, b, c, d) > 0.03
}

// Path and cage angle against the oracle.
func TestAgainstTautString(t *testing.T) {
	worstPath, worstAngle, paths, angles := 0.0, 0.0, 0, 0
	workingSetups(t, 760, func(s oracleSetup, tr *train, l *limits, rng *rand.Rand) {
		angle := l.rear + (l.front-l.rear)*rng.Float64()
		if onAll(tr, angle) {
			paths++
			worstPath = max(worstPath, comparePath(t, s, tr, angle))
		}
		n := l.atFront.pitches + 0.5 + (l.atRear.pitches-l.atFront.pitches-0.6)*rng.Float64()
		got, _ := tr.solve(n, middleAngle, l)
		if !onAll(tr, got) {
			return
		}
		angles++
		want := oracleAngle(s, n, l.rear, l.front)
		miss := degrees(math.Abs(got - want))
		if !(miss < 0.5) {
			t.Errorf("%+v with %.3f pitches: cage at %.3f degrees, oracle %.3f", s, n, degrees(got), degrees(want))
		}
		worstAngle = max(worstAngle, miss)
	})
	t.Logf("%d paths within %.2g pitch, %d cage angles within %.2g degree", paths, worstPath, angles, worstAngle)
	if paths < 500 || angles < 500 {
		t.Errorf("only %d paths and %d angles were compared", paths, angles)
	}
}

func comparePath(t *testing.T, s oracleSetup, tr *train, angle float64) float64 {
	p := tr.at(angle)
	want, wraps := oraclePath(s.wheels(angle))
	if !(math.Abs(p.pitches-want) < 0.02) {
		t.Errorf("%+v at %.2f degrees: path %.4f, oracle %.4f", s, degrees(angle), p.pitches, want)
	}
	ring, tension, guide, cog := tr.wraps(&p)
	for i, got := range [4]float64{cog, ring, tension, guide} {
		if !(math.Abs(got-wraps[i]) < 3*2*math.Pi/oracleSamples) {
			t.Errorf("%+v at %.2f degrees: wrap %d is %.4f, oracle %.4f", s, degrees(angle), i, got, wraps[i])
		}
	}
	return math.Abs(p.pitches - want)
}

// oracleAngle halves the bracket on the oracle's own path.
func oracleAngle(s oracleSetup, n, rear, front float64) float64 {
	for range 16 {
		mid := (rear + front) / 2
		if length, _ := oraclePath(s.wheels(mid)); length > n {
			rear = mid
		} else {
			front = mid
		}
	}
	return (rear + front) / 2
}

// The limits mean what they say: at the straight cage the oracle's path is
// shortest, at the touch its lower run is as near to the guide pulley as plate
// and pitch circle allow. A cage pulled straight hardly bends the chain, so the
// oracle is asked a quarter of a pitch before that end, where its wheels are
// still held, and on the way there: the path falls all the way.
func TestLimitsAgainstTautString(t *testing.T) {
	falls, touches := 0, 0
	workingSetups(t, 200, func(s oracleSetup, tr *train, l *limits, _ *rand.Rand) {
		if l.rearWhy == LimitTouches && onAll(tr, l.rear) {
			touches++
			got, want := oracleRoom(s, l.rear), 6.35/math.Sin(math.Pi/float64(s.guide))*(1+s.elongation)+8.6
			if math.Abs(got-want) > 0.15 {
				t.Errorf("%+v: lower run %.3f mm from the guide pulley, want %.3f", s, got, want)
			}
		}
		before := math.Inf(1)
		for k := range 8 {
			angle := l.rear + (l.front-l.rear)*float64(k)/8
			if !onAll(tr, angle) {
				continue
			}
			falls++
			length, _ := oraclePath(s.wheels(angle))
			if length > before+0.001 || length < l.atFront.pitches-0.001 || length > l.atRear.pitches+0.001 {
				t.Errorf("%+v: path %.4f at %.1f degrees, %.4f behind it, limits %.4f and %.4f",
					s, length, degrees(angle), before, l.atRear.pitches, l.atFront.pitches)
			}
			before = length
		}
	})
	t.Logf("%d falling paths, %d touches", falls, touches)
	if falls < 500 || touches < 50 {
		t.Errorf("only %d falling paths and %d touches were looked at", falls, touches)
	}
}

// oracleRoom is the distance from the guide pulley to the string's lower run.
func oracleRoom(s oracleSetup, angle float64) float64 {
	wheels := s.wheels(angle)
	run := tautString(wheels)[1]
	dx, dy := run.to.x-run.from.x, run.to.y-run.from.y
	return math.Abs(dx*(wheels[3].y-run.from.y)-dy*(wheels[3].x-run.from.x)) / math.Hypot(dx, dy)
}

// The two long runs go aside too: a run of 429.526 mm (46 teeth of 93.053 mm and
// 36 of 72.860 on a chainstay of 430) that comes 24 mm aside is 430.196 long, by
// hand; in the path and its slope both long runs count so, wraps and short runs
// as in the plane.
func TestAsideByHand(t *testing.T) {
	s := oracleSetup{ring: 46, cog: 36, guide: 11, tension: 11, chainstay: 430, drop: 70, pivotX: 29, pivotY: -109, centres: 75, pivotToGuide: 9.4, pivotDegree: 60}
	flat, err := s.train()
	if err != nil {
		t.Fatal(err)
	}
	slant := flat
	slant.aside = 24
	slant.set()
	if math.Abs(flat.upperLength-429.526) > 0.001 || math.Abs(slant.upperLength-430.196) > 0.001 {
		t.Errorf("upper run %.3f mm in the plane, %.3f aside", flat.upperLength, slant.upperLength)
	}
	for angle := -2.8; angle < -0.4; angle += 0.2 {
		p, q := flat.at(angle), slant.at(angle)
		lower := math.Sqrt(p.lower.length*p.lower.length+24*24) - p.lower.length
		want := p.pitches + (430.1960-429.5260+lower)/12.7
		if math.Abs(q.pitches-want) > 1e-4 || p.lower != q.lower || p.back != q.back || p.middle != q.middle {
			t.Errorf("at %.1f: %.5f pitches, want %.5f", angle, q.pitches, want)
		}
		const h = 1e-5
		if slope := (slant.at(angle+h).pitches - slant.at(angle-h).pitches) / (2 * h); math.Abs(slope-q.slope) > 1e-5 {
			t.Errorf("at %.1f: slope %.6f, differences give %.6f", angle, q.slope, slope)
		}
	}
}

// 20 to 25 mm aside on the largest ring and cog add 0.08 to 0.11 pitch
// (shared/design/MODEL.md, derived there), a little more on the shortest chainstay.
func TestAsideOnBigBig(t *testing.T) {
	for _, c := range classFrames {
		r := plainRig(t, classBuild(c.class, c.chainstay, c.drop, c.rings, c.cogs))
		line, err := gearing.ChainLines(r.Build)
		if err != nil {
			t.Fatal(err)
		}
		for i := range r.gears {
			if r.gears[i].train.aside != float64(line.Gears[i].Offset) {
				t.Errorf("%s lies %.2f mm aside, the chain lines say %.2f", r.gears[i].id, r.gears[i].train.aside, float64(line.Gears[i].Offset))
			}
		}
		slant := r.gears[r.bigBig()].train
		for _, aside := range []float64{20, 25} {
			flat := slant
			flat.aside, slant.aside = 0, aside
			flat.set()
			slant.set()
			if more := slant.at(-1).pitches - flat.at(-1).pitches; more < 0.07 || more > 0.13 {
				t.Errorf("%s: %.0f mm aside add %.3f pitch", c.class, aside, more)
			}
		}
	}
}
