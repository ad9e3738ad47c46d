package wear

import (
	"errors"
	"fmt"
	"math"

	"cagewise/gearing"
	"cagewise/sim"
)

// Widely says of a default that the owner's own figure beats it.
const Widely = "default, widely varying"

// Friction holds what turns a turning joint into lost work. Every figure is a
// default, widely varying: lubricant, dirt and chain change it by tens of
// percent. Ranks of gears do not depend on Mu or PinRadius.
type Friction struct {
	// Mu is the coefficient of friction of pin in bush, with all other losses
	// of the chain lumped in; 0.01 to 1, 0: DefaultMu.
	Mu float64 `json:"friction_coefficient"`
	// PinRadius of the chain; 1 to 3 mm, 0: DefaultPinRadius.
	PinRadius gearing.MM `json:"pin_radius_mm"`
	// PerDegree is the share that the upper run's work grows by a degree of
	// slant; 0 to 0.1. No usable source gives it, hence 0 unless the owner
	// wants a penalty.
	PerDegree float64 `json:"slant_penalty_per_degree"`
}

// Defaults of Friction.
const (
	// DefaultMu was fitted once to the bench losses of three chains on 53x11
	// at 250 W and 95 rpm (testdata/efficiency_measured.csv, rows of the
	// break-in series; TestFrictionFit repeats the fit and prints the
	// residuals).
	DefaultMu = 0.145
	// MuError is the spread of those three chains, as a part of DefaultMu.
	MuError = 0.2
	// DefaultPinRadius is half the pin of ISO 081, 3.66 mm (from memory;
	// testdata/chain_dimensions.csv).
	DefaultPinRadius gearing.MM = 1.83
	// DefaultLowerTension of the lower run, N (from memory: a usual cage
	// gives 10 to 25 N).
	DefaultLowerTension = 15.0
	// DefaultPulley is the teeth of a usual pulley.
	DefaultPulley gearing.Teeth = 11
)

// ErrDrive is wrapped when a drive's or a friction's numbers cannot be used.
var ErrDrive = errors.New("drive cannot be computed")

// WithDefaults fills zero fields.
func (f Friction) WithDefaults() Friction {
	if f.Mu == 0 {
		f.Mu = DefaultMu
	}
	if f.PinRadius == 0 {
		f.PinRadius = DefaultPinRadius
	}
	return f
}

// Drive is one gear under load.
type Drive struct {
	gearing.GearID
	Guide, Tension gearing.Teeth // pulleys; 0: DefaultPulley
	Torque         float64       // at the cranks, mean over a turn, N m; 0 to 1000
	// LowerTension of the lower run, N (sim.GearFit gives it); 0:
	// DefaultLowerTension.
	LowerTension float64
	Line         gearing.Degrees // slant of the upper run; either sign
}

func (d Drive) withDefaults() Drive {
	if d.Guide == 0 {
		d.Guide = DefaultPulley
	}
	if d.Tension == 0 {
		d.Tension = DefaultPulley
	}
	if d.LowerTension == 0 {
		d.LowerTension = DefaultLowerTension
	}
	return d
}

// checkAll refuses what no chain drive has.
func (f Friction) checkAll(d Drive) error {
	type bound struct {
		name         string
		v, low, high float64
	}
	for _, c := range []bound{
		{"teeth of the ring", float64(d.Ring), float64(gearing.MinTeeth), float64(gearing.MaxTeeth)},
		{"teeth of the cog", float64(d.Cog), float64(gearing.MinTeeth), float64(gearing.MaxTeeth)},
		{"teeth of the guide pulley", float64(d.Guide), float64(gearing.MinTeeth), float64(gearing.MaxTeeth)},
		{"teeth of the tension pulley", float64(d.Tension), float64(gearing.MinTeeth), float64(gearing.MaxTeeth)},
		{"crank torque in N m", d.Torque, 0, 1000}, {"tension of the lower run in N", d.LowerTension, 0, 1000},
		{"slant in degrees", math.Abs(float64(d.Line)), 0, 30}, {"coefficient of friction", f.Mu, 0.01, 1},
		{"pin radius in mm", float64(f.PinRadius), 1, 3}, {"slant penalty a degree", f.PerDegree, 0, 0.1},
	} {
		if !(c.v >= c.low && c.v <= c.high) {
			return fmt.Errorf("%w: %s %v; allowed: %v to %v", ErrDrive, c.name, c.v, c.low, c.high)
		}
	}
	return nil
}

// Loss is what a gear's chain takes a crank turn.
type Loss struct {
	gearing.GearID
	Pull  float64 `json:"chain_pull_n"` // of the upper run
	Upper float64 `json:"upper_run_work_j_per_crank_turn"`
	Lower float64 `json:"lower_run_work_j_per_crank_turn"` // of the six turns under the lower run's tension
	Work  float64 `json:"work_j_per_crank_turn"`           // both
	// Efficiency is rounded to whole percent: the fit allows no more. It is
	// 0 without torque.
	Efficiency      gearing.Percent `json:"efficiency_percent"`
	EfficiencyError gearing.Percent `json:"efficiency_error_percent"`
}

// Loss is the work that the turning joints of the chain take a crank turn.
// Each pitch turns by 2 pi / N on and off every wheel; a turn under the tension
// T takes (pi/2) mu rho T 2 pi / N in a half bearing (form after Spicer et al.
// 2001, J. Mech. Design 123:598; re-derived). Ring pitches pass in a crank
// turn. The upper run's tension turns joints where it leaves the cog and
// enters the ring; the lower run's where it leaves the ring, on and off both
// pulleys, and where it enters the cog (derived here). It fails with ErrDrive.
func (f Friction) Loss(d Drive) (Loss, error) {
	f, d = f.WithDefaults(), d.withDefaults()
	if err := f.checkAll(d); err != nil {
		return Loss{}, err
	}
	l := Loss{GearID: d.GearID, Pull: d.pull()}
	perNewton := math.Pi / 2 * f.Mu * float64(f.PinRadius) / 1000 * 2 * math.Pi * float64(d.Ring)
	ends := inverse(d.Ring) + inverse(d.Cog)
	l.Upper = perNewton * l.Pull * ends * (1 + f.PerDegree*math.Abs(float64(d.Line)))
	l.Lower = perNewton * d.LowerTension * (ends + 2*inverse(d.Guide) + 2*inverse(d.Tension))
	l.Work = l.Upper + l.Lower
	l.addEfficiency(d.Torque)
	return l, nil
}

// pull is the tension of the upper run: the torque's and, since the lower run
// pulls at the ring too, the lower run's (derived here).
func (d Drive) pull() float64 { return sim.UpperTension(d.Torque, d.Ring) + d.LowerTension }

func inverse(n gearing.Teeth) float64 { return 1 / float64(n) }

func (l *Loss) addEfficiency(torque float64) {
	if torque <= 0 {
		return
	}
	lost := 100 * l.Work / (2 * math.Pi * torque)
	l.Efficiency = gearing.Percent(math.Round(max(0, 100-lost)))
	l.EfficiencyError = gearing.Percent(max(1, math.Round(MuError*lost)))
}

// Articulation is how far a joint turns under the upper run's tension: 2 pi / N
// where it leaves the cog and where it enters the ring.
func Articulation(g gearing.GearID) gearing.Degrees {
	return gearing.Degrees(360 * (inverse(g.Ring) + inverse(g.Cog)))
}
