package wear

import (
	"fmt"
	"math"

	"cagewise/gearing"
)

// Sparing compares two gears on the same road: an estimate by the model, never
// a promise.
type Sparing struct {
	A GearWear `json:"a"`
	B GearWear `json:"b"`
	// ChainLife, CogLife and RingLife are A's life over B's by the model.
	ChainLife float64 `json:"chain_life_a_over_b"`
	CogLife   float64 `json:"cog_life_a_over_b"`
	RingLife  float64 `json:"ring_life_a_over_b"`
	// Spares is the gear that wears the chain less; zero when they differ by
	// less than SameLife.
	Spares   gearing.GearID `json:"spares_the_chain"`
	HasSpare bool           `json:"has_difference"`
	// Step is how far apart the two developments lie.
	Step gearing.Percent `json:"step_percent"`
	Why  []string        `json:"why"`
	Note string          `json:"note"`
}

// Judgements on a comparison (invented here).
const (
	// SameLife is the part of a life under which two gears count as alike.
	SameLife = 0.03
	// SameGear is the step in percent up to which two gears count as one
	// gear; under 5 % nobody feels it (common practice, no source).
	SameGear = 5.0
	// TellingLine is the difference of slant in degrees that is named.
	TellingLine = 1.0
)

const estimateNote = "estimate: wear taken as proportional to load times sliding; dirt, lubricant and hardness left out, " + Widely

// Spare tells which of two gears spares the chain on a road. Larger wheels
// pull less at the same ratio and turn the joints less; a longer chain shares
// the work out over more joints. It fails with ErrDrive.
func (f Friction) Spare(a, b Choice, r Road) (Sparing, error) {
	if err := r.check(); err != nil {
		return Sparing{}, err
	}
	a.Pitches = orPitches(a.Pitches, orPitches(b.Pitches, defaultPitches))
	b.Pitches = orPitches(b.Pitches, a.Pitches)
	wa, err := f.gearWear(a, r)
	if err != nil {
		return Sparing{}, err
	}
	wb, err := f.gearWear(b, r)
	if err != nil {
		return Sparing{}, err
	}
	s := Sparing{
		A: wa, B: wb, Note: estimateNote,
		ChainLife: wb.ChainWork / wa.ChainWork, CogLife: wb.CogWork / wa.CogWork, RingLife: wb.RingWork / wa.RingWork,
	}
	low, high := min(wa.Development, wb.Development), max(wa.Development, wb.Development)
	s.Step = gearing.StepPercent(float64(low), float64(high))
	s.judge()
	return s, nil
}

func (s *Sparing) judge() {
	better, worse := &s.A, &s.B
	if s.ChainLife < 1 {
		better, worse = worse, better
	}
	if s.HasSpare = math.Abs(math.Log(s.ChainLife)) > SameLife; s.HasSpare {
		s.Spares = better.GearID
	}
	s.Why = []string{
		fmt.Sprintf("chain pull: %.0f N on %s, %.0f N on %s", better.Pull, better.GearID, worse.Pull, worse.GearID),
		fmt.Sprintf("a joint turns %.0f degrees under load on %s, %.0f on %s", better.Articulation, better.GearID, worse.Articulation, worse.GearID),
	}
	if s.A.Pitches != s.B.Pitches {
		s.Why = append(s.Why, fmt.Sprintf("the chain is %d pitches long for %s, %d for %s: more joints share the work", better.Pitches, better.GearID, worse.Pitches, worse.GearID))
	}
	s.addLine(better, worse)
	if s.Step > SameGear {
		s.Why = append(s.Why, fmt.Sprintf("the two are %.0f %% apart: not the same gear", s.Step))
	}
}

// addLine names the slant; it is in no figure unless a penalty was given.
func (s *Sparing) addLine(better, worse *GearWear) {
	if !better.HasLine || !worse.HasLine {
		s.Why = append(s.Why, "chain line not known for both: not weighed")
		return
	}
	b, w := math.Abs(float64(better.Line)), math.Abs(float64(worse.Line))
	text := fmt.Sprintf("chain line: %.1f degrees on %s, %.1f on %s", b, better.GearID, w, worse.GearID)
	if b-w > TellingLine {
		text += ": the straighter chain of the other speaks against it"
	}
	s.Why = append(s.Why, text)
}
