package gearing

// Verdict is the answer of a fit in one word; worse ones are larger. It goes by
// the chance that every gear but those named as lost runs.
type Verdict int

// Verdicts.
const (
	// Works: a chance of 95 % and more.
	Works Verdict = iota
	// LikelyWorks: 75 to 95 %.
	LikelyWorks
	// CannotTell: 25 to 75 %, or too little is known to judge.
	CannotTell
	// LikelyDoesNot: 5 to 25 %.
	LikelyDoesNot
	// DoesNotWork: under 5 %, a chain at hand that locks or is too short, or
	// more than a third of the gears lost.
	DoesNotWork
)

var verdictWords = [...]string{"works", "likely works", "cannot tell", "likely does not work", "does not work"}

// String is the verdict in words.
func (v Verdict) String() string {
	if v < 0 || int(v) >= len(verdictWords) {
		return "unknown verdict"
	}
	return verdictWords[v]
}

// MarshalText gives JSON the words.
func (v Verdict) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// Yes tells whether the verdict is one to build on: works or likely works. The
// command line exits with 1 on all others.
func (v Verdict) Yes() bool { return v <= LikelyWorks }

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

// judge turns the parts into one word, the worst first. A rating is a promise,
// not a limit: what is beyond it is not known to fail.
func (f RatedFit) judge(gears int) Verdict {
	slack := len(f.Lost)
	if f.Owned != nil {
		slack += len(f.Owned.Slack)
	}
	if f.Owned != nil && (f.Owned.State.Dangerous() || 3*len(f.Owned.Tight) > gears) || slack == gears {
		return DoesNotWork
	}
	for _, c := range f.Checks {
		if !c.OK() || c.Name == RatedCapacity && !c.Known {
			return CannotTell
		}
	}
	if slack > 0 {
		return CannotTell
	}
	return Works
}
