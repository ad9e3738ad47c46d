package plot

import "math"

// callout is a name beside a part, with a leader where it stands apart.
type callout struct {
	text string
	at   point   // middle of the part on the page
	r    float64 // round it, mm: a name inside needs no leader, one outside points to the rim
	inks bool    // the part is a dot that no name may cover
	box  rect    // found by the finder
}

// finder looks for free places on a part of the page. It knows what is drawn as
// weights of square cells.
type finder struct {
	area   rect
	cell   float64 // mm
	nx, ny int
	weight []float64
	sums   []float64 // of weight over all cells below and to the left
	names  []rect    // placed
}

// mostCells bounds the work of a finder.
const mostCells = 30000

// taken is the weight of a cell that no text may touch.
const taken = 1e6

func newFinder(area rect, size float64) *finder {
	f := &finder{area: area}
	fine := min(max(area.width(), area.height())/150, size/3.5)
	f.cell = max(fine, math.Sqrt(area.width()*area.height()/mostCells))
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
	steps := 1 + int(length/(0.5*f.cell))
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
		if i, ok := f.index(point{a.x + t*(b.x-a.x), a.y + t*(b.y-a.y)}); ok {
			total += f.weight[i]
		}
	}
	return total
}

// leader gives the ends of the line from the part to its name; ok is false when
// the name stands inside the part.
func (c *callout) leader(size float64) (from, to point, ok bool) {
	b := c.box.grown(0.1 * size)
	to = point{min(max(c.at.x, b.x0), b.x1), min(max(c.at.y, b.y0), b.y1)}
	far := 0.0
	for _, p := range b.corners() {
		far = max(far, math.Hypot(p.x-c.at.x, p.y-c.at.y))
	}
	d := math.Hypot(to.x-c.at.x, to.y-c.at.y)
	if !c.inks && far <= c.r {
		return to, to, false
	}
	if d <= c.r {
		return to, to, true
	}
	return point{c.at.x + c.r*(to.x-c.at.x)/d, c.at.y + c.r*(to.y-c.at.y)/d}, to, true
}

// Costs of a place, in text sizes of leader.
const (
	costOver    = 12.0 // of one mean weight under the name
	costCrossed = 0.25 // of one weight crossed
	mostOver    = 0.05 // mean weight under a name that may still be read well
)

// place finds the cheapest place for a name of w by h mm and takes it; ok is
// false when there is no free one.
func (f *finder) place(c *callout, w, h, size float64, strict bool) bool {
	f.sum()
	best, found := math.Inf(1), rect{}
	step := 2 * f.cell
	for y := f.area.y0 + h/2; y <= f.area.y1-h/2; y += step {
		for x := f.area.x0 + w/2; x <= f.area.x1-w/2; x += step {
			c.box = rect{x - w/2, y - h/2, x + w/2, y + h/2}
			if cost := f.cost(c, size, best, strict); cost < best {
				best, found = cost, c.box
			}
		}
	}
	c.box = found
	if math.IsInf(best, 1) {
		return false
	}
	f.addBox(found, taken)
	f.names = append(f.names, found)
	if from, to, ok := c.leader(size); ok {
		f.addLine(from, to, 0, 4)
	}
	return true
}

// cost is what a place costs, infinite when it cannot be had or is no better
// than best.
func (f *finder) cost(c *callout, size, best float64, strict bool) float64 {
	for _, n := range f.names {
		if n.meets(c.box.grown(0.15 * size)) {
			return math.Inf(1)
		}
	}
	over := f.over(c.box.grown(0.2 * size))
	if over >= 100 || strict && over > mostOver {
		return math.Inf(1)
	}
	cost := costOver * over
	from, to, ok := c.leader(size)
	if !ok {
		return cost
	}
	length := math.Hypot(to.x-from.x, to.y-from.y) / size
	cost += length + 0.12*length*length
	if cost += 0.5; cost >= best {
		return math.Inf(1)
	}
	return cost + costCrossed*f.along(from, to)*f.cell/size*3
}
