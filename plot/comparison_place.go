package plot

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"cagewise/gearing"
)

// Sizes of a comparison in multiples of its text size.
const (
	laneName   = 1.5  // height of a lane's name
	laneFact   = 1.3  // and of each line of its facts
	laneGap    = 0.7  // between lanes
	laneEdge   = 0.2  // between the rows and the edge of their panel
	leastRow   = 1.05 // height of a ring's row
	mostRow    = 2.8
	mostGap    = 2.6
	laneWords  = 0.9 // text of the facts and rows
	laneGuide  = 2.0 // room over the lanes for the name of the cruising line
	axisBelow  = 3.4 // and under them for the axis
	mostOnePic = 4   // lanes; more get the axis above them too
)

// lane is where one build stands.
type lane struct {
	name  float64   // middle of the line of its name
	teeth string    // the name: its number and wheels
	rest  string    // what follows it in plain text
	lines []string  // its figures
	wide  []float64 // width of each line of them, mm
	panel rect      // of its rows
	ties  [][2]int  // gears of one duplicate group
}

// comparisonLayout is where everything of one comparison stands.
type comparisonLayout struct {
	Comparison
	s      *sheet
	size   float64 // of the text, mm
	head   heading
	legend legend
	x      scale // development, m, over the whole width of the panels
	ticks  []tick
	lanes  []lane
	row    float64 // height, mm
	gap    float64 // between lanes, mm
	mark   float64 // size, mm
	left   float64 // edges of the panels, mm
	right  float64
}

func (c Comparison) draw(s *sheet) { c.place(s).draw() }

// place takes the largest text with which everything has its room.
func (c Comparison) place(s *sheet) *comparisonLayout {
	var y *comparisonLayout
	first := max(ladderText, ladderPerWidth*s.w) // lanes set the height, so that it does not count
	shrunk(first, func(size float64) bool {
		y = &comparisonLayout{Comparison: c, s: s, size: size}
		y.placeAll()
		return y.fits()
	})
	return y
}

func (y *comparisonLayout) placeAll() {
	s, z := y.s, y.size
	margin := chartMargin * z
	y.head = s.heading(y.Title(), y.facts(), z)
	y.lanes = make([]lane, len(y.Compared.Options))
	for i := range y.lanes {
		y.lanes[i] = y.words(i)
	}
	y.legend = y.explain()
	y.left = margin + y.ringWidth() + 0.4*z
	y.right = s.w - margin
	y.placeScale()
	y.placeLanes(s.h-y.head.height()-y.above(), margin+y.legend.height(s, s.w-2*margin)+axisBelow*z)
	y.mark = y.markSize()
}

// above is the room between heading and lanes.
func (y *comparisonLayout) above() float64 {
	if len(y.lanes) > mostOnePic {
		return (laneGuide + 1.3) * y.size
	}
	return laneGuide * y.size
}

// words are the name and the figures of a lane.
func (y *comparisonLayout) words(i int) lane {
	o := &y.Compared.Options[i]
	l := lane{teeth: fmt.Sprintf("%d  %s", i+1, teethOf(o.Table)), rest: o.Build.Name, ties: Ladder{Table: o.Table}.ties()}
	if i == 0 && len(y.Compared.Options) > 1 {
		l.rest = "today"
		if o.Build.Name != "" {
			l.rest += " · " + o.Build.Name
		}
	}
	y.addFacts(&l, gearFacts(o))
	y.addFacts(&l, y.rideFacts(o))
	if facts := keepFacts(o, named); len(facts) > 0 {
		y.addFacts(&l, facts)
	}
	return l
}

// addFacts starts a line of figures, and more where one is not enough.
func (y *comparisonLayout) addFacts(l *lane, facts []string) {
	room, st := y.s.w-2*chartMargin*y.size, y.factText()
	line := strings.Join(facts, " · ")
	if w := y.s.textWidth(line, st); w <= room {
		l.lines, l.wide = append(l.lines, line), append(l.wide, w)
		return
	}
	for _, line := range y.s.wrapped(facts, st, room) {
		l.lines, l.wide = append(l.lines, line), append(l.wide, y.s.textWidth(line, st))
	}
}

func (y *comparisonLayout) nameText() textStyle {
	return textStyle{size: y.size, bold: true, color: y.s.theme.Ink, middle: true}
}

func (y *comparisonLayout) factText() textStyle {
	return textStyle{size: laneWords * y.size, color: y.s.theme.Muted, middle: true}
}

func (y *comparisonLayout) rowText() textStyle {
	return textStyle{size: laneWords * y.size, color: y.s.theme.Ink, middle: true}
}

func ringWords(ring gearing.Teeth) string { return fmt.Sprintf("ring %d", ring) }

// ringWidth is the room of the rings' names.
func (y *comparisonLayout) ringWidth() float64 {
	w := 0.0
	for i := range y.Compared.Options {
		for _, r := range y.Compared.Options[i].Table.Rings {
			w = max(w, y.s.textWidth(ringWords(r), y.rowText()))
		}
	}
	return w
}

// placeScale leaves the lowest and the highest development room beside the
// outermost marks.
func (y *comparisonLayout) placeScale() {
	lo, hi := y.span()
	widest := fixed(hi, y.Units.DevelopmentDecimals()) + " " + y.Units.DevelopmentUnit()
	room := y.s.textWidth(widest, y.rowText()) + 1.6*y.size
	a, b := y.left+room, y.right-room
	perMM := math.Log(hi/lo) / max(b-a, 0.01)
	y.x = scale{lo: lo * math.Exp(-perMM*room), hi: hi * math.Exp(perMM*room), a: y.left, b: y.right, log: true}
	y.ticks = y.x.roomyTicks(2.6 * y.size)
}

// placeLanes stacks the lanes from the top. Where the page is tall, rows and
// gaps grow, and what is left then stays free under the legend.
func (y *comparisonLayout) placeLanes(top, bottom float64) {
	z := y.size
	words, rows := 0.0, 0
	for i := range y.lanes {
		words += (laneName + laneFact*float64(len(y.lanes[i].lines)) + 2*laneEdge) * z
		rows += len(y.Compared.Options[i].Table.Rings)
	}
	gaps := float64(len(y.lanes) - 1)
	room := top - bottom - words - laneGap*z*gaps
	y.row = min(room/float64(rows), mostRow*z)
	y.gap = min(laneGap*z+max(0, room-y.row*float64(rows))/max(1, gaps), mostGap*z)
	at := top
	for i := range y.lanes {
		l := &y.lanes[i]
		l.name = at - 0.5*laneName*z
		at -= (laneName + laneFact*float64(len(l.lines))) * z
		foot := at - 2*laneEdge*z - y.row*float64(len(y.Compared.Options[i].Table.Rings))
		l.panel = rect{y.left, foot, y.right, at}
		at = foot - y.gap
	}
}

// foot is the height of the axis.
func (y *comparisonLayout) foot() float64 { return y.lanes[len(y.lanes)-1].panel.y0 }

// markSize keeps the marks of one row from merging where they are close.
func (y *comparisonLayout) markSize() float64 {
	gap := math.Inf(1)
	for i := range y.Compared.Options {
		t := y.Compared.Options[i].Table
		for k := range t.Gears {
			if k%len(t.Cogs) > 0 {
				gap = min(gap, y.x.at(y.of(t.Gears[k]))-y.x.at(y.of(t.Gears[k-1])))
			}
		}
	}
	return max(0.3*y.size, min(0.8*y.size, 0.72*y.row, 0.85*gap))
}

// fits tells whether rows and words have their room.
func (y *comparisonLayout) fits() bool {
	z, width := y.size, y.s.w-2*chartMargin*y.size
	if y.row < leastRow*z || y.right-y.left < 22*z || !y.head.fits(y.s) || !y.legend.fits(y.s, width) {
		return false
	}
	for i := range y.lanes {
		if y.s.textWidth(y.lanes[i].teeth, y.nameText()) > width {
			return false
		}
		if slices.Max(y.lanes[i].wide) > width {
			return false
		}
	}
	return true
}

// place of gear k of a build's ring by ring list on the page.
func (y *comparisonLayout) at(build, k int) point {
	t, panel := y.Compared.Options[build].Table, y.lanes[build].panel
	ring := float64(k / len(t.Cogs))
	return point{y.x.at(y.of(t.Gears[k])), panel.y0 + laneEdge*y.size + (ring+0.5)*y.row}
}
