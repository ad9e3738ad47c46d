package plot

import (
	"fmt"
	"math"

	"cagewise/sim"
)

// placeCallouts gives every part its name.
func (y *sideLayout) placeCallouts(strict bool) {
	f := newFinder(y.area, y.size)
	y.weigh(f)
	f.sum()
	y.callouts = y.names()
	spots := make([][]spot, len(y.callouts))
	for i := range y.callouts {
		c := &y.callouts[i]
		w := y.s.textWidth(c.text, c.style(y.size))
		spots[i] = f.spots(c, w, (ascentShare+descentShare)*y.size, y.size, strict)
		if strict && len(spots[i]) == 0 {
			return
		}
	}
	y.callouts, y.placed = f.arrange(y.callouts, y.size, spots)
}

// weigh tells the finder what is drawn.
func (y *sideLayout) weigh(f *finder) {
	for i := range y.chain.wheels {
		w := &y.chain.wheels[i]
		if y.Fit.NoPath && i >= onTension {
			continue
		}
		c, r := y.view.at(w.at), y.view.scale*float64(w.teeth.TipRadius())
		f.addDisc(c, r, 0.03)
		f.addOutline(turned(c, r, 0, 48), y.view.scale*8, 4)
	}
	y.weighChain(f)
	if !y.Fit.NoPath {
		f.addOutline(y.view.all(cagePlate(&y.Fit, 16)), 0, 4)
		f.addLine(y.view.at(simPoint(y.Fit.Guide)), y.view.at(simPoint(y.Fit.Tension)), y.view.scale*2*plateAtPulley, 4)
	}
	for _, l := range y.tyre() {
		f.addLine(l[0], l[1], 0, 0.3)
	}
	for _, p := range y.dots() {
		f.addDisc(y.view.at(p), 0.4*y.size, 20)
	}
	if y.grounded {
		f.addBox(rect{y.area.x0, y.area.y0, y.area.x1, y.ground}, taken)
	}
	f.addBox(rect{y.area.x0, y.area.y0, y.area.x1, y.area.y0 + stripHeight*y.size}, taken)
}

// weighChain keeps names off the chain and off the mark of a fault.
func (y *sideLayout) weighChain(f *finder) {
	if !y.chain.closed {
		return
	}
	for _, line := range y.chainLines() {
		f.addBars(line, y.view.scale*chainHeight)
	}
	if unsound(y.Fit.State) {
		run := &y.chain.runs[onRing]
		f.addLine(y.view.at(run.from), y.view.at(run.to), 0, 4)
	}
	if y.fault != nil {
		f.addBars([]point{y.fault.at, y.fault.at}, 1.7*y.size)
	}
}

// arcStep is the angle between points of an arc of chain, radians; the line
// between two of them is within 0.4 mm of the arc on the largest ring.
const arcStep = 0.18

// chainLines is the middle of the chain as it is drawn, on the page.
func (y *sideLayout) chainLines() [][]point {
	lines := make([][]point, 0, 9)
	for i := range y.chain.runs {
		if i != onRing {
			lines = append(lines, []point{y.view.at(y.chain.runs[i].from), y.view.at(y.chain.runs[i].to)})
		}
		from, sweep := y.chain.arc(i)
		w := &y.chain.wheels[i]
		steps := 1 + int(math.Abs(sweep)/arcStep)
		arc := make([]point, steps+1)
		for k := range arc {
			sin, cos := math.Sincos(from + sweep*float64(k)/float64(steps))
			arc[k] = y.view.at(point{w.at.x + w.r*cos, w.at.y + w.r*sin})
		}
		lines = append(lines, arc)
	}
	for _, piece := range y.lowerPieces() {
		lines = append(lines, y.view.all(piece))
	}
	return lines
}

// dots are the places marked by a dot.
func (y *sideLayout) dots() []point {
	list := []point{{}, y.chain.wheels[onRing].at, simPoint(y.Hanger)}
	if !y.Fit.NoPath {
		list = append(list, simPoint(y.Fit.Pivot))
	}
	return list
}

func (y *sideLayout) dotRadius() float64 { return 0.26 * y.size }

// names lists the callouts, those with the least choice first.
func (y *sideLayout) names() []callout {
	dot := func(text string, p point) callout {
		return callout{text: text, at: y.view.at(p), r: y.dotRadius(), inks: true}
	}
	wheel := func(i int) callout {
		w := &y.chain.wheels[i]
		root := y.view.scale * (float64(w.teeth.TipRadius()) - 9)
		return callout{text: fmt.Sprintf("%s %d", w.name, w.teeth), at: y.view.at(w.at), r: root}
	}
	var list []callout
	if y.fault != nil {
		list = append(list, callout{text: y.fault.text, at: y.fault.at, r: 0.85 * y.size, inks: true, bold: true})
	}
	list = append(list, wheel(onRing), wheel(onCog))
	if !y.Fit.NoPath {
		cage := dot("cage", point{float64(y.Fit.Guide.X+y.Fit.Tension.X) / 2, float64(y.Fit.Guide.Y+y.Fit.Tension.Y) / 2})
		cage.r = 0
		list = append(list, y.gapName(), wheel(onGuide), wheel(onTension), cage, dot("cage pivot", simPoint(y.Fit.Pivot)))
	}
	return append(list, dot("hanger bolt", simPoint(y.Hanger)), dot("rear axle", point{}), dot("crank centre", y.chain.wheels[onRing].at))
}

// gapName is the callout of the pulley gap.
func (y *sideLayout) gapName() callout {
	a, b := y.gapEnds()
	c := callout{
		text: fmt.Sprintf("pulley gap %s mm", fixed(float64(y.Fit.Gap), 1)),
		at:   y.view.at(point{(a.x + b.x) / 2, (a.y + b.y) / 2}), inks: true,
	}
	if y.Fit.State == sim.Hits && y.Fit.Gap < sim.HitGap {
		c.text, c.bold = c.text+": hits", true
	}
	return c
}
