package road

import (
	"math"
	"math/rand/v2"
	"testing"

	"cagewise/gearing"
)

// truth is one second of an invented ride, as it was.
type truth struct {
	Sample // without error; Cadence is 0 while the cranks are still
	state  State
	gear   int // index into Table.Gears, also while not pedalling
}

// rideBuild is the 2x11 of the tests: 30x15 and 46x23 are exact duplicates,
// 30x11 and 46x17 lie 0.8 % apart, and five more pairs 3 to 6 %.
func rideBuild() gearing.Build {
	return gearing.Build{
		Name:  "invented double",
		Frame: gearing.Frame{Chainstay: 430},
		Wheel: gearing.Wheel{MeasuredRollOut: 2150},
		Rings: []gearing.Teeth{30, 46},
		Cogs:  []gearing.Teeth{11, 13, 15, 17, 19, 21, 23, 25, 27, 30, 34},
	}
}

func rideTable(t testing.TB) gearing.Table {
	t.Helper()
	table, err := gearing.NewTable(rideBuild(), gearing.TableOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return table
}

// testRider rides an invented road: power moves him against slope and air, he
// keeps to a band of cadences, shifts one cog or two when he leaves it, and
// changes rings only near the end of the cassette, with cogs back to recover.
// He coasts, soft-pedals downhill, brakes for stops, and shifts down for them.
type testRider struct {
	*rand.Rand
	table     gearing.Table
	body      Rider
	ring, cog int

	speed, grade, wanted float64 // m/s, rise over run, the grade that comes
	effort               float64 // W
	low, high            float64 // rpm
	since, uneasy        int     // seconds since a shift, and out of the band
	recover              int     // cogs still to shift after a change of ring
	coast, stop          int     // seconds left of each
	soft                 float64 // turning of the cranks while coasting, of what would drive
	restless             bool    // changes rings in the middle of the cassette
}

func rideTruth(table gearing.Table, seconds int, seed uint64) []truth {
	return newTestRider(table, seed).ride(seconds)
}

func newTestRider(table gearing.Table, seed uint64) *testRider {
	return &testRider{
		Rand: rand.New(rand.NewPCG(seed, 2)), table: table, body: Rider{MassKG: 92, CdA: 0.42, Crr: 0.007}.WithDefaults(),
		ring: len(table.Rings) - 1, cog: 6, speed: 4, effort: 150, low: 70, high: 94,
	}
}

func (r *testRider) ride(seconds int) []truth {
	list := make([]truth, 0, seconds)
	for i := range seconds {
		list = append(list, r.second(i))
	}
	return list
}

func (r *testRider) gear() gearing.Gear {
	return r.table.Gears[r.ring*len(r.table.Cogs)+len(r.table.Cogs)-1-r.cog]
}

func (r *testRider) cadence() float64 { return 60 * r.speed / float64(r.gear().Development) }

func (r *testRider) chance(everySeconds float64) bool { return r.Float64() < 1/everySeconds }

// second rides one second.
func (r *testRider) second(i int) truth {
	r.road()
	pedals := r.decide()
	power := 0.0
	if pedals {
		r.shift()
		power = r.effort * min(1, r.cadence()/50)
	}
	r.move(power)
	t := truth{Sample: Sample{Seconds: float64(i), Speed: r.speed, Power: power}, gear: r.ring*len(r.table.Cogs) + len(r.table.Cogs) - 1 - r.cog}
	switch {
	case r.speed < stillSpeed:
		t.Speed, t.state, t.Power = 0, Stopped, 0
	case pedals:
		t.state, t.Cadence = Pedalled, r.cadence()
	default:
		t.state = Freewheeling
		t.Cadence = r.soft * r.cadence()
	}
	return t
}

// road changes the grade every few hundred metres, and the rider's effort and
// taste now and then.
func (r *testRider) road() {
	if r.chance(60) {
		r.wanted = min(max(r.NormFloat64()*0.03, -0.08), 0.09)
	}
	r.grade += (r.wanted - r.grade) / 8
	if r.chance(120) {
		r.effort = 110 + 90*r.Float64() + 400*max(r.grade, 0)
	}
	if r.chance(300) {
		r.low = 64 + 10*r.Float64()
		r.high = r.low + 20 + 6*r.Float64()
	}
}

// decide tells whether the rider pedals.
func (r *testRider) decide() bool {
	r.coast = max(r.coast-1, 0)
	switch {
	case r.stop > 0:
		r.stop--
		if r.stop == 0 {
			r.speed = 1.5 // pushes off
		}
		return false
	case r.chance(800) && r.speed > 3:
		r.stop, r.soft = 15+r.IntN(50), 0
		r.cog = min(r.cog+1+r.IntN(3), len(r.table.Cogs)-1)
	case r.coast == 0 && r.chance(80):
		r.coast = 2 + r.IntN(6)
		r.softly(8)
	case r.coast == 0 && r.speed > 12:
		r.coast = 3 + r.IntN(8)
		r.softly(3)
	}
	return r.coast == 0 && r.stop == 0
}

// softly makes one coasting in so many one with the cranks turning slowly.
func (r *testRider) softly(oneIn float64) {
	r.soft = 0
	if r.chance(oneIn) {
		r.soft = 0.4 + 0.5*r.Float64()
	}
}

// shift looks at the cadence, and after a moment of unease shifts.
func (r *testRider) shift() {
	r.since++
	if r.recover != 0 && r.since >= 1 {
		step := max(min(r.recover, 2), -2)
		r.cog, r.recover, r.since = r.cog+step, r.recover-step, 0
		return
	}
	c := r.cadence()
	if c >= r.low && c <= r.high {
		r.uneasy = 0
		return
	}
	if r.uneasy++; r.uneasy < 2+r.IntN(3) || r.since < 3 {
		return
	}
	r.uneasy, r.since = 0, 0
	r.choose(c < r.low, math.Abs(math.Log(c/((r.low+r.high)/2))))
}

// choose shifts a cog or two easier or harder, or to the other ring near the
// end of the cassette.
func (r *testRider) choose(easier bool, off float64) {
	step := 1
	if off > 0.25 {
		step = 2
	}
	last, early := len(r.table.Cogs)-1, 0
	if r.restless {
		early = 2
	}
	switch {
	case easier && r.ring > 0 && r.cog >= last-2-early-r.IntN(2):
		r.ring, r.recover = r.ring-1, -(2 + r.IntN(2))
	case !easier && r.ring+1 < len(r.table.Rings) && r.cog <= 2+early+r.IntN(2):
		r.ring, r.recover = r.ring+1, 2+r.IntN(2)
	case easier:
		r.cog = min(r.cog+step, last)
	default:
		r.cog = max(r.cog-step, 0)
	}
	r.recover = max(min(r.recover, last-r.cog), -r.cog)
}

// move lets power, slope, air and brakes change the speed.
func (r *testRider) move(power float64) {
	if r.stop > 0 {
		r.speed = max(r.speed-1.5, 0)
		return
	}
	v := max(r.speed, 1)
	force := power*r.body.Efficiency/v - r.body.Power(v, r.grade).Wheel()/v
	r.speed = max(r.speed+force/r.body.MassKG, 0.8)
	if r.speed > 15 {
		r.speed -= 1 // brakes
	}
}

// record is what a recorder makes of a ride.
type record struct {
	seed         uint64
	speedNoise   float64 // relative
	cadenceNoise float64 // rpm
	alike        float64 // how much of its error a value hands to the next, 0 to 1
	wheel        float64 // speed recorded over true speed
	gaps         bool    // the cadence sensor falls silent now and then
	noPower      bool
}

// usual is the recording that issue and model ask for.
func usual(seed uint64) record {
	return record{seed: seed, speedNoise: 0.02, cadenceNoise: 1, wheel: 1, gaps: true}
}

// of records a ride: noise on every value, cadence in whole turns.
func (o record) of(ride []truth) []Sample {
	rng := rand.New(rand.NewPCG(o.seed, 3))
	list := make([]Sample, len(ride))
	silent := 0
	speedError, cadenceError := o.drift(rng), o.drift(rng)
	for i, t := range ride {
		s := t.Sample
		s.Speed *= o.wheel * (1 + o.speedNoise*speedError())
		if s.Cadence > 0 {
			s.Cadence = max(math.Round(s.Cadence+o.cadenceNoise*cadenceError()), 1)
		}
		if s.Power > 0 {
			s.Power = math.Round(s.Power * (1 + 0.03*rng.NormFloat64()))
		}
		if silent--; o.gaps && rng.IntN(600) == 0 {
			silent = 3 + rng.IntN(8)
		}
		if silent > 0 {
			s.Cadence = math.NaN()
		}
		if o.noPower {
			s.Power = math.NaN()
		}
		list[i] = s
	}
	return list
}

// drift makes errors of variance one, each like the one before by alike.
func (o record) drift(rng *rand.Rand) func() float64 {
	e := rng.NormFloat64()
	return func() float64 {
		e = o.alike*e + math.Sqrt(1-o.alike*o.alike)*rng.NormFloat64()
		return e
	}
}
