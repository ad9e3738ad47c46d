package sim

import (
	"math"

	"cagewise/gearing"
)

// Input is a measurement that a fit rests on.
type Input int

// The inputs whose errors are carried to every reserve and gap.
const (
	InputChainstay Input = iota
	InputDrop
	InputPulleyCentres
	InputPivotSmallX
	InputPivotSmallY
	InputPivotLargeX
	InputPivotLargeY
	InputPivotAlong
	InputPivotAcross
	InputHangerX
	InputHangerY
	InputGap
	InputPlate
	InputStopRear
	InputStopForward
	inputBody // the B-screw's setting, known by the gap it leaves
	inputs    // their number
)

var inputWords = [...]string{
	"chainstay", "bottom-bracket drop", "pulley centres",
	"cage pivot on the smallest cog, ahead of the axle", "cage pivot on the smallest cog, above the axle",
	"cage pivot on the largest cog, ahead of the axle", "cage pivot on the largest cog, above the axle",
	"cage pivot, place along the pulley line", "cage pivot, distance off the pulley line",
	"hanger bolt, ahead of the axle", "hanger bolt, above the axle",
	"pulley gap as set", "chain plate height", "rear cage stop", "forward cage stop", "B-screw setting",
}

// String is the input in words.
func (in Input) String() string {
	if in < 0 || in >= inputs {
		return "unknown input"
	}
	return inputWords[in]
}

// MarshalText gives JSON the words.
func (in Input) MarshalText() ([]byte, error) { return []byte(in.String()), nil }

// Unit of an input: mm or degrees.
func (in Input) Unit() string {
	if in == InputStopRear || in == InputStopForward || in == inputBody {
		return "degrees"
	}
	return "mm"
}

// measuredError is the standard error of a careful ruler (from
// memory), in the input's unit.
var measuredError = [inputs]float64{2, 3, 0.7, 2, 2, 2, 2, 0.7, 0.7, 2, 2, 0.5, 1, 2, 2, 0}

// typicalError is how far typical geometry lies from a real part (invented
// here, about half the distance between neighbouring classes), in mm.
var typicalError = [inputs]float64{
	InputPivotSmallX: 6, InputPivotSmallY: 6, InputPivotLargeX: 9, InputPivotLargeY: 9,
	InputPivotAlong: 4, InputPivotAcross: 4, InputHangerX: 3, InputHangerY: 4,
}

// inputErrors are the standard errors of a build's inputs: a ruler's for what
// was measured, wider for what is typical, the build's own where a fitting
// has found them.
func inputErrors(b gearing.Build, d Derailleur) [inputs]float64 {
	e := measuredError
	g := b.Rear.Geometry
	widen := func(known bool, list ...Input) {
		for _, in := range list {
			if !known {
				e[in] = typicalError[in]
			}
		}
	}
	widen(g.PivotSmallY != 0, InputPivotSmallX, InputPivotSmallY)
	widen(g.PivotLargeY != 0, InputPivotLargeX, InputPivotLargeY)
	if g.PivotToGuide > 0 && g.PivotToTension > 0 {
		e[InputPivotAlong], e[InputPivotAcross] = d.cageErrors()
	} else {
		widen(false, InputPivotAlong, InputPivotAcross)
	}
	widen(g.HangerBelow > 0, InputHangerX, InputHangerY)
	if g.PivotError > 0 {
		for in := InputPivotSmallX; in <= InputPivotLargeY; in++ {
			e[in] = float64(g.PivotError)
		}
	}
	if g.CageError > 0 {
		e[InputPivotAlong], e[InputPivotAcross] = float64(g.CageError), float64(g.CageError)
	}
	if g.CageStopRear == 0 {
		e[InputStopRear] = stopError
	}
	if g.CageStopForward == 0 {
		e[InputStopForward] = frontError
	}
	return e
}

// nudged is the rig with one input changed by h in its unit. The wheels stay,
// so that this is cheap; a cage triangle that no longer closes keeps its last
// angle.
func (r *Rig) nudged(in Input, h float64) Rig {
	n := *r
	d := &n.Derailleur
	mm := gearing.MM(h)
	switch in {
	case InputChainstay, InputDrop:
		n.Build.Frame = nudgedFrame(r.Build.Frame, in, mm)
		n.places = places(n.Build)
	case InputPulleyCentres:
		n.toTension.x += h
	case InputPivotSmallX:
		d.PivotSmall.X += mm
	case InputPivotSmallY:
		d.PivotSmall.Y += mm
	case InputPivotLargeX:
		d.PivotLarge.X += mm
	case InputPivotLargeY:
		d.PivotLarge.Y += mm
	case InputPivotAlong:
		n.movePivot(vec{h, 0})
	case InputPivotAcross:
		n.movePivot(vec{0, h})
	case InputHangerX:
		d.Hanger.X += mm
	case InputHangerY:
		d.Hanger.Y += mm
	case InputGap:
		n.target += h
	case InputPlate:
		n.plate += h
	case InputStopRear:
		n.stopRear += h * math.Pi / 180
	case InputStopForward:
		n.stopFront += h * math.Pi / 180
	}
	return n
}

func nudgedFrame(f gearing.Frame, in Input, mm gearing.MM) gearing.Frame {
	if in == InputDrop {
		f.BottomBracketDrop += mm
		return f
	}
	f.Chainstay += mm
	longer := make([]gearing.MM, len(f.Suspension.Chainstays))
	for i, c := range f.Suspension.Chainstays {
		longer[i] = c + mm
	}
	f.Suspension.Chainstays = longer
	return f
}

// movePivot moves the cage pivot in the cage's own frame, whose x axis runs
// from the guide to the tension pulley.
func (r *Rig) movePivot(by vec) {
	r.toGuide, r.toTension = r.toGuide.sub(by), r.toTension.sub(by)
}

// cageErrors turns a ruler's errors of the pivot's two distances a and b into
// those of its place along the pulley line, x = (a^2 + s^2 - b^2)/(2 s), and
// off it, y = sqrt(a^2 - x^2) (derived here). Next to the line y is hardly
// known; its error is then no more than a.
func (d Derailleur) cageErrors() (along, across float64) {
	a, b, s := float64(d.PivotToGuide), float64(d.PivotToTension), float64(d.PulleyCentres)
	const ruler = 0.7
	along = ruler * math.Hypot(a, b) / s
	x := a * math.Cos(d.PivotAngle.Radians())
	y := math.Abs(a * math.Sin(d.PivotAngle.Radians()))
	across = a
	if y > 0 {
		across = min(a, math.Hypot(a*ruler, x*along)/y)
	}
	return along, max(across, ruler)
}
