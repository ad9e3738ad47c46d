package plot

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"cagewise/gearing"
	"cagewise/sim"
)

// mostAway is how far from the rear axle a side view draws, in mm: far outside
// any bicycle.
const mostAway = 3000.0

// leastAway is how near to the rear axle a guide pulley may be, in mm; nearer,
// the direction of the pulley gap is lost.
const leastAway = 1.0

func (v SideView) check() error {
	if err := checkBuild("side view", v.Build, v.GuideTeeth, v.TensionTeeth); err != nil {
		return err
	}
	if err := checkPlace("hanger bolt", v.Hanger); err != nil {
		return fmt.Errorf("side view: %w", err)
	}
	if m := &v.Margin; !finite(float64(m.Forward), float64(m.Rearward), float64(m.Gap)) {
		return fmt.Errorf("side view: %s has no finite errors", v.Fit.GearID)
	}
	switch t, ok := (judgement{v.Advice}).find(v.Fit.GearID); {
	case !ok:
		return fmt.Errorf("side view: no advice on %s; make it with NewSideView", v.Fit.GearID)
	case t.state != v.Fit.State:
		return otherState("side view", &v.Fit, t.state)
	}
	return checkGear("side view", &v.Fit)
}

// checkBuild refuses what no side of a bicycle can be drawn from.
func checkBuild(what string, b gearing.Build, guide, tension gearing.Teeth) error {
	for _, n := range []gearing.Teeth{guide, tension} {
		if !drawable(n) {
			return fmt.Errorf("%s: a pulley of %d teeth; allowed 3 to %d", what, n, gearing.MaxTeeth)
		}
	}
	c := crankCentre(b.Frame)
	if !(c.x > 0 && math.Hypot(c.x, c.y) < mostAway) {
		return fmt.Errorf("%s: chainstay of %v mm and drop of %v mm", what, b.Frame.Chainstay, b.Frame.BottomBracketDrop)
	}
	return nil
}

func drawable(n gearing.Teeth) bool { return n >= 3 && n <= gearing.MaxTeeth }

func checkPlace(what string, p sim.Point) error {
	if !(math.Hypot(float64(p.X), float64(p.Y)) < mostAway) {
		return fmt.Errorf("%s at %v, %v mm from the axle", what, p.X, p.Y)
	}
	return nil
}

// checkGear refuses a gear that cannot be drawn.
func checkGear(what string, g *sim.GearFit) error {
	if !drawable(g.Ring) || !drawable(g.Cog) {
		return fmt.Errorf("%s: gear %s; allowed 3 to %d teeth", what, g.GearID, gearing.MaxTeeth)
	}
	if err := cmp.Or(checkPlace("cage pivot", g.Pivot), checkPlace("guide pulley", g.Guide), checkPlace("tension pulley", g.Tension)); err != nil {
		return fmt.Errorf("%s: %s: %w", what, g.GearID, err)
	}
	if !finite(float64(g.Forward), float64(g.Rearward), float64(g.Gap)) {
		return fmt.Errorf("%s: %s has no finite figures", what, g.GearID)
	}
	if !g.NoPath && math.Hypot(float64(g.Guide.X), float64(g.Guide.Y)) < leastAway {
		return fmt.Errorf("%s: %s: the guide pulley is on the rear axle", what, g.GearID)
	}
	return nil
}

// finite tells whether all values are numbers of a sane size.
func finite(values ...float64) bool {
	for _, v := range values {
		if !(math.Abs(v) < 1e6) {
			return false
		}
	}
	return true
}

var (
	errNoGears  = errors.New("no gears; make them with sim.NewStudy")
	errNoAnswer = errors.New("nothing is known of the cage, so no gear is simulated")
)

// noAnswer says why a study has no answer.
func noAnswer(s *sim.Study) error {
	if s.Missing != nil {
		return s.Missing
	}
	return errNoAnswer
}
