package road

import (
	"math"

	"cagewise/gearing"
)

// WheelFit tells how the wheel of a recording compares with the build's.
type WheelFit struct {
	// Scale is the development recorded over that of the build: over 1 when
	// the recorder's wheel is set too large, or the build's roll-out is too
	// small. 1 unless Found.
	Scale float64 `json:"scale"`
	// Error is the standard error of Scale, 0 unless Found.
	Error float64 `json:"scale_standard_error"`
	Found bool    `json:"found"`
	// Why says why no scale was found; "" where it was.
	Why string `json:"why_not"`
}

// The search for the scale (invented here).
const (
	wheelStep    = 0.001 // between scales tried
	wheelBin     = 0.002 // width of a bin of logarithms
	wheelLeast   = 300   // samples needed
	wheelAlike   = 5.0   // neighbouring samples that share one error
	wheelClear   = 6.0   // how much likelier than any other peak, as a logarithm
	wheelApart   = 0.01  // what counts as another peak
	wheelRounds  = 25    // of fitting the shares of the gears
	lowestLog    = -1.0  // of the bins: 0.37 m
	wheelBins    = 2000  // up to 20 m
	wheelMiddle  = 40    // steps to either side, 4 %
	wheelScales  = 2*wheelMiddle + 1
	kernelReach  = 4.0 // standard errors
	defaultScale = 1.0
)

// findWheel finds the scale by which all developments held are off. Developments
// are a mixture of the gears, each with the noise of one sample and a share of
// its own, and strays; the shares are fitted for every scale (expectation and
// maximisation: Dempster, Laird and Rubin 1977), and the likeliest scale
// wins when no other comes near it.
func (d *Detector) findWheel() WheelFit {
	none := func(why string) WheelFit { return WheelFit{Scale: defaultScale, Why: why} }
	if d.o.KeepWheel {
		return none("not asked for")
	}
	counts, n, noise := d.histogram()
	if n < wheelLeast {
		return none("too few pedalled samples")
	}
	var likely [wheelScales]float64
	best := 0
	for i := range likely {
		likely[i] = newWheelMixture(d.table, counts, noise, scaleAt(i)).fit() / wheelAlike
		if likely[i] > likely[best] {
			best = i
		}
	}
	if best == 0 || best == wheelScales-1 {
		return none("the developments recorded fit no scale within 4 %")
	}
	for i, l := range likely {
		if math.Abs(scaleAt(i)-scaleAt(best)) > wheelApart && likely[best]-l < wheelClear {
			return none("more than one scale fits the developments recorded")
		}
	}
	return peak(likely[best-1], likely[best], likely[best+1], scaleAt(best))
}

// scaleAt is the logarithm of the scale tried at a place.
func scaleAt(i int) float64 { return float64(i-wheelMiddle) * wheelStep }

// peak lays a parabola through three likelihoods: its top is the scale and its
// bend the error.
func peak(left, top, right, at float64) WheelFit {
	bend := (left - 2*top + right) / (wheelStep * wheelStep) // below zero
	slope := (right - left) / (2 * wheelStep)
	if !(bend < 0) {
		return WheelFit{Scale: defaultScale, Why: "the likelihood has no peak"}
	}
	return WheelFit{Scale: math.Exp(at - slope/bend), Error: 1 / math.Sqrt(-bend), Found: true}
}

// histogram counts the logarithms of developments that may be pedalled, and
// gives their mean noise.
func (d *Detector) histogram() (counts []float64, n int, noise float64) {
	counts = make([]float64, wheelBins)
	top := math.Log(float64(d.table.Highest().Development))
	sum := 0.0
	for _, h := range d.held {
		m := h.moment()
		log, err := d.o.development(m)
		if d.o.state(m, log, err, top) != Pedalled {
			continue
		}
		if bin := int((log - lowestLog) / wheelBin); bin >= 0 && bin < wheelBins {
			counts[bin]++
			sum += err * err
			n++
		}
	}
	return counts, n, math.Sqrt(sum / float64(max(n, 1)))
}

// wheelMixture is the mixture of gears for one scale.
type wheelMixture struct {
	counts []float64
	stray  float64       // density times bin width of strays
	kernel []wheelKernel // one a gear
}

// wheelKernel holds the chances that a sample of a gear falls into bins.
type wheelKernel struct {
	first int
	p     []float64
	share float64
}

func newWheelMixture(t gearing.Table, counts []float64, noise, logScale float64) wheelMixture {
	m := wheelMixture{counts: counts, stray: strayShare * wheelBin / straySpan}
	share := (1 - strayShare) / float64(len(t.Gears))
	for _, g := range t.Gears {
		centre := (math.Log(float64(g.Development)) + logScale - lowestLog) / wheelBin
		half := kernelReach * noise / wheelBin
		k := wheelKernel{first: max(int(centre-half), 0), share: share, p: make([]float64, 0, int(2*half)+3)}
		for bin := k.first; bin < min(int(centre+half)+2, wheelBins); bin++ {
			z := (float64(bin) + 0.5 - centre) * wheelBin / noise
			k.p = append(k.p, math.Exp(-z*z/2)/(noise*math.Sqrt(2*math.Pi))*wheelBin)
		}
		m.kernel = append(m.kernel, k)
	}
	return m
}

// fit fits the shares of the gears and gives the logarithm of the likelihood.
func (m wheelMixture) fit() float64 {
	total := make([]float64, wheelBins)
	likely := 0.0
	for range wheelRounds {
		likely = m.density(total)
		m.reshare(total)
	}
	return likely
}

// density fills in how likely each bin is, and gives the likelihood of all.
func (m wheelMixture) density(total []float64) float64 {
	for i := range total {
		total[i] = m.stray
	}
	for _, k := range m.kernel {
		for i, p := range k.p {
			total[k.first+i] += k.share * p
		}
	}
	sum := 0.0
	for i, n := range m.counts {
		if n > 0 {
			sum += n * math.Log(total[i])
		}
	}
	return sum
}

// reshare gives each gear the share of the samples that it explains.
func (m wheelMixture) reshare(total []float64) {
	sum := 0.0
	for j := range m.kernel {
		k := &m.kernel[j]
		explained := 0.0
		for i, p := range k.p {
			explained += m.counts[k.first+i] * p / total[k.first+i]
		}
		k.share *= explained
		sum += k.share
	}
	for j := range m.kernel {
		m.kernel[j].share *= (1 - strayShare) / max(sum, math.SmallestNonzeroFloat64)
	}
}
