package gearing

import (
	"fmt"
	"math"
)

// Units are the measures that people read: metric or imperial. Everything is
// computed in metric ones; only words, tables and pictures are put into others.
type Units int

// The measures there are.
const (
	Metric Units = iota
	// Imperial has miles, miles an hour, feet, pounds, and gear inches for a
	// development. Millimetres of parts stay, as makers give them.
	Imperial
)

// Exact by the international yard and pound agreement of 1959.
const (
	MetresPerFoot = 0.3048
	KGPerPound    = 0.45359237
)

// String is the name as it is typed.
func (u Units) String() string {
	if u == Imperial {
		return "imperial"
	}
	return "metric"
}

// pick is one of two, the first for metric.
func pick[T any](u Units, metric, imperial T) T {
	if u == Imperial {
		return imperial
	}
	return metric
}

// Distance puts kilometres into the unit that DistanceUnit names, km or miles.
func (u Units) Distance(km float64) float64 { return km / pick(u, 1, KMPerMile) }

// DistanceUnit is km or miles.
func (u Units) DistanceUnit() string { return pick(u, "km", "miles") }

// PerDistance puts a rate per kilometre, or per 1000 km, into one per
// DistanceUnit.
func (u Units) PerDistance(rate float64) float64 { return rate * pick(u, 1, KMPerMile) }

// Speed puts km/h into the unit that SpeedUnit names, km/h or mph.
func (u Units) Speed(kmh float64) float64 { return u.Distance(kmh) }

// SpeedUnit is km/h or mph.
func (u Units) SpeedUnit() string { return pick(u, "km/h", "mph") }

// Development puts metres a crank turn into metres, or into gear inches: the
// diameter of a wheel, in inches, that rolls as far in one turn.
func (u Units) Development(d Metres) float64 {
	return float64(d) / pick(u, 1, math.Pi*MMPerInch/1000)
}

// DevelopmentUnit is m or in.
func (u Units) DevelopmentUnit() string { return pick(u, "m", "in") }

// DevelopmentDecimals is how many decimals of a development tell gears apart.
func (u Units) DevelopmentDecimals() int { return pick(u, 2, 1) }

// RollOut puts metres a wheel turn into metres or feet.
func (u Units) RollOut(d Metres) float64 { return float64(d) / pick(u, 1, MetresPerFoot) }

// RollOutUnit is m or ft.
func (u Units) RollOutUnit() string { return pick(u, "m", "ft") }

// Mass puts kilograms into the unit that MassUnit names, kg or lb.
func (u Units) Mass(kg float64) float64 { return kg / pick(u, 1, KGPerPound) }

// MassUnit is kg or lb.
func (u Units) MassUnit() string { return pick(u, "kg", "lb") }

// Area puts square metres into the unit that AreaUnit names, m2 or ft2.
func (u Units) Area(m2 float64) float64 { return m2 / pick(u, 1, MetresPerFoot*MetresPerFoot) }

// AreaUnit is m2 or ft2.
func (u Units) AreaUnit() string { return pick(u, "m2", "ft2") }

// Density puts kg/m3 into the unit that DensityUnit names, kg/m3 or lb/ft3.
func (u Units) Density(kgm3 float64) float64 {
	return kgm3 / pick(u, 1, KGPerPound/(MetresPerFoot*MetresPerFoot*MetresPerFoot))
}

// DensityUnit is kg/m3 or lb/ft3.
func (u Units) DensityUnit() string { return pick(u, "kg/m3", "lb/ft3") }

// Chain spells a chain count as Pitches.String does, its length in the ruler's
// unit: mm, or inches, of which a pitch is half.
func (u Units) Chain(p Pitches) string {
	if u != Imperial {
		return p.String()
	}
	return fmt.Sprintf("%s pitches (%s link pairs, %s in)", trimFloat(float64(p)), trimFloat(p.LinkPairs()), trimFloat(float64(p.MM().Inches())))
}
