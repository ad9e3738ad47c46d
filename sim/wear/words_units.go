package wear

import (
	"fmt"
	"math"

	"cagewise/gearing"
)

// lengths words distances in the unit that the owner rides in.
type lengths struct{ miles bool }

func unitsOf(l gearing.WearLog) lengths { return lengths{l.Miles} }

// of brings a distance into the unit.
func (u lengths) of(km float64) float64 {
	if u.miles {
		return km / gearing.KMPerMile
	}
	return km
}

// per brings something per kilometre, or per 1000, to the unit.
func (u lengths) per(rate float64) float64 {
	if u.miles {
		return rate * gearing.KMPerMile
	}
	return rate
}

func (u lengths) name() string {
	if u.miles {
		return "miles"
	}
	return "km"
}

// exact prints a distance as it was read.
func (u lengths) exact(km float64, decimals int) string { return u.bare(km, decimals) + " " + u.name() }

// bare is exact without the unit.
func (u lengths) bare(km float64, decimals int) string { return short(u.of(km), decimals) }

// say rounds to what a forecast is good for.
func (u lengths) say(km float64) string {
	x := u.of(km)
	if math.Abs(x) >= 100 {
		x = 10 * math.Round(x/10)
	}
	return fmt.Sprintf("%.0f %s", x, u.name())
}

// withError prints a distance with its error, both in tens.
func (u lengths) withError(km, e float64) string {
	return fmt.Sprintf("%.0f +- %.0f %s", 10*math.Round(u.of(km)/10), 10*math.Ceil(u.of(e)/10), u.name())
}
