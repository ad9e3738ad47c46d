package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"cagewise/gearing"
)

// capacityBuilds is a build of every class, typical and measured, that its rating
// just covers (invented).
func capacityBuilds() map[string]gearing.Build {
	list := map[string]gearing.Build{}
	for i := range classes {
		c := &classes[i]
		b, _ := atItsRating(c, gearing.Teeth(c.usual.capacity[0]), gearing.Teeth(c.usual.largest[0]))
		list[c.name] = b
		low := c.lowPivot(c.usual.largest[0])
		b.Rear.GuidePulleyTeeth, b.Rear.TensionPulleyTeeth = c.guide, c.tension
		b.Rear.Geometry = gearing.Geometry{
			PivotSmallX: gearing.MM(c.pivotSmall.x), PivotSmallY: gearing.MM(c.pivotSmall.y), PivotLargeX: gearing.MM(low.x), PivotLargeY: gearing.MM(low.y),
			PivotToGuide: gearing.MM(c.toGuide), PivotToTension: gearing.MM(c.toTension), PivotSide: "ahead", HangerBehind: 9, HangerBelow: 28,
		}
		list[c.name+", measured"] = b
	}
	return list
}

// The simulated capacity of a geometry by hand: what is left rearward in the worst
// gear, and what big-big has over the least, two teeth a pitch.
func capacityOf(f *Fit, bigBig int, needed gearing.Teeth) (float64, bool) {
	least := math.Inf(1)
	for i := range f.Gears {
		if g := &f.Gears[i]; !g.NoPath {
			least = min(least, float64(g.Rearward))
		}
	}
	big := &f.Gears[bigBig]
	return float64(needed) + 2*(least+min(float64(big.Forward)-1, float64(big.OverLoop)-2)), !big.NoPath
}

// The spread of the simulated capacity by Monte Carlo, drawn and solved for
// itself, against the error printed: within a factor 1.3.
func TestCapacityErrorAgainstMonteCarlo(t *testing.T) {
	n := marginTruths
	if raced || testing.Short() {
		n /= 10
	}
	for name, b := range capacityBuilds() {
		r := mustRig(t, b)
		a := r.Answer()
		rng := rand.New(rand.NewPCG(20261310, 1))
		var draws truths
		if a.Knowledge < Measured {
			draws = typicalTruths(r, rng, 8*typicalDraws)
		} else {
			draws = measuredTruths(r)
		}
		square, count, f := 0.0, 0.0, r.newFit()
		for range n {
			d := draws(rng)
			one := r.in(&d)
			one.coarse = false
			one.fit(float64(a.Pitches), &f)
			if c, ok := capacityOf(&f, r.bigBig(), a.Cap.Needed); ok {
				square, count = square+(c-a.Cap.Simulated)*(c-a.Cap.Simulated), count+1
			}
		}
		want := math.Sqrt(square / count)
		t.Logf("%-16s rated %d, needed %d, simulated %.1f +- %.2f teeth, Monte Carlo +- %.2f", name, a.Cap.Rated, a.Cap.Needed, a.Cap.Simulated, a.Cap.Error, want)
		if ratio := a.Cap.Error / want; !(ratio < 1.3 && ratio > 1/1.3) || !a.Cap.Known {
			t.Errorf("%s: printed +- %.2f teeth, Monte Carlo +- %.2f", name, a.Cap.Error, want)
		}
	}
}

// What each class's prior supports before any rating is looked at: the capacity
// taken up with the longest chain of the shop rule, and the cog that the screw's
// range clears by the target gap. The figures stand in the package documentation
// beside the usual ratings.
func TestRatingsThatThePriorSupports(t *testing.T) {
	for i := range classes {
		c := &classes[i]
		b, _ := atItsRating(c, gearing.Teeth(c.usual.capacity[0]), gearing.Teeth(c.usual.largest[0]))
		b.Rear.RatedCapacity, b.Rear.LargestCog = 0, 0
		b.Rear.Geometry.Class = c.name
		r, err := newReference(b)
		if err != nil {
			t.Fatal(err)
		}
		p := promiser{rig: r, drives: map[promise][]*Rig{}}
		var capacities, cogs []weighted
		for _, d := range r.prior() {
			p.lay(&d)
			capacity, cog := math.Inf(1), math.NaN()
			for _, ref := range p.drives[promise{d.ratedCapacity, d.ratedLargest}] {
				one := ref.as(&d)
				loop := one.gears[one.bigBig()].loop
				long := one.promised(loop + promisedLong)
				capacity = min(capacity, float64(d.ratedCapacity)+TeethPerPitch*long.slack*smoothRearward)
				if one.Build.LargestCog() == d.ratedLargest {
					cog = float64(d.ratedLargest) + one.widestGap(loop+promisedShort)/perTooth
				}
			}
			if !math.IsInf(capacity, 0) {
				capacities = append(capacities, weighted{capacity, 1})
			}
			if !math.IsNaN(cog) {
				cogs = append(cogs, weighted{cog, 1})
			}
		}
		capacity, cog := median(capacities), median(cogs)
		t.Logf("%s: takes up %.1f teeth and clears a cog of %.1f, less the makers' reserves a rating of %.0f/%.0f; usual %v/%v",
			c.name, capacity, cog, capacity-capacityReserve.at(0.5), cog-cogReserve.at(0.5), c.usual.capacity, c.usual.largest)
		want := priorSupports[c.name]
		if math.Abs(capacity-want[0]) > 0.5 || math.Abs(cog-want[1]) > 0.5 {
			t.Errorf("%s: takes up %.1f teeth, clears %.1f; written down %v", c.name, capacity, cog, want)
		}
	}
}

// priorSupports is what the package documentation says: capacity and cog by class.
var priorSupports = map[string][2]float64{"short": {32.2, 33.3}, "medium": {38.0, 38.9}, "long": {42.7, 37.5}, "wide": {46.6, 49.5}}
