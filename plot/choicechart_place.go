package plot

// Sizes of a chart of choices in multiples of its text size.
const (
	choiceDisc  = 1.1  // radius of the largest margin, where there is room
	choiceLeast = 0.3  // share of it that the least margin keeps
	choiceTick  = 0.34 // length of a tick of price, as a share of the largest radius
	choiceGap   = 0.12 // between discs
	choiceAxis  = 3.3  // under the plot
	choiceNote  = 1.4  // a line of notes under it
	choiceShare = 0.16 // most of the plot that discs may cover
)

// choiceLayout is where everything of one chart of choices stands.
type choiceLayout struct {
	ChoiceChart
	s        *sheet
	size     float64 // of the text, mm
	head     heading
	legend   legend
	plot     rect
	x, y     scale // largest step and range, %
	steps    []tick
	ranges   []tick
	marks    []choiceMark
	ways     [len(labelWays)]point
	near     []int   // discs that the label being placed could meet
	most     float64 // radius of the largest margin, mm
	tick     float64 // length of a tick of price, mm
	price    float64 // that a tick stands for
	leftOut  int     // discs without a label
	priceOut int     // and with one that lacks the price
	noteLine bool    // there is room for a word on them
	aside    bool    // the legend explains discs that are moved aside
}

func (c ChoiceChart) draw(s *sheet) { c.place(s).draw() }

// fewDiscs have their labels, nearly always.
const fewDiscs = 8

// place takes the largest text with which everything has its room, and makes
// room for a word on labels that find none.
func (c ChoiceChart) place(s *sheet) *choiceLayout {
	note, aside := len(c.Result.Best) > fewDiscs, c.alike()
	y := c.placeWith(s, note, aside)
	if moved := y.anyMoved(); moved != aside || !note && y.leftOut+y.priceOut > 0 {
		y = c.placeWith(s, true, moved)
	}
	return y
}

// placeWith leaves room for a note and explains discs that are moved aside.
func (c ChoiceChart) placeWith(s *sheet, note, aside bool) *choiceLayout {
	var y *choiceLayout
	shrunk(chartText(s), func(size float64) bool {
		y = &choiceLayout{ChoiceChart: c, s: s, size: size, noteLine: note, aside: aside}
		y.placeAll()
		return y.fits()
	})
	y.swarm()
	y.placeLabels()
	return y
}

func (y *choiceLayout) placeAll() {
	s, z := y.s, y.size
	margin := chartMargin * z
	y.collect()
	y.head = s.heading(y.Title(), y.facts(), z)
	y.legend = y.explain()
	y.plot.y1 = s.h - y.head.height() - 0.6*z
	if y.Result.Partial {
		y.plot.y1 -= factLine * z
	}
	y.plot.y0 = margin + y.legend.height(s, s.w-2*margin)
	if len(y.marks) > 0 {
		y.plot.y0 += choiceAxis * z
	}
	if y.noteLine {
		y.plot.y0 += choiceNote * z
	}
	y.plot.x1 = s.w - margin - 0.8*z
	y.placeScales()
	y.sizeDiscs()
}

func (y *choiceLayout) axisText() textStyle {
	return textStyle{size: 0.9 * y.size, color: y.s.theme.Ink, middle: true}
}

// Least spans of the axes, %.
const (
	leastSteps  = 4
	leastRanges = 40
)

func (y *choiceLayout) placeScales() {
	s, z := y.s, y.size
	lo, hi := y.around()
	y.y = padded(lo.y, hi.y, leastRanges, y.plot.y0, max(y.plot.y1, y.plot.y0+0.01), 2.4*z)
	y.ranges = y.y.roomyTicks(1.9 * z)
	wide := 0.0
	for _, t := range y.ranges {
		wide = max(wide, s.textWidth(t.label, y.axisText()))
	}
	y.plot.x0 = chartMargin*z + 1.5*z + wide + 0.4*z
	y.x = padded(lo.x, hi.x, leastSteps, y.plot.x0, max(y.plot.x1, y.plot.x0+0.01), 3.6*z)
	y.steps = y.x.roomyTicks(3.2 * z)
	for i := range y.marks {
		m := &y.marks[i]
		m.place = point{y.x.at(float64(m.found.LargestStep)), y.y.at(float64(m.found.Range))}
		m.at = m.place
	}
}

// around are the least and the greatest step and range, %.
func (y *choiceLayout) around() (lo, hi point) {
	if len(y.marks) == 0 {
		return point{}, point{}
	}
	pts := make([]point, len(y.marks))
	for i := range y.marks {
		pts[i] = point{float64(y.marks[i].found.LargestStep), float64(y.marks[i].found.Range)}
	}
	r := around(pts)
	return point{r.x0, r.y0}, point{r.x1, r.y1}
}

// padded is a scale from a to b mm on which lo to hi, or least round their
// middle, keeps pad mm from either end.
func padded(lo, hi, least, a, b, pad float64) scale {
	if hi-lo < least {
		mid := max((lo+hi)/2, least/2)
		lo, hi = mid-least/2, mid+least/2
	}
	per := (hi - lo) / max(b-a-2*pad, 0.3*(b-a))
	return scale{lo: lo - per*pad, hi: hi + per*pad, a: a, b: b}
}

// fits tells whether plot and words have their room.
func (y *choiceLayout) fits() bool {
	z, p := y.size, y.plot
	if p.height() < 0.4*y.s.h || p.height() < 12*z || p.width() < 16*z {
		return false
	}
	if y.Result.Partial && y.s.textWidth(y.partialWords(), y.leadText()) > y.leadRoom() {
		return false
	}
	return y.head.fits(y.s) && y.legend.fits(y.s, y.s.w-2*chartMargin*z)
}
