package road_test

import (
	"fmt"
	"log"
	"os"

	"cagewise/gearing"
	"cagewise/gearing/build"
	"cagewise/sim/road"
)

// How fast is a loaded tourer at 150 W on 8 %, and what does 10 km/h cost?
func ExampleRider() {
	r := road.Rider{MassKG: 110}.WithDefaults()
	v := r.Speed(150, 0.08)
	fmt.Printf("%.1f km/h\n", road.KmH(v))
	fmt.Printf("%.0f W\n", r.AtCranks(r.Power(10/3.6, 0.08)))
	// Output:
	// 5.5 km/h
	// 278 W
}

// Which cadence does the lowest gear turn on a hill, and which does it want?
func ExampleNewClimb() {
	r, err := build.Read("../../examples/touring-double.toml")
	if err != nil {
		log.Fatal(err)
	}
	table, err := gearing.NewTable(r.Build, gearing.TableOptions{})
	if err != nil {
		log.Fatal(err)
	}
	hill := road.Hill{Grades: []float64{0.06, 0.10}, Powers: []float64{150}, LeastCadence: 60}
	c, err := road.NewClimb(table, road.Rider{MassKG: 110}, hill, 1)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%s: %.0f rpm on 6 %%, %.0f on 10 %%; wanted there: %.2f m a turn\n", c.Gears[0], c.Gears[0].Cadences[0][0], c.Gears[0].Cadences[0][1], c.Needed[0][1])
	// Output:
	// 28x36: 68 rpm on 6 %, 43 on 10 %; wanted there: 1.25 m a turn
}

// Which gears did a recorded ride use?
func ExampleMeter() {
	r, err := build.Read("../../examples/gravel.toml")
	if err != nil {
		log.Fatal(err)
	}
	table, err := gearing.NewTable(r.Build, gearing.TableOptions{})
	if err != nil {
		log.Fatal(err)
	}
	m, err := road.NewMeter(r.Build, table, road.DetectOptions{}, road.Rider{})
	if err != nil {
		log.Fatal(err)
	}
	f, err := os.Open("../../examples/gravel-ride.csv")
	if err != nil {
		log.Fatal(err)
	}
	defer f.Close()
	if err := m.AddRide(f, f.Name()); err != nil {
		log.Fatal(err)
	}
	for _, cog := range m.Usage().All.Cogs[:3] {
		fmt.Printf("cog %d: %.0f %% of the time, %.0f %% of the teeth's wear\n", cog.Cog, cog.Share, cog.ToothShare)
	}
	// Output:
	// cog 11: 0 % of the time, 0 % of the teeth's wear
	// cog 13: 13 % of the time, 19 % of the teeth's wear
	// cog 15: 18 % of the time, 21 % of the teeth's wear
}
