package wear

import "math"

// bends are the accelerating shapes tried, alike beforehand: c over b as a part
// of the distance ridden so far, so that the rate now is 1 + 2 bend times the
// rate at the start (invented here: from 1.4 times to from nearly nothing).
func bends() []float64 { return []float64{0.2, 0.5, 1, 2, 5, 20} }

// trust is how many readings the stated errors count for when the scatter is
// judged: with few readings the statement leads, with many the scatter
// (invented here).
const trust = 10

// Parameters of the shapes: start and rate, and the bend.
const (
	straightParameters     = 2
	acceleratingParameters = 3
)

// leastWeight is the weight up to which a curve changes no figure that is printed.
const leastWeight = 1e-4

// shapes are the fitted shapes with their weights.
type shapes struct {
	curves []curve
	delta  float64 // AICc of straight less accelerating
	weight float64 // of accelerating
	scale  float64
}

// fitted is a solution with the bend it is for.
type fitted struct {
	solution
	bend float64
}

// fitShapes fits all shapes and weighs them: straight against accelerating by
// AICc, with the scatter about the best one (Burnham and Anderson, 2002, QAICc,
// from memory); among the accelerating ones by likelihood.
func fitShapes(p problem) shapes {
	all := make([]fitted, 0, len(bends())+1)
	for _, bend := range append([]float64{0}, bends()...) {
		s, ok := p.solve(bend)
		if !ok {
			return shapes{}
		}
		all = append(all, fitted{s, bend})
	}
	return p.weigh(all)
}

// variance is the square of the scale of the errors for a chi-square about a
// curve. It never makes errors smaller than stated: part of them is the same in
// every reading and does not show as scatter.
func (p *problem) variance(chi float64) float64 {
	return max(1, (trust+chi+p.scatter)/p.freedom())
}

func (p *problem) freedom() float64 {
	return trust + max(0, float64(p.values-straightParameters))
}

// weigh turns deviances into weights; all[0] is straight.
func (p *problem) weigh(all []fitted) (out shapes) {
	least, best := math.Inf(1), 0
	for i := range all {
		if i > 0 && (best == 0 || all[i].deviance < all[best].deviance) {
			best = i
		}
		least = min(least, all[i].chi)
	}
	s2 := p.variance(least)
	out.scale = math.Sqrt(s2)
	out.delta = p.aicc(all[0].deviance/s2, straightParameters) - p.aicc(all[best].deviance/s2, acceleratingParameters)
	out.weight = 1 / (1 + math.Exp(-out.delta/2))
	sum := 0.0
	weights := make([]float64, len(all))
	for i := 1; i < len(all); i++ {
		weights[i] = math.Exp((all[best].deviance - all[i].deviance) / (2 * s2))
		sum += weights[i]
	}
	for i, f := range all {
		w := 1 - out.weight
		if i > 0 {
			w = out.weight * weights[i] / sum
		}
		if w > leastWeight {
			out.curves = append(out.curves, p.curve(f, w))
		}
	}
	return out
}

// aicc is Akaike's criterion with the small-sample term, readings and trust in
// place of the sample size.
func (p *problem) aicc(deviance, parameters float64) float64 {
	left := float64(p.values) + trust - parameters - 1
	return deviance + 2*parameters + 2*parameters*(parameters+1)/left
}
