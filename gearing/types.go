package gearing

// Build is one bike's drivetrain as the rest of cagewise sees it: validated,
// every unit fixed, wheels sorted by size. gearing/build fills it from a file
// or from flags; Check refuses what cannot be computed.
//
// A zero in an optional field means "not known"; each field says what then
// happens.
type Build struct {
	Name  string // title for tables and charts; may be empty
	Note  string // one line about the build; may be empty
	Frame Frame
	Wheel Wheel
	Rings []Teeth // ascending, 1 to 4 rings, no two alike
	Cogs  []Teeth // ascending, 1 to 14 cogs, no two alike
	Lines Lines
	Chain Chain
	Rear  RearDerailleur
	Front FrontDerailleur
	Rider Rider
}

// Frame holds what the frame fixes.
type Frame struct {
	// Chainstay is the distance from crank centre to rear axle centre, at
	// the forward end of DropoutRange. Needed for every chain length.
	Chainstay MM
	// BottomBracketDrop is how far the crank centre lies below the axle
	// line; negative when it lies above.
	BottomBracketDrop MM
	// DropoutRange is how far the axle can move back in a horizontal
	// dropout; 0 for a fixed axle.
	DropoutRange MM
	// Suspension is the zero value for a rigid rear end.
	Suspension Suspension
}

// Suspension says how the rear axle moves: by the chainstay length over the
// travel, or by a single main pivot and the travel. Chainstay and
// BottomBracketDrop hold for the unloaded bike.
type Suspension struct {
	// Chainstays are the crank-to-axle distances over the travel, in any
	// order; at most 20.
	Chainstays []MM
	// PivotAhead and PivotAbove place the main pivot from the crank centre;
	// Travel is how far the axle rises, 0 when not known.
	PivotAhead, PivotAbove, Travel MM
}

// Wheel is the driven wheel and its tyre.
type Wheel struct {
	// BeadSeat and Section are the two numbers of the ETRTO marking
	// (ISO 5775-1): 42-622 has Section 42 and BeadSeat 622.
	BeadSeat, Section MM
	// LoadAllowance is taken off the nominal circumference for the loaded
	// tyre; default 1 % (common practice, no source).
	LoadAllowance Percent
	// MeasuredRollOut is the distance of one wheel turn, measured with the
	// rider on the bike. 0 when not measured; otherwise it overrides the
	// marking and LoadAllowance.
	MeasuredRollOut MM
}

// Lines holds the positions across the bike. All distances are from the
// frame's mid-plane, outwards, to the mid-plane of a tooth.
type Lines struct {
	FrontChainLine MM // middle of the ring set; 0: default by rings and axle
	RingSpacing    MM // between neighbouring rings; 0: default 5 mm
	AxleEndWidth   MM // between the frame's axle faces; 0: default 135 mm
	AxleFaceGap    MM // axle face to the outer side of the smallest cog; 0: default
	CogSpacing     MM // between neighbouring cogs; 0: default by cog count
	CogThickness   MM // 0: default by cog count
	ChainWidth     MM // over the pins; 0: default by cog count
	RingThickness  MM // at the teeth; 0: default 2 mm
}

// Chain is the chain already owned, if any.
type Chain struct {
	Pitches    int     // 0: no chain owned, one is to be cut
	Elongation Percent // by wear; 0 for a new chain
	// OffsetLink allows odd counts.
	OffsetLink bool
}

// RearDerailleur holds the maker's ratings and what a ruler finds.
type RearDerailleur struct {
	RatedCapacity      Teeth // ring difference + cog difference; 0: not known
	LargestCog         Teeth // largest cog rated; 0: not known
	SmallestCog        Teeth // smallest cog rated; 0: not known
	LeastLargestCog    Teeth // the cassette's largest cog must be at least this; 0: not known
	LargestRingStep    Teeth // largest ring difference rated; 0: not known
	PulleyCentres      MM    // guide to tension pulley centre; 0: not known
	GuidePulleyTeeth   Teeth // 0: typical for the class
	TensionPulleyTeeth Teeth // 0: typical for the class
	Geometry           Geometry
}

// Geometry is the measured shape of a rear derailleur. Every
// length is zero when it was not measured.
type Geometry struct {
	Class string // "short", "medium", "long", "wide" or "" for none named

	// Hanger bolt centre, behind and below the rear axle, both positive.
	HangerBehind, HangerBelow MM
	// Cage pivot relative to the rear axle with the derailleur on the
	// smallest and on the largest cog: x forward, y up.
	PivotSmallX, PivotSmallY MM
	PivotLargeX, PivotLargeY MM
	// Cage triangle.
	PivotToGuide, PivotToTension MM
	PivotSide                    string // "behind", "ahead" or "": side of the pulley line on which the cage pivot lies
	// Cage stops: direction from guide to tension pulley, from +x,
	// counter-clockwise; each is zero when it was not read.
	CageStopRear, CageStopForward Degrees

	// PivotError and CageError are the standard errors a fitting has left in
	// the pivot positions and in the cage's sides; 0: a ruler's, or those of
	// typical geometry.
	PivotError, CageError MM

	ScrewRange  Degrees // either way; 0: default 12
	TargetGap   MM      // small ring x largest cog; 0: default
	PlateHeight MM      // half height of a chain plate; 0: default 8.6 (above the guide pulley's pitch circle)

	SpringPreload float64 // cage spring, N mm at the rear stop, or with the pulleys level behind the pivot; 0: default
	SpringRate    float64 // N mm more a degree of forward swing; 0: default
	ClutchTorque  float64 // N mm; 0: none

	// MountPreload is the moment of a sprung mounting pivot in N mm with
	// the body at its reference angle, pulling it rearward; 0: the pivot is
	// not sprung and the body rests on its B-screw. MountRate is how much
	// it grows a degree of forward swing.
	MountPreload, MountRate float64

	// ExtenderBehind and ExtenderBelow are how far a hanger extender moves
	// the hanger bolt and all that hangs on it; 0: none.
	ExtenderBehind, ExtenderBelow MM
}

// FrontDerailleur holds the maker's ratings of the front derailleur.
type FrontDerailleur struct {
	RatedCapacity Teeth // largest minus smallest ring; 0: not known
	LargestRing   Teeth // 0: not known
	LeastRingStep Teeth // least difference of the two largest rings; 0: not known
}

// Rider holds the cadences speeds are quoted at.
type Rider struct {
	CadenceLow, CadenceHigh float64 // crank turns a minute; defaults 60 and 90
}
