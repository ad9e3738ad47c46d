package plot

import "cagewise/sim"

// windowLayout is where everything of one length window stands.
type windowLayout struct {
	LengthWindow
	s       *sheet
	size    float64 // of the text, mm
	rowText float64 // of the rows' names, mm
	row     float64 // height of a row, mm
	rings   int
	cogs    int
	counts  []windowColumn
	judged  int // index of the column of the chain judged, -1: none
	length  int // of the length to have, -1: none
	head    heading
	legend  legend
	plot    rect
	columnW float64 // mm
}

// Sizes of a length window in text sizes.
const (
	windowRow     = 1.3  // a row, where the page's height is free
	windowLabels  = 1.45 // the line that names the chain judged and the length to have
	windowHeader  = 2.75 // the lines of counts and link pairs
	windowBelow   = 1.5  // bar under the counts with which every gear runs, and space
	betweenRings  = 0.6  // rows between two rings
	leastColumnsW = 12   // width of all columns
)

// place takes the largest text with which everything has its room.
func (l LengthWindow) place(s *sheet) *windowLayout {
	first := firstText(s, 0.05)
	var y *windowLayout
	shrunk(first, func(size float64) bool {
		y = l.layout(s, size)
		return y.fits(size > 0.75*first)
	})
	return y
}

// heightAt is the height that gives every row its room.
func (l LengthWindow) heightAt(wMM float64) float64 {
	if l.check() != nil {
		return MinSizeMM
	}
	s := &sheet{w: wMM}
	y := l.layout(s, firstText(s, 0))
	return allowed(y.rows()*windowRow*y.size - y.plot.height())
}

func (l LengthWindow) layout(s *sheet, size float64) *windowLayout {
	y := &windowLayout{LengthWindow: l, s: s, size: size, counts: l.columns()}
	y.judged, y.length = l.column(l.Answer.Pitches), l.column(l.Answer.Length)
	y.cogs, y.rings = columnsOf(l.Answer.Fit.Gears), ringsOf(l.Answer.Fit.Gears)
	y.placeAll()
	return y
}

// rows is the number of rows, with the space between rings.
func (y *windowLayout) rows() float64 {
	return float64(len(y.Answer.Gears)) + betweenRings*float64(y.rings-1)
}

func (y *windowLayout) placeAll() {
	s, z := y.s, y.size
	margin := chartMargin * z
	y.head = s.heading(y.Title(), y.facts(), z)
	y.legend = y.explain()
	y.plot.y1 = s.h - y.head.height() - (windowHeader+0.3)*z
	if y.judged >= 0 || y.length >= 0 {
		y.plot.y1 -= windowLabels * z
	}
	y.plot.y0 = margin + y.legend.height(s, s.w-2*margin) + windowBelow*z
	y.row = max(0, y.plot.height()/max(1, y.rows()))
	y.rowText = min(z, 0.85*y.row)
	if s.h == 0 {
		y.rowText = z // the height is yet to be found
	}
	y.plot.x0 = margin + y.nameWidth() + 0.5*z
	y.plot.x1 = s.w - margin - y.stateWidth()
	if n := len(y.counts); n > 0 {
		y.columnW = max(0, y.plot.width()) / (y.counts[n-1].at + 1)
	}
}

// fits tells whether the words have their room; comfortable asks for rows that
// are written as large as all else, nearly.
func (y *windowLayout) fits(comfortable bool) bool {
	if y.plot.width() < 0.4*y.s.w || y.plot.width() < leastColumnsW*y.size {
		return false
	}
	if y.rowText < 0.8*y.size && (comfortable || y.plot.height() < 0.4*y.s.h) {
		return false
	}
	return y.plot.height() > 0 && y.head.fits(y.s) && y.legend.fits(y.s, y.s.w-2*chartMargin*y.size)
}

func (y *windowLayout) rowStyle() textStyle {
	return textStyle{size: y.rowText, color: y.s.theme.Ink, middle: true}
}

func (y *windowLayout) axisText() textStyle {
	return textStyle{size: 0.9 * y.size, color: y.s.theme.Ink, align: alignMiddle, middle: true}
}

// Names of the lines of counts.
const countName, pairsName = "pitches", "link pairs"

// nameWidth is the room of the names of gears and lines.
func (y *windowLayout) nameWidth() float64 {
	w := max(y.s.textWidth(countName, y.axisText()), y.s.textWidth(pairsName, y.axisText()))
	for i := range y.Answer.Gears {
		w = max(w, y.s.textWidth(y.Answer.Gears[i].String(), y.rowStyle()))
	}
	return w
}

// stateWidth is the room of the states with the chain judged: marks and words.
func (y *windowLayout) stateWidth() float64 {
	if y.judged < 0 {
		return 0
	}
	w := 0.0
	for i := range y.Answer.Gears {
		w = max(w, y.s.textWidth(y.judgement().tell(i).short(), y.rowStyle()))
	}
	return max(w+1.3*y.rowText, y.s.textWidth(y.withJudged(), y.axisText())) + 0.6*y.size
}

// rowAt is the middle of a gear's row: the largest ring's on top, each from the
// largest cog.
func (y *windowLayout) rowAt(i int) float64 {
	ring := y.rings - 1 - i/y.cogs
	line := float64(ring*y.cogs+i%y.cogs) + betweenRings*float64(ring)
	return y.plot.y1 - (line+0.5)*y.row
}

// half is half the height of a row's bar, mm.
func (y *windowLayout) half() float64 { return min(0.41*y.row, 0.55*y.size) }

// cells is the place of the columns from one to another, over all rows.
func (y *windowLayout) cells(from, to int) rect {
	x := func(at float64) float64 { return y.plot.x0 + at*y.columnW }
	return rect{x(y.counts[from].at), y.plot.y0, x(y.counts[to].at + 1), y.plot.y1}
}

// middle is the middle of a column.
func (y *windowLayout) middle(c int) float64 { return y.plot.x0 + (y.counts[c].at+0.5)*y.columnW }

// bars calls visit for every run of neighbouring counts in one state of gear i.
func (y *windowLayout) bars(i int, visit func(from, to int, st sim.State)) {
	from := 0
	for c := range y.counts {
		st := y.counts[c].states[i]
		if c+1 < len(y.counts) && y.counts[c+1].states[i] == st && y.counts[c+1].at == y.counts[c].at+1 {
			continue
		}
		visit(from, c, st)
		from = c + 1
	}
}
