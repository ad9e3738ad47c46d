package sim

import "cagewise/gearing"

// State is what a gear does with a chain, worse ones are larger.
type State int

// The states of a gear.
const (
	// Clear: nothing is wrong.
	Clear State = iota
	// Far: the guide pulley is far from the cog, shifts are slow. A note.
	Far
	// Slack: beyond the rearward limit; noisy, the chain may drop.
	Slack
	// Tight: less than the trade's link pair over the bare loop. It turns, but
	// nobody cuts a chain to it.
	Tight
	// Hits: the guide pulley or its chain runs into the cog.
	Hits
	// TooShort: less than the least reserve over the shortest path.
	TooShort
	// Locks: the chain is shorter than the shortest path.
	Locks
)

var stateWords = [...]string{"clear", "far", "slack", "tight", "hits", "too short", "locks"}

// String is the state's name.
func (s State) String() string {
	if s < 0 || int(s) >= len(stateWords) {
		return "unknown state"
	}
	return stateWords[s]
}

// MarshalText gives JSON the name.
func (s State) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// Runs tells whether the gear can be used as it is: clear or far.
func (s State) Runs() bool { return s <= Far }

// Dangerous tells whether the state can break parts or throw the rider.
func (s State) Dangerous() bool { return s >= Hits }

// Bounds of the states.
const (
	// LeastReserve is the chain that must be left over the shortest path, in
	// pitches, TightReserve what the trade wants over the bare loop.
	LeastReserve = float64(gearing.LeastReserve)
	TightReserve = float64(gearing.ReservePitches)
	// HitGap and FarGap bound the pulley gap in mm (from memory).
	HitGap = 3.0
	FarGap = 25.0
)
