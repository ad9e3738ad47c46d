package plot

import (
	"strings"
	"testing"

	"cagewise/gearing"
	"cagewise/sim/road"
)

// In imperial units every chart has room for its words, and metric ones are
// gone from what it says.
func TestImperialLayout(t *testing.T) {
	all := map[string]Picture{}
	for name, b := range bands(t) {
		b.Units = gearing.Imperial
		all["speed "+name] = b
	}
	for name, c := range climbs(t) {
		c.Units = gearing.Imperial
		all["climb "+name] = c
	}
	for name, c := range comparisons(t) {
		c.Units = gearing.Imperial
		all["comparison "+name] = c
	}
	all["ladder"] = Ladder{Table: table(t, 37, teeth(30, 46), elevenTo36), Units: gearing.Imperial}
	for name, p := range all {
		for _, o := range oddPages {
			noProblems(t, name, p, o)
		}
		for _, unit := range []string{"km/h", " kg", "m²", " m (", " m per crank turn;", " m or less"} {
			if strings.Contains(p.Describe(), unit) {
				t.Errorf("%s speaks of %q in imperial units: %s", name, unit, p.Describe())
			}
		}
	}
}

// Conversions by hand: 25 km/h / 1.609344 = 15.53 mph; at 90 rpm 25 km/h are
// 4.6296 m a turn, / (pi x 0.0254 m) = 58.02 gear inches; 4 km/h = 2.485 mph;
// 90.718474 kg / 0.45359237 = 200 lb; 0.5 m2 / 0.09290304 = 5.382 ft2; 12.5
// km/h = 7.767 mph; 1 kg/m3 x 0.0283168 / 0.4535924 = 0.06243 lb/ft3.
func TestImperialWords(t *testing.T) {
	says := func(what, text string, words ...string) {
		t.Helper()
		for _, w := range words {
			if !strings.Contains(text, w) {
				t.Errorf("%s does not say %q: %s", what, w, text)
			}
		}
	}
	b := bands(t)["double"]
	b.Units = gearing.Imperial
	says("the speed chart", b.Describe(), "in mph.", "gears for 15.5 mph")
	says("its axis", string(svgOf(t, b, Options{})), ">speed, mph<", ">15.5 mph<")

	c := swaps(t)
	c.Units = gearing.Imperial
	says("the comparison", c.Describe(), "Cruising at 15.5 mph and 90 rpm: 58.0 in of gear")
	says("its axis", string(svgOf(t, c, Options{})), ">gear inches<", ">cruise 58.0 in<")

	hill := climb(t, table(t, 0, teeth(30, 46), elevenTo36), road.Rider{MassKG: 90.718474, CdA: 0.5, Headwind: 12.5 / 3.6, AirDensity: 1},
		road.Hill{Grades: grid(0, 0.15, 40), Powers: []float64{130}, LeastCadence: 60}, 6)
	hill.Units = gearing.Imperial
	says("the climb", hill.Describe(), "Mass 200 lb", "drag area 5.38 ft²", "headwind 7.8 mph", "air density 0.0624 lb/ft³")
	says("its rows", string(svgOf(t, hill, Options{})), ">mph<", "under 2.5 mph")
}
