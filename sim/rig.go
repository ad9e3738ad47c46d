package sim

import (
	"errors"
	"fmt"
	"math"

	"cagewise/gearing"
)

// ErrPath is wrapped when a drivetrain cannot be laid out: wheels that
// overlap, a pulley inside a cog, stops in the wrong order.
var ErrPath = errors.New("the chain path does not close")

// Rig is a build made ready for solving: every wheel measured, nothing left to
// look up. It is safe for concurrent use; its methods do not change it.
type Rig struct {
	Build      gearing.Build
	Derailleur Derailleur

	cloud              *cloud
	gears              []gear  // in the order of gearing.Table.Gears
	places             []place // of the axle, the first is where gears are shown
	reference          int     // index of smallest ring x largest cog
	stopRear           float64 // radians from the body
	stopFront          float64
	coarse             bool    // one of many draws: a hundredth of a ruler's error will do
	longer             float64 // by how much the chainstay is longer than the build's, mm
	slip               float64 // by how much the rear reserve is less than computed, pitches
	plate              float64 // mm
	target             float64 // pulley gap to set, mm
	screw              float64 // range of the B-screw either way, radians
	stretch            float64 // 1 + elongation
	guideTip           float64 // mm
	tensionTip         float64 // mm
	ground             float64 // wheel radius, mm
	spring             spring
	toGuide, toTension vec  // pulley centres from the cage pivot at cage angle 0
	sprung             bool // the mounting pivot is sprung
	// Spring of the mounting pivot, N mm and N mm a radian of forward swing.
	mountPreload, mountRate float64
}

// gear is one ring and cog on the rig.
type gear struct {
	id    gearing.GearID
	share float64 // place of the cog from the smallest (0) to the largest (1)
	tip   float64 // tip radius of the cog, mm
	// loop is the bare loop at the longest chainstay, in grown pitches of the
	// chain, loopSlope how it grows a millimetre of chainstay.
	loop, loopSlope float64
	train           train // at the first place, body at its reference angle
}

// Defaults of what is rarely measured.
const (
	defaultScrewRange gearing.Degrees = 12 // either way (from memory)
	defaultTarget     gearing.MM      = 6  // common practice, no source: 5 to 6 mm
	wideTarget        gearing.MM      = 10 // very wide cassettes: 10 to 18 mm (from memory)
	wideFrom          gearing.Teeth   = 44 // teeth of the largest cog from which a cassette is very wide
)

// NewRig prepares a build. It fails with gearing.ErrNoChainstay or
// ErrNoGeometry when those are not known, and with ErrPath when the geometry
// cannot be laid out.
func NewRig(b gearing.Build) (*Rig, error) {
	r, err := newReference(b)
	if err != nil {
		return nil, err
	}
	r.take(newCloud(r))
	return r, nil
}

// For is the rig of another build. Where the derailleur is the same, what is
// known of it is not worked out again.
func (r *Rig) For(b gearing.Build) (*Rig, error) {
	if r == nil || bare(r.Build.Rear) != bare(b.Rear) {
		return NewRig(b)
	}
	n, err := newReference(b)
	if err != nil {
		return nil, err
	}
	n.take(r.cloud)
	return n, nil
}

// bare is a derailleur without a hanger extender: draws know nothing of one.
func bare(r gearing.RearDerailleur) gearing.RearDerailleur {
	r.Geometry.ExtenderBehind, r.Geometry.ExtenderBelow = 0, 0
	return r
}

// take gives a rig its cloud.
func (r *Rig) take(c *cloud) {
	if r.cloud = c; r.Derailleur.Knowledge < Measured {
		r.settleOn(c)
	}
}

// newReference is a rig without a cloud: what it is given counts as exact.
func newReference(b gearing.Build) (*Rig, error) {
	if err := b.Check(); err != nil {
		return nil, err
	}
	if b.Frame.Chainstay <= 0 {
		return nil, gearing.ErrNoChainstay
	}
	d, err := NewDerailleur(b)
	if err != nil {
		return nil, err
	}
	r := newRig(b, d)
	if err := r.checkStops(); err != nil {
		return nil, err
	}
	r.layGears()
	if err := r.checkGears(); err != nil {
		return nil, err
	}
	if err := r.layAcross(); err != nil {
		return nil, err
	}
	return r, nil
}

// settleOn takes the mean of a cloud for the geometry shown.
func (r *Rig) settleOn(c *cloud) {
	m := draw{plate: r.plate}
	for i := range c.draws {
		d := &c.draws[i]
		w := d.weight
		m.hanger, m.pivotSmall = m.hanger.add(d.hanger.times(w)), m.pivotSmall.add(d.pivotSmall.times(w))
		m.pivotLarge = m.pivotLarge.add(d.pivotLarge.times(w))
		m.toGuide, m.toTension = m.toGuide.add(d.toGuide.times(w)), m.toTension.add(d.toTension.times(w))
		m.stopRear, m.stopFront, m.slip = m.stopRear+w*d.stopRear, m.stopFront+w*d.stopFront, m.slip+w*d.slip
	}
	*r = r.as(&m)
	r.coarse = false
	pivot := r.toGuide.times(-1)
	d := &r.Derailleur
	d.PulleyCentres = gearing.MM(r.toTension.sub(r.toGuide).length())
	d.PivotToGuide, d.PivotToTension = gearing.MM(r.toGuide.length()), gearing.MM(r.toTension.length())
	d.PivotAngle = gearing.DegreesOf(math.Atan2(pivot.y, pivot.x))
}

func newRig(b gearing.Build, d Derailleur) *Rig {
	g := b.Rear.Geometry
	r := &Rig{
		Build: b, Derailleur: d, places: places(b),
		plate:        float64(orElse(g.PlateHeight, defaultPlateHeight)),
		target:       float64(orElse(g.TargetGap, defaultTargetGap(b))),
		screw:        orElse(g.ScrewRange, defaultScrewRange).Radians(),
		stretch:      stretch(b),
		guideTip:     float64(d.GuideTeeth.TipRadius()),
		tensionTip:   float64(d.TensionTeeth.TipRadius()),
		ground:       float64(b.Wheel.RollOut()) * 1000 / (2 * math.Pi),
		sprung:       g.MountPreload > 0,
		mountPreload: g.MountPreload, mountRate: g.MountRate * 180 / math.Pi,
	}
	stops := stopPrior(b.Rear)
	r.stopRear, r.stopFront = orElse(g.CageStopRear, stops.rear).Radians(), orElse(g.CageStopForward, stops.front).Radians()
	r.spring = newSpring(g)
	r.toGuide, r.toTension = d.cage()
	return r
}

// stretch is 1 + elongation of the chain owned; a chain yet to be cut is new.
func stretch(b gearing.Build) float64 {
	if b.Chain.Pitches == 0 {
		return 1
	}
	return 1 + float64(b.Chain.Elongation)/100
}

func defaultTargetGap(b gearing.Build) gearing.MM {
	if b.LargestCog() >= wideFrom {
		return wideTarget
	}
	return defaultTarget
}

func (r *Rig) layGears() {
	b := r.Build
	n := len(b.Cogs)
	r.gears = make([]gear, 0, len(b.Rings)*n)
	for _, ring := range b.Rings {
		for j := n - 1; j >= 0; j-- {
			g := gear{id: gearing.GearID{Ring: ring, Cog: b.Cogs[j]}, tip: float64(b.Cogs[j].TipRadius())}
			if n > 1 {
				g.share = float64(j) / float64(n-1)
			}
			r.gears = append(r.gears, g)
		}
	}
	r.layTrains()
}

// layAcross takes in what lies across the bike, and the bare loop of every gear.
func (r *Rig) layAcross() error {
	line, err := gearing.ChainLines(r.Build)
	if err != nil {
		return err
	}
	longest := r.Build.Frame.LongestChainstay()
	for i := range r.gears {
		g := &r.gears[i]
		loop, err := gearing.NewLoop(g.id.Ring, g.id.Cog, longest)
		if err != nil {
			return fmt.Errorf("%w: %w", ErrPath, err)
		}
		worn := gearing.Percent(100 * (r.stretch - 1))
		g.loop = float64(loop.Worn(worn))
		g.loopSlope = 2 * float64(loop.Strand) / float64(longest) / pitchMM / r.stretch
		g.train.aside = float64(line.Gears[i].Offset)
		g.train.valid = g.train.set()
	}
	return nil
}

// layTrains gives every gear its wheels; what cannot be laid out is left with
// ok false and found by checkGears.
func (r *Rig) layTrains() {
	e := r.stretch - 1
	for i := range r.gears {
		g := &r.gears[i]
		g.train = train{
			ring: newWheel(g.id.Ring, e), cog: newWheel(g.id.Cog, e),
			guide: newWheel(r.Derailleur.GuideTeeth, e), tension: newWheel(r.Derailleur.TensionTeeth, e),
			crank: r.places[0].crank, toGuide: r.toGuide, toTension: r.toTension,
			pivot: r.Derailleur.pivotAt(g.share, 0), contact: g.tip + r.guideTip,
		}
		g.train.valid = g.train.set()
	}
}

func (r *Rig) checkStops() error {
	if r.stopRear >= r.stopFront {
		return fmt.Errorf("%w: the rear cage stop at %.0f degrees is not rearward of the forward stop at %.0f; allowed: rear under forward",
			ErrPath, degrees(r.stopRear), degrees(r.stopFront))
	}
	return nil
}

func (r *Rig) checkGears() error {
	d := r.Derailleur
	if tips := r.guideTip + r.tensionTip; float64(d.PulleyCentres) < tips {
		return fmt.Errorf("%w: pulleys of %d and %d teeth overlap with centres %.1f mm apart; allowed: over %.1f mm",
			ErrPath, d.GuideTeeth, d.TensionTeeth, float64(d.PulleyCentres), tips)
	}
	if b := r.Build; float64(b.Frame.Chainstay) < float64(b.LargestRing().TipRadius()+b.LargestCog().TipRadius()) {
		return fmt.Errorf("%w: %s: ring and cog do not clear each other %.0f mm apart",
			ErrPath, gearing.GearName(b.LargestRing(), b.LargestCog()), float64(b.Frame.Chainstay))
	}
	for _, g := range r.gears {
		if !g.train.valid {
			return fmt.Errorf("%w: %s: ring and cog do not clear each other %.0f mm apart",
				ErrPath, g.id, g.train.crank.length())
		}
	}
	return nil
}

func degrees(radians float64) float64 { return radians * 180 / math.Pi }

// Gears is the number of gears of the rig.
func (r *Rig) Gears() int { return len(r.gears) }

// Gear names gear i.
func (r *Rig) Gear(i int) gearing.GearID { return r.gears[i].id }

// Index finds a gear by its teeth; ok is false when the build has no such
// gear.
func (r *Rig) Index(id gearing.GearID) (i int, ok bool) {
	for i := range r.gears {
		if r.gears[i].id == id {
			return i, true
		}
	}
	return 0, false
}
