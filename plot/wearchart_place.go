package plot

import (
	"strings"

	"cagewise/sim/wear"
)

// Sizes of a chart of wear in multiples of its text size.
const (
	wearRail   = 2.1 // over the plot, for when to read again
	wearAxis   = 3.3 // under it
	wearMark   = 0.75
	wearSmall  = 0.42 // a mark where readings are many
	wearNote   = 1.35 // height of a line of notes
	wearIndent = 1.3  // of notes, for their numbers
	wearRing   = 0.62 // round a mark that is at odds
	wearMeets  = 0.36 // of the ring where the fit meets a limit
)

// Beyond so many, readings lose their bars and marks shrink.
const mostBars = 60

// wearLayout is where everything of one chart of wear stands.
type wearLayout struct {
	WearChart
	s        *sheet
	size     float64 // of the text, mm
	head     heading
	legend   legend
	notes    []noteLine
	plot     rect
	x        scale // distance in the chart's unit
	e        scale // elongation, %
	distance []tick
	percent  []tick
	at       []point // of each reading
	dense    bool    // readings are too many for bars
	names    []wearName
	callouts []callout
	named    bool // every limit's name has a good place
	placed   bool // every label has one
}

// noteLine is a line of the notes; number is that of a new note, else 0.
type noteLine struct {
	number int
	text   string
}

// wearName is the name of a limit's line and where it stands.
type wearName struct {
	text string
	box  rect
}

func (c WearChart) draw(s *sheet) { c.place(s).draw() }

// place takes the largest text with which everything has its room.
func (c WearChart) place(s *sheet) *wearLayout {
	first := chartText(s)
	var y *wearLayout
	shrunk(first, func(size float64) bool {
		y = &wearLayout{WearChart: c, s: s, size: size, dense: len(c.Wear.Estimates) > mostBars}
		y.placeAll()
		if !y.fits() {
			return false
		}
		y.placeLabels()
		return y.placed && (y.named || size < 0.85*first) || size < 0.7*first && len(y.names) == len(wear.Limits())
	})
	return y
}

func (y *wearLayout) placeAll() {
	s, z := y.s, y.size
	margin := chartMargin * z
	width := s.w - 2*margin
	y.head = s.heading(y.Title(), y.facts(), z)
	y.legend = y.explain()
	y.placeNotes(width)
	y.plot.y1 = s.h - y.head.height() - y.above()
	y.plot.y0 = margin + y.notesHeight() + y.legend.height(s, width) + wearAxis*z
	y.plot.x1 = s.w - margin - 0.8*z
	y.placeScales()
	y.placeReadings()
}

// above is the room between heading and plot.
func (y *wearLayout) above() float64 {
	if f := y.Wear.Forecast; f != nil && f.NextReadingKM > 0 {
		return wearRail * y.size
	}
	return 0.6 * y.size
}

// placeNotes breaks the notes on readings at odds into lines.
func (y *wearLayout) placeNotes(width float64) {
	st := y.noteText()
	add := func(number int, text string) {
		for i, line := range y.s.wordLines(text, st, width-wearIndent*y.size) {
			if i > 0 {
				number = 0
			}
			y.notes = append(y.notes, noteLine{number, line})
		}
	}
	for k := range min(len(y.Wear.Contradictions), mostNoted) {
		add(k+1, y.note(k))
	}
	if y.noted() > mostNoted {
		add(0, y.moreNotes())
	}
}

// wordLines breaks a text into lines no wider than a width in mm. It measures
// every word once, which is faster than wrapped on a long text.
func (s *sheet) wordLines(text string, st textStyle, width float64) []string {
	var lines []string
	space, used := s.textWidth(" ", st), 0.0
	for _, word := range strings.Fields(text) {
		w := s.textWidth(word, st)
		if n := len(lines); n > 0 && used+space+w <= width {
			lines[n-1], used = lines[n-1]+" "+word, used+space+w
			continue
		}
		lines, used = append(lines, word), w
	}
	return lines
}

func (y *wearLayout) notesHeight() float64 {
	if len(y.notes) == 0 {
		return 0
	}
	return (0.3 + wearNote*float64(len(y.notes))) * y.size
}

func (y *wearLayout) noteText() textStyle {
	return textStyle{size: 0.9 * y.size, color: y.s.theme.Ink, middle: true}
}

func (y *wearLayout) axisText() textStyle { return y.noteText() }

func (y *wearLayout) placeScales() {
	s, z, unit := y.s, y.size, y.unitKM()
	lo, hi := y.span()
	y.e = scale{lo: lo, hi: hi, a: y.plot.y0, b: max(y.plot.y1, y.plot.y0+0.01)}
	y.percent = y.e.roomyTicks(1.9 * z)
	wide := 0.0
	for _, t := range y.percent {
		wide = max(wide, s.textWidth(t.label, y.axisText()))
	}
	y.plot.x0 = chartMargin*z + 1.5*z + wide + 0.4*z
	y.x = scale{lo: y.fit.from / unit, hi: y.fit.end / unit, a: y.plot.x0, b: max(y.plot.x1, y.plot.x0+0.01)}
	y.distance = y.x.roomyTicks(s.textWidth(fixed(y.x.hi, 0), y.axisText()) + 1.6*z)
}

// edge is room in percent over and under what is shown.
const wearEdge = 0.06

// span is the range of elongation shown, percent.
func (c WearChart) span() (lo, hi float64) {
	lo, hi = 0, float64(wear.LimitCassette)+2*wearEdge
	for i := range c.Wear.Estimates {
		v := shownAt(&c.Wear.Estimates[i])
		lo, hi = min(lo, v), max(hi, v)
	}
	for _, p := range c.fit.past {
		lo, hi = min(lo, p.mid), max(hi, p.mid)
	}
	if n := len(c.fit.ahead); n > 0 {
		hi = max(hi, min(c.fit.ahead[0].high, 1.3*hi))
		if last := c.Wear.Forecast.Limits; last[len(last)-1].Passed {
			hi = max(hi, min(c.fit.ahead[n-1].mid, 1.3*hi))
		}
	}
	return lo - wearEdge, hi + wearEdge
}

// shownAt is where a reading stands, percent: a bound at itself, not in the
// middle of what it leaves.
func shownAt(e *wear.Estimate) float64 {
	switch {
	case !e.Interval:
		return float64(e.Elongation)
	case e.Reading.Falls:
		return float64(e.Low)
	}
	return float64(e.High)
}

// on is the place of an elongation in % at a distance in km.
func (y *wearLayout) on(km, percent float64) point {
	return point{y.x.at(km / y.unitKM()), y.e.at(percent)}
}

// fits tells whether plot and words have their room.
func (y *wearLayout) fits() bool {
	z, p := y.size, y.plot
	if p.height() < 0.38*y.s.h || p.height() < 11*z || p.width() < 16*z {
		return false
	}
	return y.head.fits(y.s) && y.legend.fits(y.s, y.s.w-2*chartMargin*z)
}
