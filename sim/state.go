package sim

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
	// Fouls: the guide pulley or its chain runs into the cog.
	Fouls
	// Overstretched: less chain in reserve than the least.
	Overstretched
	// Locks: the chain is shorter than the shortest path.
	Locks
)

var stateWords = [...]string{"clear", "far", "slack", "fouls", "overstretched", "locks"}

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
func (s State) Dangerous() bool { return s >= Fouls }

// Bounds of the states.
const (
	// LeastReserve is the chain that must be left over the shortest path, in
	// pitches: a link pair folded back must still fit (shop stand test,
	// common practice, no source).
	LeastReserve = 1.0
	// FoulGap and FarGap bound the pulley gap in mm (from memory).
	FoulGap = 3.0
	FarGap  = 25.0
)
