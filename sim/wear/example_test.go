package wear_test

import (
	"fmt"
	"log"

	"cagewise/gearing"
	"cagewise/gearing/wearlog"
	"cagewise/sim/wear"
)

// All readings of one chain together.
func ExampleAnalyseChain() {
	l, _, err := wearlog.Load("../../examples/commuter-wear.toml")
	if err != nil {
		log.Fatal(err)
	}
	c, err := wear.AnalyseChain(l, "chain-1")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%s: %.2f +- %.2f %%\n", c.ID, c.Now.Elongation, c.Now.Error)
	fmt.Println(len(c.Estimates), "readings,", len(c.Contradictions), "at odds")
	// Output:
	// chain-1: 0.75 +- 0.06 %
	// 4 readings, 1 at odds
}

// One reading by itself: 24 pitches measured 306.9 mm with a rule.
func ExampleElongation() {
	r := gearing.WearReading{Part: "chain-1", Method: gearing.MethodRule, Pitches: 24, Length: 306.9}
	e, err := wear.Elongation(r, gearing.WearPart{ID: "chain-1", Pitches: 110}, 0)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f +- %.2f %%\n", e.Elongation, e.Error)
	// Output:
	// 0.69 +- 0.16 %
}

// A verdict for every part of a log.
func ExampleDecide() {
	l, _, err := wearlog.Load("../../examples/commuter-wear.toml")
	if err != nil {
		log.Fatal(err)
	}
	chains, err := wear.Analyse(l)
	if err != nil {
		log.Fatal(err)
	}
	report, err := wear.Decide(wear.DecideInput{Log: l, Chains: wear.StatesOf(chains, 0)})
	if err != nil {
		log.Fatal(err)
	}
	for _, d := range report.Decisions {
		fmt.Println(d.ID, "-", d.Verdict)
	}
	// Output:
	// chain-1 - replace
	// cassette-1 - keep and test
	// ring-42 - cannot tell
}

// What the makers of chains allow, and how far the chain has then risen: about
// 4 mm up the teeth of any wheel.
func ExampleMakersLimit() {
	for _, n := range []gearing.Teeth{70, 80, 100} {
		e := wear.MakersLimit(n)
		fmt.Printf("%d teeth: %.2f %%, %.1f mm\n", n, e, wear.RideUp(n, e))
	}
	// Output:
	// 70 teeth: 2.86 %, 4.0 mm
	// 80 teeth: 2.50 %, 4.0 mm
	// 100 teeth: 2.00 %, 4.0 mm
}

// Which of three gears of about one development wears the chain least on a
// climb?
func ExampleFriction_RankGears() {
	gear := func(ring, cog gearing.Teeth) wear.Choice {
		return wear.Choice{Drive: wear.Drive{GearID: gearing.GearID{Ring: ring, Cog: cog}}}
	}
	ranked, err := wear.Friction{}.RankGears([]wear.Choice{gear(28, 17), gear(46, 28), gear(34, 21)}, wear.Road{Push: 100, RollOut: 2.15})
	if err != nil {
		log.Fatal(err)
	}
	for _, g := range ranked {
		fmt.Printf("%s pulls %.0f N, %.0f J/km in each joint\n", g.GearID, g.Pull, g.ChainWork)
	}
	// Output:
	// 46x28 pulls 620 N, 13 J/km in each joint
	// 34x21 pulls 821 N, 16 J/km in each joint
	// 28x17 pulls 1011 N, 19 J/km in each joint
}
