package wear

import (
	"fmt"
	"math"
	"slices"
	"time"

	"cagewise/gearing"
)

// Point is the elongation of one chain at one distance, from all readings
// there.
type Point struct {
	KM         float64         `json:"km"`
	On         time.Time       `json:"on,omitzero"`
	Elongation gearing.Percent `json:"elongation_percent"`
	// Error is one standard error; it stays above CommonError however many
	// readings there are.
	Error gearing.Percent `json:"standard_error_percent"`
	// Bound tells that gauges that fall in or not are all there is: Elongation
	// is then the middle of what they leave.
	Bound bool  `json:"bound"`
	From  []int `json:"from"` // indices of ChainWear.Estimates
}

// CommonError is a standard error that all readings with one rule or gauge
// share, such as its scale, so that repeating them does not lessen it: 0.1 mm
// over 24 pitches (invented here).
const CommonError gearing.Percent = 0.03

// Rise is how fast a chain has worn between two of its points.
type Rise struct {
	FromKM        float64         `json:"from_km"`
	ToKM          float64         `json:"to_km"`
	RatePer1000KM gearing.Percent `json:"rate_percent_per_1000km"`
	Error         gearing.Percent `json:"standard_error_percent_per_1000km"`
}

// ChainWear is everything that the readings of one chain say.
type ChainWear struct {
	Part gearing.WearPart `json:"-"`
	ID   string           `json:"part"`
	// Estimates are the readings one by one, by distance. Roller play is taken
	// off as all readings together leave it.
	Estimates []Estimate `json:"readings"`
	Points    []Point    `json:"points"`
	// Rises are from the chain's start, where known, and from point to point.
	Rises          []Rise          `json:"rises"`
	Contradictions []Contradiction `json:"contradictions"`
	// MoreContradictions were found beyond the clearest ones listed.
	MoreContradictions int `json:"more_contradictions"`
	// RollerPlay is at the last point, with its standard error: as measured, or
	// from the difference between two-point gauges and other methods, or the
	// default. Both are 0 when no reading depends on it.
	RollerPlay      gearing.MM `json:"roller_play_mm"`
	RollerPlayError gearing.MM `json:"roller_play_standard_error_mm"`
	// Start says what elongation counts from.
	Start string `json:"start"`
	// Turns says how other chains of the rides were taken off; "" without.
	Turns string `json:"turns"`
	// SetAside are readings that cannot be and were not used.
	SetAside []SetAside `json:"set_aside"`
	// Now is the elongation at the last distance read: by the curve through all
	// readings where they fix one (Fitted), else the last point, a gauge's bound
	// there held against the points before it; From are the readings taken there.
	// Readings at odds widen its error.
	Now    Point `json:"now"`
	Fitted bool  `json:"now_by_curve"`
	// Forecast is nil when there is none; NoForecast then says why.
	Forecast   *Forecast `json:"forecast"`
	NoForecast string    `json:"no_forecast"`

	track track
	fits  shapes
	units lengths
	// elongation when it was new, and its standard error
	first, firstError gearing.Percent
}

// SetAside is a reading that was not used.
type SetAside struct {
	Reading gearing.WearReading `json:"-"`
	Line    int                 `json:"line"`
	Words   string              `json:"words"` // why
}

// reading is a reading with what it comes to; index is its place by distance.
type reading struct {
	index int
	r     gearing.WearReading
	m     measured
	aside bool // a gauge at odds with a method in which play cancels: not counted
}

// Analyse analyses every chain of the log that has readings, in the order of
// its parts. It fails as AnalyseChain does, and when a reading is of no chain
// of the log.
func Analyse(log gearing.WearLog) ([]ChainWear, error) {
	byPart := map[string][]gearing.WearReading{}
	for _, r := range log.Readings {
		byPart[r.Part] = append(byPart[r.Part], r)
	}
	known := map[string]bool{}
	var out []ChainWear
	when := calendarOf(log)
	for _, p := range log.Parts {
		if p.Kind != gearing.PartChain || known[p.ID] {
			continue
		}
		known[p.ID] = true
		if len(byPart[p.ID]) == 0 {
			continue
		}
		c, err := analyse(log, when, p, byPart[p.ID])
		if err != nil {
			return nil, err
		}
		out = append(out, c)
	}
	for _, r := range log.Readings {
		if !known[r.Part] {
			return nil, fmt.Errorf("line %d: reading of %q, which is no chain of the log; chains: %s", r.Line, r.Part, chainNames(log))
		}
	}
	return out, nil
}

// AnalyseChain combines all readings of one chain: each with its method's
// error, roller play found along with the elongation, contradictions named, and
// a forecast where there is enough to go by. Readings may be in any order. One
// from outside the chain's time on the bike, or of an elongation that cannot
// be, is set aside and named. It fails when the log has no such chain or no
// usable reading of it, and on a reading that lacks what its method needs.
func AnalyseChain(log gearing.WearLog, partID string) (ChainWear, error) {
	at := slices.IndexFunc(log.Parts, func(p gearing.WearPart) bool {
		return p.ID == partID && p.Kind == gearing.PartChain
	})
	if at < 0 {
		return ChainWear{}, fmt.Errorf("%q is no chain of the log; chains: %s", partID, chainNames(log))
	}
	var list []gearing.WearReading
	for _, r := range log.Readings {
		if r.Part == partID {
			list = append(list, r)
		}
	}
	if len(list) == 0 {
		return ChainWear{}, fmt.Errorf("line %d: chain %q has no readings yet", log.Parts[at].Line, partID)
	}
	return analyse(log, calendarOf(log), log.Parts[at], list)
}

// analyse is AnalyseChain with the readings picked out.
func analyse(log gearing.WearLog, when calendar, part gearing.WearPart, list []gearing.WearReading) (ChainWear, error) {
	readings, aside, err := inOrder(list, part, when.ring, unitsOf(log))
	if err != nil {
		return ChainWear{}, err
	}
	groups := groupReadings(readings)
	prior := playBefore(part, groups)
	if setGaugesAside(readings, groups, prior) {
		groups = groupReadings(readings)
		prior = playBefore(part, groups)
	}
	k := fitPlay(groups, prior)
	for i := range groups {
		groups[i].settle(k)
	}
	c := ChainWear{Part: part, ID: part.ID, Start: startWords(part, groups), SetAside: aside, units: unitsOf(log)}
	from := groups[0].km
	if part.FittedKM >= 0 {
		from = part.FittedKM
	}
	c.track = newTrack(log, part, groups, from)
	c.Turns = c.track.words
	c.first, c.firstError = startRead(part, groups)
	c.fill(readings, groups, k)
	c.fit(groups, prior)
	c.contradict(readings, groups, prior, k)
	c.settleNow(groups, k)
	c.forecast(log.Motor, when, groups)
	return c, nil
}

// playBefore is newPlay, a measured play as of the last distance.
func playBefore(part gearing.WearPart, groups []group) play {
	k := newPlay(part)
	if part.RollerPlay > 0 {
		k.ref = lastElongation(groups, k)
	}
	return k
}

// lastElongation is of the last distance, the play as measured, without growth.
func lastElongation(groups []group, k play) float64 {
	k.g, k.cov[1][1] = 0, 0
	last := groups[len(groups)-1]
	last.startValue(k)
	if !last.valued {
		last.settle(k)
	}
	return last.e
}

// withCommon adds what all readings share.
func withCommon(variance float64) gearing.Percent {
	return gearing.Percent(math.Sqrt(variance + float64(CommonError*CommonError)))
}
