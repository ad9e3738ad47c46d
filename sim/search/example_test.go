package search_test

import (
	"context"
	"fmt"
	"log"

	"cagewise/gearing/bin"
	"cagewise/gearing/build"
	"cagewise/sim/search"
)

// The drivetrains of a small bin that climb and really work, within a budget.
func ExampleRun() {
	base, err := build.Read("../../examples/mountain-tourer.toml")
	if err != nil {
		log.Fatal(err)
	}
	parts, err := bin.Load("../../examples/mountain-bin.toml")
	if err != nil {
		log.Fatal(err)
	}
	wishes := search.Wishes{Lowest: 1.4, Budget: 100, HasBudget: true}
	r, err := search.Run(context.Background(), base.Build, parts, wishes, search.Options{})
	if err != nil {
		log.Fatal(err)
	}
	for _, f := range r.Best {
		fmt.Printf("%s with %s: range %.0f %%, %.0f %s\n", r.Bin.RingSets[f.Rings].Name, r.Bin.Cassettes[f.Cassette].Name, f.Range, f.Price, r.Bin.Money)
	}
	// Output:
	// triple 44/32/20 with nine 11-32: range 640 %, 100 euro
	// triple 42/32/20 with nine 11-32: range 611 %, 100 euro
	// triple 42/32/20 with nine 11-32: range 611 %, 52 euro
}
