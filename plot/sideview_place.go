package plot

import (
	"math"
)

// sideLayout is where everything of one side view stands.
type sideLayout struct {
	SideView
	s        *sheet
	size     float64 // of the text, mm
	head     heading
	chain    chainPath
	area     rect // what the drawing may take
	view     view
	ground   float64 // of the ground line on the page, mm
	broken   bool    // the ground is drawn nearer than it is
	grounded bool    // there is a ground line
	fault    *fault  // nil: the gear runs
	callouts []callout
	placed   bool // every callout has a good place
}

// place takes the largest text with which every name finds room, if that is
// not much smaller than the first.
func (v SideView) place(s *sheet) *sideLayout {
	first := firstText(s, 0.034)
	chain := newChainPath(v.Build, &v.Fit, v.GuideTeeth, v.TensionTeeth)
	var y *sideLayout
	shrunkBy(sideShrink, first, func(size float64) bool {
		y = &sideLayout{SideView: v, s: s, size: size, chain: chain}
		y.placeAll(size > 0.7*first)
		return y.fits()
	})
	return y
}

// sideShrink is a larger step than of other charts: each costs a search.
const sideShrink = 0.94

func (y *sideLayout) fits() bool {
	return y.placed && y.head.fits(y.s) && y.area.height() >= 0.5*y.s.h
}

func (y *sideLayout) placeAll(strict bool) {
	y.placeHead()
	if y.area.height() < 4*y.size {
		return // more than the heading has to fit
	}
	y.placeView()
	y.setFault()
	y.placeCallouts(strict)
}

func (y *sideLayout) placeHead() {
	y.head = y.s.heading(y.Title(), y.facts(), y.size)
	y.head.lead = y.s.lead(y.told(), y.size)
	margin := chartMargin * y.size
	y.area = rect{margin, margin, y.s.w - margin, y.s.h - y.head.height() - 0.4*y.size}
}

// namesOver and namesUnder are the room for names over and under the drawing,
// where the page's height is free, in text sizes.
const namesOver, namesUnder = 1.6, 1.8

// heightAt is the height at which the drawing is as wide as the page.
func (v SideView) heightAt(wMM float64) float64 {
	if v.check() != nil {
		return MinSizeMM
	}
	y := &sideLayout{SideView: v, s: &sheet{w: wMM}, chain: newChainPath(v.Build, &v.Fit, v.GuideTeeth, v.TensionTeeth)}
	y.size = firstText(y.s, 0)
	y.placeHead()
	box := y.bikeBox()
	drawing := box.height() * (y.area.width() - 0.6*y.size) / box.width()
	words := (namesOver + namesUnder + groundBelow + stripHeight + breakHeight + 1.6) * y.size
	return allowed(min(drawing, 1.2*wMM) + words - y.area.height())
}

// breakHeight is the room of the break in the line to the ground, in text sizes.
const breakHeight = 2.2

// placeView finds the scale, with the ground if it costs little.
func (y *sideLayout) placeView() {
	z := y.size
	room := y.area
	room.y0 += stripHeight * z
	room.y1 -= z // a line of names over the wheels
	box := y.bikeBox()
	radius := float64(y.Build.Wheel.RollOut()) * 1000 / (2 * math.Pi)
	y.grounded = radius > 0 && radius < mostAway
	y.view = viewOf(box, room.grown(-0.3*z))
	if !y.grounded {
		return
	}
	room.y0 += groundBelow * z
	full, short := box, box
	full.y0 = min(box.y0, -radius)
	with := viewOf(full, room.grown(-0.3*z))
	short.y0 -= breakHeight * z / y.view.scale // the break
	without := viewOf(short, room.grown(-0.3*z))
	y.broken = with.scale < groundShare*without.scale
	if y.view = with; y.broken {
		y.view = without
		y.ground = room.y0
		return
	}
	y.ground = y.view.at(point{0, -radius}).y
}

// viewOf puts a box of the bike into the middle of a room on the page.
func viewOf(box, room rect) view {
	v := view{scale: max(1e-6, min(room.width()/box.width(), room.height()/box.height()))}
	v.origin.x = (room.x0+room.x1)/2 - v.scale*(box.x0+box.x1)/2
	v.origin.y = (room.y0+room.y1)/2 - v.scale*(box.y0+box.y1)/2
	return v
}

// bikeBox is what has to be on the page, in mm from the rear axle.
func (y *sideLayout) bikeBox() rect {
	pts := []point{simPoint(y.Hanger)}
	for i := range y.chain.wheels {
		w := &y.chain.wheels[i]
		if y.Fit.NoPath && (i == onTension || i == onGuide) {
			continue
		}
		pts = append(pts, turned(w.at, float64(w.teeth.TipRadius())+2, 0, 4)...)
	}
	if !y.Fit.NoPath {
		pts = append(pts, turned(simPoint(y.Fit.Pivot), plateAtPivot, 0, 4)...)
	}
	return around(append(pts, y.chain.lowerRun(&y.Fit)...))
}
