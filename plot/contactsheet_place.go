package plot

import (
	"math"
	"slices"
	"strings"

	"cagewise/sim"
)

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
	need    float64 // width of the widest word, mm
}

// place takes the largest text with which all words have their room.
func (c ContactSheet) place(s *sheet) *contactLayout {
	var y *contactLayout
	box := c.tileBox()
	shrunk(sheetSize(s.w), func(size float64) bool {
		y = &contactLayout{ContactSheet: c, s: s, size: size, box: box}
		y.placePage()
		y.placeTiles()
		return y.fits()
	})
	return y
}

// Sizes of a contact sheet.
const (
	sheetText  = 0.018  // text as a share of the page's width
	narrowText = 0.0216 // and of a narrow page, 7 pixels of 360 for its least words
	narrowPage = 200.0  // mm: the width up to which a page is narrow
	wideShrink = 0.82   // of the text on a wide page, rather than fold a row
	widestTile = 60.0   // mm, where the page's height is free
	wordLines  = 3.9    // text sizes that the words of a tile take in height
)

// sheetSize is the text size to try first, in mm.
func sheetSize(wMM float64) float64 {
	return max(ladderText, sheetText*wMM, narrowText*min(wMM, narrowPage))
}

// heightAt folds the rows until the words have their room and gives the
// pictures the height that goes with their width.
func (c ContactSheet) heightAt(wMM float64) float64 {
	if c.check() != nil {
		return MinSizeMM
	}
	y := &contactLayout{ContactSheet: c, s: &sheet{w: wMM}, size: sheetSize(wMM), box: c.tileBox()}
	y.placePage()
	need, lines := y.widest(), 1
	if wMM > narrowPage {
		need *= wideShrink
	}
	for lines < c.columns() && y.tileWidth(lines)-0.5*y.size < need {
		lines++
	}
	picture := (min(y.tileWidth(lines), widestTile) - 0.4*y.size) * y.box.height() / y.box.width()
	tiles := float64(lines*max(1, c.rings())) * (picture + wordLines*y.size)
	return allowed(tiles - y.area.height())
}

// placePage divides the page into heading, tiles and legend.
func (y *contactLayout) placePage() {
	s, z := y.s, y.size
	margin := chartMargin * z
	y.head = s.heading(y.Title(), y.facts(), z)
	y.legend = y.explain()
	low := margin
	if len(y.legend.entries) > 0 {
		low += y.legend.height(s, s.w-2*margin) + 0.4*z
	}
	y.area = rect{margin, low, s.w - margin, s.h - y.head.height() - 0.4*z}
}

// placeTiles folds the rows so that the pictures get as large as they can,
// without cutting words where that can be had.
func (y *contactLayout) placeTiles() {
	y.need = y.widest()
	best, roomy := math.Inf(-1), false
	for lines := 1; lines <= y.ContactSheet.columns(); lines++ {
		p, tile := y.folded(lines)
		room := tile-0.5*y.size >= y.need && p >= leastPicture*y.size
		if room == roomy && p <= best+1e-9 || roomy && !room {
			continue
		}
		best, roomy, y.lines, y.picture, y.tileW = p, room, lines, p, tile
	}
	y.columns = y.perLine(y.lines)
	y.tileH = y.area.height() / float64(y.lines*y.rings())
}

func (y *contactLayout) perLine(lines int) int {
	return (y.ContactSheet.columns() + lines - 1) / lines
}

// tileWidth is the width of a tile with so many lines for each ring, mm.
func (y *contactLayout) tileWidth(lines int) float64 {
	return y.area.width() / float64(max(1, y.perLine(lines)))
}

// folded gives the height of the pictures with so many lines for each ring, and
// the width of a tile.
func (y *contactLayout) folded(lines int) (picture, tile float64) {
	tile = y.tileWidth(lines)
	tall := y.area.height()/float64(lines*y.rings()) - wordLines*y.size
	return min(tall, (tile-0.4*y.size)*y.box.height()/y.box.width()), tile
}

// explain is a legend of what a tile does not spell out.
func (y *contactLayout) explain() legend {
	l := legend{size: 0.9 * y.size, sample: 1.2 * y.size}
	j := judgement{y.Advice}
	for st := sim.Clear; st <= sim.Locks; st++ {
		if words := stateWords(st); words != st.String() && len(j.In(st)) > 0 {
			mark := func(s *sheet, at point, w float64) { s.stateMark(point{at.x + w/2, at.y}, 0.9*y.size, st) }
			l.entries = append(l.entries, entry{mark, words})
		}
	}
	l.addDoubt(j)
	dashed := func(s *sheet, at point, w float64) {
		st := stroke{color: s.theme.Ink, width: 0.12 * y.size}
		st.dash = []float64{1.5 * st.width, 1.5 * st.width}
		s.line(at, point{at.x + w, at.y}, st)
	}
	if slices.ContainsFunc(y.Fits, func(g sim.GearFit) bool { return unsound(g.State) && !g.NoPath }) {
		l.entries = append(l.entries, entry{dashed, "lower run does not reach, or hangs"})
	}
	return l
}

// leastPicture is the least height of a picture in text sizes.
const leastPicture = 3.0

// fits tells whether words and pictures have their room.
func (y *contactLayout) fits() bool {
	return y.picture >= leastPicture*y.size && y.head.fits(y.s) && y.legend.fits(y.s, y.area.width()) &&
		y.need <= y.tileW-0.5*y.size
}

// widest is the width of the widest word of any tile, mm. Every digit counts as
// an 8, none is wider, so that few words have to be measured.
func (y *contactLayout) widest() float64 {
	name, words, widest := y.nameText(), y.wordText(), 0.0
	seen := map[string]bool{}
	look := func(text string, st textStyle, more float64) {
		text = strings.Map(func(r rune) rune {
			if r >= '0' && r <= '9' {
				return '8'
			}
			return r
		}, text)
		if !seen[text] {
			seen[text] = true
			widest = max(widest, y.s.textWidth(text, st)+more)
		}
	}
	for i := range y.Fits {
		g := &y.Fits[i]
		look(g.String(), name, 0)
		look(gapWords(g), words, 0)
		look(judgement{y.Advice}.tell(i).short(), words, 1.25*y.size)
	}
	return widest
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
