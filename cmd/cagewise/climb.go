package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"cagewise/gearing"
	"cagewise/sim/road"
)

func climbCommand() command {
	return command{
		name: "climb", args: "[BUILD FILE] [flags]", summary: "speed and cadence on a hill, and the gear it asks for",
		about: "Two powers are looked at, the one you hold all day and the one you hold for a short ramp. Speeds do not depend on the gear; cadences do.",
		examples: []example{
			{"climb tour.toml --mass 110 --power 150,230 --grade 6,10,14", "cadence and speed with luggage on three grades"},
		},
		define: func(flags *pflag.FlagSet) func(*call) (int, error) {
			out := addTextFlags(flags, "text, json, csv or markdown")
			addUnitsFlag(flags)
			hill := addHillFlags(flags)
			buildFlags(flags)
			return func(c *call) (int, error) {
				in, err := c.load()
				if err != nil {
					return 0, err
				}
				r, err := hill.climb(c, in)
				if err != nil {
					return 0, err
				}
				return exitFine, c.emit(out, in, r)
			}
		},
	}
}

// hillFlags describe rider and hill.
type hillFlags struct {
	mass, cda, crr, density, efficiency, wind *float64
	grades, powers                            *[]float64
	least                                     *float64
	gears                                     *int
}

func addHillFlags(flags *pflag.FlagSet) hillFlags {
	return hillFlags{
		mass:       flags.Float64("mass", road.DefaultMassKG, "rider, bike and luggage, kg"),
		powers:     flags.Float64Slice("power", []float64{130, 220}, "at the cranks, W: all day, and short"),
		grades:     flags.Float64Slice("grade", []float64{4, 6, 8, 10, 12, 15}, "grades, %"),
		least:      flags.Float64("least-cadence", 0, "least cadence you want, rpm; default: the rider's lower cadence"),
		gears:      flags.Int("lowest", 6, "how many of the lowest gears to show, 0 for all"),
		cda:        flags.Float64("drag-area", road.DefaultCdA, "of rider and bike, m^2"),
		crr:        flags.Float64("rolling", road.DefaultCrr, "coefficient of rolling resistance"),
		density:    flags.Float64("air-density", road.DefaultDensity, "kg/m^3"),
		efficiency: flags.Float64("efficiency", road.DefaultEfficiency, "of the drivetrain, 0.5 to 1"),
		wind:       flags.Float64("headwind", 0, "along the road, km/h"),
	}
}

// climbReport is what `cagewise climb` says.
type climbReport struct {
	Build buildSummary `json:"build"`
	road.Climb
	LostBy string `json:"lost_by"`
	// Left holds the gears left out as lost.
	Left  []gearing.GearID   `json:"left_out_gears"`
	Rider map[string]float64 `json:"rider"`
	// Danger is the warning of a chain at hand that is dangerous; "" for none.
	Danger string `json:"owned_chain_danger"`
}

// climb finds what a build does on the hill. Grades that look like fractions are
// warned of.
func (f hillFlags) climb(c *call, in input) (climbReport, error) {
	if err := f.check(); err != nil {
		return climbReport{}, err
	}
	warnOfFractions(c.err, "grade", *f.grades)
	return f.climbAt(in, *f.grades)
}

// climbAt does so for grades in percent.
func (f hillFlags) climbAt(in input, grades []float64) (climbReport, error) {
	s, err := in.study()
	if err != nil {
		return climbReport{}, err
	}
	t := s.Table
	rider := f.road()
	if err := rider.Check(); err != nil {
		return climbReport{}, err
	}
	hill := road.Hill{Powers: *f.powers, LeastCadence: cmp.Or(*f.least, in.build.Build.Rider.CadenceLow)}
	for _, g := range grades {
		hill.Grades = append(hill.Grades, g/100)
	}
	climb, err := road.NewClimb(t, rider, hill, *f.gears)
	if err != nil {
		return climbReport{}, err
	}
	left := []gearing.GearID{}
	for _, g := range t.Gears {
		if g.Lost {
			left = append(left, gearing.GearID{Ring: g.Ring, Cog: g.Cog})
		}
	}
	return climbReport{
		Left: left, Danger: ownedDanger(&s.Advice),
		Build: summarise(in.build.Build), Climb: climb, LostBy: lostBy(s),
		Rider: map[string]float64{
			"mass_kg": rider.MassKG, "drag_area_m2": rider.CdA, "rolling_resistance": rider.Crr, "air_density_kg_m3": rider.AirDensity,
			"efficiency": rider.Efficiency, "headwind_km_h": *f.wind,
		},
	}, nil
}

// road is the rider on the road.
func (f hillFlags) road() road.Rider {
	return road.Rider{
		MassKG: *f.mass, CdA: *f.cda, Crr: *f.crr, AirDensity: *f.density, Efficiency: *f.efficiency, Headwind: *f.wind / 3.6,
	}
}

// check holds every flag against its range, in the flag's own unit.
func (f hillFlags) check() error {
	if n := len(*f.grades); n == 0 || n > 40 {
		return fmt.Errorf("--grade: %d grades; allowed: 1 to 40", n)
	}
	if n := len(*f.powers); n == 0 || n > 4 {
		return fmt.Errorf("--power: %d powers; allowed: 1 to 4", n)
	}
	least := []float64{*f.least}
	if *f.least == 0 { // the rider's
		least = nil
	}
	return errors.Join(
		within("lowest", 0, gearing.MaxCogs*gearing.MaxRings, "gears", float64(*f.gears)),
		within("mass", 30, 500, "kg", *f.mass), within("drag-area", 0.1, 3, "m^2", *f.cda), within("rolling", 0.001, 0.05, "", *f.crr),
		within("air-density", 0.5, 1.6, "kg/m^3", *f.density), within("efficiency", 0.5, 1, "", *f.efficiency),
		within("headwind", -108, 108, "km/h", *f.wind), within("grade", -30, 60, "%", *f.grades...),
		within("power", 20, 2000, "W", *f.powers...), within("least-cadence", 20, 120, "rpm", least...),
	)
}

// mostFraction is a grade in percent under which, where no other is over it,
// fractions are likely meant: no road is looked at for 0.3 %, many rise by 0.1.
const mostFraction = 0.35

// warnOfFractions asks whether grades were given as fractions.
func warnOfFractions(w io.Writer, flag string, grades []float64) {
	var given, meant []string
	for _, g := range grades {
		if math.Abs(g) > mostFraction {
			return
		}
		given, meant = append(given, num(g, -1)), append(meant, percent(g))
	}
	if slices.ContainsFunc(grades, func(g float64) bool { return g != 0 }) {
		fmt.Fprintf(w, "cagewise: warning: --%s: %s %%; grades are in percent: is %s %% meant?\n", flag, strings.Join(given, ", "), strings.Join(meant, ", "))
	}
}

func (r climbReport) titleText() string { return r.Build.heading() }

func (r climbReport) write(p *page) {
	p.section("On the hill")
	mass, area := riderWords(p.units, r.Rider["mass_kg"], r.Rider["drag_area_m2"])
	p.para("%s in all, rolling resistance %s, drag area %s, air %s, headwind %s, %s %% of the power at the cranks reaches the wheel.",
		mass, num(r.Rider["rolling_resistance"], 4), area, airWords(p.units, r.Rider["air_density_kg_m3"]),
		speedWords(p.units, r.Rider["headwind_km_h"]), num(100*r.Rider["efficiency"], 0))
	if len(r.Left) > 0 {
		p.para("Left out as lost by %s: %s.", r.LostBy, gearList(r.Left))
	}
	p.grid(r.speedTable(p.units))
	p.para("A development under the wanted one keeps your cadence over %s rpm. Speeds do not depend on the gear; ! is under balancing speed.", num(r.LeastCadence, -1))
	for k := range r.Powers {
		p.section(fmt.Sprintf("Cadence with %s W", num(r.Powers[k], -1)))
		p.grid(r.cadenceTable(k, p.units))
		p.para("%s", r.wantedWords(k, p.units))
	}
	p.section("Caution")
	if r.Danger != "" {
		p.item("", "%s", r.Danger)
	}
	p.item("", "Computed for steady riding on an even grade; ramps are steeper than the mean grade, legs tire, and wind and surface change the answer. Under about %s a bike is hard to balance whatever the gear.", speedWords(p.units, road.BalanceKmH))
}

// percent writes a grade as it was given: 14, not 14.000000000000002.
func percent(grade float64) string { return num(math.Round(1e8*grade)/1e6, -1) }

func (r climbReport) speedTable(u gearing.Units) *table {
	t := &table{cols: []column{{head: "power", left: true}}}
	for _, g := range r.Grades {
		t.cols = append(t.cols, column{head: percent(g) + " %"})
	}
	for k, p := range r.Powers {
		speed, wanted := []string{num(p, -1) + " W, " + u.SpeedUnit()}, []string{num(p, -1) + " W, wants " + u.DevelopmentUnit()}
		for i := range r.Grades {
			mark := ""
			if !r.Balanced[k][i] {
				mark = "!"
			}
			speed, wanted = append(speed, num(u.Speed(r.Speeds[k][i]), 1)+mark), append(wanted, develops(u, gearing.Metres(r.Needed[k][i])))
		}
		t.add(speed...)
		t.add(wanted...)
	}
	return t
}

func (r climbReport) cadenceTable(k int, u gearing.Units) *table {
	t := &table{cols: []column{{head: "gear", left: true}, developColumn(u), {head: "holds", unit: "%"}}}
	for _, g := range r.Grades {
		t.cols = append(t.cols, column{head: percent(g) + " %", unit: "rpm"})
	}
	for _, g := range r.Gears {
		row := []string{g.GearID.String(), develops(u, g.Development), holds(g.Steepest[k])}
		for i := range r.Grades {
			row = append(row, num(g.Cadences[k][i], 0))
		}
		t.add(row...)
	}
	return t
}

func holds(grade float64) string {
	if math.IsInf(grade, 1) {
		return "any"
	}
	return num(100*grade, 1)
}

// wantedWords says which gear the steepest grade asks for.
func (r climbReport) wantedWords(k int, u gearing.Units) string {
	w := r.Wanted[k]
	steepest := r.Grades[0]
	for _, g := range r.Grades {
		steepest = max(steepest, g)
	}
	s := fmt.Sprintf("holds: the steepest grade at %s rpm. %s %% wants %s or less: ", num(r.LeastCadence, 0), percent(steepest), turnWords(u, gearing.Metres(w.Development)))
	switch {
	case w.TooSlow:
		return s + fmt.Sprintf("no gear keeps this above balancing speed (%s); walk, or find more power or less load.", speedWords(u, road.BalanceKmH))
	case w.Have:
		return s + fmt.Sprintf("the %s has it.", r.Gears[0].GearID)
	}
	ring := fmt.Sprintf("a ring of %d teeth with the largest cog you have", w.Ring)
	if w.Ring < road.UsualRing {
		ring += fmt.Sprintf(" (unusual: few are under %d)", road.UsualRing)
	}
	both := "; of usual sizes not even both together do"
	if w.BothRing > 0 {
		both = fmt.Sprintf("; of usual sizes a ring of %d and a cog of %d teeth do it together", w.BothRing, w.BothCog)
	}
	cog := fmt.Sprintf("a largest cog of %d teeth with your smallest ring", w.Cog)
	switch {
	case w.Ring > 0 && w.Cog > 0:
		return s + ring + ", or " + cog + "."
	case w.Ring > 0 && w.Ring < road.UsualRing:
		return s + ring + "; no cog that is made does it with your smallest ring" + both + "."
	case w.Ring > 0:
		return s + ring + "; no cog that is made does it with your smallest ring."
	case w.Cog > 0:
		return s + cog + "; no ring that is made does it with your largest cog."
	}
	return s + "neither a ring nor a cog that is made gives it alone" + both + "."
}

// turnWords write a development with what it is a measure of.
func turnWords(u gearing.Units, d gearing.Metres) string {
	if u == gearing.Imperial {
		return develops(u, d) + " gear inches"
	}
	return develops(u, d) + " m a turn"
}

// csvTable is one row a gear, power and grade.
func (r climbReport) csvTable() *table {
	t := &table{cols: []column{
		{key: "gear"}, {key: "development_m"}, {key: "power_w"}, {key: "grade_percent"}, {key: "speed_km_h"}, {key: "cadence_rpm"}, {key: "balanced"}, {key: "steepest_grade_percent"},
	}}
	for _, g := range r.Gears {
		for k, p := range r.Powers {
			for i, grade := range r.Grades {
				steepest := ""
				if !math.IsInf(g.Steepest[k], 0) {
					steepest = num(100*g.Steepest[k], 2)
				}
				t.add(g.GearID.String(), num(float64(g.Development), 3), num(p, -1), percent(grade), num(r.Speeds[k][i], 2), num(g.Cadences[k][i], 1), fmt.Sprint(r.Balanced[k][i]), steepest)
			}
		}
	}
	return t
}
