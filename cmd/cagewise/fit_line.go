package main

import (
	"math"
	"strings"

	"cagewise/gearing"
)

func (r fitReport) writeLines(p *page) {
	p.section("Chain line")
	steep, close, under := r.Line.Gears[0], gearing.GearLine{NextRing: math.MaxFloat64}, 0
	for _, g := range r.Line.Gears {
		if math.Abs(float64(g.Angle)) > math.Abs(float64(steep.Angle)) {
			steep = g
		}
		if g.HasNextRing && g.NextRing < close.NextRing {
			close = g
		}
		if g.HasNextRing && g.NextRing < 0 {
			under++
		}
	}
	p.para("Rings at %s mm and cogs from %s to %s mm off the frame's middle. Steepest: %s, %s degrees (%s mm across).",
		millimetres(r.Line.Rings), num(float64(r.Line.Cogs[len(r.Line.Cogs)-1]), 1), num(float64(r.Line.Cogs[0]), 1),
		steep.GearID, num(math.Abs(float64(steep.Angle)), 1), num(math.Abs(float64(steep.Offset)), 1))
	if under > 0 {
		p.para("Closest to the next larger ring: %s, %s mm between chain and teeth by this estimate (under 0 in %s): look for rubbing on the stand.",
			close.GearID, num(float64(close.NextRing), 1), plural(under, "gear"))
	}
}

func millimetres(l []gearing.MM) string {
	words := make([]string, len(l))
	for i, v := range l {
		words[i] = num(float64(v), 1)
	}
	return strings.Join(words, ", ")
}
