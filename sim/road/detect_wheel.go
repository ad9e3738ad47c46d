package road

import (
	"fmt"
	"math"
	"slices"
)

// WheelFit tells how the wheel of a recording compares with the build's.
type WheelFit struct {
	// Scale is the development recorded over that of the build: over 1 when
	// the recorder's wheel is set too large, or the build's roll-out is too
	// small. 1 unless Found.
	Scale float64 `json:"scale"`
	// Error is the standard error of Scale, 0 unless Found.
	Error float64 `json:"scale_standard_error"`
	Found bool    `json:"found"`
	// Why says why no scale was found; "" where it was.
	Why string `json:"why_not"`
	// Rival tells that a wheel far from the build's, about a cog along, fits
	// as well as one near it: the gears hold only if the build's wheel does.
	Rival bool `json:"-"`
	// Doubtful tells that no wheel near the build's fits: the gears are
	// likely wrong.
	Doubtful bool `json:"-"`
}

// The search for the scale (invented here).
const (
	wheelStep    = 0.001 // between scales tried
	wheelLeast   = 300   // samples needed
	wheelAlike   = 5.0   // neighbouring samples that share one error
	wheelClear   = 6.0   // how much likelier than any other peak, as a logarithm
	wheelApart   = 10    // steps: what counts as another peak
	wheelMiddle  = 40    // steps to either side that are allowed for, 4 %
	wheelReach   = 180   // steps to either side that are looked at, a cog or two
	wheelStride  = 8     // steps at most between scales tried first
	wheelStrays  = 0.25  // of the samples at most may fit no gear
	defaultScale = 1.0
)

// findWheel finds the scale by which all developments held are off. Developments
// are a mixture of the gears, each with the noise of one sample and a share of
// its own, and strays; the shares are fitted for every scale (expectation and
// maximisation: Dempster, Laird and Rubin 1977), and the likeliest scale
// wins when no other comes near it. One over 4 % off is told of, not allowed
// for: there every gear may be taken for its neighbour.
func (d *Detector) findWheel() WheelFit {
	if d.o.KeepWheel {
		return noWheel("not asked for")
	}
	if !slices.ContainsFunc(d.held, func(h heldMoment) bool { return h.cadence > 0 }) {
		return noWheel("no cadence")
	}
	counts, n, noise := d.histogram()
	if n < wheelLeast {
		return noWheel("too few pedalled samples")
	}
	s := wheelSearch{table: d.table, counts: counts, noise: noise, seen: map[int]float64{}}
	return s.verdict()
}

func noWheel(why string) WheelFit { return WheelFit{Scale: defaultScale, Why: why} }

func doubtfulWheel(format string, args ...any) WheelFit {
	w := noWheel(fmt.Sprintf(format, args...))
	w.Doubtful = true
	return w
}

// verdict looks at the likeliest wheel and at those that come near it.
func (s *wheelSearch) verdict() WheelFit {
	tops := s.tops()
	best := tops[0]
	_, near := s.rival(tops, isNear)
	far, hasFar := s.rival(tops, isFar)
	switch {
	case steps(best) == wheelReach || s.strays(best) > wheelStrays:
		return doubtfulWheel("the developments recorded fit no wheel within %.0f %% of the build's", -percentAt(-wheelReach))
	case isFar(best) && near:
		return s.rivalled(best)
	case isFar(best) && hasFar:
		return doubtfulWheel("the developments recorded fit no wheel within %.0f %% of the build's, but more than one further off: measure the roll-out", percentAt(wheelMiddle))
	case isFar(best):
		return s.off(best)
	case hasFar:
		return s.rivalled(far)
	case near, s.flat(best):
		return noWheel("more than one scale fits the developments recorded")
	}
	return peak(s.likely(best-1), s.likely(best), s.likely(best+1), scaleAt(best))
}

func isFar(place int) bool  { return steps(place) >= wheelMiddle }
func isNear(place int) bool { return !isFar(place) }

// rivalled tells of a wheel far off that fits as well.
func (s *wheelSearch) rivalled(place int) WheelFit {
	w := noWheel(fmt.Sprintf("a wheel %.0f %% %s%s, fits as well: measure the roll-out", math.Abs(percentAt(place)), larger(place), s.cogsAlong(place)))
	w.Rival = true
	return w
}

// off tells of a wheel far off that alone fits.
func (s *wheelSearch) off(place int) WheelFit {
	rollOut := 10 * math.Round(100*float64(s.table.RollOut)*math.Exp(scaleAt(place)))
	return doubtfulWheel("the wheel is off by about %.0f %%: a %s one, of about %.0f mm%s, fits clearly better; check tyre or roll-out, and the wheel set in the recorder",
		math.Abs(percentAt(place)), larger(place), rollOut, s.cogsAlong(place))
}

func larger(place int) string {
	if place < 0 {
		return "smaller"
	}
	return "larger"
}

// cogsAlong says by how many cogs a scale moves every gear: ", one cog along";
// "" where it does not reach one.
func (s *wheelSearch) cogsAlong(place int) string {
	small, large := s.table.Cogs[0], s.table.Cogs[len(s.table.Cogs)-1]
	if small == large {
		return ""
	}
	step := math.Log(float64(large)/float64(small)) / float64(len(s.table.Cogs)-1)
	switch n := math.Round(math.Abs(scaleAt(place)) / step); n {
	case 0:
		return ""
	case 1:
		return ", one cog along"
	default:
		return fmt.Sprintf(", %.0f cogs along", n)
	}
}
