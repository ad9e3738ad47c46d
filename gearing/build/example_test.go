package build_test

import (
	"fmt"
	"log"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// Read a build file; what it does not say falls back to defaults by name.
func ExampleRead() {
	r, err := build.Read("../../examples/gravel.toml")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(r.Build.Name, r.Build.Rings, r.Build.Cogs)
	for _, d := range r.Defaults[:2] {
		fmt.Println("assumed:", d.Key, d.Value)
	}
	// Output:
	// Gravel double [30 46] [11 13 15 17 19 21 24 28 32 36]
	// assumed: frame.axle_end_width 135 mm
	// assumed: wheel.load_allowance 1 %
}

// Everything that is wrong is told at once, with its place.
func ExampleParse() {
	_, err := build.Parse("tour.toml", []byte("rings.teeth = [46, 30]\ncogs.teth = [11, 32]\nframe.chainstay = 43\n"))
	fmt.Println(err)
	// Output:
	// tour.toml:2: cogs.teth: unknown key; did you mean teeth?
	// tour.toml:3: frame.chainstay: 43 mm; is it in cm? that is 430 mm; allowed: 250 to 1200 mm
}

// Write a build that a program has put together.
func ExampleFormat() {
	b := gearing.Build{Name: "Tourer", Rings: []gearing.Teeth{28, 44}, Cogs: []gearing.Teeth{11, 15, 21, 28, 36}}
	b.Frame = gearing.Frame{Chainstay: 445, BottomBracketDrop: 70}
	b.Wheel = gearing.Wheel{Section: 42, BeadSeat: 622, LoadAllowance: 1}
	b.Rear.PulleyCentres = 93
	fmt.Print(string(build.Format(b)))
	// Output:
	// name = "Tourer"
	//
	// [frame]
	// chainstay = 445
	//
	// [wheel]
	// tyre = "42-622"
	//
	// [rings]
	// teeth = [28, 44]
	//
	// [cogs]
	// teeth = [11, 15, 21, 28, 36]
	//
	// [rear_derailleur]
	// pulley_centres = 93
}
