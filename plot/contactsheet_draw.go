package plot

import (
	"math"

	"cagewise/sim"
)

func (c ContactSheet) draw(s *sheet) { c.place(s).draw() }

func (y *contactLayout) draw() {
	y.head.draw(y.s)
	for line := 1; line < y.rings(); line++ {
		top := y.area.y1 - float64(line*y.lines)*y.tileH + 0.1*y.size
		y.s.line(point{y.area.x0, top}, point{y.area.x1, top}, stroke{color: y.s.theme.Grid, width: 0.08 * y.size})
	}
	for i := range y.Fits {
		y.s.part("gear "+y.Fits[i].String(), func() { y.drawTile(i, y.tile(i)) })
	}
	y.legend.draw(y.s, y.area.x0, y.area.y0-0.4*y.size, y.area.width())
}

func (y *contactLayout) drawTile(i int, r rect) {
	g, t := &y.Fits[i], judgement{y.Advice}.tell(i)
	v, z := y.viewIn(r), y.size
	y.drawRear(g, v)
	mid := (r.x0 + r.x1) / 2
	y.s.text(point{mid, r.y1 - 0.7*z}, g.String(), y.nameText())
	words := y.wordText()
	state := t.short()
	under := r.y1 - 1.3*z - y.picture
	w := y.s.textWidth(state, words) + 1.25*z
	y.s.stateMark(point{mid - w/2 + 0.45*z, under - 0.65*z}, 0.9*z, t.state)
	y.s.text(point{mid - w/2 + 1.25*z, under - 0.65*z}, state, words)
	words.align = alignMiddle
	words.color = y.s.theme.Muted
	y.s.text(point{mid, under - 1.75*z}, gapWords(g), words)
}

// drawRear draws cog, pulleys, chain and cage; teeth would be specks here.
func (y *contactLayout) drawRear(g *sim.GearFit, v view) {
	t := y.s.theme
	c := newChainPath(y.Build, g, y.GuideTeeth, y.TensionTeeth)
	y.drawDisc(&c.wheels[onCog], v, 0)
	if g.NoPath {
		return
	}
	y.drawDisc(&c.wheels[onTension], v, 2)
	y.drawDisc(&c.wheels[onGuide], v, 2)
	if c.closed {
		y.drawBand(&c, v, g.State)
	}
	plate := stroke{color: t.series(1), width: least(1.5, v.scale, 0.05*y.size)}
	y.s.polygon(v.all(cagePlate(g, 10)), glassy(t.series(1), 0.45), plate)
	y.s.circle(v.at(simPoint(g.Pivot)), least(4, v.scale, 0.1*y.size), t.Background, stroke{color: t.Ink, width: least(1.5, v.scale, 0.05*y.size)})
}

func (y *contactLayout) drawDisc(w *pathWheel, v view, series int) {
	col := y.s.theme.series(series)
	y.s.circle(v.at(w.at), v.scale*w.r, y.s.theme.tint(col, 0.2), stroke{color: col, width: least(1.2, v.scale, 0.04*y.size)})
}

// drawBand draws the chain as far as the tile goes; the lower run of a gear that
// is slack or locks is dashed, no run that a rider would see.
func (y *contactLayout) drawBand(c *chainPath, v view, state sim.State) {
	st := stroke{color: y.s.theme.chainColor(state), width: least(5, v.scale, 0.09*y.size)}
	room := y.box.grown(-st.width / 2 / v.scale)
	var lines, lower [][2]point
	for i, run := range c.runs {
		a, b, ok := room.clipped(run.from, run.to)
		switch line := [2]point{v.at(a), v.at(b)}; {
		case !ok:
		case i == onRing && unsound(state):
			lower = append(lower, line)
		default:
			lines = append(lines, line)
		}
	}
	y.s.segments(lines, st)
	dashed := st
	dashed.dash = []float64{1.5 * st.width, 1.5 * st.width}
	y.s.segments(lower, dashed)
	for _, i := range []int{onCog, onTension, onGuide} {
		w := &c.wheels[i]
		if w.wrap > 0 {
			from, sweep := c.arc(i)
			y.s.arc(v.at(w.at), v.scale*w.r, from*180/math.Pi, sweep*180/math.Pi, st)
		}
	}
}
