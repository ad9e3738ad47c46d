package bin_test

import (
	"fmt"
	"log"

	"cagewise/gearing"
	"cagewise/gearing/bin"
)

// Read a parts bin: how many drivetrains does it hold?
func ExampleLoad() {
	b, err := bin.Load("../../examples/mountain-bin.toml")
	if err != nil {
		log.Fatal(err)
	}
	for _, p := range b.RingSets {
		fmt.Println(p.Name, p.Price, b.Money)
	}
	fmt.Println(b.Combinations(), "combinations")
	// Output:
	// triple 48/36/26 0 euro
	// triple 44/32/22 45 euro
	// triple 44/32/20 52 euro
	// triple 42/32/20 52 euro
	// double 40/28 38 euro
	// 30 combinations
}

// The same from a text, with a derailleur that differs from another one.
func ExampleParse() {
	b, err := bin.Parse("shelf.toml", []byte(`
[[rings]]
name = "double 46/30"
teeth = "46/30"
[[cassette]]
name = "ten 11-36"
teeth = "11-13-15-17-19-21-24-28-32-36"
[[rear_derailleur]]
name = "medium cage"
pulley_centres = 75
[[rear_derailleur]]
name = "medium cage, larger pulley"
same_as = "medium cage"
tension_pulley = 13
`))
	if err != nil {
		log.Fatal(err)
	}
	for _, d := range b.Derailleurs {
		fmt.Println(d.Name, float64(d.Rear.PulleyCentres), d.Rear.TensionPulleyTeeth)
	}
	fmt.Println(b.Combinations(), "combinations")
	// Output:
	// medium cage 75 0
	// medium cage, larger pulley 75 13
	// 2 combinations
}

// Write a bin that a program has put together.
func ExampleFormat() {
	b := gearing.PartsBin{Money: "euro"}
	b.RingSets = []gearing.BinRings{{BinPart: gearing.BinPart{Name: "double", Price: 45}, Teeth: []gearing.Teeth{30, 46}}}
	b.Chains = []gearing.BinChain{{BinPart: gearing.BinPart{Name: "packet", OnHand: true}, Pitches: 116}}
	fmt.Print(string(bin.Format(b)))
	// Output:
	// # A parts bin of cagewise. Every part has a name that no other part of its kind
	// # has. price: what it costs; on_hand = true: it costs nothing; available = false:
	// # it stays in this file and out of the search; note: one line.
	// # Lengths are millimetres, or text with a unit: "16.9 in", "43 cm".
	// money = "euro"
	//
	// # Ring sets: teeth of rings that are fitted together.
	// [[rings]]
	// name = "double"
	// price = 45
	// teeth = "46/30"
	//
	// # Chains: count of pitches, 12.7 mm each. They may be cut shorter.
	// [[chain]]
	// name = "packet"
	// on_hand = true
	// pitches = 116
}
