package sim

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"cagewise/gearing"
)

// Stop is an end of the cage's swing.
type Stop int

// The stops. A reading of none is one of a gear.
const (
	NoStop Stop = iota
	RearStop
	ForwardStop
)

// Reading is what was seen on the built bike in one gear, or with the cage pushed
// to a stop by hand: then CageAngle alone. Zero fields were not read.
type Reading struct {
	gearing.GearID
	Stop      Stop
	Pitches   int             // of the chain on the bike
	CageAngle gearing.Degrees // direction from guide to tension pulley
	Guide     Point           // guide pulley's centre from the axle
	Tension   Point           // tension pulley's centre from the axle
	Gap       gearing.MM      // between cog and guide pulley teeth
}

// Standard errors of careful readings on the bike (from memory).
const (
	AngleError    = 2.0 // degrees
	positionError = 2.0 // mm
	gapError      = 0.5 // mm
)

// Fitted is a geometry drawn from readings.
type Fitted struct {
	Rear gearing.RearDerailleur `json:"-"`
	// Parameters are the six fitted measures with the value the fit started
	// from and the standard errors before and after.
	Parameters []Parameter `json:"parameters"`
	Residuals  []Residual  `json:"residuals"`
	// ChiSquare is the sum of squared residuals in standard errors, and of the
	// squared changes of the fitted measures in those they had before. For
	// readings that fit together and the derailleur it follows the chi-square
	// distribution with as many degrees of freedom as there are residuals
	// (the least of a quadratic form, its prior counted as data).
	ChiSquare float64 `json:"chi_square"`
	// Chance is how often right readings give as large a sum or a larger one,
	// 0 to 1.
	Chance float64 `json:"chance_of_as_much"`
}

// Parameter is one fitted measure.
type Parameter struct {
	Input  Input   `json:"input"`
	Start  float64 `json:"start_mm"`
	Before float64 `json:"error_before_mm"`
	Value  float64 `json:"value_mm"`
	After  float64 `json:"error_after_mm"`
}

// Moved is how far readings have moved the measure, in the standard errors it
// had before.
func (p Parameter) Moved() float64 { return math.Abs(p.Value-p.Start) / p.Before }

// Residual is a reading less what the fitted geometry gives.
type Residual struct {
	gearing.GearID
	What  string  `json:"what"`
	Unit  string  `json:"unit"`
	Read  float64 `json:"read"`
	Model float64 `json:"model"`
	Error float64 `json:"error"`
}

// fitted inputs, in the order of the parameter vector.
var fittedInputs = [...]Input{
	InputPivotSmallX, InputPivotSmallY, InputPivotLargeX, InputPivotLargeY, InputPivotAlong, InputPivotAcross,
}

// LeastChance is the chance under which readings count as contradicting each
// other or the derailleur (invented here: one right set in a thousand).
const LeastChance = 0.001

// ErrReadings is wrapped when readings cannot be used.
var ErrReadings = errors.New("readings")

// FitReadings updates the geometry of a build by readings on the built bike:
// weighted least squares with the geometry known so far as prior (Gauss-Newton
// with step halving; the errors are those of the linearised problem). The
// B-screw is taken as it stands: the fitted pivots are the pivots with it. A stop
// that was read counts as given. Readings of gears need the pulley centres
// (ErrNoGeometry); readings of stops alone leave pivots and cage as they were.
func FitReadings(b gearing.Build, readings []Reading) (Fitted, error) {
	return FitReadingsLike(nil, b, readings)
}

// FitReadingsLike does the same and, where a rig has the same derailleur, takes
// from it what is known of that.
func FitReadingsLike(like *Rig, b gearing.Build, readings []Reading) (Fitted, error) {
	if len(readings) == 0 {
		return Fitted{}, fmt.Errorf("%w: none given", ErrReadings)
	}
	gears, err := takeStops(&b.Rear.Geometry, readings)
	if err != nil {
		return Fitted{}, err
	}
	if len(gears) == 0 {
		return Fitted{Rear: b.Rear, Parameters: []Parameter{}, Residuals: []Residual{}, Chance: 1}, nil
	}
	if b.Rear.PulleyCentres == 0 {
		return Fitted{}, ErrNoGeometry // a class would pass for a measurement
	}
	rig, err := like.For(b)
	if err != nil {
		return Fitted{}, err
	}
	p := &problem{rig: rig.asRead(), readings: gears, before: inputErrors(b, rig.Derailleur)}
	if err := p.check(); err != nil {
		return Fitted{}, err
	}
	x, cov, err := p.solve()
	if err != nil {
		return Fitted{}, err
	}
	return p.result(x, cov), nil
}

// takeStops puts the stops that were read into a geometry and leaves the readings
// of gears.
func takeStops(g *gearing.Geometry, readings []Reading) (gears []Reading, err error) {
	var read [ForwardStop + 1]bool
	for _, rd := range readings {
		stop, to := "rear", &g.CageStopRear
		switch rd.Stop {
		case NoStop:
			gears = append(gears, rd)
			continue
		case ForwardStop:
			stop, to = "forward", &g.CageStopForward
		case RearStop:
		default:
			return nil, fmt.Errorf("%w: stop %d is neither rear nor forward", ErrReadings, rd.Stop)
		}
		if read[rd.Stop] || !(math.Abs(float64(rd.CageAngle)) <= 720) || rd.CageAngle == 0 {
			return nil, fmt.Errorf("%w: the %s stop at %v degrees; allowed: one reading of it, not 0 (write 0.1)", ErrReadings, stop, float64(rd.CageAngle))
		}
		read[rd.Stop], *to = true, rd.CageAngle
	}
	if g.CageStopRear != 0 && g.CageStopForward != 0 && g.CageStopRear >= g.CageStopForward {
		return nil, fmt.Errorf("%w: the rear stop at %v degrees is not rearward of the forward stop at %v",
			ErrReadings, float64(g.CageStopRear), float64(g.CageStopForward))
	}
	return gears, nil
}

// asRead is the rig that readings are held against: the pulleys as far apart as
// measured, not as in the mean of a cloud, and stops that nobody knows out of the
// way, as a cage that was read beyond where they are assumed was there.
func (r *Rig) asRead() *Rig {
	n := *r
	d, g := &n.Derailleur, &r.Build.Rear.Geometry
	d.PulleyCentres = r.Build.Rear.PulleyCentres
	n.toTension = n.toGuide.add(vec{float64(d.PulleyCentres), 0})
	if g.CageStopRear == 0 {
		n.stopRear = math.Inf(-1)
	}
	if g.CageStopForward == 0 {
		n.stopFront = math.Inf(1)
	}
	return &n
}

// problem is a least-squares problem over changes of the fitted inputs.
type problem struct {
	rig      *Rig
	readings []Reading
	before   [inputs]float64
}

const unknowns = len(fittedInputs)

func (p *problem) check() error {
	for _, rd := range p.readings {
		if _, ok := p.rig.Index(rd.GearID); !ok {
			return fmt.Errorf("%w: the build has no gear %s", ErrReadings, rd.GearID)
		}
		if rd.Pitches == 0 {
			return fmt.Errorf("%w: %s: the chain on the bike is not given; give pitches in the reading or in the build", ErrReadings, rd.GearID)
		}
		if rd.Pitches < 3 || rd.Pitches > 10000 {
			return fmt.Errorf("%w: %s: %w", ErrReadings, rd.GearID, badCount(rd.Pitches))
		}
		if rd.CageAngle == 0 && rd.Guide == (Point{}) && rd.Tension == (Point{}) && rd.Gap == 0 {
			return fmt.Errorf("%w: %s: nothing was read; a cage angle of 0 counts as none, write 0.1", ErrReadings, rd.GearID)
		}
	}
	if len(p.residuals([unknowns]float64{})) == 0 {
		return fmt.Errorf("%w: no chain path closes in the gears read", ErrReadings)
	}
	return nil
}

// moved is the rig with the fitted inputs changed.
func (p *problem) moved(x [unknowns]float64) Rig {
	n := *p.rig
	for k, in := range fittedInputs {
		n = n.nudged(in, x[k])
	}
	return n
}

// residuals compares every reading with the model.
func (p *problem) residuals(x [unknowns]float64) []Residual {
	n := p.moved(x)
	var list []Residual
	for _, rd := range p.readings {
		i, _ := n.Index(rd.GearID)
		var g GearFit
		n.fitGear(&n.gears[i], float64(rd.Pitches), 0, &course{start: middleAngle}, &g)
		if g.NoPath {
			continue
		}
		list = append(list, compare(rd, &g)...)
	}
	return list
}

func compare(rd Reading, g *GearFit) []Residual {
	var list []Residual
	add := func(known bool, what, unit string, read, model, e float64) {
		if known {
			list = append(list, Residual{rd.GearID, what, unit, read, model, e})
		}
	}
	add(rd.CageAngle != 0, "cage angle", "degrees", float64(rd.CageAngle), float64(g.CageAngle), AngleError)
	for _, c := range []struct {
		name        string
		read, model Point
	}{{"guide pulley", rd.Guide, g.Guide}, {"tension pulley", rd.Tension, g.Tension}} {
		known := c.read != Point{}
		add(known, c.name+", ahead of the axle", "mm", float64(c.read.X), float64(c.model.X), positionError)
		add(known, c.name+", above the axle", "mm", float64(c.read.Y), float64(c.model.Y), positionError)
	}
	add(rd.Gap != 0, "pulley gap", "mm", float64(rd.Gap), float64(g.Gap), gapError)
	return list
}

// cost is half the sum of squares, prior included.
func (p *problem) cost(x [unknowns]float64, res []Residual) float64 {
	sum := 0.0
	for _, r := range res {
		d := (r.Read - r.Model) / r.Error
		sum += d * d
	}
	for k, in := range fittedInputs {
		d := x[k] / p.before[in]
		sum += d * d
	}
	return sum / 2
}

func (p *problem) solve() (x [unknowns]float64, cov *mat.SymDense, err error) {
	res := p.residuals(x)
	cost := p.cost(x, res)
	for range 50 {
		normal, gradient := p.normal(x, res)
		var chol mat.Cholesky
		if !chol.Factorize(normal) {
			return x, nil, fmt.Errorf("%w: they do not determine the geometry", ErrReadings)
		}
		var step mat.VecDense
		if err := chol.SolveVecTo(&step, gradient); err != nil {
			return x, nil, fmt.Errorf("%w: they do not determine the geometry: %w", ErrReadings, err)
		}
		cov = new(mat.SymDense)
		if err := chol.InverseTo(cov); err != nil {
			return x, nil, fmt.Errorf("%w: they do not determine the geometry: %w", ErrReadings, err)
		}
		next, nextRes, nextCost := p.tryStep(x, &step, len(res), cost)
		if cost-nextCost < 1e-10*(1+cost) {
			return x, cov, nil
		}
		x, res, cost = next, nextRes, nextCost
	}
	return x, cov, nil
}

// tryStep halves the step until the cost falls.
func (p *problem) tryStep(x [unknowns]float64, step *mat.VecDense, n int, cost float64) ([unknowns]float64, []Residual, float64) {
	for scale := 1.0; scale > 1e-6; scale /= 2 {
		next := x
		for k := range next {
			next[k] += scale * step.AtVec(k)
		}
		res := p.residuals(next)
		if c := p.cost(next, res); len(res) == n && c < cost {
			return next, res, c
		}
	}
	return x, nil, cost
}

// normal builds the normal equations by forward differences.
func (p *problem) normal(x [unknowns]float64, res []Residual) (*mat.SymDense, *mat.VecDense) {
	const h = 1e-5
	jac := mat.NewDense(len(res)+unknowns, unknowns, nil)
	miss := mat.NewVecDense(len(res)+unknowns, nil)
	for k, in := range fittedInputs {
		y := x
		y[k] += h
		for i, r := range p.residuals(y) {
			if i < len(res) {
				jac.Set(i, k, (r.Model-res[i].Model)/h/r.Error)
			}
		}
		jac.Set(len(res)+k, k, 1/p.before[in])
		miss.SetVec(len(res)+k, -x[k]/p.before[in])
	}
	for i, r := range res {
		miss.SetVec(i, (r.Read-r.Model)/r.Error)
	}
	normal := mat.NewSymDense(unknowns, nil)
	normal.SymOuterK(1, jac.T())
	var gradient mat.VecDense
	gradient.MulVec(jac.T(), miss)
	return normal, &gradient
}

func (p *problem) result(x [unknowns]float64, cov *mat.SymDense) Fitted {
	n := p.moved(x)
	f := Fitted{Rear: p.rig.Build.Rear, Residuals: p.residuals(x)}
	f.ChiSquare = 2 * p.cost(x, f.Residuals)
	f.Chance = chanceOf(f.ChiSquare, len(f.Residuals))
	start := p.values(p.rig)
	value := p.values(&n)
	for k, in := range fittedInputs {
		f.Parameters = append(f.Parameters, Parameter{
			Input: in, Start: start[k], Before: p.before[in], Value: value[k], After: math.Sqrt(cov.At(k, k)),
		})
	}
	f.setGeometry(&n)
	f.setTarget(&n, p.readings[0].Pitches)
	return f
}

// chanceOf is how often a sum of so many squared standard normal figures is as
// large as x or larger.
func chanceOf(x float64, figures int) float64 {
	return distuv.ChiSquared{K: float64(figures)}.Survival(x)
}

func (p *problem) values(r *Rig) [unknowns]float64 {
	d, pivot := r.Derailleur, r.toGuide.times(-1)
	return [unknowns]float64{
		float64(d.PivotSmall.X), float64(d.PivotSmall.Y), float64(d.PivotLarge.X), float64(d.PivotLarge.Y), pivot.x, pivot.y,
	}
}

// setGeometry writes the fitted measures as a build holds them, without a
// hanger extender, which the build names by itself.
func (f *Fitted) setGeometry(r *Rig) {
	g := &f.Rear.Geometry
	d := r.Derailleur
	d.extend(g.ExtenderBehind, g.ExtenderBelow)
	g.PivotSmallX, g.PivotSmallY = tenth(d.PivotSmall.X), tenth(d.PivotSmall.Y)
	g.PivotLargeX, g.PivotLargeY = tenth(d.PivotLarge.X), tenth(d.PivotLarge.Y)
	f.Rear.PulleyCentres = d.PulleyCentres
	g.PivotToGuide = max(hundredth(gearing.MM(r.toGuide.length())), 0.1)
	g.PivotToTension = closing(hundredth(gearing.MM(r.toTension.length())), g.PivotToGuide, d.PulleyCentres)
	g.PivotSide = "ahead"
	if r.toGuide.y > 0 {
		g.PivotSide = "behind"
	}
	g.PivotError = hundredth(gearing.MM(rms(f.Parameters[:4])))
	g.CageError = hundredth(gearing.MM(rms(f.Parameters[4:])))
}

// setTarget keeps the B-screw as it stood: the gap it left on the smallest ring
// and largest cog is what a fit shall set again.
func (f *Fitted) setTarget(r *Rig, pitches int) {
	var g GearFit
	r.fitGear(&r.gears[r.reference], float64(pitches), 0, &course{start: middleAngle}, &g)
	if gap := tenth(g.Gap); !g.NoPath && gap >= 1 && gap <= 40 {
		f.Rear.Geometry.TargetGap = gap
	}
}

// closing keeps a rounded side of the cage within what its triangle allows: next
// to the pulley line a hundredth of a millimetre decides.
func closing(side, guide, centres gearing.MM) gearing.MM {
	low, high := max(centres-guide, guide-centres), centres+guide
	return min(max(side, gearing.MM(math.Ceil(float64(low)*100-1e-9)/100)), gearing.MM(math.Floor(float64(high)*100+1e-9)/100))
}

func tenth(v gearing.MM) gearing.MM     { return gearing.MM(math.Round(float64(v)*10) / 10) }
func hundredth(v gearing.MM) gearing.MM { return gearing.MM(math.Round(float64(v)*100) / 100) }

func rms(list []Parameter) float64 {
	sum := 0.0
	for _, p := range list {
		sum += p.After * p.After
	}
	return math.Sqrt(sum / float64(len(list)))
}
