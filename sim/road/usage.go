package road

import "cagewise/gearing"

// Spent is what was ridden in a gear, on a cog or on a ring.
type Spent struct {
	Seconds float64 `json:"time_s"`
	Turns   float64 `json:"crank_turns"`
	// Metres are by the build's wheel: what was recorded over WheelFit.Scale.
	Metres float64 `json:"distance_m"`
	Work   float64 `json:"work_kj"` // at the cranks
	// Share is of the pedalled time, in percent.
	Share gearing.Percent `json:"share_percent"`
}

func (s *Spent) add(o Spent) {
	s.Seconds += o.Seconds
	s.Turns += o.Turns
	s.Metres += o.Metres
	s.Work += o.Work
}

// Times are the seconds spent in each state. Breaks of the recorder count
// nowhere.
type Times struct {
	Total        float64 `json:"recorded_s"`
	Pedalled     float64 `json:"pedalled_s"`
	Freewheeling float64 `json:"freewheeling_s"`
	Stopped      float64 `json:"stopped_s"`
	Unknown      float64 `json:"unknown_s"`
}

func (t *Times) add(o Times) {
	t.Total += o.Total
	t.Pedalled += o.Pedalled
	t.Freewheeling += o.Freewheeling
	t.Stopped += o.Stopped
	t.Unknown += o.Unknown
}

// GearUse is the use of one gear.
type GearUse struct {
	gearing.GearID
	Development gearing.Metres `json:"development_m"`
	Lost        bool           `json:"lost"`
	Spent
}

// RingUse is the use of one ring.
type RingUse struct {
	Ring gearing.Teeth `json:"ring_teeth"`
	Spent
}

// CogUse is the use of one cog.
type CogUse struct {
	Cog gearing.Teeth `json:"cog_teeth"`
	Spent
	// StepWithout is the step that would lie between its neighbours without
	// it; 0 for the smallest and the largest cog, without which the cassette
	// would lose one end.
	StepWithout gearing.Percent `json:"step_without_percent"`
	// Missed ranks how much the cog would be missed: the share of the time
	// times the part of StepWithout that is new (invented here); 0 for the
	// ends.
	Missed float64 `json:"missed"`
	// ToothLoad is how much one tooth wears beside others: the
	// sum of chain pull times how often the tooth comes under load, in N.
	// A tooth does so once a cog turn, ring/cog times a crank turn, so that
	// the sum is the work over the cog's pitches of 12.7 mm (derived here).
	ToothLoad float64 `json:"tooth_load_n"`
	// ToothShare is its share of the ToothLoad of all cogs in percent.
	ToothShare gearing.Percent `json:"tooth_load_share_percent"`
}

// Use is how the gears were used.
type Use struct {
	Times Times     `json:"times"`
	Gears []GearUse `json:"gears"` // in the order of Table.Gears
	Rings []RingUse `json:"rings"` // ascending
	Cogs  []CogUse  `json:"cogs"`  // ascending
	// Unused are the gears that were never used.
	Unused []gearing.GearID `json:"never_used"`
	// Distance is that of all states, in m, by the build's wheel.
	Distance float64 `json:"distance_m"`
	// RearShifts and FrontShifts count changes of cog and of ring; a change
	// over several cogs is one.
	RearShifts  int `json:"rear_shifts"`
	FrontShifts int `json:"front_shifts"`
	// LineAngle is the mean chain line angle without its sign, weighted by
	// crank turns; 0 unless the chainstay is known (HasLine) and cranks
	// turned.
	LineAngle gearing.Degrees `json:"mean_chain_line_angle_deg"`
	HasLine   bool            `json:"has_chain_line"`
	// TwinShare is the share of the pedalled time in gears that have a
	// duplicate on another ring, within Table.Tolerance: there the ring was
	// taken from what came before and after.
	TwinShare gearing.Percent `json:"ring_not_certain_share_percent"`
	// EstimatedShare is the share of the work that was not recorded but
	// computed for a steady speed on the flat; climbs are left out.
	EstimatedShare gearing.Percent `json:"estimated_work_share_percent"`
}

// RideUse is the use of the gears on one ride.
type RideUse struct {
	Recording
	Wheel WheelFit `json:"wheel"`
	Use
}

// Usage is the use of a build's gears on rides, each alone and all together.
type Usage struct {
	Rides []RideUse `json:"rides"`
	All   Use       `json:"all"`
}

// HasGear tells that some time was spent in a gear.
func (u Use) HasGear() bool { return u.Times.Pedalled > 0 }

// GearedTimes are the times of all rides that show a gear. Shares of time are
// of these: a ride without a cadence says nothing about them.
func (u Usage) GearedTimes() Times {
	var sum Times
	for _, r := range u.Rides {
		if r.HasGear() {
			sum.add(r.Times)
		}
	}
	return sum
}

// LeastMissed is the cog between the ends of the cassette that would be missed
// least, by CogUse.Missed, the smaller of equals; ok is false when there is
// none, or nothing was pedalled.
func (u Use) LeastMissed() (cog CogUse, ok bool) {
	return u.ranked(func(a, b float64) bool { return a < b })
}

// MostMissed is the one that would be missed most.
func (u Use) MostMissed() (cog CogUse, ok bool) {
	return u.ranked(func(a, b float64) bool { return a > b })
}

func (u Use) ranked(before func(a, b float64) bool) (cog CogUse, ok bool) {
	if !u.HasGear() {
		return CogUse{}, false
	}
	for i, c := range u.Cogs {
		if i > 0 && i+1 < len(u.Cogs) && (!ok || before(c.Missed, cog.Missed)) {
			cog, ok = c, true
		}
	}
	return cog, ok
}
