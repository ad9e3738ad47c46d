package gearing

// CapacityNeeded is the total capacity a build asks of its rear derailleur:
// ring difference plus cog difference, in teeth (common practice; worked
// examples in testdata/drivetrain_dims_worked.csv).
func CapacityNeeded(rings, cogs []Teeth) Teeth {
	if len(rings) == 0 || len(cogs) == 0 {
		return 0
	}
	return span(rings) + span(cogs)
}

// span is the difference of the ends of a sorted list.
func span(teeth []Teeth) Teeth { return teeth[len(teeth)-1] - teeth[0] }

// LostByRating tells whether the rated capacity leaves out a gear when the
// chain is sized for the largest ring and cog: the gear asks the cage to take
// up (F_max - F) + (R_max - R) teeth, more than the rating (derived here).
// Without a rating nothing is lost.
func LostByRating(b Build, ring, cog Teeth) bool {
	return b.Rear.RatedCapacity > 0 && b.takeUp(ring, cog) > b.Rear.RatedCapacity
}

// takeUp is what a gear asks of the cage over the largest ring and cog, teeth.
func (b *Build) takeUp(ring, cog Teeth) Teeth {
	return b.LargestRing() - ring + b.LargestCog() - cog
}

// RatingName names one of the maker's limits.
type RatingName string

// The limits that RatingChecks compares.
const (
	RatedCapacity       RatingName = "rear capacity"
	RatedLargestCog     RatingName = "largest cog"
	RatedSmallestCog    RatingName = "smallest cog"
	RatedLeastLargest   RatingName = "least largest cog"
	RatedRearRings      RatingName = "rear ring difference"
	RatedFrontCapacity  RatingName = "front capacity"
	RatedFrontLargest   RatingName = "front largest ring"
	RatedFrontLeastStep RatingName = "front least ring step"
)

// RatingCheck holds one of the maker's limits against the build.
type RatingCheck struct {
	Name RatingName `json:"name"`
	// Needed is what the build asks for, Limit what the maker allows; Limit
	// is 0 when Known is false.
	Needed Teeth `json:"needed_teeth"`
	Limit  Teeth `json:"limit_teeth"`
	// AtLeast turns the sense: Needed must be at least Limit.
	AtLeast bool `json:"limit_is_a_minimum"`
	Known   bool `json:"known"`
}

// Margin is the number of teeth left before the limit, negative when it is
// exceeded; 0 when the limit is not known.
func (c RatingCheck) Margin() Teeth {
	switch {
	case !c.Known:
		return 0
	case c.AtLeast:
		return c.Needed - c.Limit
	default:
		return c.Limit - c.Needed
	}
}

// OK tells whether the limit is kept; a limit that is not known is not kept
// nor broken, and OK is true.
func (c RatingCheck) OK() bool { return c.Margin() >= 0 }

// RatingChecks compares a build with every limit its makers may have given.
// Limits of the front derailleur and of ring differences appear only for two
// rings or more.
func RatingChecks(b Build) []RatingCheck {
	checks := make([]RatingCheck, 0, 8)
	add := func(name RatingName, needed, limit Teeth, atLeast bool) {
		checks = append(checks, RatingCheck{Name: name, Needed: needed, Limit: limit, AtLeast: atLeast, Known: limit > 0})
	}
	r, f := b.Rear, b.Front
	add(RatedCapacity, CapacityNeeded(b.Rings, b.Cogs), r.RatedCapacity, false)
	add(RatedLargestCog, b.LargestCog(), r.LargestCog, false)
	add(RatedSmallestCog, b.SmallestCog(), r.SmallestCog, true)
	add(RatedLeastLargest, b.LargestCog(), r.LeastLargestCog, true)
	if n := len(b.Rings); n > 1 {
		add(RatedRearRings, span(b.Rings), r.LargestRingStep, false)
		add(RatedFrontCapacity, span(b.Rings), f.RatedCapacity, false)
		add(RatedFrontLargest, b.LargestRing(), f.LargestRing, false)
		add(RatedFrontLeastStep, b.Rings[n-1]-b.Rings[n-2], f.LeastRingStep, true)
	}
	return checks
}
