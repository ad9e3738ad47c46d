package plot

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"cagewise/gearing"
	"cagewise/sim"
)

// Comparison shows builds side by side on one logarithmic axis of development:
// a lane for each build, in it a row of marks for each ring. Gears of one
// duplicate group are tied, lost gears are hollow, dangerous ones have the mark
// of their state; a line over all lanes stands at the development of the cruising
// speed, the gear ridden there is ringed and a hole beside it is hatched.
type Comparison struct {
	Compared sim.Comparison // 1 to sim.MostOptions builds
	Name     string         // heading; empty: how many builds there are
	// Units are those of speeds and developments; metric, when not said.
	Units gearing.Units
}

// Title is the heading.
func (c Comparison) Title() string {
	switch n := len(c.Compared.Options); {
	case strings.TrimSpace(c.Name) != "":
		return c.Name
	case n == 1:
		return "Gears of one build"
	default:
		return count(n, "build") + " side by side"
	}
}

// Describe says what the comparison shows.
func (c Comparison) Describe() string {
	s := "Gears of builds side by side on a logarithmic axis of development. " + strings.Join(c.facts(), "; ") + "."
	for i := range c.Compared.Options {
		o := &c.Compared.Options[i]
		facts := append(append(gearFacts(o), c.rideFacts(o)...), keepFacts(o, allNamed)...)
		s += fmt.Sprintf(" Build %d, %s: %s; %s.", i+1, teethOf(o.Table), c.endsWords(o.Table), strings.Join(facts, "; "))
	}
	return s
}

func (c Comparison) endsWords(t gearing.Table) string {
	return "lowest " + gearWords(c.Units, t.Lowest()) + ", highest " + gearWords(c.Units, t.Highest())
}

// Size is the default page in mm.
func (c Comparison) Size() (wMM, hMM float64) { return 160, c.heightAt(160) }

// heightAt implements follower.
func (c Comparison) heightAt(wMM float64) float64 {
	lines := 13.9 // heading, axis and a line of the legend
	for _, more := range []bool{wMM < 120, c.mostRings() > 1, c.any(func(o *sim.Option) bool { return len(c.holes(o)) > 0 })} {
		if more {
			lines += 1.4
		}
	}
	for i := range c.Compared.Options {
		o := &c.Compared.Options[i]
		lines += 5.3 + 1.35*float64(len(o.Table.Rings))
		if facts := keepFacts(o, named); len(facts) > 0 {
			lines += laneFact * math.Ceil(float64(len(strings.Join(facts, " · ")))/perFactLine)
		}
	}
	return allowed(lines * max(ladderText, ladderPerWidth*wMM))
}

// perFactLine is about how many letters of figures stand on a line of a lane.
const perFactLine = 70

// facts are what the picture says in words.
func (c Comparison) facts() []string {
	k := c.Compared
	list := []string{
		fmt.Sprintf("Cruising at %s and %s rpm: %s%s", speedIn(c.Units, k.CruiseKmH), plain(k.Cadence), developmentIn(c.Units, c.cruiseMetres()), turnWords(c.Units)),
		fmt.Sprintf("a step over %s %% is a hole", plain(float64(k.Hole))),
	}
	return append(list, c.basisFacts()...)
}

// cruiseMetres is the development of the cruising speed, m.
func (c Comparison) cruiseMetres() gearing.Metres {
	return gearing.Metres(c.Compared.CruiseKmH * 1000 / 60 / c.Compared.Cadence)
}

// cruise is that development in the unit that is shown.
func (c Comparison) cruise() float64 { return c.Units.Development(c.cruiseMetres()) }

// of is a gear's development in the unit that is shown.
func (c Comparison) of(g gearing.Gear) float64 { return c.Units.Development(g.Development) }

// developmentIn writes a development with its unit.
func developmentIn(u gearing.Units, d gearing.Metres) string {
	return fixed(u.Development(d), u.DevelopmentDecimals()) + " " + u.DevelopmentUnit()
}

// turnWords tell what the metres of a development are counted over; gear inches
// are no way a turn.
func turnWords(u gearing.Units) string {
	if u == gearing.Imperial {
		return " of gear"
	}
	return " per crank turn"
}

// developmentAxis names an axis of developments.
func developmentAxis(u gearing.Units) string {
	if u == gearing.Imperial {
		return "gear inches"
	}
	return "development, m per crank turn"
}

func (c Comparison) check() error {
	k := c.Compared
	if n := len(k.Options); n == 0 || n > sim.MostOptions {
		return fmt.Errorf("comparison: %d builds; allowed 1 to %d", n, sim.MostOptions)
	}
	if d := float64(c.cruiseMetres()); !(d >= leastDevelopment && d <= mostDevelopment) {
		return fmt.Errorf("comparison: a cruising speed of %v km/h at %v rpm", k.CruiseKmH, k.Cadence)
	}
	for i := range k.Options {
		if err := checkTable(k.Options[i].Table); err != nil {
			return fmt.Errorf("comparison: build %d: %w", i+1, err)
		}
		gears := k.Options[i].Table.Gears
		gear := func(g int) gearing.GearID { return gearing.GearID{Ring: gears[g].Ring, Cog: gears[g].Cog} }
		if err := (judgement{&k.Options[i].Advice}).check(fmt.Sprintf("comparison: build %d", i+1), gear, len(gears)); err != nil {
			return err
		}
	}
	return nil
}

var errTable = errors.New("the table is not complete; make it with gearing.NewTable")

// checkTable refuses a table whose gears cannot be drawn.
func checkTable(t gearing.Table) error {
	n := len(t.Rings) * len(t.Cogs)
	if n == 0 || len(t.Gears) != n || len(t.Rings) > gearing.MaxRings || len(t.Cogs) > gearing.MaxCogs || len(t.Order) != n {
		return errTable
	}
	for _, g := range t.Gears {
		if d := float64(g.Development); !(d >= leastDevelopment && d <= mostDevelopment) {
			return fmt.Errorf("%s has a development of %v m; allowed %v to %v", g.Name(), d, leastDevelopment, mostDevelopment)
		}
	}
	return nil
}

// teethOf names a build by its wheels: 46/30 x 11-36.
func teethOf(t gearing.Table) string {
	words := make([]string, len(t.Rings))
	for i, r := range t.Rings {
		words[len(words)-1-i] = fmt.Sprint(r)
	}
	s := strings.Join(words, "/") + " x " + fmt.Sprint(t.Cogs[0])
	if n := len(t.Cogs); n > 1 {
		s += fmt.Sprintf("-%d", t.Cogs[n-1])
	}
	return s
}

// cruiseGear is the index of the gear ridden at the cruising speed among the
// table's; -1 when there is none.
func cruiseGear(o *sim.Option) int {
	for i, g := range o.Table.Gears {
		if g.Ring == o.Cruise.Ring && g.Cog == o.Cruise.Cog {
			return i
		}
	}
	return -1
}

// holes lists the pairs of gears, as indices, that stand on either side of a
// hole beside the cruising gear.
func (c Comparison) holes(o *sim.Option) [][2]int {
	i, n := cruiseGear(o), len(o.Table.Cogs)
	if i < 0 || !o.Cruise.Hole {
		return nil
	}
	var pairs [][2]int
	if o.Cruise.Down > c.Compared.Hole && i%n > 0 {
		pairs = append(pairs, [2]int{i - 1, i})
	}
	if o.Cruise.Up > c.Compared.Hole && i%n < n-1 {
		pairs = append(pairs, [2]int{i, i + 1})
	}
	return pairs
}

// span is the range of developments over all builds and the cruising speed, in
// the unit that is shown.
func (c Comparison) span() (lo, hi float64) {
	lo, hi = c.cruise(), c.cruise()
	for i := range c.Compared.Options {
		t := c.Compared.Options[i].Table
		lo, hi = min(lo, c.of(t.Lowest())), max(hi, c.of(t.Highest()))
	}
	if hi/lo < 1.2 { // else one gear's axis would show a sliver
		mid := math.Sqrt(lo * hi)
		return mid / 1.2, mid * 1.2
	}
	return lo, hi
}

// mostRings is the greatest number of rings of a build.
func (c Comparison) mostRings() int {
	n := 0
	for i := range c.Compared.Options {
		n = max(n, len(c.Compared.Options[i].Table.Rings))
	}
	return n
}

// any tells whether something is so of a gear of any build.
func (c Comparison) any(is func(o *sim.Option) bool) bool {
	for i := range c.Compared.Options {
		if is(&c.Compared.Options[i]) {
			return true
		}
	}
	return false
}
