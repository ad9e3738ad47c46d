package road

import "cagewise/gearing"

// twinRun holds back what a run of moments says about which of several
// duplicates was ridden. Their developments lie as close together as the
// roundings of speed and cadence, which are the same over minutes of even
// riding: a thousand such moments are no better proof than a few. With normal
// noise of each moment and a normal error of the whole run, what n moments say
// is worth 1/(1 + n (error/noise)^2) of their sum (derived here), so that it
// never outweighs the separation of the gears against that error.
type twinRun struct {
	twins  []int   // the duplicates of the gear on other rings
	sum    float64 // how much worse the gear fits than its duplicates, so far
	weight float64 // the sum of (error/noise)^2
	away   int     // moments since one that fitted
}

const (
	// runError is the standard error that all moments of a run share: half a
	// turn of the cranks a minute and half of 0.1 km/h are rounded off, and
	// the wheel is known to some 0.2 % (invented here).
	runError = 0.004
	// runFits is the cost up to which a moment belongs to a run: three
	// standard errors; runEnds is how many others in a row end it.
	runFits = 4.5
	runEnds = 3
)

func newTwinRuns(t gearing.Table) []twinRun {
	list := make([]twinRun, len(t.Gears))
	for g, twins := range twinsOf(t) {
		list[g].twins = twins
	}
	return list
}

// weigh is the cost of a moment in a gear; fit are those of all gears if
// moments knew nothing of each other.
func (r *twinRun) weigh(gear int, fit []float64, noise float64) float64 {
	if len(r.twins) == 0 {
		return fit[gear]
	}
	mean, least := fit[gear], fit[gear]
	for _, t := range r.twins {
		mean += fit[t]
		least = min(least, fit[t])
	}
	mean /= float64(len(r.twins) + 1)
	if least > runFits {
		r.leave()
		return fit[gear]
	}
	return mean + r.more(fit[gear]-mean, noise)
}

// leave counts a moment that is not of the run.
func (r *twinRun) leave() {
	if r.away++; r.away >= runEnds {
		r.sum, r.weight = 0, 0
	}
}

// more is what a moment adds to what the run says.
func (r *twinRun) more(worse, noise float64) float64 {
	before := r.sum / (1 + r.weight)
	r.away = 0
	r.sum += worse
	r.weight += runError * runError / (noise * noise)
	return r.sum/(1+r.weight) - before
}
