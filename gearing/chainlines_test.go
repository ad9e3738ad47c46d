package gearing

import (
	"errors"
	"testing"
)

// testdata/trade_dims.csv: road 43.5 and 45, mountain 47.5 to 50, one ring 52
// with a wide axle; 3 mm to the smallest cog, 3.5 more with a through axle
// (from memory).
func TestDefaultLines(t *testing.T) {
	tests := []struct {
		rings          int
		axle           MM
		front, faceGap MM
	}{
		{1, 126, 43.5, 3}, {1, 132, 43.5, 3}, {1, 135, 49.5, 3}, {1, 148, 52, 6.5}, {1, 157, 52, 6.5},
		{2, 130, 43.5, 3}, {2, 135, 47.5, 3}, {2, 148, 47.5, 6.5},
		{3, 130, 45, 3}, {3, 135, 49, 3}, {3, 142, 49, 6.5},
	}
	for _, tt := range tests {
		l := Lines{AxleEndWidth: tt.axle}.WithDefaults(tt.rings, 10)
		if l.FrontChainLine != tt.front || l.AxleFaceGap != tt.faceGap {
			t.Errorf("%d rings, axle %v: chain line %v, face gap %v; want %v, %v", tt.rings, tt.axle, l.FrontChainLine, l.AxleFaceGap, tt.front, tt.faceGap)
		}
	}
}

// 46/30 x 11-36 on 430 mm: rings at 45 and 50, the 11 at 67.5 - 3 - 0.8 = 63.7,
// the 36 nine places of 3.95 further in. Beside the 46, of tip radius 96.209,
// the run goes on for sqrt(96.209^2 - 60.749^2) = 74.604; from 30x11 it moves
// 18.7 / 428.3 of that outwards (by hand; derived here, MODEL section 9).
func TestChainLineByHand(t *testing.T) {
	p := must[LinePlan](t)(ChainLines(double()))
	tests := []struct {
		gear          GearID
		offset, angle float64
		next          float64
		hasNext       bool
	}{
		{GearID{30, 11}, -18.7, -2.5000, 5 - 3.2573 - 2.95 - 1, true},
		{GearID{30, 36}, 16.85, 2.2449, 5 - 2.95 - 1, true},
		{GearID{46, 36}, 21.85, 2.9121, 0, false},
	}
	for _, tt := range tests {
		var g GearLine
		for _, g = range p.Gears {
			if g.GearID == tt.gear {
				break
			}
		}
		if g.GearID != tt.gear || !near(float64(g.Offset), tt.offset, 1e-9) || !near(float64(g.Angle), tt.angle, 0.0001) ||
			!near(float64(g.NextRing), tt.next, 0.0001) || g.HasNextRing != tt.hasNext {
			t.Errorf("%v: offset %v, angle %v, next ring %v", tt.gear, g.Offset, g.Angle, g.NextRing)
		}
	}
	if _, err := ChainLines(with(func(b *Build) { b.Frame.Chainstay = 0 })); !errors.Is(err, ErrNoChainstay) {
		t.Error(err)
	}
	if _, err := ChainLines(with(func(b *Build) { b.Frame.Chainstay = 20 })); err == nil {
		t.Error("wheels that do not clear each other have a chain line")
	}
}
