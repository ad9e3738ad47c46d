package gearing

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Limits of what the package computes. They are far outside any bicycle and
// only keep the arithmetic and the tables sound.
const (
	MaxRings       = 4
	MaxCogs        = 14
	MinTeeth Teeth = 8
	MaxTeeth Teeth = 80
)

// ErrBuild is wrapped by every error that Check returns.
var ErrBuild = errors.New("build cannot be computed")

// Check refuses builds that the package cannot compute: no rings or cogs, too
// many of them, wheels out of order or out of 8 to 80 teeth, a wheel without
// a circumference, or a length that is not a number. Constructors of this
// package call it, so that they never panic.
func (b Build) Check() error {
	if err := checkWheels("rings", b.Rings, MaxRings); err != nil {
		return err
	}
	if err := checkWheels("cogs", b.Cogs, MaxCogs); err != nil {
		return err
	}
	if r := float64(b.Wheel.RollOut()); !(r > 0) || math.IsInf(r, 0) {
		return fmt.Errorf("%w: the wheel rolls out %v m; give a tyre marking or a measured roll-out", ErrBuild, r)
	}
	return b.checkLengths()
}

func checkWheels(what string, teeth []Teeth, most int) error {
	if len(teeth) == 0 || len(teeth) > most {
		return fmt.Errorf("%w: %d %s; allowed 1 to %d", ErrBuild, len(teeth), what, most)
	}
	for i, n := range teeth {
		if n < MinTeeth || n > MaxTeeth {
			return fmt.Errorf("%w: %s: %d teeth; allowed %d to %d", ErrBuild, what, n, MinTeeth, MaxTeeth)
		}
		if i > 0 && n <= teeth[i-1] {
			return fmt.Errorf("%w: %s must rise without repeats, got %d after %d", ErrBuild, what, n, teeth[i-1])
		}
	}
	return nil
}

func (b Build) checkLengths() error {
	f := b.Frame
	for _, l := range [...]MM{f.Chainstay, f.BottomBracketDrop, f.DropoutRange} {
		if v := float64(l); math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("%w: a frame length is %v", ErrBuild, v)
		}
	}
	if f.Chainstay < 0 || f.DropoutRange < 0 {
		return fmt.Errorf("%w: chainstay and dropout range cannot be negative", ErrBuild)
	}
	if drop := max(f.BottomBracketDrop, -f.BottomBracketDrop); f.Chainstay > 0 && drop >= f.Chainstay {
		return fmt.Errorf("%w: a bottom-bracket drop of %v mm with a chainstay of %v mm; allowed: less than the chainstay",
			ErrBuild, float64(f.BottomBracketDrop), float64(f.Chainstay))
	}
	return b.checkRanges()
}

// SmallestRing, LargestRing, SmallestCog and LargestCog read the ends of the
// sorted lists.
func (b Build) SmallestRing() Teeth { return b.Rings[0] }

// LargestRing is the largest ring; the build must have passed Check.
func (b Build) LargestRing() Teeth { return b.Rings[len(b.Rings)-1] }

// SmallestCog is the smallest cog; the build must have passed Check.
func (b Build) SmallestCog() Teeth { return b.Cogs[0] }

// LargestCog is the largest cog; the build must have passed Check.
func (b Build) LargestCog() Teeth { return b.Cogs[len(b.Cogs)-1] }

// SortTeeth returns the counts in rising order, whatever order they came in.
func SortTeeth(teeth []Teeth) []Teeth {
	s := slices.Clone(teeth)
	slices.Sort(s)
	return s
}
