package sim

import (
	"fmt"
	"math"

	"cagewise/gearing"
)

// Wrap is how far the chain goes round a wheel. Both are negative when the
// chain has left the wheel.
type Wrap struct {
	Angle gearing.Degrees `json:"angle_deg"`
	Teeth float64         `json:"teeth"` // engaged
}

// GearFit is one gear with one chain.
type GearFit struct {
	gearing.GearID
	State State `json:"state"`
	// NoPath: no chain path closes round these wheels; only GearID and State
	// say anything then.
	NoPath bool `json:"no_path"`
	// Reserves over all places of the axle: chain left before the forward
	// limit, and take-up left before the rear limit; negative beyond it.
	Forward  gearing.Pitches `json:"reserve_forward_pitches"`
	Rearward gearing.Pitches `json:"reserve_rearward_pitches"`
	// OverLoop is the chain over the bare loop of ring and cog, at the longest
	// chainstay: the trade wants TightReserve. Forward is never more.
	OverLoop gearing.Pitches `json:"over_bare_loop_pitches"`
	// ForwardLimit and RearLimit name what stops the cage.
	ForwardLimit Limit `json:"forward_limit"`
	RearLimit    Limit `json:"rear_limit"`
	// Gap is between the tips of the cog's and the guide pulley's teeth.
	Gap gearing.MM `json:"pulley_gap_mm"`
	// CageAngle is the direction from guide to tension pulley.
	CageAngle gearing.Degrees `json:"cage_angle_deg"`
	Pivot     Point           `json:"cage_pivot"`
	Guide     Point           `json:"guide_pulley"`
	Tension   Point           `json:"tension_pulley"`
	// Wraps of the four wheels.
	OnRing    Wrap `json:"wrap_ring"`
	OnCog     Wrap `json:"wrap_cog"`
	OnGuide   Wrap `json:"wrap_guide_pulley"`
	OnTension Wrap `json:"wrap_tension_pulley"`
	// RunRoom is how far the lower run clears the chain on the guide pulley.
	RunRoom gearing.MM `json:"lower_run_clearance_mm"`
	// GroundRoom is the lowest point of the tension pulley over the ground.
	GroundRoom gearing.MM `json:"over_ground_mm"`
	// Lower run's tension and the band that clutch friction adds, newtons.
	LowerTension     float64 `json:"lower_run_tension_n"`
	LowerTensionLow  float64 `json:"lower_run_tension_low_n"`
	LowerTensionHigh float64 `json:"lower_run_tension_high_n"`
}

// Fit is a whole rig with one chain.
type Fit struct {
	Pitches int `json:"pitches"`
	// BodyAngle is how far the B-screw, or the balance of two springs, has
	// turned the body, forward positive.
	BodyAngle gearing.Degrees `json:"body_angle_deg"`
	// Screw tells whether the B-screw reaches the target gap on the smallest
	// ring and largest cog; ScrewMiss is by how much the gap misses it, 0
	// when no path closes in that gear and there is no gap.
	Screw     bool       `json:"screw_reaches"`
	ScrewMiss gearing.MM `json:"gap_misses_target_mm"`
	Target    gearing.MM `json:"target_gap_mm"`
	// Unbalanced counts the gears in which the two springs of a sprung
	// mounting pivot find no balance within 30 degrees either way; their
	// figures stand for the end of that swing.
	Unbalanced int       `json:"gears_without_spring_balance"`
	Gears      []GearFit `json:"gears"` // in the order of gearing.Table.Gears
}

// Solve prepares a build and fits the chain owned or, where there is none, the
// recommended one; Fit.Pitches is 0 when no chain closes any gear. It fails as
// NewRig does.
func Solve(b gearing.Build) (*Rig, Fit, error) {
	r, err := NewRig(b)
	if err != nil {
		return nil, Fit{}, err
	}
	if b.Chain.Pitches == 0 {
		f := r.newFit()
		if n := r.Shortest(); n > 0 {
			r.fit(float64(n), &f)
			f.Pitches = n
		}
		return r, f, nil
	}
	f, err := r.Fit(b.Chain.Pitches)
	return r, f, err
}

// Count is how many gears are in a state.
func (f Fit) Count(s State) int {
	n := 0
	for i := range f.Gears {
		if f.Gears[i].State == s {
			n++
		}
	}
	return n
}

// Worst is the worst state of any gear.
func (f Fit) Worst() State {
	worst := Clear
	for i := range f.Gears {
		worst = max(worst, f.Gears[i].State)
	}
	return worst
}

// Fit computes every gear with a chain of n pitches, 3 to 10,000.
func (r *Rig) Fit(n int) (Fit, error) {
	if n < 3 || n > 10000 {
		return Fit{}, badCount(n)
	}
	f := r.newFit()
	r.fit(float64(n), &f)
	f.Pitches = n
	return f, nil
}

func badCount(n int) error { return fmt.Errorf("a chain of %d pitches; allowed 3 to 10000", n) }

// newFit is a fit for r.fit to fill.
func (r *Rig) newFit() Fit { return Fit{Gears: make([]GearFit, len(r.gears))} }

// fit fills f, whose Gears are already there.
func (r *Rig) fit(n float64, f *Fit) { r.fitHeld(n, r.setBody(n), f) }

// fitHeld fills f with the body as it stands.
func (r *Rig) fitHeld(n float64, body body, f *Fit) {
	f.BodyAngle = gearing.DegreesOf(body.angle)
	f.Screw, f.ScrewMiss, f.Target = body.reaches, gearing.MM(body.miss), gearing.MM(r.target)
	f.Unbalanced = body.unbalanced
	c := course{start: body.cage}
	for i := range r.gears {
		r.fitGear(&r.gears[i], n, body.angleOf(i), &c, &f.Gears[i])
	}
}

// course carries what one gear finds over to the next, to save work.
type course struct {
	start float64 // cage angle
	hint  limits
}

// fitGear fills one gear.
func (r *Rig) fitGear(g *gear, n, bodyAngle float64, c *course, out *GearFit) {
	want := n * r.stretch
	over := gearing.Pitches(n - g.loop - g.loopSlope*r.longer)
	*out = GearFit{GearID: g.id, OverLoop: over, Forward: over, Rearward: math.MaxFloat64, ForwardLimit: LimitStraight}
	for k := range r.places {
		t, ok := r.trainAt(g, k, bodyAngle)
		if !ok {
			r.noPath(out)
			return
		}
		l := r.limits(&t, &c.hint)
		if !l.ok {
			r.noPath(out)
			return
		}
		r.narrow(out, &l, want)
		if k == 0 {
			angle, p := t.solve(want, c.start, &l)
			r.show(out, g, &t, angle, &p)
			c.start, c.hint = angle, l
		}
	}
	out.State = out.judge()
}

// narrow takes one place of the axle into the reserves: the short end is
// judged at the longest path, slack at the shortest.
func (r *Rig) narrow(out *GearFit, l *limits, want float64) {
	if forward := gearing.Pitches((want - l.atFront.pitches) / r.stretch); forward < out.Forward {
		out.Forward, out.ForwardLimit = forward, l.frontWhy
	}
	if rearward := gearing.Pitches((l.atRear.pitches-want)/r.stretch - r.slip); rearward < out.Rearward {
		out.Rearward, out.RearLimit = rearward, l.rearWhy
	}
}

// trainAt is a gear's train at one place of the axle with the body turned, laid
// out with the rig's present geometry.
func (r *Rig) trainAt(g *gear, k int, bodyAngle float64) (train, bool) {
	t, pl := g.train, &r.places[k]
	t.toGuide, t.toTension, t.body = r.toGuide, r.toTension, bodyAngle
	t.contact = g.tip + r.guideTip
	t.pivot = r.Derailleur.pivotAt(g.share, bodyAngle).add(pl.hanger)
	if t.crank != pl.crank || t.toTension != g.train.toTension {
		t.crank = pl.crank
		t.valid = t.set()
	}
	return t, t.valid
}

// noPath marks a gear that cannot be laid out: the guide pulley lies in the cog,
// whatever the chain, unless that is too short for the bare loop already.
func (r *Rig) noPath(out *GearFit) {
	*out = GearFit{GearID: out.GearID, State: Hits, NoPath: true, OverLoop: out.OverLoop}
	switch {
	case out.OverLoop < 0:
		out.State = Locks
	case float64(out.OverLoop) < LeastReserve:
		out.State = TooShort
	}
}

// show fills what the pose alone says.
func (r *Rig) show(out *GearFit, g *gear, t *train, angle float64, p *pose) {
	out.CageAngle = gearing.DegreesOf(angle)
	out.Pivot, out.Guide, out.Tension = pointOf(t.pivot), pointOf(p.guide), pointOf(p.tension)
	onRing, onTension, onGuide, onCog := t.wraps(p)
	out.OnRing, out.OnCog = wrapOf(onRing, g.id.Ring), wrapOf(onCog, g.id.Cog)
	out.OnGuide, out.OnTension = wrapOf(onGuide, r.Derailleur.GuideTeeth), wrapOf(onTension, r.Derailleur.TensionTeeth)
	out.Gap = gearing.MM(p.guide.length() - g.tip - r.guideTip)
	out.RunRoom = gearing.MM(p.runClearance(t.tension.radius) - t.guide.radius - r.plate)
	out.GroundRoom = gearing.MM(r.ground + p.tension.y - r.tensionTip)
	out.LowerTensionLow, out.LowerTension, out.LowerTensionHigh = r.spring.lowerTension(angle-t.body, p.slope)
}

func pointOf(v vec) Point { return Point{gearing.MM(v.x), gearing.MM(v.y)} }

func wrapOf(angle float64, teeth gearing.Teeth) Wrap {
	return Wrap{Angle: gearing.DegreesOf(angle), Teeth: angle * float64(teeth) / (2 * math.Pi)}
}

// short is the chain over the shortest path. Where the guide pulley reaches the
// cog before the cage is straight, more is a matter of the cog: the bare loop
// stands for the shortest path there.
func (g *GearFit) short() float64 {
	if g.ForwardLimit == LimitCog {
		return float64(g.OverLoop)
	}
	return float64(g.Forward)
}

// judge names the state, the worst first.
func (g *GearFit) judge() State {
	switch {
	case g.short() < 0:
		return Locks
	case g.short() < LeastReserve:
		return TooShort
	case float64(g.Forward) < LeastReserve, g.Gap < HitGap, g.Rearward < 0 && g.RearLimit == LimitCog:
		return Hits
	case float64(g.OverLoop) < TightReserve:
		return Tight
	case g.Rearward < 0:
		return Slack
	case g.Gap > FarGap:
		return Far
	}
	return Clear
}

// Reason says in words why the gear is in its state.
func (g *GearFit) Reason() string {
	if g.NoPath {
		return "no chain path closes: the guide pulley lies in the cog, or another wheel in its neighbour"
	}
	switch g.State {
	case Locks:
		return fmt.Sprintf("%.2f pitches shorter than the shortest way round (%s)", -float64(g.Forward), g.ForwardLimit)
	case TooShort:
		return fmt.Sprintf("only %.2f pitches before %s; at least %.0f wanted", float64(g.Forward), g.ForwardLimit, LeastReserve)
	case Hits:
		return g.hitWords()
	case Tight:
		return fmt.Sprintf("%.2f pitches over the bare loop; %.0f must be in hand", float64(g.OverLoop), TightReserve)
	case Slack:
		return fmt.Sprintf("%.2f pitches too many, limit: %s", -float64(g.Rearward), g.RearLimit)
	case Far:
		return fmt.Sprintf("guide pulley %.1f mm from the cog; over %.0f mm shifts are slow", float64(g.Gap), FarGap)
	}
	return fmt.Sprintf("%.2f pitches forward, %.2f rearward, gap %.1f mm", float64(g.Forward), float64(g.Rearward), float64(g.Gap))
}

// hitWords tell what brings the guide pulley into the cog.
func (g *GearFit) hitWords() string {
	switch {
	case float64(g.Gap) < HitGap:
		return fmt.Sprintf("guide pulley %.1f mm from the cog; under %.0f mm it hits it", float64(g.Gap), HitGap)
	case g.Rearward < 0:
		return fmt.Sprintf("the chain is %.2f pitches too long to keep the guide pulley off the cog", -float64(g.Rearward))
	}
	return fmt.Sprintf("only %.2f pitches before %s; at least %.0f wanted", float64(g.Forward), g.ForwardLimit, LeastReserve)
}

// LeftWheel names a wheel that the chain has left, "" for none: the path is
// then outside what the model covers.
func (g *GearFit) LeftWheel() string {
	switch {
	case g.OnGuide.Angle < 0:
		return "guide pulley"
	case g.OnTension.Angle < 0:
		return "tension pulley"
	}
	return ""
}
