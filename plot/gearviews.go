package plot

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"slices"

	"cagewise/gearing"
	"cagewise/sim"
)

// GearViews are the side views of the gears of one build for an HTML page that
// shows every one of them: all in one frame at one scale, mm from the rear
// axle, and what they share is written once. Such a view takes three kilobytes
// where that of a SideView takes thirty; it tells no figure but the teeth.
//
// Its parts have class names, which the page's style gives colours: wheel, axle,
// chain (the band's edge), inner (the band's paper), band, pins, sound (where a
// run would be), cage, pivot, bar, label.
type GearViews struct {
	id    string
	views []gearView
	frame rect // mm from the rear axle, y up
}

// gearView is one gear, laid out.
type gearView struct {
	SideView
	chain  chainPath
	pieces [][]point // of the lower run, as it is drawn
}

// Room round the wheels, and under them for the scale bar, mm on the bike.
const (
	gearViewMargin = 8.0
	gearViewBar    = 29.0
	gearViewGap    = 12.0 // at least so much of a run that does not reach is open
)

// NewGearViews lays out views of one build. The id begins the names of what the
// views share, so that it is unique in the page; letters, digits and hyphens.
func NewGearViews(id string, views []SideView) *GearViews {
	g := &GearViews{id: id, views: make([]gearView, len(views))}
	var corners []point
	for i, v := range views {
		w := gearView{SideView: v, chain: newChainPath(v.Build, &v.Fit, v.GuideTeeth, v.TensionTeeth)}
		if w.chain.closed {
			w.pieces = w.chain.lowerPieces(&v.Fit, gearViewGap)
		}
		g.views[i] = w
		corners = append(corners, w.extent()...)
	}
	g.frame = around(corners)
	return g
}

// shown are the wheels to draw: a gear without a path has no cage.
func (v *gearView) shown() []pathWheel {
	if v.Fit.NoPath {
		return v.chain.wheels[:onTension]
	}
	return v.chain.wheels[:]
}

// extent are points that wheels and hanging chain lie between.
func (v *gearView) extent() []point {
	var pts []point
	for _, w := range v.shown() {
		tip := float64(w.teeth.TipRadius())
		pts = append(pts, point{w.at.x - tip, w.at.y - tip}, point{w.at.x + tip, w.at.y + tip})
	}
	for _, p := range slices.Concat(v.pieces...) {
		pts = append(pts, point{p.x, p.y - chainHeight/2})
	}
	return pts
}

// Shared is the drawing that holds what the views share and shows nothing. It
// goes before them, into the same page.
func (g *GearViews) Shared() string {
	var b bytes.Buffer
	b.WriteString(`<svg width="0" height="0" aria-hidden="true"><defs>`)
	var seen []gearing.Teeth
	for i := range g.views {
		for _, w := range g.views[i].shown() {
			if slices.Contains(seen, w.teeth) {
				continue
			}
			seen = append(seen, w.teeth)
			fmt.Fprintf(&b, `<path id="%s" d="`, g.wheel(w.teeth))
			w.at, w.phase = point{}, 0
			polygonData(&b, w.toothed())
			b.WriteString(`"/>`)
		}
	}
	x, y := g.frame.x1+gearViewMargin-112, -(g.frame.y0 - gearViewMargin - gearViewBar + 6)
	fmt.Fprintf(&b, `<g id="%s-bar"><path class="bar" d="M%.1f %.1fv4h100v-4"/>`, g.id, x, y-4)
	g.label(&b, point{x + 50, -(y - 6)}, "100 mm")
	b.WriteString("</g></defs></svg>\n")
	return b.String()
}

func (g *GearViews) wheel(n gearing.Teeth) string { return fmt.Sprintf("%s-w%d", g.id, n) }

// SVG is view i. The drawing is as wide as what holds it.
func (g *GearViews) SVG(i int) string {
	var b bytes.Buffer
	v, f := &g.views[i], g.frame
	fmt.Fprintf(&b, `<svg role="img" viewBox="%.1f %.1f %.1f %.1f"><title>Side view of %s</title><desc>`,
		f.x0-gearViewMargin, -f.y1-gearViewMargin, f.width()+2*gearViewMargin, f.height()+2*gearViewMargin+gearViewBar, v.Fit.String())
	_ = xml.EscapeText(&b, []byte(v.Describe())) // a Buffer's error is always nil
	b.WriteString("</desc>")
	for _, w := range v.shown() {
		g.drawWheel(&b, &w)
	}
	if v.chain.closed {
		g.drawChain(&b, i)
	}
	if !v.Fit.NoPath {
		v.drawCage(&b)
	}
	dot(&b, "axle", simPoint(v.Hanger))
	for _, w := range v.chain.wheels[:onTension] {
		g.label(&b, g.teethPlace(&w), fmt.Sprint(int(w.teeth)))
	}
	fmt.Fprintf(&b, `<use href="#%s-bar"/></svg>`, g.id)
	return b.String()
}

func (g *GearViews) drawWheel(b *bytes.Buffer, w *pathWheel) {
	fmt.Fprintf(b, `<use class="wheel" href="#%s" transform="translate(%s)rotate(%s)"/>`, g.wheel(w.teeth), pageXY(w.at), trimmed(-w.phase*180/math.Pi, 2))
	dot(b, "axle", w.at)
}

// drawChain draws the band in three layers of one line, and the pins.
func (g *GearViews) drawChain(b *bytes.Buffer, i int) {
	v := &g.views[i]
	if run := v.chain.runs[onRing]; unsound(v.Fit.State) {
		fmt.Fprintf(b, `<path class="sound" d="M%sL%s"/>`, pageXY(run.from), pageXY(run.to))
	}
	id := fmt.Sprintf("%s-c%d", g.id, i)
	danger := ""
	if v.Fit.State.Dangerous() {
		danger = " danger"
	}
	fmt.Fprintf(b, `<g class="chain%s"><path id="%s" d="`, danger, id)
	v.chainData(b)
	fmt.Fprintf(b, `"/></g><use class="inner" href="#%s"/><use class="band%s" href="#%s"/><path class="pins%s" d="`, id, danger, id, danger)
	v.pinData(b)
	b.WriteString(`"/>`)
}

// chainData is the middle line of the chain, from where it meets the cog.
func (v *gearView) chainData(b *bytes.Buffer) {
	c := &v.chain
	fmt.Fprintf(b, "M%s", pageXY(c.runs[onGuide].to))
	for i := range c.wheels {
		w, run := &c.wheels[i], &c.runs[i]
		large, sweep := 0, 1 // clockwise
		if w.wrap > math.Pi {
			large = 1
		}
		if w.spin > 0 {
			sweep = 0
		}
		r := trimmed(w.r, 2)
		fmt.Fprintf(b, "A%s %s 0 %d %d %s", r, r, large, sweep, pageXY(run.from))
		if i == onRing {
			v.lowerData(b)
		} else {
			fmt.Fprintf(b, "L%s", pageXY(run.to))
		}
	}
}

// lowerData is the lower run from where it begins: straight, open or hanging.
func (v *gearView) lowerData(b *bytes.Buffer) {
	run := &v.chain.runs[onRing]
	switch v.Fit.State {
	case sim.Locks:
		fmt.Fprintf(b, "L%sM%sL%s", pageXY(v.pieces[0][1]), pageXY(v.pieces[1][0]), pageXY(run.to))
	case sim.Slack: // a parabola's control point hangs twice as deep as its middle
		mid := point{(run.from.x + run.to.x) / 2, (run.from.y+run.to.y)/2 - 2*v.chain.sag(&v.Fit)}
		fmt.Fprintf(b, "Q%s %s", pageXY(mid), pageXY(run.to))
	default:
		fmt.Fprintf(b, "L%s", pageXY(run.to))
	}
}

// pinData has a step and a dot for each pin, to a tenth of a mm.
func (v *gearView) pinData(b *bytes.Buffer) {
	var last point // in tenths
	v.chain.pins(&v.Fit, v.pieces, func(p point) {
		at := point{math.Round(10 * p.x), math.Round(-10 * p.y)}
		fmt.Fprintf(b, "m%s %sh0", trimmed((at.x-last.x)/10, 1), trimmed((at.y-last.y)/10, 1))
		last = at
	})
}

func (v *gearView) drawCage(b *bytes.Buffer) {
	pivot := simPoint(v.Fit.Pivot)
	fmt.Fprintf(b, `<path class="cage" d="M%sL%sL%sZ"/>`, pageXY(pivot), pageXY(v.chain.wheels[onGuide].at), pageXY(v.chain.wheels[onTension].at))
	dot(b, "pivot", pivot)
}

// label is text centred at a place; its size goes by the frame's width.
func (g *GearViews) label(b *bytes.Buffer, at point, text string) {
	fmt.Fprintf(b, `<text class="label" x="%s" y="%s" font-size="%s">%s</text>`, trimmed(at.x, 1), trimmed(-at.y, 1), trimmed(g.frame.width()/30, 1), text)
}

// teethPlace is where a wheel's teeth count stands: under its centre, or behind
// a wheel that is too small to hold it.
func (g *GearViews) teethPlace(w *pathWheel) point {
	size := g.frame.width() / 30
	if w.r > 2.2*size {
		return point{w.at.x, w.at.y - 1.1*size}
	}
	return point{w.at.x - float64(w.teeth.TipRadius()) - size, w.at.y - 0.35*size}
}

// dot is a line of no length, which round ends make a dot.
func dot(b *bytes.Buffer, class string, at point) {
	fmt.Fprintf(b, `<path class="%s" d="M%sh0"/>`, class, pageXY(at))
}

// pageXY is a place with y down, mm.
func pageXY(p point) string { return trimmed(p.x, 2) + " " + trimmed(-p.y, 2) }

// polygonData is a closed line, to a tenth of a mm, in relative steps.
func polygonData(b *bytes.Buffer, pts []point) {
	var last point
	for i, p := range pts {
		at := point{math.Round(10 * p.x), math.Round(-10 * p.y)}
		if i == 0 {
			b.WriteByte('m')
		} else {
			b.WriteByte('l')
		}
		fmt.Fprintf(b, "%s %s", trimmed((at.x-last.x)/10, 1), trimmed((at.y-last.y)/10, 1))
		last = at
	}
	b.WriteByte('z')
}
