package main

import (
	"fmt"
	"math"

	"cagewise/gearing"
	"cagewise/sim"
	"cagewise/sim/wear"
)

// sparer weighs gears of one bike.
type sparer struct {
	b              gearing.Build
	road           wear.Road
	pitches        int
	guide, tension gearing.Teeth
	torque, speed  float64
	fits           map[gearing.GearID]sim.GearFit
	lines          map[gearing.GearID]gearing.Degrees
}

func newSparer(study *sim.Study, r *spareReport) *sparer {
	b := study.Build
	s := &sparer{b: b, road: wear.Road{Push: r.Push, RollOut: b.Wheel.RollOut()}, torque: r.Torque, speed: r.Speed, fits: map[gearing.GearID]sim.GearFit{}, lines: map[gearing.GearID]gearing.Degrees{}}
	s.guide, s.tension = pulleysOf(study)
	if n, from, err := chainOf(study); err == nil {
		s.pitches, r.Pitches, r.From = n, n, from
	} else {
		r.Notes = append(r.Notes, "length of the chain not known: taken alike for the gears compared, which changes nothing between gears of the bike")
	}
	s.tensions(study, r)
	if plan, err := gearing.ChainLines(b); err == nil {
		for _, g := range plan.Gears {
			s.lines[g.GearID] = g.Angle
		}
	}
	return s
}

// tensions takes the lower run's tension from the simulated cage.
func (s *sparer) tensions(study *sim.Study, r *spareReport) {
	if study.Answer != nil {
		for _, g := range study.Answer.Fit.Gears {
			s.fits[g.GearID] = g
		}
		return
	}
	r.Notes = append(r.Notes, fmt.Sprintf("tension of the lower run not simulated: %s N in every gear (%s)", num(wear.DefaultLowerTension, 0), wear.Widely))
}

// choice is a gear with what is known of it. Wheels that are not on the bike
// are taken to have the lower run's tension of the gear they stand in for.
func (s *sparer) choice(g, first gearing.GearID, pitches int) wear.Choice {
	c := wear.Choice{Drive: wear.Drive{GearID: g, Guide: s.guide, Tension: s.tension}, Pitches: pitches}
	fit, ok := s.fits[g]
	if !ok {
		fit, ok = s.fits[first]
	}
	if ok && !fit.NoPath && fit.LowerTension > 0 {
		c.LowerTension = fit.LowerTension
	}
	c.Line, c.HasLine = s.lines[g]
	return c
}

// against weighs a gear against the first one.
func (s *sparer) against(g, first gearing.GearID, pitches int) (sparedGear, error) {
	x, err := wear.Friction{}.Spare(s.choice(g, first, pitches), s.choice(first, first, s.pitches), s.road)
	if err != nil {
		return sparedGear{}, err
	}
	spared := sparedGear{
		GearWear: x.A, OnBike: onBuild(s.b, g), ChainLife: x.ChainLife, CogLife: x.CogLife, RingLife: x.RingLife, Step: x.Step, Why: x.Why,
		Spares: x.HasSpare && x.Spares == g && g != first, Wears: x.HasSpare && x.Spares == first,
	}
	if g == first {
		spared.Why = []string{}
	}
	if s.torque > 0 {
		spared.Pull = sim.UpperTension(s.torque, g.Ring)
	}
	spared.Cadence = s.speed / 3.6 * 60 / float64(x.A.Development)
	return spared, nil
}

// Wheels that are made (common practice, no source).
const (
	leastRing, mostRing gearing.Teeth = 20, 60
	leastCog, mostCog   gearing.Teeth = 9, 52
)

// sizes are wheels of about the same ratio; their chain is longer or shorter by
// half the teeth, as it lies half round each of them (derived here).
func (s *sparer) sizes(first gearing.GearID, r *spareReport) error {
	ratio := float64(first.Ring) / float64(first.Cog)
	for by := gearing.Teeth(-8); by <= 12; by += 2 {
		cog := first.Cog + by
		g := gearing.GearID{Ring: gearing.Teeth(math.Round(ratio * float64(cog))), Cog: cog}
		if g != first && (g.Ring < leastRing || g.Ring > mostRing || g.Cog < leastCog || g.Cog > mostCog) {
			continue
		}
		pitches := s.pitches
		if pitches > 0 {
			pitches += 2 * int(math.Round(float64(g.Ring-first.Ring+g.Cog-first.Cog)/4))
		}
		x, err := s.against(g, first, pitches)
		if err != nil {
			return err
		}
		if x.Step <= wear.SameGear {
			r.Sizes = append(r.Sizes, x)
		}
	}
	return nil
}
