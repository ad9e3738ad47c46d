package road

import (
	"errors"
	"fmt"
	"math"
)

// Gravity in m/s^2, as in the published example the model is checked against.
const Gravity = 9.81

// Rider is a rider with bike and luggage, and the air they ride in.
type Rider struct {
	MassKG float64 // rider, bike and luggage; 30 to 500
	CdA    float64 // drag area, m^2; 0.1 to 3
	Crr    float64 // coefficient of rolling resistance; 0.001 to 0.05
	// WheelDragArea is the extra drag area of the turning wheels, m^2.
	WheelDragArea float64
	AirDensity    float64 // kg/m^3; 0.5 to 1.6
	Efficiency    float64 // of the drivetrain, 0.5 to 1
	Headwind      float64 // along the road, m/s; negative from behind
}

// Defaults of a loaded tourer sitting up, on a road (from memory; widely
// varying).
const (
	DefaultMassKG     = 100.0
	DefaultCdA        = 0.5
	DefaultCrr        = 0.006
	DefaultDensity    = 1.2
	DefaultEfficiency = 0.95
)

// BalanceKmH is about the speed under which a bike cannot be balanced (common
// practice, no source).
const BalanceKmH = 4.0

// ErrRider is wrapped when a rider's numbers cannot be used.
var ErrRider = errors.New("rider")

// WithDefaults fills zero fields.
func (r Rider) WithDefaults() Rider {
	def := func(v *float64, d float64) {
		if *v == 0 {
			*v = d
		}
	}
	def(&r.MassKG, DefaultMassKG)
	def(&r.CdA, DefaultCdA)
	def(&r.Crr, DefaultCrr)
	def(&r.AirDensity, DefaultDensity)
	def(&r.Efficiency, DefaultEfficiency)
	return r
}

// Check refuses numbers that no rider has.
func (r Rider) Check() error {
	for _, c := range []struct {
		name         string
		v, low, high float64
		unit         string
	}{
		{"mass", r.MassKG, 30, 500, "kg"}, {"drag area", r.CdA, 0.1, 3, "m^2"}, {"rolling resistance", r.Crr, 0.001, 0.05, ""},
		{"wheel drag area", r.WheelDragArea, 0, 0.05, "m^2"}, {"air density", r.AirDensity, 0.5, 1.6, "kg/m^3"},
		{"efficiency", r.Efficiency, 0.5, 1, ""}, {"headwind", r.Headwind, -30, 30, "m/s"},
	} {
		if !(c.v >= c.low && c.v <= c.high) {
			return fmt.Errorf("%w: %s %v %s; allowed: %v to %v", ErrRider, c.name, c.v, c.unit, c.low, c.high)
		}
	}
	return nil
}

// Components are the powers that hold a speed, in watts at the wheel.
type Components struct {
	Air, Rolling, Bearings, Climbing float64
}

// Wheel is their sum.
func (c Components) Wheel() float64 { return c.Air + c.Rolling + c.Bearings + c.Climbing }

// Power is what a steady speed in m/s on a grade takes: (rho/2)(CdA + Fw) Va^2 V
// + Crr m g V cos(atan G) + V (91 + 8.7 V)/1000 + m g V sin(atan G) (Martin et
// al. 1998, J. Appl. Biomech. 14:276, eqs. 3 to 8; the air term keeps the sign
// of the air speed).
func (r Rider) Power(speed, grade float64) Components {
	slope := math.Atan(grade)
	air := speed + r.Headwind
	weight := r.MassKG * Gravity
	return Components{
		Air:      r.AirDensity / 2 * (r.CdA + r.WheelDragArea) * air * math.Abs(air) * speed,
		Rolling:  r.Crr * weight * speed * math.Cos(slope),
		Bearings: speed * (91 + 8.7*speed) / 1000,
		Climbing: weight * speed * math.Sin(slope),
	}
}

// AtCranks is the power at the cranks for powers at the wheel (eq. 9).
func (r Rider) AtCranks(c Components) float64 { return c.Wheel() / r.Efficiency }

// KineticPower is the mean power that a change of speed takes over a time in
// seconds, in watts at the wheel: half of (m + I/r^2)(v2^2 - v1^2)/t (eq. 7).
// inertia is that of both wheels in kg m^2, radius their radius in m.
func (r Rider) KineticPower(from, to, seconds, inertia, radius float64) float64 {
	return 0.5 * (r.MassKG + inertia/(radius*radius)) * (to*to - from*from) / seconds
}

// mostSpeed bounds the search for a speed, m/s.
const mostSpeed = 60.0

// Speed is the steady speed in m/s that a power at the cranks in watts holds
// on a grade; downhill it may be the speed of coasting and more. Power grows
// through the wanted one just once, as the resisting force grows with speed.
func (r Rider) Speed(power, grade float64) float64 {
	low, high := 0.0, mostSpeed
	for range 60 {
		mid := (low + high) / 2
		if r.AtCranks(r.Power(mid, grade)) < power {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
