package wear

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"cagewise/gearing"
	"cagewise/sim"
)

// Road is the load that gears are compared under: the same push at the wheel,
// so that every gear carries the same bike up the same road.
type Road struct {
	// Push at the wheel's rim, N; over 0, at most 2000. 30 N is about a
	// brisk ride on the flat, 100 N a climb (from memory).
	Push float64
	// RollOut of the driven wheel, m a turn; 0.5 to 4.
	RollOut gearing.Metres
}

func (r Road) check() error {
	if !(r.Push > 0 && r.Push <= 2000) {
		return fmt.Errorf("%w: push at the wheel %v N; allowed: over 0 to 2000", ErrDrive, r.Push)
	}
	if !(r.RollOut >= 0.5 && r.RollOut <= 4) {
		return fmt.Errorf("%w: roll-out %v m; allowed: 0.5 to 4", ErrDrive, float64(r.RollOut))
	}
	return nil
}

// Choice is a gear to be compared. Its drive's torque follows from the road.
type Choice struct {
	Drive
	// Pitches of the chain it would have; 4 to 1000, 0: as long as the other
	// choice's.
	Pitches int
	HasLine bool // Drive.Line is known
}

// GearWear is what a gear does to its chain and teeth on a road.
type GearWear struct {
	Loss
	Development gearing.Metres `json:"development_m"`
	Torque      float64        `json:"crank_torque_nm"`
	// Articulation is how far a joint turns under the upper run's tension.
	Articulation gearing.Degrees `json:"articulation_deg"`
	Line         gearing.Degrees `json:"chain_line_deg"`
	HasLine      bool            `json:"has_chain_line"`
	Pitches      int             `json:"pitches"`
	// ChainWork is the work of one pitch's joint a kilometre: what wears a
	// chain, in proportion (Archard 1953, J. Appl. Phys. 24:981: wear volume
	// ~ load x sliding distance).
	ChainWork float64 `json:"joint_work_j_per_km"`
	// CogWork and RingWork are chain pull times loadings of one tooth a
	// kilometre, N/km: what wears teeth, in proportion.
	CogWork  float64 `json:"cog_tooth_load_n_per_km"`
	RingWork float64 `json:"ring_tooth_load_n_per_km"`
	// CogTooth is what the hardest loaded tooth of the cog bears, N.
	CogTooth float64 `json:"cog_tooth_peak_n"`
}

// defaultPitches stands in where neither choice has a length; it drops out of
// the comparison.
const defaultPitches = 110

// leastSpared is the shortest chain, in pitches, that is compared (invented
// here).
const leastSpared = 4

// gearWear weighs one choice.
func (f Friction) gearWear(c Choice, r Road) (GearWear, error) {
	if c.Cog > 0 {
		c.Torque = r.Push * float64(r.RollOut) / (2 * math.Pi) * float64(c.Ring) / float64(c.Cog)
	}
	loss, err := f.Loss(c.Drive)
	if err != nil {
		return GearWear{}, fmt.Errorf("weighing %dx%d: %w", c.Ring, c.Cog, err)
	}
	if c.Pitches < leastSpared || c.Pitches > mostPitches {
		return GearWear{}, fmt.Errorf("%w: a chain of %d pitches; allowed %d to %d", ErrDrive, c.Pitches, leastSpared, mostPitches)
	}
	w := GearWear{
		Loss: loss, Torque: c.Torque, Articulation: Articulation(c.GearID), Line: c.Line, HasLine: c.HasLine,
		Pitches: c.Pitches, Development: r.RollOut * gearing.Metres(float64(c.Ring)/float64(c.Cog)),
	}
	turns := 1000 / float64(w.Development) // of the cranks a km
	w.ChainWork = loss.Work * turns / float64(c.Pitches)
	w.RingWork = loss.Pull * turns
	w.CogWork = loss.Pull * 1000 / float64(r.RollOut)
	left := sim.ToothLoads(loss.Pull, c.Cog, 2)
	w.CogTooth = left[0] - left[1]
	return w, nil
}

// RankGears orders gears by how fast they wear the chain on a road, the
// gentlest first. It fails with ErrDrive.
func (f Friction) RankGears(list []Choice, r Road) ([]GearWear, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	ranked := make([]GearWear, 0, len(list))
	for _, c := range list {
		c.Pitches = orPitches(c.Pitches, defaultPitches)
		w, err := f.gearWear(c, r)
		if err != nil {
			return nil, err
		}
		ranked = append(ranked, w)
	}
	slices.SortStableFunc(ranked, func(a, b GearWear) int { return cmp.Compare(a.ChainWork, b.ChainWork) })
	return ranked, nil
}

func orPitches(n, otherwise int) int {
	if n == 0 {
		return otherwise
	}
	return n
}
