package plot

import "fmt"

// placeCallouts gives every part its name.
func (y *sideLayout) placeCallouts(strict bool) {
	f := newFinder(y.area, y.size)
	y.weigh(f)
	y.callouts = y.names()
	y.placed = true
	kept := y.callouts[:0]
	for _, c := range y.callouts {
		w := y.s.textWidth(c.text, textStyle{size: y.size})
		if f.place(&c, w, (ascentShare+descentShare)*y.size, y.size, strict) {
			kept = append(kept, c)
		} else {
			y.placed = false
		}
	}
	y.callouts = kept
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
		f.addOutline(turned(c, r, 0, 72), y.view.scale*8, 4)
	}
	if y.chain.closed {
		for _, r := range y.chain.runs {
			f.addLine(y.view.at(r.from), y.view.at(r.to), y.view.scale*chainHeight, 5)
		}
	}
	if !y.Fit.NoPath {
		f.addOutline(y.view.all(cagePlate(&y.Fit, 32)), 0, 4)
		f.addLine(y.view.at(simPoint(y.Fit.Guide)), y.view.at(simPoint(y.Fit.Tension)), y.view.scale*2*plateAtPulley, 4)
	}
	for _, l := range y.tyre() {
		f.addLine(l[0], l[1], 0, 0.3)
	}
	for _, p := range y.dots() {
		f.addDisc(y.view.at(p), 0.5*y.size, 20)
	}
	if y.grounded {
		f.addBox(rect{y.area.x0, y.area.y0, y.area.x1, y.ground}, taken)
	}
	f.addBox(rect{y.area.x0, y.area.y0, y.area.x1, y.area.y0 + stripHeight*y.size}, taken)
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
	list := []callout{wheel(onRing), wheel(onCog)}
	if !y.Fit.NoPath {
		a, b := y.gapEnds()
		gap := dot(fmt.Sprintf("pulley gap %s mm", fixed(float64(y.Fit.Gap), 1)), point{(a.x + b.x) / 2, (a.y + b.y) / 2})
		gap.r = 0
		cage := dot("cage", point{float64(y.Fit.Guide.X+y.Fit.Tension.X) / 2, float64(y.Fit.Guide.Y+y.Fit.Tension.Y) / 2})
		cage.r = 0
		list = append(list, gap, wheel(onGuide), wheel(onTension), cage, dot("cage pivot", simPoint(y.Fit.Pivot)))
	}
	return append(list, dot("hanger bolt", simPoint(y.Hanger)), dot("rear axle", point{}), dot("crank centre", y.chain.wheels[onRing].at))
}
