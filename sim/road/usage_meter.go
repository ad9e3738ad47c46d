package road

import (
	"errors"
	"fmt"
	"io"
	"math"

	"cagewise/gearing"
)

// Meter adds up rides. Make it with NewMeter.
type Meter struct {
	table  gearing.Table
	angles []gearing.Degrees // of the upper run in each gear; nil: not known
	twins  [][]int
	o      DetectOptions
	rider  Rider

	rides []RideUse
	all   useSums
}

// NewMeter makes a meter for a build and its table of gears. The rider is only
// needed where rides have no power. It fails when an option or a number of the
// rider is out of range, or when there are no gears.
func NewMeter(b gearing.Build, t gearing.Table, o DetectOptions, r Rider) (*Meter, error) {
	o, r = o.WithDefaults(), r.WithDefaults()
	if err := errors.Join(o.Check(), r.Check()); err != nil {
		return nil, err
	}
	if len(t.Gears) == 0 {
		return nil, ErrNoGear
	}
	m := &Meter{table: t, o: o, rider: r, twins: twinsOf(t), all: newUseSums(len(t.Gears))}
	if plan, err := gearing.ChainLines(b); err == nil {
		for _, g := range plan.Gears {
			m.angles = append(m.angles, g.Angle)
		}
	}
	return m, nil
}

// twinsOf lists for each gear its duplicates on other rings, within
// Table.Tolerance.
func twinsOf(t gearing.Table) [][]int {
	list := make([][]int, len(t.Gears))
	for i, a := range t.Gears {
		for j, b := range t.Gears {
			near := gearing.StepPercent(min(a.Ratio, b.Ratio), max(a.Ratio, b.Ratio)) <= t.Tolerance
			if near && a.Ring != b.Ring {
				list[i] = append(list[i], j)
			}
		}
	}
	return list
}

// AddRide reads a ride, finds its gears and adds it. A ride that is damaged
// counts as far as it could be read, with a warning in its Recording. It fails
// with the other errors of ReadRide, and with ErrNoRide when points were left
// out and nothing is left; the ride does not count then.
func (m *Meter) AddRide(r io.Reader, name string) error {
	sums := newUseSums(len(m.table.Gears))
	var d *Detector
	d, err := NewDetector(m.table, m.o, func(x Moment) {
		x.Speed /= d.wheel.Scale // found before any moment comes
		sums.add(x, m.rider)
	})
	if err != nil {
		return err
	}
	rec, err := ReadRide(r, name, d.Add)
	var damage *DamageError
	if err != nil && !errors.As(err, &damage) {
		return err
	}
	if damage != nil {
		rec.Warnings = append(rec.Warnings, err.Error())
	}
	if rec.LeftOut > 0 && rec.Samples < 2 {
		return fmt.Errorf("%s: %w: %d of its %d points are left out, as they have no time or one that is not after the one before; needed: points in order of time",
			name, ErrNoRide, rec.LeftOut, rec.points())
	}
	rec.warnOfCadence()
	wheel := d.Close()
	m.rides = append(m.rides, RideUse{Recording: rec, Wheel: wheel, Use: m.use(sums)})
	m.all.join(sums)
	return nil
}

// warnOfCadence warns when no gear can be found.
func (r *Recording) warnOfCadence() {
	switch {
	case r.WithCadence == 0:
		r.Warnings = append(r.Warnings, r.Name+": no cadence recorded, so no gear can be found")
	case r.WithTurning == 0:
		r.Warnings = append(r.Warnings, r.Name+": cadence is 0 throughout, so no gear can be found")
	}
}

// Usage is the result for all rides added so far.
func (m *Meter) Usage() Usage {
	return Usage{Rides: m.rides, All: m.use(m.all)}
}

// useSums are the sums that a Use is made of.
type useSums struct {
	times     [stateCount]float64
	distance  float64
	gears     []Spent
	estimated float64 // kJ
	last      int     // gear last ridden, -1 at first
	shifts    [][]int // number of changes from gear to gear
}

func newUseSums(gears int) useSums {
	s := useSums{gears: make([]Spent, gears), last: -1, shifts: make([][]int, gears)}
	for i := range s.shifts {
		s.shifts[i] = make([]int, gears)
	}
	return s
}

// add takes a moment. Work is what was recorded, or else that of a steady
// speed on the flat.
func (s *useSums) add(m Moment, r Rider) {
	s.times[m.State] += m.Seconds
	way := m.Speed * m.Seconds
	if !math.IsNaN(way) {
		s.distance += way
	}
	if m.State != Pedalled {
		return
	}
	power := m.Power
	if math.IsNaN(power) {
		power = max(r.AtCranks(r.Power(m.Speed, 0)), 0)
		s.estimated += power * m.Seconds / 1000
	}
	s.gears[m.Gear].add(Spent{Seconds: m.Seconds, Turns: m.Cadence / 60 * m.Seconds, Metres: way, Work: power * m.Seconds / 1000})
	if s.last >= 0 && s.last != m.Gear {
		s.shifts[s.last][m.Gear]++
	}
	s.last = m.Gear
}

// join adds the sums of another ride.
func (s *useSums) join(o useSums) {
	for i, t := range o.times {
		s.times[i] += t
	}
	s.distance += o.distance
	s.estimated += o.estimated
	for i := range o.gears {
		s.gears[i].add(o.gears[i])
		for j, n := range o.shifts[i] {
			s.shifts[i][j] += n
		}
	}
}
