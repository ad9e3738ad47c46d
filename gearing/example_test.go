package gearing_test

import (
	"fmt"
	"testing"

	"cagewise/gearing"
)

// A small build for the examples; invented.
func build() gearing.Build {
	return gearing.Build{
		Frame: gearing.Frame{Chainstay: 430},
		Wheel: gearing.Wheel{BeadSeat: 622, Section: 37, LoadAllowance: 1},
		Rings: []gearing.Teeth{30, 46},
		Cogs:  []gearing.Teeth{11, 13, 15, 17, 19, 21, 24, 28, 32, 36},
		Rear:  gearing.RearDerailleur{RatedCapacity: 39},
	}
}

func ExampleNewTable() {
	t, err := gearing.NewTable(build(), gearing.TableOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	g := t.Lowest()
	fmt.Printf("%s: %.2f m a turn, %.1f inches\n", g.Name(), g.Development, g.GearInches)
	fmt.Printf("range %.0f %%, %d of %d gears differ by over 2 %%\n", t.Range, t.Groups, len(t.Gears))
	// Output:
	// 30x36: 1.80 m a turn, 22.6 inches
	// range 502 %, 18 of 20 gears differ by over 2 %
}

func ExampleNewRatedFit() {
	f, err := gearing.NewRatedFit(build())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s: needs %d teeth, loses %v\n", f.Verdict, f.Needed, f.Lost)
	fmt.Println("cut to", gearing.Pitches(f.Lengths.Recommended))
	// Output:
	// cannot tell: needs 41 teeth, loses [30x11]
	// cut to 112 pitches (56 link pairs, 1422.4 mm)
}

func ExampleNewLoop() {
	l, err := gearing.NewLoop(46, 36, 430)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f pitches\n", l.Length)
	// Output: 108.79 pitches
}

// The handbook's formula against the exact loop, and the centre distance that
// a chain asks for.
func ExampleHandbookLength() {
	l, err := gearing.NewLoop(46, 17, 430)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f pitches, exactly %.3f\n", gearing.HandbookLength(46, 17, gearing.MM(430).Pitches()), l.Length)
	c, err := gearing.HandbookCentre(46, 17, 100)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("100 pitches want %.1f mm\n", c.MM())
	// Output:
	// 99.846 pitches, exactly 99.847
	// 100 pitches want 431.0 mm
}

// What a caliper reads across two cogs, from tooth gap to tooth gap: enough to
// tell a 15 from a 16 without counting.
func ExampleCaliperDiameter() {
	for _, n := range []gearing.Teeth{15, 16} {
		fmt.Printf("%d teeth: %.2f mm\n", n, gearing.CaliperDiameter(n, gearing.Pitch, gearing.RollerDiameter))
	}
	// Output:
	// 15 teeth: 53.00 mm
	// 16 teeth: 57.35 mm
}

// The chain line of a ring, measured from a seat tube of 28.6 mm with a ruler,
// and the slant of the chain that follows.
func ExampleFrontChainLine() {
	b := build()
	b.Rings = []gearing.Teeth{42}
	b.Lines.FrontChainLine = gearing.FrontChainLine(28.6, 31)
	plan, err := gearing.ChainLines(b)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f mm; 42x36 slants by %.1f degrees\n", plan.Rings[0], plan.Gears[0].Angle)
	// Output:
	// 45.3 mm; 42x36 slants by 2.3 degrees
}

func wideTriple() gearing.Build {
	b := build()
	b.Rings = []gearing.Teeth{22, 32, 44}
	b.Cogs = []gearing.Teeth{11, 12, 13, 14, 15, 17, 19, 21, 24, 28, 32, 36, 40}
	return b
}

func BenchmarkNewTable3x13(b *testing.B) {
	triple := wideTriple()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := gearing.NewTable(triple, gearing.TableOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNewRatedFit3x13(b *testing.B) {
	triple := wideTriple()
	triple.Chain.Pitches = 114
	b.ReportAllocs()
	for b.Loop() {
		if _, err := gearing.NewRatedFit(triple); err != nil {
			b.Fatal(err)
		}
	}
}
