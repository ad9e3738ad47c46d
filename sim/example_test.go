package sim_test

import (
	"fmt"
	"log"

	"cagewise/gearing"
	"cagewise/gearing/build"
	"cagewise/sim"
)

// Compute a fit: the shortest chain without a dangerous gear, and where the
// cage stands in each gear with it.
func ExampleSolve() {
	r, err := build.Read("../examples/touring-double.toml")
	if err != nil {
		log.Fatal(err)
	}
	_, fit, err := sim.Solve(r.Build)
	if err != nil {
		log.Fatal(err)
	}
	g := fit.Gears[0]
	fmt.Printf("%s with %s\n", fit.Verdict(), gearing.Pitches(fit.Pitches))
	fmt.Printf("%s: %s, %.1f pitches forward, gap %.1f mm\n", g.GearID, g.State, g.Forward, g.Gap)
	// Output:
	// works with 112 pitches (56 link pairs, 1422.4 mm)
	// 28x36: clear, 9.6 pitches forward, gap 6.0 mm
}

// The whole answer, with what it rests on and how sure it is.
func ExampleJudge() {
	r, err := build.Read("../examples/touring-double.toml")
	if err != nil {
		log.Fatal(err)
	}
	a, err := sim.Judge(r.Build)
	if err != nil {
		log.Fatal(err)
	}
	w := a.Weakest
	fmt.Printf("%s with %d pitches, by %s\n", a.Verdict, a.Pitches, a.Knowledge)
	fmt.Printf("turns soonest at the %s in %s: %.1f +- %.1f %s off its bound\n", w.Figure, w.GearID, w.Value, w.Error, w.Unit)
	fmt.Printf("simulated capacity %.1f teeth, rated %d\n", a.Cap.Simulated, a.Cap.Rated)
	// Output:
	// works with 112 pitches, by typical geometry
	// turns soonest at the pulley gap in 28x11: 8.1 +- 7.2 mm off its bound
	// simulated capacity 46.7 teeth, rated 39
}

// What every chain length does in the gears of a build.
func ExampleRig_Window() {
	r, err := build.Read("../examples/touring-double.toml")
	if err != nil {
		log.Fatal(err)
	}
	rig, _, err := sim.Solve(r.Build)
	if err != nil {
		log.Fatal(err)
	}
	w := rig.Window()
	fmt.Printf("every gear runs from %d to %d pitches\n", w.ClearFrom, w.ClearTo)
	// Output:
	// every gear runs from 112 to 114 pitches
}

// A derailleur of which only the length of the cage is known gets typical
// geometry by its class.
func ExampleClassNames() {
	b := gearing.Build{Rings: []gearing.Teeth{30, 46}, Cogs: []gearing.Teeth{11, 17, 24, 36}}
	for _, name := range sim.ClassNames() {
		b.Rear.Geometry.Class = name
		d, err := sim.NewDerailleur(b)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%s: %.0f mm between the pulleys, %s\n", name, d.PulleyCentres, d.Knowledge)
	}
	// Output:
	// short: 56 mm between the pulleys, typical geometry
	// medium: 75 mm between the pulleys, typical geometry
	// long: 90 mm between the pulleys, typical geometry
	// wide: 98 mm between the pulleys, typical geometry
}
