package sim

import (
	"math"
	"math/rand/v2"

	"cagewise/gearing"
)

// dim is one of the independent unknowns of a draw.
type dim int

const (
	dimChainstay dim = iota
	dimDrop
	dimCentres
	dimCommonX
	dimCommonY
	dimSmallX
	dimSmallY
	dimLargeX
	dimLargeY
	dimHangerX
	dimHangerY
	dimAlong
	dimAcross
	dimPlate
	dimStopRear
	dimStopFront
	dimGap
	dimModel
	dimCapacity
	dimCog
	dims // their number
)

// draw is one geometry that a derailleur may have, in a frame as it may be.
type draw struct {
	u      [dims]float64 // where it stands in each unknown's distribution, 0 to 1
	weight float64       // all weights add up to 1

	chainstay, drop             gearing.MM // by how much the frame's differ
	hanger, pivotSmall          vec
	pivotLarge                  vec
	toGuide, toTension          vec
	stopRear, stopFront         float64 // radians
	plate, slip                 float64
	gap                         float64       // set, over the target, mm
	ratedCapacity, ratedLargest gearing.Teeth // as promised, drawn where not known
}

// Spreads of typical geometry round its class, as standard deviations in mm
// (invented here, tried on the tables of the tests): of the pivot's shift on all
// cogs, of either end by itself, and of its height on the largest cog.
const (
	commonShift = 4.0
	ownShift    = 3.0
	lowShift    = 5.0
	hangerShift = 3.0
	cageShift   = 2.0
	stopError   = 14.0 // degrees, rear; the forward stop is known within a degree less well
	frontError  = 15.0
	// leastSwing is how far a cage swings at least, radians.
	leastSwing = 0.5
	// perTooth is how much lower the pivot hangs on a largest cog of one more
	// tooth, mm: the growth of the cog's radius.
	perTooth = 2.02
)

// Model errors of the rear reserve, pitches, one draw a geometry: of typical
// and of measured geometry (invented here).
const (
	typicalModel  = 1.0
	measuredModel = 0.25
)

// lowPivot is the pivot on the largest cog of a part rated for a cog of so many
// teeth: lower than the class's by what its cog is larger.
func (c class) lowPivot(cog float64) vec {
	if cog == 0 {
		cog = (c.usual.largest[0] + c.usual.largest[1]) / 2
	}
	return c.pivotLarge.sub(vec{0, perTooth * (cog - c.cog)})
}

// Sizes of a sample, and its seed.
const (
	typicalDraws  = 512
	measuredDraws = 96
	sampleSeed    = 20261201
)

// uniforms is a Latin hypercube: in every unknown each of n equal parts of the
// distribution is met once (McKay, Beckman and Conover 1979).
func uniforms(n int) []draw {
	rng := rand.New(rand.NewPCG(sampleSeed, uint64(n)))
	list := make([]draw, n)
	for k := range dims {
		for i, part := range rng.Perm(n) {
			list[i].u[k] = (float64(part) + rng.Float64()) / float64(n)
		}
	}
	return list
}

// normal and heavy turn a place in a distribution into standard deviations: of
// the normal distribution, and of Student's t with 4 degrees of freedom, whose
// quantile is known in closed form (Shaw 2006, J. Comput. Finance 9:37).
func normal(u float64) float64 { return math.Sqrt2 * math.Erfinv(2*u-1) }

func heavy(u float64) float64 {
	a := 4 * u * (1 - u)
	q := math.Cos(math.Acos(math.Sqrt(a))/3) / math.Sqrt(a)
	return math.Copysign(2*math.Sqrt(max(0, q-1)), u-0.5) / math.Sqrt2
}

// heavyLog is the logarithm of heavy's density but for a constant.
func heavyLog(x float64) float64 { return -2.5 * math.Log1p(x*x/2) }

// prior draws from what is known of a derailleur before its rating is looked at.
func (r *Rig) prior() []draw {
	n := typicalDraws
	if r.Derailleur.Knowledge >= Measured {
		n = measuredDraws
	}
	list := uniforms(n)
	p := r.newSource()
	for i := range list {
		p.fill(&list[i])
		list[i].weight = 1 / float64(n)
	}
	return list
}

// source is what draws of a rig are made from.
type source struct {
	*Rig
	errors       [inputs]float64
	centres      float64
	centresError float64
}

func (r *Rig) newSource() source {
	p := source{Rig: r, errors: inputErrors(r.Build, r.Derailleur)}
	p.centres, p.centresError, _ = centresOf(r.Build.Rear)
	return p
}

func (p *source) fill(d *draw) {
	z := func(k dim, e float64) float64 { return e * normal(d.u[k]) }
	e, g := &p.errors, p.Build.Rear.Geometry
	d.chainstay, d.drop = gearing.MM(z(dimChainstay, e[InputChainstay])), gearing.MM(z(dimDrop, e[InputDrop]))
	d.plate = p.plate + z(dimPlate, e[InputPlate])
	d.gap = z(dimGap, e[InputGap])
	rear, front := e[InputStopRear], e[InputStopForward]
	d.stopRear = p.stopRear + z(dimStopRear, rear)*math.Pi/180
	d.stopFront = p.stopFront + z(dimStopFront, front)*math.Pi/180
	if g.CageStopForward == 0 { // one that was read stays
		d.stopFront = max(d.stopFront, d.stopRear+leastSwing)
	}
	d.stopRear = min(d.stopRear, d.stopFront-leastSwing)

	centres := max(p.centres+z(dimCentres, p.centresError), p.guideTip+p.tensionTip)
	c, err := classOf(p.Build.Rear, centres)
	if err != nil { // the class was looked at when the rig was made
		c = classes[1].withCentres(centres)
	}
	d.rate(p.Build.Rear, &c)
	common := vec{commonShift * heavy(d.u[dimCommonX]), commonShift * heavy(d.u[dimCommonY])}
	base := p.Derailleur // without an extender, as it is measured
	base.extend(g.ExtenderBehind, g.ExtenderBelow)
	d.hanger = base.Hanger.vec()
	if g.HangerBelow == 0 {
		d.hanger = d.hanger.add(vec{z(dimHangerX, hangerShift), z(dimHangerY, hangerShift)})
	} else {
		d.hanger = d.hanger.add(vec{z(dimHangerX, e[InputHangerX]), z(dimHangerY, e[InputHangerY])})
	}
	d.pivotSmall = base.PivotSmall.vec().add(vec{z(dimSmallX, e[InputPivotSmallX]), z(dimSmallY, e[InputPivotSmallY])})
	if g.PivotSmallY == 0 {
		d.pivotSmall = c.pivotSmall.add(common).add(vec{z(dimSmallX, ownShift), z(dimSmallY, ownShift)})
	}
	d.pivotLarge = base.PivotLarge.vec().add(vec{z(dimLargeX, e[InputPivotLargeX]), z(dimLargeY, e[InputPivotLargeY])})
	if g.PivotLargeY == 0 {
		d.pivotLarge = c.lowPivot(float64(d.ratedLargest)).add(common).add(vec{z(dimLargeX, ownShift), z(dimLargeY, lowShift)})
	}
	p.cage(d, &c, centres)
	if p.Derailleur.Knowledge >= Measured {
		d.slip = z(dimModel, measuredModel)
	} else {
		d.slip = typicalModel * heavy(d.u[dimModel])
	}
}

// extended is how far a hanger extender moves the derailleur, which draws lack.
func (r *Rig) extended() vec {
	g := r.Build.Rear.Geometry
	return vec{-float64(g.ExtenderBehind), -float64(g.ExtenderBelow)}
}

// cage draws the cage's triangle: pivot at the origin, pulleys apart along x.
func (p *source) cage(d *draw, c *class, centres float64) {
	pivot := p.toGuide.times(-1)
	along, across := p.errors[InputPivotAlong], p.errors[InputPivotAcross]
	if g := p.Build.Rear.Geometry; g.PivotToGuide == 0 || g.PivotToTension == 0 {
		pivot = heading(c.angle * math.Pi / 180).times(c.toGuide)
		along, across = cageShift, cageShift
	}
	pivot = pivot.add(vec{along * normal(d.u[dimAlong]), across * normal(d.u[dimAcross])})
	d.toGuide, d.toTension = pivot.times(-1), vec{centres, 0}.sub(pivot)
}

// rate is what the maker promises: as given, else drawn evenly from what is
// usual for the cage.
func (d *draw) rate(r gearing.RearDerailleur, c *class) {
	even := func(known gearing.Teeth, from [2]float64, u float64) gearing.Teeth {
		if known > 0 {
			return known
		}
		low, high := math.Ceil(from[0]-1e-9), math.Floor(from[1]+1e-9)
		return gearing.Teeth(low + math.Floor(u*(high-low+1)))
	}
	d.ratedCapacity = even(r.RatedCapacity, c.usual.capacity, d.u[dimCapacity])
	d.ratedLargest = even(r.LargestCog, c.usual.largest, d.u[dimCog])
}

// as is the rig with the geometry of a draw, in its own frame.
func (r *Rig) as(d *draw) Rig {
	n, by := *r, r.extended()
	n.Derailleur.Hanger, n.Derailleur.PivotSmall, n.Derailleur.PivotLarge = pointOf(d.hanger.add(by)), pointOf(d.pivotSmall.add(by)), pointOf(d.pivotLarge.add(by))
	n.toGuide, n.toTension = d.toGuide, d.toTension
	n.stopRear, n.stopFront = d.stopRear, d.stopFront
	n.coarse = true
	n.plate, n.target, n.slip = d.plate, r.target+d.gap, d.slip
	return n
}

// in is the rig with the geometry of a draw, in the frame that it may stand in.
func (r *Rig) in(d *draw) Rig {
	n := r.as(d)
	n.longer = float64(d.chainstay)
	n.Build.Frame = nudgedFrame(nudgedFrame(r.Build.Frame, InputChainstay, d.chainstay), InputDrop, d.drop)
	n.places = places(n.Build)
	return n
}
