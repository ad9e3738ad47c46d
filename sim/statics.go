package sim

import (
	"math"

	"cagewise/gearing"
)

// spring is the cage spring's moment over the cage angle; it pulls rearward.
type spring struct {
	least   float64 // N mm at the reference angle
	rate    float64 // N mm more a radian of forward swing
	from    float64 // reference angle: the rear stop, or level behind
	clutch  float64 // N mm of friction either way
	known   bool    // the spring was measured; only then it limits the swing
	tension float64 // least tension of the lower run, N
}

// Spring of a usual cage (from memory, widely varying): it gives the lower run
// some 10 to 25 N.
const (
	defaultSpringPreload = 900.0 // N mm at the rear stop
	defaultSpringRate    = 5.0   // N mm a degree of forward swing
	defaultRearAngle     = -math.Pi
	leastTension         = 2.0 // N; under it the lower run flaps (invented here)
)

func newSpring(g gearing.Geometry) spring {
	s := spring{
		least: orElse(g.SpringPreload, defaultSpringPreload),
		rate:  orElse(g.SpringRate, defaultSpringRate) * 180 / math.Pi,
		from:  defaultRearAngle, clutch: g.ClutchTorque,
		known: g.SpringPreload > 0, tension: leastTension,
	}
	if g.CageStopRear != 0 {
		s.from = g.CageStopRear.Radians()
	}
	return s
}

// moment is the spring's moment about the cage pivot in N mm, never under 0.
func (s spring) moment(angle float64) float64 {
	return max(0, s.least+s.rate*(angle-s.from))
}

// lowerTension is the tension of the lower run in N. Neglecting friction it is
// the same in all three derailleur runs; by virtual work the spring's moment
// balances T x d(path)/d(angle), which is the sum of the lever arms about the
// cage pivot (derived here). low and high are the band that a
// clutch's friction adds: low while the cage swings rearward, high while it is
// pulled forward. angle is the cage's from the body. Where the cage is all but
// straight its lever arm is nothing and the spring no longer decides: all are 0.
func (s spring) lowerTension(angle, slope float64) (low, mid, high float64) {
	arm := -slope * pitchMM // mm
	if !(arm > leastArm) {
		return 0, 0, 0
	}
	m := s.moment(angle)
	return max(0, m-s.clutch) / arm, m / arm, (m + s.clutch) / arm
}

// leastArm is the lever arm under which a cage counts as straight, mm (invented
// here).
const leastArm = 3.0

// tensionSteps is how finely a swing is looked at for too little tension.
const tensionSteps = 24

// slackAngle finds, going rearward from the front limit, where a known spring
// first pulls less than the least tension; ok is false when it always pulls
// enough. The pull is least where the lever arm is longest, in mid-swing.
func (r *Rig) slackAngle(t *train, rear, front float64) (float64, bool) {
	if !r.spring.known || !(rear < front) {
		return 0, false
	}
	pull := func(angle float64) float64 {
		p := t.at(angle)
		if !p.ok || -p.slope*pitchMM <= leastArm {
			return math.NaN() // the spring does not decide here
		}
		return r.edge(t, LimitTension, angle, &p)
	}
	before, known := front, math.NaN()
	for k := 1; k <= tensionSteps; k++ {
		angle := front + (rear-front)*float64(k)/tensionSteps
		now := pull(angle)
		switch {
		case now < 0 && known > 0:
			return root(pull, before, known, angle, now, 1e-9), true
		case now < 0:
			return before, true
		}
		before, known = angle, now
	}
	return 0, false
}

// UpperTension is the pull of the upper run in newtons at a crank torque in
// newton metres: torque over the ring's effective radius.
func UpperTension(torque float64, ring gearing.Teeth) float64 {
	return torque * 1000 / float64(ring.EffectiveRadius())
}

// ToothLoads shares a run's tension out over the engaged teeth of a wheel:
// T_k = T_0 [sin phi / sin(phi + 2 beta)]^(k-1) with 2 beta = 2 pi / N, a
// geometric progression (The Complete Guide to Chain, U.S. Tsubaki). phi is
// the pressure angle, between 17 - 64/N and 35 - 120/N degrees for the ASME
// tooth form; the middle is taken here. The result is the tension left before
// each tooth, the first being the whole.
func ToothLoads(tension float64, teeth gearing.Teeth, engaged int) []float64 {
	n := float64(teeth)
	phi := (17 - 64/n + 35 - 120/n) / 2 * math.Pi / 180
	ratio := math.Sin(phi) / math.Sin(phi+2*math.Pi/n)
	loads := make([]float64, max(0, engaged))
	for i := range loads {
		loads[i] = tension * math.Pow(ratio, float64(i))
	}
	return loads
}
