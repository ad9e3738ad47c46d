package gearing

// Verdict is the answer of a fit in one word; worse ones are larger.
type Verdict int

// Verdicts at the rated level.
const (
	// Works: every limit that is known is kept.
	Works Verdict = iota
	// WorksWithout: works, but some gears are lost to the capacity.
	WorksWithout
	// CannotTell: too little is known to judge.
	CannotTell
	// OverRating: a limit that the choice of chain cannot mend is exceeded;
	// the ratings alone do not carry this build.
	OverRating
	// DoesNotWork: the build as given locks or overstretches, or no gear is
	// left.
	DoesNotWork
)

var verdictWords = [...]string{"works", "works without some gears", "cannot tell", "over the rating", "does not work"}

// String is the verdict in words.
func (v Verdict) String() string {
	if v < 0 || int(v) >= len(verdictWords) {
		return "unknown verdict"
	}
	return verdictWords[v]
}

// MarshalText gives JSON the words.
func (v Verdict) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// Fails tells whether the verdict says no: the command line then exits with 1.
func (v Verdict) Fails() bool { return v >= OverRating }

// RatedFit is what the makers' ratings and the loop say about a build.
type RatedFit struct {
	Verdict Verdict       `json:"verdict"`
	Checks  []RatingCheck `json:"ratings"`
	// Needed is the capacity the build asks for.
	Needed Teeth `json:"capacity_needed_teeth"`
	// Lost names the gears beyond the rated capacity with the chain sized
	// for the largest ring and cog, in the order of Table.Gears.
	Lost    []GearID `json:"lost_gears"`
	Lengths Lengths  `json:"chain_length"`
	// Owned is nil when no chain is owned.
	Owned *OwnedChain `json:"owned_chain,omitempty"`
	Line  LinePlan    `json:"chain_line"`
}

// NewRatedFit judges a build by its makers' ratings and by the loop. It needs
// the chainstay (ErrNoChainstay) and fails when the build does not pass Check
// or its wheels do not clear each other.
func NewRatedFit(b Build) (RatedFit, error) {
	if err := b.Check(); err != nil {
		return RatedFit{}, err
	}
	lengths, err := ChainLengths(b)
	if err != nil {
		return RatedFit{}, err
	}
	line, err := ChainLines(b)
	if err != nil {
		return RatedFit{}, err
	}
	f := RatedFit{
		Checks: RatingChecks(b), Needed: CapacityNeeded(b.Rings, b.Cogs),
		Lost: lostGears(b), Lengths: lengths, Line: line,
	}
	owned, ok, err := JudgeOwned(b, lengths)
	if err != nil {
		return RatedFit{}, err
	}
	if ok {
		f.Owned = &owned
	}
	f.Verdict = f.judge(len(b.Rings) * len(b.Cogs))
	return f, nil
}

func lostGears(b Build) []GearID {
	lost := []GearID{} // never nil: JSON shows an empty list
	for _, ring := range b.Rings {
		for j := len(b.Cogs) - 1; j >= 0; j-- {
			if LostByRating(b, ring, b.Cogs[j]) {
				lost = append(lost, GearID{ring, b.Cogs[j]})
			}
		}
	}
	return lost
}

// judge turns the parts into one word, the worst first. A capacity that is
// exceeded costs gears; any other limit that is exceeded cannot be mended by
// the chain.
func (f RatedFit) judge(gears int) Verdict {
	slack := len(f.Lost)
	if f.Owned != nil {
		slack += len(f.Owned.Slack)
	}
	if f.Owned != nil && f.Owned.State != OwnedLongEnough || slack == gears {
		return DoesNotWork
	}
	known := false
	for _, c := range f.Checks {
		if c.Name == RatedCapacity {
			known = c.Known
		} else if !c.OK() {
			return OverRating
		}
	}
	switch {
	case !known:
		return CannotTell
	case slack > 0:
		return WorksWithout
	}
	return Works
}
