package sim_test

import (
	"fmt"
	"log"

	"cagewise/gearing"
	"cagewise/gearing/build"
	"cagewise/sim"
)

// A build with all that was computed of it, made once and read by every view.
func ExampleNewStudy() {
	r, err := build.Read("../examples/touring-double.toml")
	if err != nil {
		log.Fatal(err)
	}
	s, err := sim.NewStudy(r.Build, gearing.TableOptions{})
	if err != nil {
		log.Fatal(err)
	}
	a := s.Advice
	fmt.Printf("%s by %s: chain %s, %d pitches\n", a.Verdict, a.Knowledge, a.Order, a.Length)
	fmt.Printf("%d of %d gears lost\n", len(a.Lost()), len(s.Table.Gears))
	fmt.Printf("next to measure: %s\n", a.Next.Input)
	// Output:
	// works by typical geometry: chain cut, 114 pitches
	// 1 of 20 gears lost
	// next to measure: cage pivot on the largest cog, above the axle
}

// Compute a fit: the shortest chain without a dangerous gear, and where the
// cage stands in each gear with it.
func ExampleSolve() {
	r, err := build.Read("../examples/gravel-measured.toml")
	if err != nil {
		log.Fatal(err)
	}
	_, fit, err := sim.Solve(r.Build)
	if err != nil {
		log.Fatal(err)
	}
	g := fit.Gears[0]
	fmt.Printf("worst gear %s with %s\n", fit.Worst(), gearing.Pitches(fit.Pitches))
	fmt.Printf("%s: %s, %.1f pitches forward, gap %.1f mm\n", g.GearID, g.State, g.Forward, g.Gap)
	// Output:
	// worst gear clear with 112 pitches (56 link pairs, 1422.4 mm)
	// 30x36: clear, 9.6 pitches forward, gap 6.0 mm
}

// The whole answer, with what it rests on and how sure it is.
func ExampleJudge() {
	r, err := build.Read("../examples/gravel-measured.toml")
	if err != nil {
		log.Fatal(err)
	}
	a, err := sim.Judge(r.Build)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%s with %d pitches, by %s\n", a.Verdict, a.Pitches, a.Knowledge)
	fmt.Printf("all gears but %d run by %.0f %%\n", len(a.Lost()), 100*a.Chance)
	fmt.Printf("simulated capacity %.0f +- %.0f teeth\n", a.Cap.Simulated, a.Cap.Error)
	// Output:
	// works with 114 pitches, by measured geometry
	// all gears but 3 run by 99 %
	// simulated capacity 43 +- 1 teeth
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
	// every gear runs from 114 to 114 pitches
}

// One chain for two wheels of a bike.
func ExampleShare() {
	r, err := build.Read("../examples/touring-double.toml")
	if err != nil {
		log.Fatal(err)
	}
	first, err := sim.NewStudy(r.Build, gearing.TableOptions{})
	if err != nil {
		log.Fatal(err)
	}
	other := r.Build
	other.Cogs = []gearing.Teeth{11, 13, 15, 17, 19, 21, 24, 28}
	second, err := sim.NewStudyLike(first.Rig, other, gearing.TableOptions{})
	if err != nil {
		log.Fatal(err)
	}
	s, err := sim.Share(first, second)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%d pitches for both: %s\n", s.Length, s.Verdict)
	// Output:
	// 114 pitches for both: works
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
