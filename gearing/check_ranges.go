package gearing

import "fmt"

// ranges keeps the first value that lies outside what is computed. The bounds
// are wider than any bicycle; gearing/build warns and refuses far earlier.
type ranges struct{ err error }

func (r *ranges) within(name string, v, low, high float64, unit string) {
	if r.err == nil && !(v >= low && v <= high) { // not a number is neither
		r.err = fmt.Errorf("%w: %s is %v, out of range or not a number; allowed %v to %v %s", ErrBuild, name, v, low, high, unit)
	}
}

// known checks a value whose zero means that it is not known.
func (r *ranges) known(name string, v, low, high float64, unit string) {
	if v != 0 {
		r.within(name, v, low, high, unit)
	}
}

// distance bounds a length that may point either way.
func (r *ranges) distance(name string, v MM) { r.within(name, float64(v), -1000, 1000, "mm") }

// moment bounds a spring.
func (r *ranges) moment(name string, v float64) { r.within(name, v, 0, 1e6, "N mm") }

// checkRanges refuses values of the frame, the chain and the rear derailleur
// that are not numbers or that no bicycle has.
func (b Build) checkRanges() error {
	var r ranges
	r.frame(b.Frame)
	r.known("the chain", float64(b.Chain.Pitches), 3, 10000, "pitches")
	r.within("the elongation", float64(b.Chain.Elongation), 0, 10, "%")
	r.within("the pulley centre distance", float64(b.Rear.PulleyCentres), 0, 1000, "mm")
	r.known("the guide pulley", float64(b.Rear.GuidePulleyTeeth), float64(MinTeeth), 40, "teeth")
	r.known("the tension pulley", float64(b.Rear.TensionPulleyTeeth), float64(MinTeeth), 40, "teeth")
	r.body(b.Rear.Geometry)
	r.cage(b.Rear.Geometry)
	return r.err
}

func (r *ranges) frame(f Frame) {
	s := f.Suspension
	r.within("the dropout range", float64(f.DropoutRange), 0, 500, "mm")
	r.distance("the main pivot ahead of the crank", s.PivotAhead)
	r.distance("the main pivot above the crank", s.PivotAbove)
	r.within("the travel", float64(s.Travel), 0, 500, "mm")
	for _, c := range s.Chainstays {
		r.within("a chainstay of the travel", float64(c), 1, 5000, "mm")
	}
}

func (r *ranges) body(g Geometry) {
	r.distance("the hanger bolt behind the axle", g.HangerBehind)
	r.distance("the hanger bolt below the axle", g.HangerBelow)
	r.distance("the cage pivot's x on the smallest cog", g.PivotSmallX)
	r.distance("the cage pivot's y on the smallest cog", g.PivotSmallY)
	r.distance("the cage pivot's x on the largest cog", g.PivotLargeX)
	r.distance("the cage pivot's y on the largest cog", g.PivotLargeY)
	r.distance("the extender's way back", g.ExtenderBehind)
	r.distance("the extender's way down", g.ExtenderBelow)
	r.within("the pivots' error", float64(g.PivotError), 0, 1000, "mm")
	r.within("the range of the B-screw", float64(g.ScrewRange), 0, 90, "degrees")
	r.within("the target gap", float64(g.TargetGap), 0, 200, "mm")
	r.moment("the mounting spring's preload", g.MountPreload)
	r.moment("the mounting spring's rate", g.MountRate)
}

func (r *ranges) cage(g Geometry) {
	r.within("the cage pivot's distance to the guide pulley", float64(g.PivotToGuide), 0, 1000, "mm")
	r.within("the cage pivot's distance to the tension pulley", float64(g.PivotToTension), 0, 1000, "mm")
	r.within("the cage's error", float64(g.CageError), 0, 1000, "mm")
	r.within("the rear cage stop", float64(g.CageStopRear), -720, 720, "degrees")
	r.within("the forward cage stop", float64(g.CageStopForward), -720, 720, "degrees")
	r.within("the chain plate height", float64(g.PlateHeight), 0, 100, "mm")
	r.moment("the cage spring's preload", g.SpringPreload)
	r.moment("the cage spring's rate", g.SpringRate)
	r.moment("the clutch's friction", g.ClutchTorque)
}
