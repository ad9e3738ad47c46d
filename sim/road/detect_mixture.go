package road

import (
	"math"

	"cagewise/gearing"
)

// The mixture of gears (invented here).
const (
	wheelBin    = 0.002 // width of a bin of logarithms
	wheelRounds = 25    // of fitting the shares of the gears
	lowestLog   = -1.0  // of the bins: 0.37 m
	wheelBins   = 2000  // up to 20 m
	kernelReach = 4.0   // standard errors
)

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

// strays is the share of the samples that no gear explains, 0 to 1.
func (m wheelMixture) strays() float64 {
	total := make([]float64, wheelBins)
	m.density(total)
	sum, all := 0.0, 0.0
	for i, n := range m.counts {
		sum += n * m.stray / total[i]
		all += n
	}
	return sum / max(all, 1)
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
		m.kernel[j].share *= (1 - strayShare) / max(sum, 1e-300)
	}
}
