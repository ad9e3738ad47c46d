package gearing

import "time"

// WearLog is what an owner has written down about a drivetrain that wears:
// parts, readings, findings and rides. gearing/wearlog reads it from a file;
// package sim/wear computes from it. All distances are kilometres, whatever the
// file's unit; dates are midnight UTC, the zero time is "not given".
type WearLog struct {
	Name, Note string
	Money      string  // unit of the prices, such as "euro"; "" for money units
	KMPerYear  float64 // 0: from the dates of the log
	Budget     float64 // 0: none stated
	Motor      bool    // a mid motor drives the chain
	Miles      bool    // the owner writes and reads distances in miles
	Parts      []WearPart
	Readings   []WearReading
	Findings   []WearFinding
	Rides      []WearRide
}

// PartKind says what a part of a drivetrain is.
type PartKind string

// The kinds of parts.
const (
	PartChain         PartKind = "chain"
	PartCassette      PartKind = "cassette"
	PartCog           PartKind = "cog" // one that can be had by itself
	PartRing          PartKind = "ring"
	PartGuidePulley   PartKind = "guide pulley"
	PartTensionPulley PartKind = "tension pulley"
	PartBearing       PartKind = "bearing" // bottom bracket or freehub
	PartCable         PartKind = "cable"
)

// PartKinds lists the kinds of parts in the order of reports.
func PartKinds() []PartKind {
	return []PartKind{PartChain, PartCassette, PartCog, PartRing, PartGuidePulley, PartTensionPulley, PartBearing, PartCable}
}

// PartSource says where the next one of a part comes from.
type PartSource string

// The sources of parts.
const (
	SourceUnknown PartSource = ""
	SourceOnHand  PartSource = "on hand"
	SourceBuy     PartSource = "to buy"
	SourceNone    PartSource = "not to be had"
)

// WearPart is one part, fitted or in turn with others.
type WearPart struct {
	ID    string // unique in the log, such as "chain-2"
	Kind  PartKind
	Note  string
	Teeth []Teeth // of a ring (one), a cog (one) or a cassette, rising
	// Pitches of a chain; 0: not given.
	Pitches int
	// FittedKM is the odometer when it was fitted, RemovedKM when it was
	// taken off; negative: not given, or still on.
	FittedKM, RemovedKM float64
	FittedOn            time.Time
	Price               float64 // of a new one; negative: not given
	Source              PartSource
	// RollerPlay between neighbouring rollers, as measured; 0: not known.
	RollerPlay MM
	// StartElongation is what the chain read on its first day; used when
	// HasStart.
	StartElongation Percent
	HasStart        bool
	Line            int // of the file, for messages
}

// ReadingMethod says how an elongation was read.
type ReadingMethod string

// The methods of reading elongation.
const (
	// MethodRule: a rule over Pitches, on the bike or off it.
	MethodRule ReadingMethod = "rule"
	// MethodHung: hung beside a new chain of the same count; Offset is how
	// much longer it is.
	MethodHung ReadingMethod = "hung"
	// MethodCaliper: inside 10 pitches less inside 2 pitches.
	MethodCaliper ReadingMethod = "caliper"
	// MethodTwoPoint: a drop-in gauge that pushes two rollers apart.
	MethodTwoPoint ReadingMethod = "two-point"
	// MethodThreePoint: a drop-in gauge in which roller play cancels.
	MethodThreePoint ReadingMethod = "three-point"
	// MethodLift: the chain pulled off the ring at mid-wrap by Lift.
	MethodLift ReadingMethod = "lift"
)

// Bounds of what a chain can read: a little short when new, and past any that
// still runs (invented here). Readings outside them are set aside, and added to a
// log only when that is asked for.
const (
	LeastElongation Percent = -1
	MostElongation  Percent = 5
)

// ReadingMethods lists the methods in the order of legends and of a starting log.
func ReadingMethods() []ReadingMethod {
	return []ReadingMethod{MethodRule, MethodHung, MethodCaliper, MethodTwoPoint, MethodThreePoint, MethodLift}
}

// Words name the method in a sentence.
func (m ReadingMethod) Words() string {
	switch m {
	case MethodHung:
		return "hung beside a new chain"
	case MethodTwoPoint, MethodThreePoint:
		return string(m) + " gauge"
	case MethodLift:
		return "lift off the ring"
	}
	return string(m)
}

// WearReading is one reading of a chain.
type WearReading struct {
	Part   string // ID of the chain
	KM     float64
	On     time.Time
	Method ReadingMethod
	// Pitches the reading spans; 0: the method's usual.
	Pitches int
	// Length measured over them (rule), Offset from a new chain (hung),
	// Inside10 and Inside2 (caliper), Lift off the ring (lift).
	Length, Offset, Inside10, Inside2, Lift MM
	// Mark is the gauge's mark, Falls whether it fell in; with a scale,
	// Scale is what it showed and HasScale is true. All in percent.
	Mark     Percent
	Falls    bool
	Scale    Percent
	HasScale bool
	Ring     Teeth // that a lift was taken on
	// Error is the owner's standard error of the lengths; 0: the method's.
	Error MM
	Note  string
	Line  int
}

// FindingKind says what was seen, heard or felt.
type FindingKind string

// The kinds of findings.
const (
	FindTeeth   FindingKind = "tooth shape" // symmetric, pointed, hooked
	FindSnag    FindingKind = "nail snags"  // a fingernail catches on the flank
	FindLift    FindingKind = "chain lifts" // a new chain stands off the wheel
	FindSkip    FindingKind = "skips"       // under load, on Cogs
	FindShift   FindingKind = "shifts badly"
	FindPlay    FindingKind = "play"  // pulley or bearing
	FindRough   FindingKind = "rough" // pulley or bearing
	FindFrayed  FindingKind = "frayed"
	FindStiff   FindingKind = "stiff" // link or cable
	FindSuck    FindingKind = "chain suck"
	FindBroken  FindingKind = "broken" // a chain: plate cracked or broken, pin working out
	FindBent    FindingKind = "bent"   // a chain: plate or pin bent, chain twisted
	FindNothing FindingKind = "looks good"
)

// Degrees of findings: the first three are shapes of teeth, the last two say how
// bad the rest is.
const (
	DegreeSymmetric = "symmetric"
	DegreePointed   = "pointed"
	DegreeHooked    = "hooked"
	DegreeSlight    = "slight"
	DegreeBad       = "bad"
)

// WearFinding is what was seen on a part.
type WearFinding struct {
	Part   string // ID
	KM     float64
	On     time.Time
	Kind   FindingKind
	Degree string  // see DegreeSymmetric; "" is not said
	Cogs   []Teeth // the cogs it was seen on, none: all, or not a cassette
	Loaded bool    // under load
	Note   string
	Line   int
}

// WearRide is distance ridden.
type WearRide struct {
	On   time.Time
	KM   float64
	Note string
	// Chain is the ID of the chain it was ridden on; "": the one fitted then.
	Chain string
	Line  int
}
