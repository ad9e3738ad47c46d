package wear

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"cagewise/gearing"
)

// The unknowns of a fit, by their places in a parameter vector.
const (
	startAt  = iota // elongation at the start
	riseAt          // its rise over the distance ridden so far
	playAt          // roller play
	growthAt        // and its growth
	unknowns        // this many
)

// observation is a row at its distance since the start.
type observation struct {
	row
	x float64 // as a part of the distance ridden so far
}

// problem is what all shapes are fitted to.
type problem struct {
	data    []observation
	length  float64 // km of the chain's own from the start to the last point
	first   float64 // elongation at the start, as far as known
	start   float64 // standard error of it; 0: unknown
	prior   play
	scatter float64 // chi-square within the groups
	values  int     // readings with a value, and the start
	slope   float64 // to begin with
}

func newProblem(part gearing.WearPart, groups []group, t *track, prior play) problem {
	last := groups[len(groups)-1]
	p := problem{length: t.at(last.km), prior: prior}
	if part.FittedKM >= 0 {
		p.values, p.first = 1, startOf(part)
		p.start = math.Hypot(float64(startError(part)), float64(CommonError))
	}
	for i := range groups {
		g := &groups[i]
		p.scatter, p.values = p.scatter+g.scatter, p.values+g.free
		for _, r := range g.rows {
			p.data = append(p.data, observation{row: r, x: t.at(g.km) / p.length})
			if r.bound == 0 {
				p.values++
			}
		}
	}
	const leastSlope = 0.05 // percent: any rise does to begin with
	p.slope = max(last.e-p.first, leastSlope)
	return p
}

// solution is one fitted shape.
type solution struct {
	theta    [unknowns]float64
	cov      mat.SymDense // for errors as stated
	deviance float64      // -2 log likelihood but for a constant
	chi      float64      // of values, start and play
}

// base is the shape of the rise: x + bend x^2, x as a part of the distance
// ridden so far.
func base(x, bend float64) float64 { return x + bend*x*x }

// solve fits the shape with the given bend: Gauss and Newton, the step halved
// while it leads uphill. ok is false when the readings do not fix the unknowns.
func (p *problem) solve(bend float64) (s solution, ok bool) {
	s.theta = [unknowns]float64{startAt: p.first, riseAt: p.slope / base(1, bend), playAt: p.prior.p, growthAt: p.prior.g}
	s.deviance, s.chi = p.misfit(s.theta, bend)
	const rounds, settled = 30, 1e-9 // of the deviance
	for range rounds {
		step, cov, solved := p.step(s.theta, bend)
		if !solved {
			return s, false
		}
		s.cov = *cov
		before := s.deviance
		s.advance(p, step, bend)
		if before-s.deviance < settled*(1+s.deviance) {
			break
		}
	}
	return s, !math.IsNaN(s.deviance)
}

// advance goes along step as far as the misfit falls and play can be.
func (s *solution) advance(p *problem, step [unknowns]float64, bend float64) {
	const halvings = 12
	part := 1.0
	for range halvings {
		next := s.theta
		for i := range next {
			next[i] += part * step[i]
		}
		next[playAt], next[growthAt] = boundPlay(next[playAt]), max(0, next[growthAt])
		if d, chi := p.misfit(next, bend); d <= s.deviance {
			s.theta, s.deviance, s.chi = next, d, chi
			return
		}
		part /= 2
	}
}

// at gives the play of a parameter vector.
func (p *problem) at(theta [unknowns]float64) play {
	return play{ref: p.prior.ref, p: theta[playAt], g: theta[growthAt]}
}

// misfit is the deviance, and the chi-square of all but bounds.
func (p *problem) misfit(theta [unknowns]float64, bend float64) (deviance, chi float64) {
	k := p.at(theta)
	for _, o := range p.data {
		off := o.y - k.reads(theta[startAt]+theta[riseAt]*base(o.x, bend), o.perMM)
		if o.bound == 0 {
			chi += o.weight * off * off
			continue
		}
		deviance -= 2 * logPhi(-float64(o.bound)*off*math.Sqrt(o.weight))
	}
	for i, w := range p.beforehand() {
		d := theta[i] - p.expected(i)
		chi += w * d * d
	}
	return deviance + chi, chi
}

// beforehand is the precision of what is known of the unknowns beforehand.
func (p *problem) beforehand() (w [unknowns]float64) {
	if p.start > 0 {
		w[startAt] = 1 / (p.start * p.start)
	}
	w[playAt], w[growthAt] = 1/p.prior.cov[0][0], 1/p.prior.cov[1][1]
	return w
}

// expected is the value that an unknown has beforehand; 0 where nothing is known.
func (p *problem) expected(i int) float64 {
	return [unknowns]float64{startAt: p.first, playAt: p.prior.p, growthAt: p.prior.g}[i]
}

// step is the Gauss-Newton step and the covariance.
func (p *problem) step(theta [unknowns]float64, bend float64) (step [unknowns]float64, cov *mat.SymDense, ok bool) {
	n, c := p.normal(theta, bend)
	var chol mat.Cholesky
	const worst = 1e14 // condition number; beyond it no digit is left
	if !chol.Factorize(mat.NewSymDense(unknowns, n[:])) || chol.Cond() > worst {
		return step, nil, false
	}
	cov = new(mat.SymDense)
	if chol.InverseTo(cov) != nil {
		return step, nil, false
	}
	out := mat.NewVecDense(unknowns, step[:])
	out.MulVec(cov, mat.NewVecDense(unknowns, c[:]))
	held := false
	for i := playAt; i < unknowns; i++ { // play that is at its bound and would leave it stays
		low, high := theta[i] <= 0 && step[i] < 0, i == playAt && theta[i] >= mostPlay && step[i] > 0
		if low || high {
			hold(&n, &c, i)
			held = true
		}
	}
	if held && chol.Factorize(mat.NewSymDense(unknowns, n[:])) {
		_ = chol.SolveVecTo(out, mat.NewVecDense(unknowns, c[:]))
	}
	return step, cov, true
}

// hold takes an unknown out of the normal equations.
func hold(n *[unknowns * unknowns]float64, c *[unknowns]float64, i int) {
	for j := range unknowns {
		n[i*unknowns+j], n[j*unknowns+i] = 0, 0
	}
	n[i*unknowns+i], c[i] = 1, 0
}

// normal sets the normal equations up.
func (p *problem) normal(theta [unknowns]float64, bend float64) (n [unknowns * unknowns]float64, c [unknowns]float64) {
	k := p.at(theta)
	for i, w := range p.beforehand() {
		n[i*unknowns+i] = w
		c[i] = w * (p.expected(i) - theta[i])
	}
	for _, o := range p.data {
		rise := base(o.x, bend)
		e := theta[startAt] + theta[riseAt]*rise
		off, w := o.linear(k.reads(e, o.perMM))
		gain := k.gain(o.perMM)
		slope := [unknowns]float64{startAt: gain, riseAt: gain * rise, playAt: o.perMM, growthAt: o.perMM * (e - k.ref)}
		for i, si := range slope {
			c[i] += w * off * si
			for j, sj := range slope {
				n[i*unknowns+j] += w * si * sj
			}
		}
	}
	return n, c
}

// logPhi is the logarithm of the normal distribution function.
func logPhi(z float64) float64 {
	if z < -30 {
		return -z*z/2 - math.Log(-z*math.Sqrt(2*math.Pi))
	}
	return math.Log(phi(z))
}
