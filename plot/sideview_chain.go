package plot

import (
	"math"

	"cagewise/sim"
)

// Sizes of the chain for the eye, mm on the bike.
const (
	chainHeight = 8.0 // of a plate
	chainInner  = 5.2 // of its light middle
	pinRadius   = 1.4 // of a pin
)

// Shapes of a lower run that is not sound, as shares of its length.
const (
	mostSag  = 0.4 // depth of a run that hangs
	mostOpen = 0.5 // of a run that does not reach
)

// lowerRun is the line of the lower run, mm from the rear axle: straight, but
// hanging where the chain is too long. A parabola of length L + e over a chord L
// is sqrt(3 L e / 8) deep, for small e (derived here).
func (c *chainPath) lowerRun(g *sim.GearFit) []point {
	if !c.closed {
		return nil
	}
	run := &c.runs[onRing]
	if g.State != sim.Slack {
		return []point{run.from, run.to}
	}
	return sagging(run.from, run.to, c.sag(g), 24)
}

// sag is how deep the lower run hangs in a gear that is slack, mm.
func (c *chainPath) sag(g *sim.GearFit) float64 {
	run := &c.runs[onRing]
	chord := math.Hypot(run.to.x-run.from.x, run.to.y-run.from.y)
	over := max(0, -float64(g.Rearward)*c.pitch)
	return min(math.Sqrt(0.375*chord*over), mostSag*chord)
}

// brokenRun is the lower run with a gap in its middle, missing mm long.
func (c *chainPath) brokenRun(missing float64) [2][2]point {
	run := &c.runs[onRing]
	chord := math.Hypot(run.to.x-run.from.x, run.to.y-run.from.y)
	share := min(missing/chord, mostOpen) / 2
	at := func(t float64) point {
		return point{run.from.x + t*(run.to.x-run.from.x), run.from.y + t*(run.to.y-run.from.y)}
	}
	return [2][2]point{{run.from, at(0.5 - share)}, {at(0.5 + share), run.to}}
}

// lowerPieces are the lines of the lower run as it is drawn, one that does not
// reach open by at least so many mm.
func (c *chainPath) lowerPieces(g *sim.GearFit, leastOpen float64) [][]point {
	if g.State != sim.Locks {
		return [][]point{c.lowerRun(g)}
	}
	p := c.brokenRun(max(-float64(g.Forward)*c.pitch, leastOpen))
	return [][]point{p[0][:], p[1][:]}
}

func (y *sideLayout) lowerPieces() [][]point {
	return y.chain.lowerPieces(&y.Fit, 2.6*y.size/y.view.scale)
}

// drawChain draws a dark band with a light middle and a dot for each pin.
func (y *sideLayout) drawChain() {
	s, k, col := y.s, y.view.scale, y.s.theme.chainColor(y.Fit.State)
	if unsound(y.Fit.State) {
		run, z := &y.chain.runs[onRing], y.size
		s.part(runNames[onRing], func() { // where it would be if it were sound
			s.line(y.view.at(run.from), y.view.at(run.to), stroke{color: s.theme.Muted, width: 0.08 * z, dash: []float64{0.35 * z, 0.3 * z}})
		})
	}
	y.band(stroke{color: col, width: chainHeight * k}, func(int, bool) string { return "chain edge" })
	y.band(stroke{color: s.theme.tint(col, 0.3), width: chainInner * k}, y.bandName)
	if pinRadius*k >= 0.12 { // smaller ones are specks
		s.part("pins", func() {
			y.chain.pins(&y.Fit, y.lowerPieces(), func(p point) { s.circle(y.view.at(p), pinRadius*k, col, stroke{}) })
		})
	}
}

// bandName names the chain on a run or on the wheel before it.
func (y *sideLayout) bandName(i int, arc bool) string {
	switch {
	case arc:
		return "chain on " + y.chain.wheels[i].name
	case i == onRing && y.Fit.State == sim.Locks:
		return "open lower run"
	case i == onRing && y.Fit.State == sim.Slack:
		return "hanging lower run"
	}
	return runNames[i]
}

// pins visits every pin that is drawn, a pitch apart on each piece of the lower
// run.
func (c *chainPath) pins(g *sim.GearFit, pieces [][]point, visit func(p point)) {
	open := unsound(g.State)
	c.walk(func(p point, wheel int, _ float64) {
		if !open || wheel != -1-onRing {
			visit(p)
		}
	})
	if open {
		for _, piece := range pieces {
			along(piece, c.pitch, visit)
		}
	}
}

// along visits points on a line at even distances, from half of one on.
func along(line []point, distance float64, visit func(p point)) {
	next := distance / 2
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		length := math.Hypot(b.x-a.x, b.y-a.y)
		for ; next < length; next += distance {
			t := next / length
			visit(point{a.x + t*(b.x-a.x), a.y + t*(b.y-a.y)})
		}
		next -= length
	}
}

// band strokes the whole way of the chain.
func (y *sideLayout) band(st stroke, name func(i int, arc bool) string) {
	for i := range y.chain.runs {
		y.s.part(name(i, false), func() {
			if i == onRing {
				for _, piece := range y.lowerPieces() {
					y.s.polyline(y.view.all(piece), st)
				}
				return
			}
			y.s.line(y.view.at(y.chain.runs[i].from), y.view.at(y.chain.runs[i].to), st)
		})
		w := &y.chain.wheels[i]
		if w.wrap == 0 {
			continue
		}
		from, sweep := y.chain.arc(i)
		y.s.part(name(i, true), func() {
			y.s.arc(y.view.at(w.at), y.view.scale*w.r, from*180/math.Pi, sweep*180/math.Pi, st)
		})
	}
}

// fault is what is wrong with the chain of a gear that fails.
type fault struct {
	at   point // on the lower run, mm on the page
	text string
}

// setFault finds what to say at the lower run of a gear that fails.
func (y *sideLayout) setFault() {
	g := &y.Fit
	if !y.chain.closed {
		return
	}
	line := y.chain.lowerRun(g)
	mid := line[len(line)/2]
	if len(line) == 2 {
		mid = point{(line[0].x + line[1].x) / 2, (line[0].y + line[1].y) / 2}
	}
	if text := faultWords(g); text != "" {
		y.fault = &fault{y.view.at(mid), text}
	}
}

// faultWords are what the lower run says of a gear that fails, "" where it is
// sound: a pulley too near to the cog tells at the pulley gap.
func faultWords(g *sim.GearFit) string {
	switch st := g.State; {
	case st == sim.Locks:
		return fixed(-float64(g.Forward), 2) + " pitches too short"
	case st == sim.Hits && g.Gap < sim.HitGap:
		return ""
	case st == sim.TooShort, st == sim.Hits && float64(g.Forward) < sim.LeastReserve:
		return "only " + fixed(float64(g.Forward), 2) + " pitches left"
	case st == sim.Slack, st == sim.Hits:
		return fixed(-float64(g.Rearward), 2) + " pitches too many"
	case st == sim.Tight:
		return fixed(float64(g.OverLoop), 2) + " pitches over the bare loop"
	}
	return ""
}

func (y *sideLayout) drawFault() {
	if f := y.fault; f != nil {
		y.s.part("fault", func() { y.s.platedMark(f.at, 1.15*y.size, y.Fit.State) })
	}
}
