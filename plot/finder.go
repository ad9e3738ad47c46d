package plot

import "math"

// finder knows what is drawn on a part of the page, so that names keep off it:
// weights of square cells, and bars that no name may touch.
type finder struct {
	area   rect
	cell   float64 // mm
	nx, ny int
	weight []float64
	sums   []float64 // of weight over all cells below and to the left
	bars   []bar
}

// bar is a thick line.
type bar struct {
	a, b point
	half float64 // its width, mm
}

// mostCells bounds the work of a finder.
const mostCells = 12000

// Weights of cells.
const (
	taken     = 1e6 // no name may touch it, no leader should
	barWeight = 1e5 // no name may touch it, a leader may cross it
	barLed    = 4.0 // what a leader pays for a cell of a bar
)

func newFinder(area rect, size float64) *finder {
	f := &finder{area: area}
	f.cell = max(size/3, math.Sqrt(area.width()*area.height()/mostCells))
	f.nx, f.ny = max(1, int(area.width()/f.cell)), max(1, int(area.height()/f.cell))
	f.weight = make([]float64, f.nx*f.ny)
	f.sums = make([]float64, (f.nx+1)*(f.ny+1))
	return f
}

// index is the cell of a point; ok is false outside the area.
func (f *finder) index(p point) (i int, ok bool) {
	x, y := int(math.Floor((p.x-f.area.x0)/f.cell)), int(math.Floor((p.y-f.area.y0)/f.cell))
	return y*f.nx + x, x >= 0 && y >= 0 && x < f.nx && y < f.ny
}

func (f *finder) add(p point, w float64) {
	if i, ok := f.index(p); ok {
		f.weight[i] = max(f.weight[i], w)
	}
}

// addLine weighs down the cells within half a width of a line.
func (f *finder) addLine(a, b point, width, w float64) {
	length := math.Hypot(b.x-a.x, b.y-a.y)
	steps := 1 + int(length/(0.6*f.cell))
	across := int(width / 2 / f.cell)
	for k := range steps + 1 {
		t := float64(k) / float64(steps)
		p := point{a.x + t*(b.x-a.x), a.y + t*(b.y-a.y)}
		for i := -across; i <= across; i++ {
			for j := -across; j <= across; j++ {
				f.add(point{p.x + float64(i)*f.cell, p.y + float64(j)*f.cell}, w)
			}
		}
	}
}

func (f *finder) addOutline(pts []point, width, w float64) {
	for i := range pts {
		f.addLine(pts[i], pts[(i+1)%len(pts)], width, w)
	}
}

// addBars puts thick lines from point to point that no name may touch.
func (f *finder) addBars(pts []point, width float64) {
	for i := 1; i < len(pts); i++ {
		f.addLine(pts[i-1], pts[i], width, barWeight)
		f.bars = append(f.bars, bar{pts[i-1], pts[i], width / 2})
	}
}

// touched tells whether a box meets a bar.
func (f *finder) touched(r rect) bool {
	for i := range f.bars {
		if b := &f.bars[i]; r.grown(b.half).crossed(b.a, b.b) {
			return true
		}
	}
	return false
}

func (f *finder) addBox(r rect, w float64) {
	for y := r.y0; y < r.y1+f.cell; y += f.cell {
		f.addLine(point{r.x0, y}, point{r.x1, y}, 0, w)
	}
}

// addDisc weighs down a whole disc.
func (f *finder) addDisc(c point, r, w float64) {
	for y := -r; y <= r; y += f.cell {
		half := math.Sqrt(max(0, r*r-y*y))
		f.addLine(point{c.x - half, c.y + y}, point{c.x + half, c.y + y}, 0, w)
	}
}

// sum makes ready for asking.
func (f *finder) sum() {
	row := f.nx + 1
	for y := range f.ny {
		line := 0.0
		for x := range f.nx {
			line += f.weight[y*f.nx+x]
			f.sums[(y+1)*row+x+1] = f.sums[y*row+x+1] + line
		}
	}
}

// over is the mean weight under a box.
func (f *finder) over(r rect) float64 {
	clamp := func(v float64, n int) int { return min(max(int(math.Floor(v/f.cell)), 0), n) }
	x0, x1 := clamp(r.x0-f.area.x0, f.nx), clamp(r.x1-f.area.x0+f.cell, f.nx)
	y0, y1 := clamp(r.y0-f.area.y0, f.ny), clamp(r.y1-f.area.y0+f.cell, f.ny)
	row := f.nx + 1
	total := f.sums[y1*row+x1] - f.sums[y0*row+x1] - f.sums[y1*row+x0] + f.sums[y0*row+x0]
	return total / float64(max(1, (x1-x0)*(y1-y0)))
}

// along is the weight that a leader crosses, a cell's length at a time.
func (f *finder) along(a, b point) float64 {
	steps := int(math.Hypot(b.x-a.x, b.y-a.y) / f.cell)
	total := 0.0
	for k := 2; k < steps; k++ { // it starts on its own part
		t := float64(k) / float64(steps)
		i, ok := f.index(point{a.x + t*(b.x-a.x), a.y + t*(b.y-a.y)})
		switch {
		case !ok:
		case f.weight[i] == barWeight:
			total += barLed
		default:
			total += f.weight[i]
		}
	}
	return total
}
