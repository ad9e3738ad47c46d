package wear

import (
	"math"

	"cagewise/gearing"
)

// Limits are the elongations at which bicycle practice replaces a chain: 0.5 %
// with 11 or more cogs, 0.75 % with up to 10, and 1 % where the cassette counts
// as gone too (common practice, no source, disputed).
func Limits() []gearing.Percent { return []gearing.Percent{LimitMany, LimitFew, LimitCassette} }

// makersCap is the elongation at which chain makers end any drive.
const makersCap gearing.Percent = 3

// RideUp is how far a chain of elongation e rises on a wheel of n teeth: its
// rollers lie on a circle of p (1+e) / (2 sin(pi/n)), so by r e (derived here).
func RideUp(n gearing.Teeth, e gearing.Percent) gearing.MM {
	return gearing.MM(pitchRadius(n) * float64(e) / 100)
}

// MakersLimit is the chain makers' rule: 200/n % on the largest wheel, at most
// 3 % (testdata/elongation_rules.csv). At 200/n the chain has risen by about
// p / pi = 4.04 mm whatever the wheel, since r is about n p / (2 pi) (derived
// here): that is where it reaches the tips of teeth. n of 1 or more.
func MakersLimit(n gearing.Teeth) gearing.Percent {
	return min(gearing.Percent(200/math.Max(1, float64(n))), makersCap)
}
