package plot

// labelSpot is a gear's name along the edge by which its curve comes in, mm.
type labelSpot struct {
	gear          int
	wanted, place float64 // of the curve and of the name
}

// spots are the names of panel k: of curves that come in by the left edge, and
// of those that come down through the top.
func (y *climbLayout) spots(k int) (left, top []labelSpot) {
	for gear := range y.Climb.Gears {
		grade, rpm := y.entrance(k, gear)
		if at := y.at(k, 100*grade, rpm); y.comesDown(k, gear) {
			top = append(top, labelSpot{gear: gear, wanted: at.x})
		} else {
			left = append(left, labelSpot{gear: gear, wanted: at.y})
		}
	}
	p, line := y.panels[k], curveLabel*y.size
	settle(left, line, p.y0+(0.5*curveLabel-0.5)*y.size, p.y1-(0.5*curveLabel-0.5)*y.size)
	settle(top, line, chartMargin*y.size+0.5*line, p.x1-0.5*line)
	return left, top
}

// settle places names of a height between lo and hi.
func settle(spots []labelSpot, height, lo, hi float64) {
	wanted := make([]float64, len(spots))
	for i, l := range spots {
		wanted[i] = l.wanted
	}
	for i, at := range spread(wanted, height, lo, hi) {
		spots[i].place = at
	}
}

// drawLabels names the curves where they come onto panel k: lying beside the
// left edge, standing over the top one.
func (y *climbLayout) drawLabels(k int) {
	left, top := y.spots(k)
	y.drawLeft(k, left)
	y.drawTop(k, top)
}

func (y *climbLayout) leadStroke() stroke {
	return stroke{color: y.s.theme.Muted, width: 0.06 * y.size}
}

// drawLeft writes names beside the left edge; a hollow mark stands before
// those of gears that never reach the least cadence.
func (y *climbLayout) drawLeft(k int, spots []labelSpot) {
	s, z, x := y.s, y.size, y.panels[k].x0
	most, _ := y.mostNamed()
	lead := y.lead(most)
	st := y.labelText()
	st.align = alignRight
	for _, l := range spots {
		s.polyline([]point{{x, l.wanted}, {x - 0.35*z, l.wanted}, {x - lead + 0.5*z, l.place}, {x - lead + 0.2*z, l.place}}, y.leadStroke())
		s.text(point{x - lead, l.place}, y.Climb.Gears[l.gear].String(), st)
		if y.never(k, l.gear) {
			y.drawNever(point{x - lead - 0.65*z - y.names, l.place}, y.ringOf(l.gear))
		}
	}
}

func (y *climbLayout) drawNever(at point, ring int) {
	y.s.mark(at, mostMark*y.size, ring, y.s.theme.series(ring), true)
}

// drawTop writes names over the top edge.
func (y *climbLayout) drawTop(k int, spots []labelSpot) {
	s, z, edge := y.s, y.size, y.panels[k].y1
	lead := y.lead(len(spots))
	st := y.labelText()
	st.angle = 90
	for _, l := range spots {
		s.polyline([]point{{l.wanted, edge}, {l.wanted, edge + 0.4*z}, {l.place, edge + lead - 0.4*z}, {l.place, edge + lead - 0.2*z}}, y.leadStroke())
		s.text(point{l.place, edge + lead}, y.Climb.Gears[l.gear].String(), st)
	}
}
