package wear

import (
	"fmt"
	"math"
	"strconv"

	"cagewise/gearing"
)

// Estimate is one reading turned into elongation: how much longer a pitch has
// become than 12.7 mm. What was read on the chain's first day is not taken off:
// teeth and limits know the pitch alone; it counts for the rate.
type Estimate struct {
	Reading gearing.WearReading `json:"-"`
	// Elongation is what the reading says by itself. Of an interval reading it
	// is the middle of what remains possible, see Low and High.
	Elongation gearing.Percent `json:"elongation_percent"`
	// Error is one standard error of it: of the reading alone. What all
	// readings of a chain share is in Point.Error.
	Error gearing.Percent `json:"standard_error_percent"`
	// Low and High are the bounds of an interval reading, a gauge that falls
	// in or does not: the mark less the roller play, and LeastElongation or
	// MostElongation on the open side. Otherwise both equal Elongation.
	Low  gearing.Percent `json:"low_percent"`
	High gearing.Percent `json:"high_percent"`
	// Interval tells that the reading says no more than above or below.
	Interval bool `json:"interval"`
	// Play is the roller play that was taken off, 0 where play cancels.
	Play gearing.MM `json:"roller_play_mm"`
	// Explanation is one line of how the figure came about.
	Explanation string `json:"explanation"`
}

// What an elongation may be. Beyond it a reading is a miscount or a slip of the
// pen: one pitch too many or too few over 24 is 4 %.
const (
	// LeastElongation leaves room for a short new chain and a bad rule
	// (invented here).
	LeastElongation = gearing.LeastElongation
	// MostElongation is above the 3 % at which makers of chain end any drive
	// (testdata/elongation_rules.csv).
	MostElongation = gearing.MostElongation
)

// Standard errors of the methods where the owner states none.
const (
	// RuleError is what a steel rule is read to on a bike, zero of the rule
	// and eye together: 0.16 % over 24 pitches (common practice, no source).
	RuleError gearing.MM = 0.5
	// CaliperError is of one inside reading; there are two (invented here).
	CaliperError gearing.MM = 0.05
	// GaugeError is of a drop-in gauge's scale or mark, its making included
	// (invented here).
	GaugeError gearing.Percent = 0.05
	// LiftError is what the height off the ring is read to (invented here).
	LiftError gearing.MM = 1
	// NewTolerance is the standard error of a new chain's length: new chains
	// are read between -0.10 and +0.15 % (common practice, no source); ISO 606
	// allows 0 to +0.15 % (from memory).
	NewTolerance gearing.Percent = 0.07
	// StartError is the standard error taken for a first-day reading
	// (invented here: 0.5 mm over 80 pitches).
	StartError gearing.Percent = 0.05
)

// What the methods span unless the reading says otherwise, and what they and any
// chain may span, in pitches (invented here where nothing else is said).
const (
	UsualRule   = 24 // 304.8 mm, 12 in
	CaliperSpan = 8  // inside 10 less inside 2
	UsualGauge  = 10 // common practice, no source
	mostPitches = 1000
	leastGauge  = 2 // with less there is nothing between its points
)

// ElongationOf is how much longer measured is than nominal, in percent; nominal
// over 0.
func ElongationOf(measured, nominal gearing.MM) gearing.Percent {
	return gearing.Percent(100 * (measured/nominal - 1))
}

// Elongation turns one reading into elongation with its standard error, by
// itself: the roller play in a two-point gauge is the chain's, or else the
// default that AnalyseChain starts from. ringTeeth is the ring of a lift that
// does not name its own, 0 when unknown. It fails when the reading lacks what
// its method needs, or when the elongation is outside LeastElongation to
// MostElongation; the error names the line of the log.
func Elongation(r gearing.WearReading, chain gearing.WearPart, ringTeeth gearing.Teeth) (Estimate, error) {
	m, err := measure(r, chain, ringTeeth, lengths{})
	if err != nil {
		return Estimate{}, err
	}
	k := newPlay(chain)
	e := k.solve(m.value, m.perMM)
	if chain.RollerPlay > 0 { // taken as read on the same day
		k.ref, k.g, k.cov[1][1] = e, 0, 0
	}
	return m.estimate(r, k, e), nil
}

// measured is a reading brought to percent, before any correction for play.
type measured struct {
	value float64 // or the mark of an interval reading
	sigma float64 // standard error of it
	perMM float64 // percent that a millimetre of roller play adds; 0: cancels
	bound int     // +1: at least value, -1: below it, 0: equal
	words string  // what was read, for Explanation
}

// measure brings a reading to percent and checks it.
func measure(r gearing.WearReading, chain gearing.WearPart, ring gearing.Teeth, u lengths) (measured, error) {
	m, err := byMethod(r, chain, ring)
	if err == nil {
		err = checkRange(m)
	}
	if err != nil {
		return measured{}, fmt.Errorf("line %d: %s reading of %q at %s: %w", r.Line, r.Method, r.Part, u.exact(r.KM, 1), err)
	}
	return m, nil
}

func checkRange(m measured) error {
	if m.value >= float64(LeastElongation) && m.value <= float64(MostElongation) {
		return nil
	}
	return fmt.Errorf("elongation %w: it is %s %%, allowed %s to %s %%; count the pitches again", errCannotBe, short(m.value, 2), short(float64(LeastElongation), 0), short(float64(MostElongation), 0))
}

// estimate takes the roller play that k gives at elongation at off the reading.
func (m measured) estimate(r gearing.WearReading, k play, at float64) Estimate {
	mm, playError := k.at(at)
	added := m.perMM * mm
	e, sigma := m.value-added, math.Hypot(m.sigma, m.perMM*playError)/k.gain(m.perMM)
	out := Estimate{Reading: r, Play: gearing.MM(mm), Error: gearing.Percent(sigma)}
	if m.perMM == 0 {
		out.Play = 0
	}
	value := gearing.Percent(bounded(e))
	out.Elongation, out.Low, out.High = value, value, value
	if m.bound != 0 {
		out.Interval = true
		mean, spread := boundMoments([]tie{{at: e, sigma: sigma, bound: m.bound}})
		out.Elongation, out.Error = gearing.Percent(bounded(mean)), gearing.Percent(spread)
		out.Low, out.High = openTo(m.bound, e)
	}
	out.Explanation = m.explain(out, mm, added)
	return out
}

// openTo is the range that a bound at e leaves, see measured.bound.
func openTo(bound int, e float64) (low, high gearing.Percent) {
	if bound > 0 {
		return gearing.Percent(e), max(MostElongation, gearing.Percent(e))
	}
	return min(LeastElongation, gearing.Percent(e)), gearing.Percent(e)
}

// hundredths prints x with two decimals, and zero without a sign.
func hundredths(x float64) string {
	text := strconv.FormatFloat(x, 'f', 2, 64)
	if text == "-0.00" {
		return "0.00"
	}
	return text
}

// short prints x with n decimals and no trailing zeros.
func short(x float64, n int) string {
	y := math.Round(x*math.Pow10(n)) / math.Pow10(n)
	return strconv.FormatFloat(y+0, 'f', -1, 64)
}
