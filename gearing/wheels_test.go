package gearing

import (
	"math"
	"testing"
)

// Radii worked by hand from p = 12.7 and d1 = 7.75: 12.7 / (2 sin(180/n)),
// n 12.7 / (2 pi), and a quarter of the sum of the ISO 606 tip diameters.
func TestWheelRadii(t *testing.T) {
	tests := []struct {
		name      string
		got, want MM
	}{
		{"3 teeth, p / sqrt 3", Teeth(3).Radius(), 7.3323},
		{"2 teeth", Teeth(2).Radius(), 0},
		{"no teeth", Teeth(0).Radius(), 0},
		{"a difference of teeth", Teeth(-1).Radius(), 0},
		{"80 teeth", Teeth(80).Radius(), PitchRadius(80, Pitch)},
		{"81 teeth", Teeth(81).Radius(), 163.7637},
		{"3 teeth at 25.4", PitchRadius(3, 25.4), 14.6647},
		{"lever arm of 11", Teeth(11).EffectiveRadius(), 22.2339},
		{"tips of 11", Teeth(11).TipRadius(), 25.3460},
		{"tips of 46", Teeth(46).TipRadius(), 96.2090},
	}
	for _, tt := range tests {
		if !near(float64(tt.got), float64(tt.want), 0.0001) {
			t.Errorf("%s: %.4f mm, want %.4f", tt.name, tt.got, tt.want)
		}
	}
}

// The caliper reads the root diameter on even counts: 1.934 in on 14 teeth of
// chain No. 40 (testdata/sprocket_inch_catalogue.csv).
func TestRootDiameter(t *testing.T) {
	if got := RootDiameter(14, 12.7, 0.3125*MMPerInch).Inches(); !near(float64(got), 1.934, 0.0006) {
		t.Errorf("%.4f in", got)
	}
}

func TestLoopLimits(t *testing.T) {
	touching := Teeth(46).Radius() - Teeth(11).Radius()
	tests := []struct {
		ring, cog Teeth
		centre    MM
		ok        bool
	}{
		{3, 3, 430, true}, {2, 30, 430, false}, {30, 2, 430, false},
		{30, 30, 0, false}, {30, 30, 1, true},
		{46, 11, touching, false}, {46, 11, touching + 0.1, true},
	}
	for _, tt := range tests {
		if l, err := NewLoop(tt.ring, tt.cog, tt.centre); (err == nil) != tt.ok {
			t.Errorf("%s at %v mm: %+v, %v", GearName(tt.ring, tt.cog), tt.centre, l, err)
		}
	}
	if c, err := HandbookCentre(30, 30, 30); err == nil {
		t.Errorf("a chain as long as the wheel: centre distance %v", c)
	}
	if c, err := HandbookCentre(30, 30, 31); err != nil || !near(float64(c), 0.5, 1e-12) {
		t.Errorf("one pitch more: centre distance %v, %v", c, err) // 2C + 30 = 31
	}
}

// A swing arm of 500 mm: the crank lies 400 mm ahead and 300 below the axle,
// the main pivot another 80 ahead and 160 up. Risen by 160 the axle is 300 over
// the pivot and 400 behind it, so 320 behind and 460 over the crank: 560.36 mm.
func TestChainstaySpan(t *testing.T) {
	swing := Suspension{PivotAhead: 80, PivotAbove: 160, Travel: 160}
	tests := []struct {
		name              string
		frame             Frame
		shortest, longest float64
	}{
		{"swing arm", Frame{Chainstay: 500, BottomBracketDrop: 300, Suspension: swing}, 500, math.Hypot(320, 460)},
		{"dropout", Frame{Chainstay: 430, DropoutRange: 15}, 430, 445},
		{"measured", Frame{Chainstay: 430, Suspension: Suspension{Chainstays: []MM{428, 438}}}, 428, 438},
	}
	for _, tt := range tests {
		short, long := float64(tt.frame.ShortestChainstay()), float64(tt.frame.LongestChainstay())
		if !near(short, tt.shortest, 1e-9) || !near(long, tt.longest, 1e-9) {
			t.Errorf("%s: %.3f to %.3f mm, want %.3f to %.3f", tt.name, short, long, tt.shortest, tt.longest)
		}
	}
}
