package wear

import (
	"errors"
	"fmt"
	"math"

	"cagewise/gearing"
)

var (
	errSpan    = errors.New("number of pitches is not usable")
	errMissing = errors.New("a measured value is missing")
)

// byMethod dispatches on the method.
func byMethod(r gearing.WearReading, chain gearing.WearPart, ring gearing.Teeth) (measured, error) {
	if !isDistance(r.KM) || !(r.Error >= 0 && r.Error < 100) {
		return measured{}, fmt.Errorf("distance %g km or error %g mm is not usable, allowed 0 or more", r.KM, float64(r.Error))
	}
	switch r.Method {
	case gearing.MethodRule:
		return ruleReading(r)
	case gearing.MethodHung:
		return hungReading(r, chain)
	case gearing.MethodCaliper:
		return caliperReading(r)
	case gearing.MethodTwoPoint, gearing.MethodThreePoint:
		return gaugeReading(r)
	case gearing.MethodLift:
		return liftReading(r, ring)
	}
	return measured{}, fmt.Errorf("method is not known, allowed: rule, hung, caliper, two-point, three-point, lift")
}

func isDistance(km float64) bool { return km >= 0 && km <= 1e7 }

// ruleReading is e = measured / (n p) - 1.
func ruleReading(r gearing.WearReading) (measured, error) {
	n, err := span(r.Pitches, UsualRule, 1)
	if err != nil {
		return measured{}, err
	}
	if !(r.Length > 0) {
		return measured{}, fmt.Errorf("%w: the length over %d pitches", errMissing, n)
	}
	nominal := gearing.Pitches(n).MM()
	m := measured{
		value: float64(ElongationOf(r.Length, nominal)), sigma: percentOf(orElse(r.Error, RuleError), nominal),
		words: fmt.Sprintf("%s mm over %d pitches of %s mm", short(float64(r.Length), 2), n, short(float64(nominal), 1)),
	}
	return m, nil
}

// hungReading is e = offset / (n p). The chain beside it is new and may be as
// long or short as new chains are, so NewTolerance is part of the error.
func hungReading(r gearing.WearReading, chain gearing.WearPart) (measured, error) {
	n, err := span(r.Pitches, chain.Pitches, 1)
	if err != nil {
		return measured{}, fmt.Errorf("%w; give the count of the reading or of the chain", err)
	}
	nominal := gearing.Pitches(n).MM()
	return measured{
		value: 100 * float64(r.Offset/nominal),
		sigma: math.Hypot(percentOf(orElse(r.Error, RuleError), nominal), float64(NewTolerance)),
		words: fmt.Sprintf("%s mm longer than a new chain of %d pitches (a new one is itself +/- %s %%)", short(float64(r.Offset), 2), n, short(float64(NewTolerance), 2)),
	}, nil
}

// caliperReading is e = (inside 10 - inside 2) / (8 p) - 1: roller play is in
// both readings and cancels.
func caliperReading(r gearing.WearReading) (measured, error) {
	if !(r.Inside2 > 0 && r.Inside10 > r.Inside2) {
		return measured{}, fmt.Errorf("%w: inside 10 and inside 2 pitches, the first the longer", errMissing)
	}
	nominal := gearing.Pitches(CaliperSpan).MM()
	net := r.Inside10 - r.Inside2
	m := measured{
		value: float64(ElongationOf(net, nominal)),
		sigma: math.Sqrt2 * percentOf(orElse(r.Error, CaliperError), nominal),
		words: fmt.Sprintf("inside 10 less inside 2 is %s mm over 8 pitches of 101.6 mm, roller play cancels", short(float64(net), 2)),
	}
	return m, nil
}

// gaugeReading is of a drop-in gauge. One with two points pushes its rollers
// apart and reads e + play / (n p); one with three measures between rollers
// pushed the same way and reads e.
func gaugeReading(r gearing.WearReading) (measured, error) {
	n, err := span(r.Pitches, UsualGauge, leastGauge)
	if err != nil {
		return measured{}, err
	}
	if !r.HasScale && !(r.Mark > 0) {
		return measured{}, fmt.Errorf("%w: the scale's figure, or the mark and whether it falls in", errMissing)
	}
	m := measured{value: float64(r.Mark), sigma: float64(GaugeError), bound: -1}
	if r.Falls {
		m.bound = 1
	}
	m.words = fmt.Sprintf("mark %s %% over %d pitches %s", short(m.value, 2), n, fallsWords(r.Falls))
	if r.HasScale {
		m.value, m.bound = float64(r.Scale), 0
		m.words = fmt.Sprintf("gauge over %d pitches shows %s %%", n, short(m.value, 2))
	}
	if r.Error > 0 {
		m.sigma = percentOf(r.Error, gearing.Pitches(n).MM())
	}
	if r.Method == gearing.MethodTwoPoint {
		m.perMM = percentOf(1, gearing.Pitches(n).MM())
	}
	return m, nil
}

func fallsWords(falls bool) string {
	if falls {
		return "falls in"
	}
	return "does not fall in"
}

// Lift of a chain off its ring.
const (
	// liftBaseline is what a new chain's lift looks like, from roller
	// clearance and soft hands: 1.5 mm on 42 teeth (invented here).
	liftBaseline, liftBaselineError = 0.15, 0.1
	// liftDoubt is the part of the result that the method's picture may be
	// wrong by: how far the chain is drawn in from the runs is not known
	// (invented here).
	liftDoubt = 0.5
	liftLeast = 0.25
)

// LiftElongation is the elongation that lets a chain be lifted off a ring at
// mid-wrap by h: with R the pitch radius and cos f = R/(R+h) the detour is
// 2 R (tan f - f), and the half turn of wrapped chain, N/2 pitches, has to give
// it (derived here). A rough bound: a new chain's lift is not taken off.
// For rings of 3 teeth or more and lifts of 0 mm or more; else it means nothing.
func LiftElongation(h gearing.MM, ring gearing.Teeth) gearing.Percent {
	radius := pitchRadius(ring)
	f := math.Acos(radius / (radius + float64(h)))
	slack := 2 * radius * (math.Tan(f) - f)
	return gearing.Percent(percentOf(gearing.MM(slack), halfWrap(ring)))
}

func halfWrap(ring gearing.Teeth) gearing.MM { return gearing.Pitches(float64(ring) / 2).MM() }

// pitchRadius of a wheel: p / (2 sin(pi/N)) (ISO 606).
func pitchRadius(n gearing.Teeth) float64 {
	return float64(gearing.Pitch) / (2 * math.Sin(math.Pi/float64(n)))
}

// liftReading subtracts a new chain's lift; d slack / dh = 2 sin f.
func liftReading(r gearing.WearReading, ring gearing.Teeth) (measured, error) {
	if r.Ring > 0 {
		ring = r.Ring
	}
	if ring < 3 || ring > 200 {
		return measured{}, fmt.Errorf("ring of %d teeth is not usable; name the ring that the lift was taken on", ring)
	}
	if !(r.Lift >= 0 && r.Lift <= 100) {
		return measured{}, fmt.Errorf("lift of %s mm is not usable, allowed 0 to 100 mm", short(float64(r.Lift), 2))
	}
	e, radius := float64(LiftElongation(r.Lift, ring)), pitchRadius(ring)
	sin := math.Sqrt(1 - math.Pow(radius/(radius+float64(r.Lift)), 2))
	read := percentOf(gearing.MM(2*sin)*orElse(r.Error, LiftError), halfWrap(ring))
	sigma := math.Hypot(math.Hypot(read, liftDoubt*e), liftBaselineError)
	return measured{
		value: e - liftBaseline, sigma: max(sigma, liftLeast),
		words: fmt.Sprintf("lifts %s mm off %d teeth, less %s %% as of a new chain; a rough bound", short(float64(r.Lift), 1), ring, short(liftBaseline, 2)),
	}, nil
}

// span is the count of pitches of a reading.
func span(n, usual, least int) (int, error) {
	if n == 0 {
		n = usual
	}
	if n < least || n > mostPitches {
		return 0, fmt.Errorf("%w: %d, allowed %d to %d", errSpan, n, least, mostPitches)
	}
	return n, nil
}

func percentOf(l, nominal gearing.MM) float64 { return 100 * float64(l/nominal) }

func orElse(given, otherwise gearing.MM) gearing.MM {
	if given > 0 {
		return given
	}
	return otherwise
}
