package sim

import (
	"math"
	"runtime"
	"sync"

	"cagewise/gearing"
)

// cloud is what a derailleur may be: draws with their weights. It is safe for
// concurrent use.
type cloud struct {
	draws []draw
	// model is the weighted median of the model error's size, pitches: large
	// where no usual derailleur keeps the promises of the rating.
	model float64

	once sync.Once
	few  *cloud // of quickDraws, made when it is first asked for
}

// newCloud draws geometries and weighs them by the maker's rating, unless the
// geometry is measured.
//
// A maker who rates a derailleur says: with a chain sized by the shop rule, this
// much is taken up and this cog cleared, with something in hand. A geometry
// counts as likely as it keeps that on drivetrains that use the rating up.
func newCloud(r *Rig) *cloud {
	c := &cloud{draws: r.prior()}
	if r.Derailleur.Knowledge >= Measured || r.sprung {
		return c
	}
	p := promiser{rig: r, drives: map[promise][]*Rig{}}
	for i := range c.draws {
		p.lay(&c.draws[i])
	}
	logs := make([]float64, len(c.draws))
	inParallel(len(c.draws), func(i int) { logs[i] = p.weigh(&c.draws[i]) })
	c.weighBy(logs)
	return c
}

// negligible is the weight, as a share of the largest, under which a draw is
// left out.
const negligible = 1e-3

// weighBy turns logarithms into weights. Where no draw keeps any promise all
// stay as they are.
func (c *cloud) weighBy(logs []float64) {
	most := math.Inf(-1)
	for _, l := range logs {
		most = max(most, l)
	}
	if math.IsInf(most, -1) {
		return
	}
	kept, sum := c.draws[:0], 0.0
	for i, d := range c.draws {
		if d.weight = math.Exp(logs[i] - most); d.weight > negligible {
			kept, sum = append(kept, d), sum+d.weight
		}
	}
	c.draws = kept
	sizes := make([]weighted, len(kept))
	for i := range c.draws {
		c.draws[i].weight /= sum
		sizes[i] = weighted{math.Abs(kept[i].slip), kept[i].weight}
	}
	c.model = median(sizes)
}

// thin is a cloud of at most n draws that stands for a larger one, each as often
// as its weight says (systematic resampling; Kitagawa 1996, J. Comput. Graph.
// Stat. 5:1).
func (c *cloud) thin(n int) *cloud {
	if len(c.draws) <= n {
		return c
	}
	few := &cloud{draws: make([]draw, 0, n), model: c.model}
	sum, next := 0.0, 0
	for i := range c.draws {
		sum += c.draws[i].weight
		times := 0
		for ; next < n && (float64(next)+0.5)/float64(n) < sum; next++ {
			times++
		}
		if times > 0 {
			few.draws = append(few.draws, c.draws[i])
			few.draws[len(few.draws)-1].weight = float64(times) / float64(n)
		}
	}
	return few
}

// promise is a rating.
type promise struct{ capacity, largest gearing.Teeth }

// promiser weighs draws by the promise of the rating.
type promiser struct {
	rig    *Rig
	drives map[promise][]*Rig
}

// lay makes the reference drivetrains of a draw's rating.
func (p *promiser) lay(d *draw) {
	key := promise{d.ratedCapacity, d.ratedLargest}
	if _, ok := p.drives[key]; ok {
		return
	}
	rear := p.rig.Build.Rear
	c, err := classOf(rear, p.centresFor(rear))
	if err != nil {
		return
	}
	smallest := orElse(rear.SmallestCog, c.usual.smallest)
	less := gearing.Teeth(4) // the rating's other use: a smaller cog, rings farther apart
	if d.ratedCapacity <= d.ratedLargest-smallest {
		less = 6 // single rings
	}
	for _, cog := range [...]gearing.Teeth{d.ratedLargest, d.ratedLargest - less} {
		if r := p.reference(&c, d.ratedCapacity, cog, smallest); r != nil {
			p.drives[key] = append(p.drives[key], r)
		}
	}
}

func (p *promiser) centresFor(r gearing.RearDerailleur) float64 {
	centres, _, _ := centresOf(r)
	return centres
}

// reference is a drivetrain that uses a capacity up with a largest cog, in the
// frame of its class; nil where there is none.
func (p *promiser) reference(c *class, capacity, cog, smallest gearing.Teeth) *Rig {
	smallest = max(min(smallest, cog-2), cog-capacity)
	apart := capacity - (cog - smallest)
	large := max(c.usual.ring, apart+22)
	b := gearing.Build{
		Frame: gearing.Frame{Chainstay: c.usual.chainstay, BottomBracketDrop: c.usual.drop},
		Rings: []gearing.Teeth{large - apart, large},
		Cogs:  []gearing.Teeth{smallest, smallest + (cog-smallest+1)/2, cog},
		Rear:  p.rig.Build.Rear,
		Wheel: p.rig.Build.Wheel,
	}
	switch {
	case apart == 0:
		b.Rings = b.Rings[1:]
	case apart >= 20:
		b.Rings = []gearing.Teeth{large - apart, large - apart/2, large}
	}
	b.Rear.Geometry.ExtenderBehind, b.Rear.Geometry.ExtenderBelow = 0, 0
	b.Rear.LargestCog = orElse(b.Rear.LargestCog, cog)
	r, err := newReference(b)
	if err != nil {
		return nil
	}
	return r
}

// Chains that a promise is looked at with, pitches over the bare loop: the shop
// rule's, and its worst rounding up.
const (
	promisedShort = TightReserve
	promisedLong  = TightReserve + 2
)

// Smoothing of one draw's margins, in pitches and mm, so that a chance does not
// jump where one changes sign. The errors of the frame are drawn, and what is
// set by hand too; this stands for the rest (invented here).
const (
	smoothForward  = 0.08
	smoothRearward = 0.12
	smoothGap      = 0.35
)

// reserve is what makers leave over their rating, in teeth, as a shifted
// lognormal distribution (common practice, no source).
type reserve struct{ shift, middle, spread float64 }

var (
	// Capacity, with the longest chain of the shop rule: median 3 teeth, nine
	// in ten within 0.4 and 7.5.
	capacityReserve = reserve{3.158, 6.158, 0.3335}
	// The widest gap in the screw's range over its target, in teeth of perTooth:
	// median 3.4, nine in ten within 0.7 and 8.
	cogReserve = reserve{3.137, 6.537, 0.3239}
)

// keptError is how near to nothing left of the rated capacity a maker may go,
// pitches.
const keptError = 0.12

// log is the logarithm of the density but for a constant.
func (q reserve) log(teeth float64) float64 {
	x := teeth + q.shift
	if x <= 0 {
		return math.Inf(-1)
	}
	z := math.Log(x/q.middle) / q.spread
	return -z*z/2 - math.Log(x)
}

// at is the reserve that a share u of all makers leave less than.
func (q reserve) at(u float64) float64 { return q.middle*math.Exp(q.spread*normal(u)) - q.shift }

// weigh is the logarithm of how likely a geometry is with its rating. The model
// error is drawn anew so that the capacity left is a maker's, and its own
// likelihood is the weight of that (importance sampling): else few draws of a
// cage at the edge of its class would count.
func (p *promiser) weigh(d *draw) float64 {
	own := d.ratedLargest
	d.slip = 0
	capacity, safe, cog := math.Inf(1), 0.0, math.NaN()
	for _, ref := range p.drives[promise{d.ratedCapacity, d.ratedLargest}] {
		r := ref.as(d)
		loop := r.gears[r.bigBig()].loop
		short := r.promised(loop + promisedShort)
		long := r.promised(loop + promisedLong)
		safe += math.Log(phi(short.short)) + math.Log(phi(short.hit)) + math.Log(phi(long.hit))
		capacity = min(capacity, TeethPerPitch*long.slack*smoothRearward)
		if r.Build.LargestCog() == own {
			cog = r.widestGap(loop+promisedShort) / perTooth
		}
	}
	if math.IsNaN(cog) || math.IsInf(capacity, 0) {
		return math.Inf(-1)
	}
	left := capacityReserve.at(d.u[dimModel])
	d.slip = (capacity - left) / TeethPerPitch
	kept := math.Log(phi(left / TeethPerPitch / keptError))
	return safe + kept + heavyLog(d.slip/typicalModel) + cogReserve.log(cog)
}

// promised are the margins of all gears with one chain.
func (r *Rig) promised(n float64) margins {
	m := noMargins
	var at margins
	body := r.setBody(n)
	c := course{start: body.cage}
	for i := range r.gears {
		r.marginsOf(i, n, body, &c, &at, nil)
		m.worst(&at)
	}
	return m
}

// widestGap is how far over its target the screw brings the gap on the smallest
// ring and largest cog, mm; NaN where nothing closes.
func (r *Rig) widestGap(n float64) float64 {
	best := math.NaN()
	for _, turn := range [...]float64{-r.screw, r.screw} {
		if gap, _, ok := r.gapAt(&r.gears[r.reference], n, turn, middleAngle); ok && !(gap-r.target <= best) {
			best = gap - r.target
		}
	}
	return best
}

// inParallel calls f for 0 to n-1 on all processors.
func inParallel(n int, f func(i int)) {
	workers := min(runtime.GOMAXPROCS(0), n)
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			for i := n * w / workers; i < n*(w+1)/workers; i++ {
				f(i)
			}
		})
	}
	wg.Wait()
}

// phi is the standard normal distribution.
func phi(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }
