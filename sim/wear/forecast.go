package wear

import (
	"encoding"
	"fmt"
	"math"
	"time"

	"cagewise/gearing"
)

// Shape is how elongation grows with distance.
type Shape int

// The shapes. A chain that accelerates follows e = a + b x + c x^2, c >= 0: its
// rate rises in proportion to distance, the simplest rate that rises at all,
// and it never shrinks or stalls (chosen here; owners report that wear speeds
// up once the hardened skin is gone, common practice, no source).
const (
	Straight     Shape = iota // e = a + b x
	Accelerating              // e = a + b x + c x^2
)

// String names the shape.
func (s Shape) String() string {
	if s == Accelerating {
		return "accelerating"
	}
	return "straight"
}

// MarshalText is String.
func (s Shape) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

var _ encoding.TextMarshaler = Straight

// Forecast is where a chain's elongation goes if it is ridden on as before.
// Intervals are of 90 % and of the chain itself, not of a reading of it.
type Forecast struct {
	// Shape is the better one by AICc (Hurvich and Tsai, 1989, from memory).
	// Intervals average over both by their weights, whichever it is.
	Shape Shape `json:"shape"`
	// AICcDelta is AICc of straight less that of accelerating: above 0
	// accelerating is the better, beyond 2 noticeably so.
	AICcDelta float64 `json:"aicc_straight_less_accelerating"`
	// AcceleratingWeight is the weight of the accelerating shape, 0 to 1.
	AcceleratingWeight float64 `json:"accelerating_weight"`
	// ShapeWords says in a sentence which shape and why.
	ShapeWords string `json:"shape_words"`
	// RatePer1000KM is the rate at NowKM with its standard error, over the
	// chain's own distance.
	RatePer1000KM gearing.Percent `json:"rate_percent_per_1000km"`
	RateError     gearing.Percent `json:"rate_standard_error_percent_per_1000km"`
	// Residual is how far the points lie off the curve, root mean square.
	Residual gearing.Percent `json:"residual_percent"`
	// Scale is what the stated errors were multiplied by, as the readings
	// scatter more than they allow for; 1 or more.
	Scale  float64 `json:"error_scale"`
	FromKM float64 `json:"from_km"` // where the chain was fitted, or first read
	NowKM  float64 `json:"now_km"`  // the last reading
	// SeenKM is the distance that the chances in Limits are for: NowKM, or
	// further on, see AsOf.
	SeenKM float64 `json:"chance_at_km"`
	// StartKnown tells that the chain's start counts as elongation 0.
	StartKnown bool `json:"start_known"`
	// Limits in rising order, see Limits.
	Limits []LimitForecast `json:"limits"`
	// NextReadingKM is when to read again, see NextReadingRule; 0 with every
	// limit passed, NowKM while the readings contradict each other.
	NextReadingKM float64   `json:"next_reading_km"`
	NextReadingOn time.Time `json:"next_reading_on,omitzero"`
	// KMPerYear turns distance into dates; 0: no dates. KMPerYearFrom says
	// where it comes from.
	KMPerYear     float64 `json:"km_per_year"`
	KMPerYearFrom string  `json:"km_per_year_from"`

	curves []curve
	track  track
}

// LimitForecast is when a chain reaches a limit.
type LimitForecast struct {
	Limit gearing.Percent `json:"limit_percent"`
	// Passed tells that it is likelier passed than not at Forecast.SeenKM, and
	// Chance how likely; never a promise.
	Passed bool    `json:"passed"`
	Chance float64 `json:"chance_passed"`
	// KM is reached later or earlier with equal chance; LowKM and HighKM hold
	// the truth in 90 %. All are odometer distances; days where they are known
	// and the distance is reached.
	KM     float64 `json:"km"`
	LowKM  float64 `json:"low_km"`
	HighKM float64 `json:"high_km"`
	// Open tells that HighKM, and OpenKM that KM too, is not reached within
	// FarKM of riding on: they then stand there, as LowKM does.
	Open   bool      `json:"open"`
	OpenKM bool      `json:"open_km"`
	On     time.Time `json:"on,omitzero"`
	LowOn  time.Time `json:"low_on,omitzero"`
	HighOn time.Time `json:"high_on,omitzero"`
}

// FarKM is how far ahead a limit is looked for.
const FarKM = 100000

// forecast fits and fills in the forecast, or says why there is none.
func (c *ChainWear) forecast(motor bool, when calendar, groups []group) {
	if c.NoForecast = whyNot(c.Part, groups, &c.track, c.units); c.NoForecast != "" {
		return
	}
	fits := c.fits
	if len(fits.curves) == 0 {
		c.NoForecast = "the readings fit no curve that rises"
		return
	}
	f := &Forecast{
		AICcDelta: fits.delta, AcceleratingWeight: fits.weight, Scale: fits.scale, curves: fits.curves, track: c.track,
		FromKM: c.track.km[0], NowKM: c.Now.KM, SeenKM: c.Now.KM, StartKnown: c.Part.FittedKM >= 0,
	}
	if f.AICcDelta > 0 {
		f.Shape = Accelerating
	}
	f.ShapeWords = f.shapeWords(c.Rises, c.units)
	f.rate()
	f.residual(groups)
	f.KMPerYear, f.KMPerYearFrom = when.year, when.from
	f.limits(when.last)
	f.nextReading(motor, when.last)
	if c.Contradicts() {
		f.NextReadingKM, f.NextReadingOn = f.NowKM, f.day(f.NowKM, when.last)
	}
	c.Forecast = f
}

// Needed for a forecast.
const (
	distancesNeeded  = 2 // with the start known
	distancesNoStart = 3
)

// whyNot says why there is no forecast, "" when there can be one.
func whyNot(part gearing.WearPart, groups []group, t *track, u lengths) string {
	pinned := t.distances(part, groups, (*group).twoSided)
	needed := distancesNeeded
	if part.FittedKM < 0 {
		needed = distancesNoStart
	}
	if pinned >= needed {
		return ""
	}
	if all := t.distances(part, groups, func(*group) bool { return true }); t.turns() && all == 1 && len(groups) > 1 {
		return fmt.Sprintf("its readings are from one distance of its own, as it rested between them by the rides: they say how worn the chain is, not how fast it wears; %s of its own", rule(needed, u))
	}
	return tooFew(groups, pinned, needed, u)
}

func rule(needed int, u lengths) string {
	text := fmt.Sprintf("a forecast needs readings at %d distances more than %s apart", needed, u.exact(sameKM, 0))
	if needed == distancesNoStart {
		text += " while it is not said where the chain was fitted (with fitted_at two are enough)"
	}
	return text
}

func tooFew(groups []group, pinned, needed int, u lengths) string {
	rule := rule(needed, u)
	switch {
	case len(groups) == 1 && len(groups[0].from) == 1:
		return "there is one single reading: a rate taken from it could not be checked by anything; " + rule
	case len(groups) == 1:
		return fmt.Sprintf("all %d readings are from one distance: they say how worn the chain is, not how fast it wears; %s", len(groups[0].from), rule)
	case pinned < len(groups):
		return fmt.Sprintf("of %d distances only %d have a reading that holds the elongation from above and below and lie past the chain's first day; %s", len(groups), pinned, rule)
	}
	return fmt.Sprintf("there are readings at %d distances; %s", len(groups), rule)
}

// residual is of the points with a value.
func (f *Forecast) residual(groups []group) {
	sum, n := 0.0, 0
	for i := range groups {
		if groups[i].valued {
			d := groups[i].e - f.mean(groups[i].km)
			sum, n = sum+d*d, n+1
		}
	}
	if n > 0 {
		f.Residual = gearing.Percent(math.Sqrt(sum / float64(n)))
	}
}
