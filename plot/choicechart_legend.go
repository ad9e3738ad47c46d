package plot

import "fmt"

// explain is the legend: what occurs in this chart.
func (y *choiceLayout) explain() legend {
	l := legend{size: 0.9 * y.size, sample: 2.6 * y.size}
	add := func(text string, draw func(at point, w float64)) {
		l.entries = append(l.entries, entry{func(_ *sheet, at point, w float64) { draw(at, w) }, text})
	}
	disc := func(kind choiceKind) func(at point, w float64) {
		return func(at point, w float64) { y.drawSample(point{at.x + w/2, at.y}, 0, kind) }
	}
	if y.any(choiceBest) {
		add(y.bestWords(), disc(choiceBest))
	}
	if y.any(choiceNext) {
		add("next best (beaten by)", disc(choiceNext))
	}
	if y.any(choiceMiss) {
		add("nearest miss, price in "+y.money(), disc(choiceMiss))
	}
	if len(y.marks) > 0 {
		y.explainSigns(add)
	}
	if y.any(choiceBest) {
		add("unbeaten in range and step", func(at point, w float64) {
			z := y.size
			y.s.polyline([]point{{at.x, at.y - 0.4*z}, {at.x + w/2, at.y - 0.4*z}, {at.x + w/2, at.y + 0.4*z}, {at.x + w, at.y + 0.4*z}}, y.stairStroke())
		})
	}
	if y.aside {
		add("moved aside from its place", func(at point, w float64) {
			from, to := point{at.x + 0.3*y.size, at.y}, point{at.x + w - 0.6*y.size, at.y}
			y.drawAside(from, to)
			y.drawSample(to, 0, choiceBest)
		})
	}
	return l
}

// bestWords explain the labels of the best.
func (y *choiceLayout) bestWords() string {
	if y.price == 0 {
		return "number in the list, nothing to buy"
	}
	return "number in the list, price in " + y.money()
}

// explainSigns explains size and ticks.
func (y *choiceLayout) explainSigns(add func(string, func(point, float64))) {
	lo, hi := y.margins()
	add(marginWords(lo, hi), func(at point, w float64) {
		z := y.size
		y.s.circle(point{at.x + 0.3*w, at.y}, 0.28*z, nil, stroke{color: y.s.theme.series(0), width: 0.12 * z})
		y.s.circle(point{at.x + 0.72*w, at.y}, 0.58*z, nil, stroke{color: y.s.theme.series(0), width: 0.12 * z})
	})
	if y.price > 0 {
		add(fmt.Sprintf("tick: every %s %s begun", plain(y.price), y.money()), func(at point, w float64) {
			y.drawSample(point{at.x + w/2, at.y}, 3, choiceNext)
		})
	}
}

// marginWords tell what the size of a disc stands for.
func marginWords(lo, hi float64) string {
	if a, b := fixed(lo, 2), fixed(hi, 2); a != b {
		return fmt.Sprintf("area: margin %s to %s pitches", a, b)
	}
	return fmt.Sprintf("area: margin %s pitches", fixed(hi, 2))
}

// margins are the least and the greatest margin drawn, pitches.
func (y *choiceLayout) margins() (lo, hi float64) {
	for i := range y.marks {
		v := float64(y.marks[i].found.Margin)
		if i == 0 {
			lo, hi = v, v
		}
		lo, hi = min(lo, v), max(hi, v)
	}
	return lo, hi
}

// any tells whether a kind occurs.
func (y *choiceLayout) any(kind choiceKind) bool {
	for i := range y.marks {
		if y.marks[i].kind == kind {
			return true
		}
	}
	return false
}

// drawSample draws a disc of the legend.
func (y *choiceLayout) drawSample(at point, ticks int, kind choiceKind) {
	tick := y.tick
	y.tick = 0.28 * y.size
	y.drawDisc(at, 0.45*y.size, ticks, kind)
	y.tick = tick
}
