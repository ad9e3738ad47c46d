package plot

import (
	"fmt"
	"math"
	"strings"

	"cagewise/gearing"
	"cagewise/sim"
)

// ContactSheet shows the cage in every gear at one scale: a row for each ring,
// the largest on top, a column for each cog, the largest on the left. On a
// narrow page a row goes on in the next line.
type ContactSheet struct {
	Build gearing.Build // its frame and chain are used
	Fits  []sim.GearFit // ring by ring from the smallest, each from the largest cog
	// GuideTeeth and TensionTeeth are the pulleys.
	GuideTeeth, TensionTeeth gearing.Teeth
	Pitches                  int    // of the chain; 0: not said
	Name                     string // heading; empty: "The cage in every gear"
}

// NewContactSheet is the contact sheet of a fit with the pulleys of its rig.
func NewContactSheet(r *sim.Rig, f sim.Fit) ContactSheet {
	return ContactSheet{
		Build: r.Build, Fits: f.Gears, Pitches: f.Pitches,
		GuideTeeth: r.Derailleur.GuideTeeth, TensionTeeth: r.Derailleur.TensionTeeth,
	}
}

// Title is the heading.
func (c ContactSheet) Title() string {
	if strings.TrimSpace(c.Name) == "" {
		return "The cage in every gear"
	}
	return c.Name
}

// Describe says what the sheet shows.
func (c ContactSheet) Describe() string {
	var list []string
	for i := range c.Fits {
		if g := &c.Fits[i]; g.State != sim.Clear {
			list = append(list, fmt.Sprintf("%s %s", g.GearID, g.State))
		}
	}
	s := fmt.Sprintf("Cog, pulleys, cage and chain of %s at one scale, seen from the drive side. %s.",
		count(len(c.Fits), "gear"), strings.Join(c.facts(), "; "))
	if len(list) > 0 {
		s += " Not clear: " + strings.Join(list, ", ") + "."
	}
	return s
}

func (c ContactSheet) facts() []string {
	return append(stateFacts(c.Fits, c.Pitches), "pulley gap in mm")
}

// stateFacts count the gears by state.
func stateFacts(gears []sim.GearFit, pitches int) []string {
	var list []string
	if pitches > 0 {
		list = append(list, fmt.Sprintf("Chain of %d pitches", pitches))
	}
	for st := sim.Clear; st <= sim.Locks; st++ {
		n := sim.Fit{Gears: gears}.Count(st)
		if n > 0 {
			list = append(list, fmt.Sprintf("%d %s", n, st))
		}
	}
	return list
}

// Size is the default page in mm: so wide that a row of gears is one line, as
// far as a printer's page allows.
func (c ContactSheet) Size() (wMM, hMM float64) {
	cogs, rings := c.columns(), c.rings()
	wide := min(max(22*float64(cogs)+8, 130), 290)
	size := sheetText * wide
	tile := (wide - 2*chartMargin*size) / float64(max(1, cogs))
	box := c.tileBox()
	picture := min(tile, 40) * box.height() / box.width()
	return wide, min(max(float64(max(1, rings))*(picture+(wordLines+0.3)*size)+5.6*size, MinSizeMM), MaxSizeMM)
}

// columns is the number of gears of one ring.
func (c ContactSheet) columns() int {
	n := 0
	for n < len(c.Fits) && c.Fits[n].Ring == c.Fits[0].Ring {
		n++
	}
	return n
}

func (c ContactSheet) rings() int { return len(c.Fits) / max(1, c.columns()) }

func (c ContactSheet) check() error {
	if err := checkGears("contact sheet", c.Fits); err != nil {
		return err
	}
	if err := checkBuild("contact sheet", c.Build, c.GuideTeeth, c.TensionTeeth); err != nil {
		return err
	}
	for i := range c.Fits {
		if err := checkGear("contact sheet", &c.Fits[i]); err != nil {
			return err
		}
	}
	return nil
}

// checkGears wants rows of one ring each and of one length.
func checkGears(what string, gears []sim.GearFit) error {
	if len(gears) == 0 {
		return fmt.Errorf("%s: %w", what, errNoGears)
	}
	n := ContactSheet{Fits: gears}.columns()
	if n > gearing.MaxCogs || len(gears)%n != 0 || len(gears)/n > gearing.MaxRings {
		return fmt.Errorf("%s: %d gears in rows of %d; allowed whole rows, at most %d of %d", what, len(gears), n, gearing.MaxRings, gearing.MaxCogs)
	}
	for i := range gears {
		if gears[i].Ring != gears[i/n*n].Ring {
			return fmt.Errorf("%s: %s is not of ring %d", what, gears[i].GearID, gears[i/n*n].Ring)
		}
	}
	return nil
}

// tileBox is what every tile shows, mm from the rear axle.
func (c ContactSheet) tileBox() rect {
	var pts []point
	for i := range c.Fits {
		g := &c.Fits[i]
		pts = append(pts, turned(point{}, float64(g.Cog.TipRadius())+3, 0, 4)...)
		if g.NoPath {
			continue
		}
		pts = append(pts, cagePlate(g, 12)...)
		pts = append(pts, turned(simPoint(g.Guide), float64(c.GuideTeeth.TipRadius())+3, 0, 4)...)
		pts = append(pts, turned(simPoint(g.Tension), float64(c.TensionTeeth.TipRadius())+3, 0, 4)...)
	}
	if len(pts) == 0 {
		return rect{0, 0, 1, 1}
	}
	return around(pts).grown(4)
}

// contactLayout is where everything of one contact sheet stands.
type contactLayout struct {
	ContactSheet
	s       *sheet
	size    float64 // of the text, mm
	head    heading
	legend  legend
	area    rect
	columns int     // tiles in a line
	lines   int     // for each ring
	tileW   float64 // mm
	tileH   float64 // mm, with its words
	picture float64 // height of a tile's picture, mm
	box     rect
}

// place takes the largest text with which all words have their room.
func (c ContactSheet) place(s *sheet) *contactLayout {
	first := max(ladderText, sheetText*s.w)
	var y *contactLayout
	box := c.tileBox()
	shrunk(first, func(size float64) bool {
		y = &contactLayout{ContactSheet: c, s: s, size: size, box: box}
		y.placeAll()
		return y.fits()
	})
	return y
}

func (y *contactLayout) placeAll() {
	s, z := y.s, y.size
	margin := chartMargin * z
	y.head = s.heading(y.Title(), y.facts(), z)
	y.legend = y.explain()
	low := margin
	if len(y.legend.entries) > 0 {
		low += y.legend.height(s, s.w-2*margin) + 0.4*z
	}
	y.area = rect{margin, low, s.w - margin, s.h - y.head.height() - 0.4*z}
	best := math.Inf(-1)
	for lines := 1; lines <= y.ContactSheet.columns(); lines++ {
		if p, tile := y.folded(lines); p > best+1e-9 {
			best, y.lines, y.picture, y.tileW = p, lines, p, tile
		}
	}
	y.columns = y.perLine(y.lines)
	y.tileH = y.area.height() / float64(y.lines*y.rings())
}

func (y *contactLayout) perLine(lines int) int {
	return (y.ContactSheet.columns() + lines - 1) / lines
}

// sheetText is the text size as a share of the page's width.
const sheetText = 0.018

// wordLines is how many text sizes of height the words of a tile take.
const wordLines = 3.9

// folded gives the height of the pictures with so many lines for each ring, and
// the width of a tile.
func (y *contactLayout) folded(lines int) (picture, tile float64) {
	tile = y.area.width() / float64(y.perLine(lines))
	tall := y.area.height()/float64(lines*y.rings()) - wordLines*y.size
	return min(tall, (tile-0.4*y.size)*y.box.height()/y.box.width()), tile
}

// explain is a legend of what a tile does not spell out.
func (y *contactLayout) explain() legend {
	l := legend{size: 0.9 * y.size, sample: y.size}
	for st := sim.Clear; st <= sim.Locks; st++ {
		if short := looks[st].short; short != st.String() && (sim.Fit{Gears: y.Fits}).Count(st) > 0 {
			mark := func(s *sheet, at point, w float64) { s.stateMark(point{at.x + w/2, at.y}, 0.9*y.size, st) }
			l.entries = append(l.entries, entry{mark, short + " is " + st.String()})
		}
	}
	return l
}

// fits tells whether words and pictures have their room.
func (y *contactLayout) fits() bool {
	if y.picture < 3*y.size || !y.head.fits(y.s) || !y.legend.fits(y.s, y.area.width()) {
		return false
	}
	name, words, room := y.nameText(), y.wordText(), y.tileW-0.5*y.size
	for i := range y.Fits {
		g := &y.Fits[i]
		w := max(y.s.textWidth(g.String(), name), y.s.textWidth(gapWords(g), words), y.s.textWidth(looks[g.State].short, words)+1.25*y.size)
		if w > room {
			return false
		}
	}
	return true
}

func (y *contactLayout) nameText() textStyle {
	return textStyle{size: y.size, bold: true, color: y.s.theme.Ink, align: alignMiddle, middle: true}
}

func (y *contactLayout) wordText() textStyle {
	return textStyle{size: 0.9 * y.size, color: y.s.theme.Ink, middle: true}
}

func gapWords(g *sim.GearFit) string {
	if g.NoPath {
		return "no path"
	}
	return fixed(float64(g.Gap), 1) + " mm"
}

// tile is the place of gear i.
func (y *contactLayout) tile(i int) rect {
	n := y.ContactSheet.columns()
	ring, k := y.rings()-1-i/n, i%n
	line := ring*y.lines + k/y.columns
	x := y.area.x0 + float64(k%y.columns)*y.tileW
	top := y.area.y1 - float64(line)*y.tileH
	return rect{x, top - y.tileH, x + y.tileW, top}
}

// viewIn shows the tile's box in its picture.
func (y *contactLayout) viewIn(r rect) view {
	scale := y.picture / y.box.height()
	mid := (r.x0 + r.x1) / 2
	return view{scale: scale, origin: point{mid - scale*(y.box.x0+y.box.x1)/2, r.y1 - 1.3*y.size - scale*y.box.y1}}
}

// least keeps lines visible where the scale makes them hair.
func least(mm, scale, atLeast float64) float64 { return math.Max(mm*scale, atLeast) }
