package sim

import (
	"math"

	"cagewise/gearing"
)

// GearMargin holds the standard errors of one gear's figures.
type GearMargin struct {
	Forward  gearing.Pitches `json:"reserve_forward_error_pitches"`
	Rearward gearing.Pitches `json:"reserve_rearward_error_pitches"`
	Gap      gearing.MM      `json:"pulley_gap_error_mm"`
}

// nearGap is how far typical geometry may leave the gap off its target, mm, and
// still stand for a part that reaches it (invented here).
const nearGap = 8.0

// figure is a number of a gear that decides its state.
type figure int

const (
	figForward figure = iota
	figRearward
	figGap
	figures
)

var figureWords = [...]string{"reserve forward", "reserve rearward", "pulley gap"}

// sensitivities are the derivatives of one gear's figures by each input.
type sensitivities [figures][inputs]float64

// Margins carries the errors of the inputs to every gear.
type Margins struct {
	Gears  []GearMargin // in the order of Fit.Gears
	errors [inputs]float64
	by     []sensitivities
	// The gap on the smallest ring and largest cog is known: it was set. It
	// ties the inputs together. tie holds its derivatives, tieError the
	// error of setting it; set is false when the B-screw did not reach it.
	tie      [inputs]float64
	tieError float64
	set      bool
	typical  bool // the geometry is
}

// Margins finds the standard error of every reserve and gap of a fit with n
// pitches. The inputs' errors are independent and normal, the B-screw may
// stand anywhere in its range, and the gap it was set to is then taken as
// observed: the errors that are left are those of the linear Gaussian update
// (derived here). Without that update a screw would have to undo every error
// of the pivots, far beyond its range. With a sprung mounting pivot, or a
// screw at its end, the body's angles are held.
func (r *Rig) Margins(n int) (Fit, Margins, error) {
	if n < 3 || n > 10000 {
		return Fit{}, Margins{}, badCount(n)
	}
	f, tr := r.newFit(), r.newTrace()
	r.fit(float64(n), &tr, &f)
	f.Pitches = n
	return f, r.margins(&tr), nil
}

// held is the fit and its margins with the body as it stands.
func (r *Rig) held(n float64, body body) (Fit, Margins) {
	f, tr := r.newFit(), r.newTrace()
	tr.body = body
	r.fitHeld(n, body, &tr, &f)
	return f, r.margins(&tr)
}

func (r *Rig) margins(tr *trace) Margins { return r.marginsOf(tr, r.every()) }

// every is the index of every gear.
func (r *Rig) every() []int {
	list := make([]int, len(r.gears))
	for i := range list {
		list[i] = i
	}
	return list
}

// marginsOf leaves the margins of gears that are not listed at 0. The reference
// gear has to be listed.
func (r *Rig) marginsOf(tr *trace, list []int) Margins {
	m := Margins{
		Gears:  make([]GearMargin, len(r.gears)),
		errors: inputErrors(r.Build, r.Derailleur),
		by:     make([]sensitivities, len(r.gears)), typical: r.Derailleur.Knowledge == Typical,
		// With typical geometry the screw of the real part will reach, if it
		// is near at all.
		set: (tr.body.reaches || r.Derailleur.Knowledge == Typical && math.Abs(tr.body.miss) < nearGap) && tr.body.perGear == nil,
	}
	m.tieError = m.errors[InputGap]
	if m.set {
		m.errors[inputBody] = degrees(r.screw) / math.Sqrt(3) // anywhere in its range
	}
	slopes := r.slopes(tr, list)
	for in := Input(0); in < inputs; in++ {
		if m.errors[in] == 0 || in == InputGap {
			continue
		}
		h := 1e-4 * m.errors[in]
		n, turn := r.nudged(in, h), 0.0
		if in == inputBody {
			turn = h * math.Pi / 180
		}
		for _, i := range list {
			for k, d := range r.change(&n, tr, i, turn, &slopes[i]) {
				m.by[i][k][in] = d / h
			}
		}
	}
	m.tie = m.by[r.reference][figGap]
	for _, i := range list {
		m.Gears[i] = GearMargin{
			Forward:  gearing.Pitches(m.spread(&m.by[i][figForward])),
			Rearward: gearing.Pitches(m.spread(&m.by[i][figRearward])),
			Gap:      gearing.MM(m.spread(&m.by[i][figGap])),
		}
	}
	return m
}

// tied are the sums a known gap needs: the variance of the gap before it was
// set, setting included, and its covariance with a figure.
func (m *Margins) tied(d *[inputs]float64) (variance, covariance float64) {
	variance = m.tieError * m.tieError
	for in, e := range m.errors {
		variance += m.tie[in] * m.tie[in] * e * e
		covariance += m.tie[in] * d[in] * e * e
	}
	return variance, covariance
}

// spread is the standard error of a figure with the given derivatives.
func (m *Margins) spread(d *[inputs]float64) float64 {
	sum := 0.0
	for in, e := range m.errors {
		sum += d[in] * d[in] * e * e
	}
	if m.set {
		variance, covariance := m.tied(d)
		sum -= covariance * covariance / variance
	}
	return math.Sqrt(max(0, sum))
}

// pull is how a figure goes with one input, all that is known besides taken
// into account: the expected change of the figure a unit of the input, and
// the input's own error that is left.
func (m *Margins) pull(d *[inputs]float64, in Input) (slope, left float64) {
	e2 := m.errors[in] * m.errors[in]
	variance, covariance := e2, d[in]*e2
	if m.set {
		total, tied := m.tied(d)
		share := m.tie[in] * e2
		variance -= share * share / total
		covariance -= tied * share / total
	}
	if variance <= 0 {
		return 0, 0
	}
	return covariance / variance, math.Sqrt(variance)
}

// gearSlopes are a gear's values where it stands, and how they change with
// the cage angle.
type gearSlopes struct {
	front, rear, cage pose
	edge, edgeSlope   float64 // of what limits the rear end
	gap, gapSlope     float64
}

const angleStep = 1e-6 // radians

func (r *Rig) slopes(tr *trace, list []int) []gearSlopes {
	slopes := make([]gearSlopes, len(r.gears))
	for _, i := range list {
		t, g, s := &tr.gears[i], &r.gears[i], &slopes[i]
		if !t.ok {
			continue
		}
		body := tr.body.angleOf(i)
		front, _ := r.trainAt(g, t.atFront, body)
		rear, _ := r.trainAt(g, t.atRear, body)
		shown, _ := r.trainAt(g, 0, body)
		s.front, s.rear, s.cage = front.at(t.front), rear.at(t.rear), shown.at(t.cage)
		s.edge = r.edge(&rear, t.rearWhy, t.rear, &s.rear)
		beyond := rear.at(t.rear + angleStep)
		s.edgeSlope = (r.edge(&rear, t.rearWhy, t.rear+angleStep, &beyond) - s.edge) / angleStep
		s.gap = s.cage.guide.length()
		turned := shown.at(t.cage + angleStep)
		s.gapSlope = (turned.guide.length() - s.gap) / angleStep
	}
	return slopes
}

// change is how one gear's figures change from r to the nudged rig n, the
// body turned by extra radians.
func (r *Rig) change(n *Rig, tr *trace, i int, extra float64, s *gearSlopes) (d [figures]float64) {
	t := &tr.gears[i]
	if !t.ok {
		return d
	}
	g, body := &n.gears[i], tr.body.angleOf(i)+extra
	front, ok1 := n.trainAt(g, t.atFront, body)
	rear, ok2 := n.trainAt(g, t.atRear, body)
	shown, ok3 := n.trainAt(g, 0, body)
	if !ok1 || !ok2 || !ok3 {
		return d
	}
	fore := r.foreChange(n, &front, t, extra, s)
	aft, swing := r.aftChange(n, &rear, t, extra, s)
	d[figForward] = -fore / r.stretch
	d[figRearward] = aft / r.stretch
	if pc := shown.at(t.cage); pc.ok {
		d[figGap] = pc.guide.length() - s.gap + s.gapSlope*r.cageTurn(t, s, &pc, swing)
	}
	return d
}

// foreChange is how the path at the front limit changes. At an extreme of the
// path the limit does not move it to first order; a stop takes the cage along; a
// cog ahead, and the end of all paths, are found anew.
func (r *Rig) foreChange(n *Rig, front *train, t *gearTrace, extra float64, s *gearSlopes) float64 {
	p := front.at(t.front)
	if t.frontWhy == LimitCog || t.frontWhy == LimitNone || !p.ok {
		if l := n.limits(front, nil); l.ok {
			return l.atFront.pitches - s.front.pitches
		}
		return 0
	}
	fore := p.pitches - s.front.pitches
	if t.frontWhy == LimitForwardStop {
		fore += s.front.slope * (n.stopFront - r.stopFront + extra)
	}
	return fore
}

// aftChange is how the path at the rear limit changes, and how far that limit
// swings: along its edge, with its stop, or found anew.
func (r *Rig) aftChange(n *Rig, rear *train, t *gearTrace, extra float64, s *gearSlopes) (aft, swing float64) {
	p := rear.at(t.rear)
	// The end of the take-up lies next to the end of all paths, whose slope turns
	// within hundredths of a degree: that limit is found anew too.
	if t.rearWhy == LimitNone || t.rearWhy == LimitTakenUp || !p.ok {
		if l := n.limits(rear, nil); l.ok {
			return l.atRear.pitches - s.rear.pitches, l.rear - t.rear
		}
		return 0, 0
	}
	switch t.rearWhy {
	case LimitRearStop:
		swing = n.stopRear - r.stopRear + extra // the stops turn with the body
	case LimitTouches, LimitTension, LimitCog:
		swing = finite(-(n.edge(rear, t.rearWhy, t.rear, &p) - s.edge) / s.edgeSlope)
	}
	return p.pitches - s.rear.pitches + s.rear.slope*swing, swing
}

// finite is 0 for what is no number: a limit whose edge does not change with
// the cage angle is held.
func finite(x float64) float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return 0
	}
	return x
}

// cageTurn is how far the cage turns to keep the path as long as the chain; a
// cage at a limit turns with it.
func (r *Rig) cageTurn(t *gearTrace, s *gearSlopes, p *pose, rearSwing float64) float64 {
	switch {
	case t.slackened:
		return rearSwing
	case t.locked || math.Abs(s.cage.slope) < 1e-3:
		return 0
	}
	return -(p.pitches - s.cage.pitches) / s.cage.slope
}
