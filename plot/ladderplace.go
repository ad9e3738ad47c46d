package plot

import (
	"fmt"
	"math"
)

// Sizes of a ladder in multiples of its text size, unless said otherwise.
const (
	ladderPerWidth  = 0.026 // text size as a share of the page's width: near 9 pixels on a phone
	ladderPerHeight = 0.030 // and at most this share of its height
	ladderText      = 2.6   // mm: text is larger than its shares say on a small page, if there is room
	leastText       = 0.4   // mm: every allowed page has room before this
	ladderShrink    = 0.96
	comfort         = 0.82 // smallest share of the first text size taken for labels that stand nearer their rungs

	ladderMargin = 0.8
	titleSize    = 1.35
	factLine     = 1.45
	labelPitch   = 1.02 // from one rung label to the next: brackets clear each other
	labelMove    = 0.8  // a label farther from its rung is taken for another's
	labelLeader  = 1.1  // from a label to its rung
	ladderMark   = 1.0  // of a state's mark before its label
	leastRung    = 2.2
	leastPlot    = 8.0 // height of the columns
	columnGap    = 0.8
)

// ladderLayout is where everything of one ladder stands.
type ladderLayout struct {
	Ladder
	s      *sheet
	size   float64 // text size, mm
	title  []string
	lines  []string // of facts
	legend legend
	plot   rect  // the columns
	dev    scale // development, m
	inch   scale // gear inches

	devTicks, inchTicks []tick

	label         float64 // width of the widest rung label, mm
	colWidth      float64 // mm
	bar, markSize float64 // half height of a bar, and a mark, mm
}

func (l Ladder) draw(s *sheet) { l.place(s).draw() }

// place takes the largest text with which everything has its room.
func (l Ladder) place(s *sheet) *ladderLayout {
	first := max(ladderText, min(ladderPerWidth*s.w, ladderPerHeight*s.h))
	for size := first; ; size *= ladderShrink {
		y := &ladderLayout{Ladder: l, s: s, size: size}
		y.placeAll()
		if size < leastText || y.fits() && (size < comfort*first || y.labelsNear()) {
			return y
		}
	}
}

// labelsNear tells whether every label stands near enough to its rung.
func (y *ladderLayout) labelsNear() bool {
	for i := range y.Table.Rings {
		wanted, places := y.labelPlaces(i)
		for k := range wanted {
			if math.Abs(places[k]-wanted[k]) > labelMove*y.size {
				return false
			}
		}
	}
	return true
}

// labelPlaces gives the heights of a ring's rungs and of their labels.
func (y *ladderLayout) labelPlaces(ring int) (wanted, places []float64) {
	gears := y.gearsOf(ring)
	wanted = make([]float64, len(gears))
	for k, g := range gears {
		wanted[k] = y.rungAt(g)
	}
	half := 0.5 * y.size
	return wanted, spread(wanted, labelPitch*y.size, y.plot.y0+half, y.plot.y1-half)
}

func (y *ladderLayout) placeAll() {
	s, z := y.s, y.size
	margin := ladderMargin * z
	y.title = s.titleLines(y.Title(), z, s.w-2*margin)
	y.lines = s.wrapped(y.facts(), y.text(z), s.w-2*margin)
	y.legend = y.explain()
	y.plot.y1 = s.h - margin - (titleHeight(y.title)+0.4+factLine*float64(len(y.lines))+2.3)*z
	y.plot.y0 = margin + y.legend.height(s, s.w-2*margin) + 0.8*z
	y.scales()
	y.placeColumns(margin)
	y.sizeRungs()
}

// placeColumns leaves the axes the width of their labels.
func (y *ladderLayout) placeColumns(margin float64) {
	z := y.size
	axis := margin + 1.9*z // title and gaps
	y.plot.x0 = axis + y.widest(y.devTicks)
	y.plot.x1 = y.s.w - axis - y.widest(y.inchTicks)
	y.colWidth = y.plot.width() / float64(len(y.Table.Rings))
	y.label = 0
	for i := range y.Table.Gears {
		w := y.s.textWidth(y.cogLabel(i), y.text(z))
		if _, marked := y.told(i); marked {
			w += ladderMark * z
		}
		y.label = max(y.label, w)
	}
}

func (y *ladderLayout) widest(ticks []tick) float64 {
	w := 0.0
	for _, t := range ticks {
		w = max(w, y.s.textWidth(t.label, y.tickText()))
	}
	return w
}

// fits tells whether labels and headings have their room.
func (y *ladderLayout) fits() bool {
	z := y.size
	if y.plot.height() < max(leastPlot, labelPitch*float64(len(y.Table.Cogs)))*z {
		return false
	}
	if y.colWidth < y.label+(labelLeader+leastRung+columnGap)*z {
		return false
	}
	for i := range y.Table.Rings {
		if y.colWidth < y.s.textWidth(y.ringName(i), y.headText(i))+0.8*z {
			return false
		}
	}
	for _, line := range y.lines {
		if y.s.textWidth(line, y.text(z)) > y.s.w-2*ladderMargin*z {
			return false
		}
	}
	return y.legend.fits(y.s, y.s.w-2*ladderMargin*z)
}

func (y *ladderLayout) ringName(i int) string { return fmt.Sprintf("ring %d", y.Table.Rings[i]) }

// scales leave the height of a label free at either end, and at least a
// twentieth of the range.
func (y *ladderLayout) scales() {
	low, high := y.Table.Lowest(), y.Table.Highest()
	lo, hi := float64(low.Development), float64(high.Development)
	pad := math.Max(math.Pow(hi/lo, 0.05), 1.03)
	if hi/lo < 1.1 { // else one gear's axis would show a sliver
		pad = 1.25
	}
	perMetre := float64(low.GearInches) / lo
	y.dev = scale{lo: lo / pad, hi: hi * pad, a: y.plot.y0, b: y.plot.y1, log: true}
	y.inch = y.dev
	y.inch.lo, y.inch.hi = y.dev.lo*perMetre, y.dev.hi*perMetre
	y.devTicks, y.inchTicks = y.dev.roomyTicks(1.7*y.size), y.inch.roomyTicks(1.7*y.size)
}

// sizeRungs keeps the rungs of one column from merging where they are close.
func (y *ladderLayout) sizeRungs() {
	gap := math.Inf(1)
	for i := range y.Table.Rings {
		gears := y.gearsOf(i)
		for k := 1; k < len(gears); k++ {
			gap = min(gap, math.Abs(y.rungAt(gears[k])-y.rungAt(gears[k-1])))
		}
	}
	y.bar = min(0.11*y.size, max(0.2*gap, 0.03*y.size))
	y.markSize = min(0.75*y.size, max(0.9*gap, 0.3*y.size))
}
