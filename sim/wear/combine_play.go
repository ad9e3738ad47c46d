package wear

import (
	"math"

	"cagewise/gearing"
)

// Roller play where the owner has not measured it.
const (
	// NewPlay is between neighbouring rollers of a new chain: 0.2 to 0.45 mm
	// (common practice, no source), taken as a 90 % range.
	NewPlay      gearing.MM = 0.325
	NewPlayError gearing.MM = 0.076
	// PlayGrowth is what it gains while the chain gains 1 %, so that a chain
	// of 0.75 % has about 0.6 mm (common practice, no source). One published
	// remark has rollers wear far faster (testdata/wear_rates.csv), hence the
	// wide error (invented here).
	PlayGrowth      gearing.MM = 0.37
	PlayGrowthError gearing.MM = 0.3
	// PlayReadError is of a play that the owner measured (invented here).
	PlayReadError gearing.MM = 0.05
)

// play is roller play over elongation: p + g (e - ref), in mm and percent, with
// the covariance of p and g.
type play struct {
	ref, p, g float64
	cov       [2][2]float64
}

// newPlay is what is known before any reading. A measured play is taken as of
// the chain's last reading; the caller sets ref to its elongation (playBefore).
func newPlay(chain gearing.WearPart) play {
	k := play{p: float64(NewPlay), g: float64(PlayGrowth)}
	sd := NewPlayError
	if chain.RollerPlay > 0 {
		k.p, sd = float64(chain.RollerPlay), PlayReadError
	}
	k.cov = [2][2]float64{{float64(sd * sd), 0}, {0, float64(PlayGrowthError * PlayGrowthError)}}
	return k
}

// mostPlay is more play than a chain has that still holds together (invented
// here). Play is never negative and never shrinks while the chain wears.
const mostPlay = 3.0

func boundPlay(mm float64) float64 { return min(max(mm, 0), mostPlay) }

// at gives the play and its standard error on a chain of elongation e.
func (k play) at(e float64) (mm, sd float64) {
	d := e - k.ref
	v := k.cov[0][0] + 2*d*k.cov[0][1] + d*d*k.cov[1][1]
	return boundPlay(k.p + k.g*d), min(math.Sqrt(max(v, 0)), mostPlay)
}

// gain is d reading / d elongation of a method that perMM of play is added to; 1
// or more, as play does not shrink.
func (k play) gain(perMM float64) float64 { return 1 + perMM*k.g }

// solve finds the elongation behind a reading y.
func (k play) solve(y, perMM float64) float64 {
	return (y - perMM*(k.p-k.g*k.ref)) / k.gain(perMM)
}

// reads is what a method shows on a chain of elongation e.
func (k play) reads(e, perMM float64) float64 { return e + perMM*(k.p+k.g*(e-k.ref)) }

// fitPlay finds roller play and the elongation of every group with a value in
// it (not bounds alone) together, by Gauss and Newton: least squares with the
// play known beforehand as k says. The elongations are eliminated one by one,
// since a group's readings depend on no other group's (Schur complement). It
// fills in e and variance of the groups and returns the play.
func fitPlay(groups []group, k play) play {
	prior := k
	for i := range groups {
		groups[i].startValue(k)
	}
	const rounds = 8
	for range rounds {
		k = playRound(groups, k, prior)
	}
	return k
}

// playRound is one Gauss-Newton step, halved while it raises the misfit.
func playRound(groups []group, k, prior play) play {
	s := prior.precision(k)
	parts := make([]groupSums, len(groups))
	was := make([]float64, len(groups))
	for i := range groups {
		if was[i] = groups[i].e; groups[i].valued {
			parts[i] = groups[i].sums(k)
			s.eliminate(parts[i])
		}
	}
	inv, before := invert2(s.n), misfitOf(groups, k, prior)
	dp, dg := s.within(k, inv)
	const halvings = 6
	for part := 1.0; ; part /= 2 {
		next := k
		next.p, next.g, next.cov = k.p+part*dp, k.g+part*dg, inv
		for i := range groups {
			if groups[i].valued {
				groups[i].step(parts[i], was[i], part, part*dp, part*dg, inv)
			}
		}
		if part < 1.0/(1<<halvings) || misfitOf(groups, next, prior) <= before*(1+1e-12)+1e-12 {
			return next
		}
	}
}

// within is the step that stays within what play can be: where one of the two
// meets its bound, the other is solved for alone.
func (s *normal) within(k play, inv [2][2]float64) (dp, dg float64) {
	dp = inv[0][0]*s.c[0] + inv[0][1]*s.c[1]
	dg = inv[1][0]*s.c[0] + inv[1][1]*s.c[1]
	if k.g+dg < 0 {
		dg = -k.g
		dp = (s.c[0] - s.n[0][1]*dg) / s.n[0][0]
	}
	if at := boundPlay(k.p + dp); at != k.p+dp {
		dp = at - k.p
		dg = max(-k.g, (s.c[1]-s.n[1][0]*dp)/s.n[1][1])
	}
	return dp, dg
}

// misfitOf is the deviance of the groups with a value.
func misfitOf(groups []group, k, prior play) float64 {
	dp, dg := k.p-prior.p, k.g-prior.g
	sum := dp*dp/prior.cov[0][0] + dg*dg/prior.cov[1][1]
	for i := range groups {
		if !groups[i].valued {
			continue
		}
		for _, r := range groups[i].rows {
			off := r.y - k.reads(groups[i].e, r.perMM)
			if r.bound == 0 {
				sum += r.weight * off * off
				continue
			}
			sum -= 2 * logPhi(-float64(r.bound)*off*math.Sqrt(r.weight))
		}
	}
	return sum
}

// normal is the 2 x 2 system of the play.
type normal struct {
	n [2][2]float64
	c [2]float64
}

// precision starts the normal equations with what was known beforehand.
func (k play) precision(now play) (s normal) {
	s.n = invert2(k.cov)
	s.c = [2]float64{s.n[0][0] * (k.p - now.p), s.n[1][1] * (k.g - now.g)}
	return s
}

func (s *normal) eliminate(q groupSums) {
	for i := range 2 {
		for j := range 2 {
			s.n[i][j] += q.play[i][j] - q.cross[i]*q.cross[j]/q.weight
		}
		s.c[i] += q.pull[i] - q.cross[i]*q.residual/q.weight
	}
}

func invert2(m [2][2]float64) [2][2]float64 {
	det := m[0][0]*m[1][1] - m[0][1]*m[1][0]
	return [2][2]float64{{m[1][1] / det, -m[0][1] / det}, {-m[1][0] / det, m[0][0] / det}}
}
