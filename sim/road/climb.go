package road

import (
	"errors"
	"fmt"
	"math"

	"cagewise/gearing"
)

// KmH turns m/s into km/h.
func KmH(metresPerSecond float64) float64 { return metresPerSecond * 3.6 }

// Hill asks what gears do on a grade.
type Hill struct {
	Grades       []float64 // rise over run; 1 to 40 values from -0.3 to 0.6
	Powers       []float64 // at the cranks, watts; 1 to 4 values from 20 to 2000
	LeastCadence float64   // crank turns a minute; 20 to 120
}

// Check refuses a hill that cannot be computed.
func (h Hill) Check() error {
	if n := len(h.Grades); n == 0 || n > 40 {
		return fmt.Errorf("%d grades; allowed: 1 to 40", n)
	}
	if n := len(h.Powers); n == 0 || n > 4 {
		return fmt.Errorf("%d powers; allowed: 1 to 4", n)
	}
	for _, g := range h.Grades {
		if !(g >= -0.3 && g <= 0.6) {
			return fmt.Errorf("grade %v %%; allowed: -30 to 60 %%", 100*g)
		}
	}
	for _, p := range h.Powers {
		if !(p >= 20 && p <= 2000) {
			return fmt.Errorf("power %v W; allowed: 20 to 2000 W", p)
		}
	}
	if !(h.LeastCadence >= 20 && h.LeastCadence <= 120) {
		return fmt.Errorf("least cadence %v rpm; allowed: 20 to 120 rpm", h.LeastCadence)
	}
	return nil
}

// Climb is what a rider's gears do on a hill.
type Climb struct {
	Rider        Rider     `json:"-"`
	Grades       []float64 `json:"grades_rise_over_run"`
	Powers       []float64 `json:"powers_w"`
	LeastCadence float64   `json:"least_cadence_rpm"`
	// Speeds has one row a power, one speed a grade, km/h. They do not
	// depend on the gear.
	Speeds [][]float64 `json:"speeds_km_h"`
	// Balanced tells where the speed stays over BalanceKmH.
	Balanced [][]bool `json:"balanced"`
	// Needed is the development in m that turns the cranks at the least
	// cadence at that speed.
	Needed [][]float64 `json:"needed_development_m"`
	Gears  []ClimbGear `json:"gears"` // from the lowest
	// Wanted is what would give the steepest grade's development; one a
	// power.
	Wanted []Wanted `json:"wanted"`
}

// ClimbGear is one gear on the hill.
type ClimbGear struct {
	gearing.GearID
	Development gearing.Metres `json:"development_m"`
	// Cadences has one row a power, one cadence a grade, crank turns a
	// minute.
	Cadences [][]float64 `json:"cadences_rpm"`
	// Steepest is the steepest grade it holds at the least cadence, one a
	// power; its speed is SpeedKmH.
	Steepest []float64 `json:"steepest_grades_rise_over_run"`
	SpeedKmH float64   `json:"speed_at_least_cadence_km_h"`
}

// Wanted is the gear a hill asks for at the steepest grade.
type Wanted struct {
	Development float64 `json:"development_m"`
	Have        bool    `json:"have"` // a gear is that low already
	// Ring is the largest ring that gives it with the largest cog, Cog the
	// smallest cog that gives it with the smallest ring; 0: none sensible.
	Ring gearing.Teeth `json:"ring_teeth"`
	Cog  gearing.Teeth `json:"cog_teeth"`
	// BothRing and BothCog give it together, each of a usual size, where no
	// usual one does alone; 0 where one does, or no such pair does.
	BothRing gearing.Teeth `json:"both_ring_teeth"`
	BothCog  gearing.Teeth `json:"both_cog_teeth"`
	// TooSlow: no gear keeps this above balancing speed.
	TooSlow bool `json:"under_balancing_speed"`
}

// ErrNoGear tells that a table holds no gear.
var ErrNoGear = errors.New("no gears")

// NewClimb computes the lowest most gears of a table on a hill; most 0 takes
// all of them. Lost gears are left out.
func NewClimb(t gearing.Table, r Rider, h Hill, most int) (Climb, error) {
	r = r.WithDefaults()
	if err := errors.Join(r.Check(), h.Check()); err != nil {
		return Climb{}, err
	}
	c := Climb{Rider: r, Grades: h.Grades, Powers: h.Powers, LeastCadence: h.LeastCadence}
	c.addSpeeds()
	for _, i := range t.Order {
		if g := t.Gears[i]; !g.Lost && (most == 0 || len(c.Gears) < most) {
			c.Gears = append(c.Gears, c.gear(g))
		}
	}
	if len(c.Gears) == 0 {
		return Climb{}, ErrNoGear
	}
	c.addWanted(t)
	return c, nil
}

func (c *Climb) addSpeeds() {
	for _, p := range c.Powers {
		speeds, needed, balanced := make([]float64, len(c.Grades)), make([]float64, len(c.Grades)), make([]bool, len(c.Grades))
		for i, g := range c.Grades {
			v := c.Rider.Speed(p, g)
			speeds[i], needed[i] = KmH(v), 60*v/c.LeastCadence
			balanced[i] = speeds[i] >= BalanceKmH
		}
		c.Speeds, c.Needed, c.Balanced = append(c.Speeds, speeds), append(c.Needed, needed), append(c.Balanced, balanced)
	}
}

func (c *Climb) gear(g gearing.Gear) ClimbGear {
	out := ClimbGear{GearID: gearing.GearID{Ring: g.Ring, Cog: g.Cog}, Development: g.Development}
	d := float64(g.Development)
	for k := range c.Powers {
		row := make([]float64, len(c.Grades))
		for i, v := range c.Speeds[k] {
			row[i] = v / 3.6 / d * 60
		}
		out.Cadences = append(out.Cadences, row)
	}
	v := d * c.LeastCadence / 60
	out.SpeedKmH = KmH(v)
	for _, p := range c.Powers {
		out.Steepest = append(out.Steepest, c.Rider.Grade(p, v))
	}
	return out
}

// Grade is the grade on which a power at the cranks holds a speed in m/s: the
// climbing and rolling terms are m g V (sin + Crr cos) of one angle, which is
// m g V sqrt(1 + Crr^2) sin(angle + atan Crr) (derived here). Over 1 the
// answer is +Inf: a wall would be held.
func (r Rider) Grade(power, speed float64) float64 {
	flat := r.Power(speed, 0)
	left := power*r.Efficiency - flat.Air - flat.Bearings
	sin := left / (r.MassKG * Gravity * speed * math.Hypot(1, r.Crr))
	if sin >= 1 {
		return math.Inf(1)
	}
	return math.Tan(math.Asin(max(sin, -1)) - math.Atan(r.Crr))
}

// Wheels that are made (common practice, no source).
const (
	leastRing gearing.Teeth = 18
	mostCog   gearing.Teeth = 52
)

// UsualRing is the smallest ring that is usual: smaller ones are made for few
// cranks (common practice, no source).
const UsualRing gearing.Teeth = 22

func (c *Climb) addWanted(t gearing.Table) {
	steepest := 0
	for i, g := range c.Grades {
		if g > c.Grades[steepest] {
			steepest = i
		}
	}
	rollOut := float64(t.RollOut)
	cog, ring := float64(t.Cogs[len(t.Cogs)-1]), float64(t.Rings[0])
	for k := range c.Powers {
		w := Wanted{Development: c.Needed[k][steepest], TooSlow: !c.Balanced[k][steepest]}
		w.Have = float64(c.Gears[0].Development) <= w.Development
		if n := gearing.Teeth(math.Floor(w.Development / rollOut * cog)); n >= leastRing {
			w.Ring = n
		}
		if n := gearing.Teeth(math.Ceil(ring * rollOut / w.Development)); n <= mostCog {
			w.Cog = n
		}
		if !w.Have && w.Ring < UsualRing && w.Cog == 0 {
			w.BothRing, w.BothCog = both(w.Development/rollOut, ring, cog)
		}
		c.Wanted = append(c.Wanted, w)
	}
}

// both finds ring and cog of usual sizes that give a ratio together and part the
// change between them most evenly; 0 where none do.
func both(ratio, ring, cog float64) (newRing, newCog gearing.Teeth) {
	best := math.Inf(1)
	for r := UsualRing; float64(r) < ring; r++ {
		c := gearing.Teeth(math.Ceil(float64(r) / ratio))
		if c > mostCog {
			break
		}
		if change := max(ring/float64(r), float64(c)/cog); change < best {
			best, newRing, newCog = change, r, c
		}
	}
	return newRing, newCog
}
