package sim

import (
	"fmt"
	"math"

	"cagewise/gearing"
)

// defaultPlateHeight is how far the chain's plates stand out over the pitch
// circle of the guide pulley when the lower run passes it (from memory;
// measure).
const defaultPlateHeight gearing.MM = 8.6

// PulleyMethods finds the chain length by the two shop methods that look at
// the pulleys (common practice, no source): both pulleys in a vertical line on
// the largest ring and smallest cog, rounded up, and the longest chain that
// does not touch itself on the smallest ring and smallest cog, rounded down.
// It needs the chainstay and a geometry (gearing.ErrNoChainstay,
// ErrNoGeometry).
func PulleyMethods(b gearing.Build) ([]gearing.MethodLength, error) {
	if b.Frame.Chainstay <= 0 {
		return nil, gearing.ErrNoChainstay
	}
	b.Chain.Elongation = 0 // the count is for a new chain
	d, err := NewDerailleur(b)
	if err != nil {
		return nil, err
	}
	vertical, err := d.newTrain(b, b.LargestRing(), b.SmallestCog(), 0, 0)
	if err != nil {
		return nil, err
	}
	p := vertical.at(-math.Pi / 2)
	slack, err := d.newTrain(b, b.SmallestRing(), b.SmallestCog(), 0, 0)
	if err != nil {
		return nil, err
	}
	plate := float64(orElse(b.Rear.Geometry.PlateHeight, defaultPlateHeight))
	q, ok := slack.touching(plate)
	if !p.ok || !ok {
		return nil, fmt.Errorf("pulley methods: the chain path does not close with pulleys %.0f mm apart", float64(d.PulleyCentres))
	}
	step, perMM := float64(gearing.CountStep(b.Chain)), 2/gearing.Pitch
	return []gearing.MethodLength{
		gearing.RoundCount(gearing.MethodVertical, gearing.Pitches(p.pitches), step, 1, perMM),
		gearing.RoundCount(gearing.MethodSmallSmall, gearing.Pitches(q.pitches), step, 0, perMM),
	}, nil
}

// runClearance is the distance from the guide pulley's centre to the lower
// run; it shrinks as the cage swings rearward. With the cage forward the guide
// pulley lies past the run's end on the tension pulley.
func (p *pose) runClearance(tensionRadius float64) float64 {
	return clearance(heading(p.lower.direction), p.guide.sub(p.tension), tensionRadius)
}

// clearance is the same for the run's heading and the guide pulley's place from
// the tension pulley.
func clearance(h, d vec, tensionRadius float64) float64 {
	across, past := tensionRadius-h.cross(d), h.dot(d)
	if past > 0 {
		return math.Hypot(across, past)
	}
	return across
}

// touching finds the rearmost cage angle at which the lower run keeps plate
// millimetres from the guide pulley's pitch circle.
func (t *train) touching(plate float64) (pose, bool) {
	least := t.guide.radius + plate
	clear, hit := -math.Pi/2, -1.25*math.Pi
	if p := t.at(clear); !p.ok || p.runClearance(t.tension.radius) < least {
		return pose{}, false
	}
	for range 60 {
		mid := (clear + hit) / 2
		if p := t.at(mid); p.ok && p.runClearance(t.tension.radius) >= least {
			clear = mid
		} else {
			hit = mid
		}
	}
	return t.at(clear), true
}
