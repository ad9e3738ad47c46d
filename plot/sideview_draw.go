package plot

import (
	"fmt"
	"math"

	"cagewise/sim"
)

// Sizes in the drawing.
const (
	groundShare = 0.85 // the ground is left out of scale when it would shrink the view below this
	groundBelow = 1.1  // text sizes under the ground line
	stripHeight = 1.6  // text sizes: scale bar and its strip
)

// gapEnds are the tips of cog and guide pulley on the line between them.
func (y *sideLayout) gapEnds() (cog, guide point) {
	c, g := &y.chain.wheels[onCog], &y.chain.wheels[onGuide]
	d := math.Hypot(g.at.x, g.at.y)
	a, b := float64(c.teeth.TipRadius()), d-float64(g.teeth.TipRadius())
	return point{g.at.x * a / d, g.at.y * a / d}, point{g.at.x * b / d, g.at.y * b / d}
}

func (v SideView) draw(s *sheet) { v.place(s).draw() }

func (y *sideLayout) draw() {
	y.head.draw(y.s)
	if y.grounded {
		y.drawTyre()
		y.drawGround()
	}
	wheels := []int{onRing, onCog, onTension, onGuide}
	if y.Fit.NoPath {
		wheels = wheels[:2]
	}
	for _, i := range wheels {
		y.drawWheel(&y.chain.wheels[i])
	}
	if y.chain.closed {
		y.drawChain()
	}
	if !y.Fit.NoPath {
		y.drawCage()
		y.drawGap()
	}
	y.drawFault()
	for _, p := range y.dots() {
		y.s.circle(y.view.at(p), 0.75*y.dotRadius(), y.s.theme.Background, stroke{color: y.s.theme.Ink, width: 0.5 * y.dotRadius()})
	}
	y.drawCallouts()
	y.drawScale()
}

// drawWheel draws a toothed wheel, a shade for each kind.
func (y *sideLayout) drawWheel(w *pathWheel) {
	col := y.s.theme.series(0)
	if w.name != "ring" && w.name != "cog" {
		col = y.s.theme.series(2)
	}
	edge := stroke{color: col, width: max(0.05*y.size, 0.6*y.view.scale)}
	y.s.part(w.name, func() {
		y.s.polygon(y.view.all(w.toothed()), y.s.theme.tint(col, 0.16), edge)
	})
}

func (y *sideLayout) drawCage() {
	col := y.s.theme.series(1)
	y.s.part("cage", func() {
		y.s.polygon(y.view.all(cagePlate(&y.Fit, 32)), glassy(col, 0.3), stroke{color: col, width: max(0.06*y.size, 1.2*y.view.scale)})
	})
	for _, p := range []point{simPoint(y.Fit.Guide), simPoint(y.Fit.Tension)} {
		y.s.circle(y.view.at(p), 2.5*y.view.scale, col, stroke{})
	}
}

// drawGap draws the dimension of the pulley gap: a bar across either tip and a
// line between.
func (y *sideLayout) drawGap() {
	a, b := y.gapEnds()
	p, q := y.view.at(a), y.view.at(b)
	st := stroke{color: y.s.theme.Ink, width: 0.07 * y.size}
	if y.Fit.State == sim.Hits {
		st = stroke{color: y.s.theme.Danger, width: 0.12 * y.size}
	}
	across := math.Atan2(a.y, a.x)*180/math.Pi + 90
	for _, end := range []point{p, q} {
		y.s.line(end.polar(0.6*y.size, across), end.polar(-0.6*y.size, across), st)
	}
	y.s.part("pulley gap", func() { y.s.line(p, q, st) })
}

func (y *sideLayout) drawCallouts() {
	line := stroke{color: y.s.theme.Muted, width: 0.055 * y.size}
	for _, c := range y.callouts {
		if from, to, ok := c.leader(c.box, y.size); ok {
			y.s.line(from, to, line)
		}
		text := c.style(y.size)
		text.color = y.s.theme.Ink
		y.s.text(point{c.box.x0, c.box.y0 + descentShare*y.size}, c.text, text)
	}
}

// drawGround draws the ground, with a break beside it when it is out of scale.
func (y *sideLayout) drawGround() {
	s, z, mid := y.s, y.size, y.s.theme.Muted
	s.part("ground", func() {
		s.line(point{y.area.x0, y.ground}, point{y.area.x1, y.ground}, stroke{color: mid, width: 0.1 * z})
	})
	text := "ground"
	if y.broken {
		text = fmt.Sprintf("ground %s mm below the axle, not to scale", fixed(float64(y.Build.Wheel.RollOut())*1000/(2*math.Pi), 0))
		y.drawBreak(stroke{color: mid, width: 0.08 * z})
	}
	st := textStyle{size: 0.9 * z, color: mid, middle: true}
	s.text(point{y.area.x0, y.ground - 0.65*z}, s.fit(text, st, y.area.width()), st)
}

// tyre is the part of the wheel's circle that is on the page, as lines.
func (y *sideLayout) tyre() [][2]point {
	if !y.grounded || y.broken {
		return nil
	}
	var list [][2]point
	room := rect{y.area.x0, y.ground, y.area.x1, y.area.y1}
	circle := turned(y.view.origin, y.view.origin.y-y.ground, -90, 180)
	for i := range circle {
		if p, q, ok := room.clipped(circle[i], circle[(i+1)%len(circle)]); ok {
			list = append(list, [2]point{p, q})
		}
	}
	return list
}

func (y *sideLayout) drawTyre() {
	y.s.part("tyre", func() { y.s.segments(y.tyre(), stroke{color: y.s.theme.Grid, width: 0.25 * y.size}) })
}

// drawBreak draws the two slanted lines that say "not to scale" across a line
// down from the axle.
func (y *sideLayout) drawBreak(st stroke) {
	x, z := y.area.x1-1.2*y.size, y.size
	low := y.ground + 1.7*z
	y.s.segments([][2]point{
		{{x, y.ground}, {x, y.ground + 0.7*z}}, {{x, y.ground + z}, {x, low}},
		{{x - 0.5*z, y.ground + 0.55*z}, {x + 0.5*z, y.ground + 0.85*z}},
		{{x - 0.5*z, y.ground + 0.85*z}, {x + 0.5*z, y.ground + 1.15*z}},
	}, st)
}

// drawScale draws a bar of a round length.
func (y *sideLayout) drawScale() {
	s, z := y.s, y.size
	length := niceBelow(0.25 * y.area.width() / y.view.scale)
	a := point{y.area.x0, y.area.y0 + 0.6*z}
	b := point{a.x + length*y.view.scale, a.y}
	st := stroke{color: s.theme.Ink, width: 0.1 * z}
	s.part("scale bar", func() { s.line(a, b, st) })
	for _, p := range []point{a, b} {
		s.line(point{p.x, p.y - 0.35*z}, point{p.x, p.y + 0.35*z}, st)
	}
	text := textStyle{size: 0.9 * z, color: s.theme.Ink, middle: true}
	s.text(point{b.x + 0.5*z, b.y}, plain(length)+" mm", text)
}

// niceBelow is the largest 1, 2 or 5 times a power of ten that is not over v.
func niceBelow(v float64) float64 {
	base := math.Pow(10, math.Floor(math.Log10(v)))
	for _, k := range []float64{5, 2} {
		if k*base <= v {
			return k * base
		}
	}
	return base
}
