package main

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"cagewise/gearing"
	"cagewise/plot"
	"cagewise/sim"
)

// chartOptions are what only some charts ask for.
type chartOptions struct {
	gear, figure string
}

// simulated is the study of a build whose cage can be simulated.
func simulated(in input) (*sim.Study, error) {
	s, err := in.study()
	switch {
	case err != nil:
		return nil, err
	case errors.Is(s.Missing, gearing.ErrNoChainstay):
		return nil, errors.New("this chart needs the chainstay length: frame.chainstay or --chainstay")
	case s.Answer == nil:
		return nil, errors.New("this chart needs the distance between the pulley bolts, the cage's class or its rated capacity: --pulley-centres, --class or --capacity")
	}
	return s, nil
}

func sideChart(in input, o chartOptions) (plot.Picture, error) {
	s, err := simulated(in)
	if err != nil {
		return nil, err
	}
	b := &s.Build
	id := gearing.GearID{Ring: b.LargestRing(), Cog: b.LargestCog()}
	if o.gear != "" {
		if id, err = parseGear("gear", o.gear); err != nil {
			return nil, err
		}
	}
	i, ok := s.Rig.Index(id)
	if !ok {
		return nil, notOnBike(*b, id)
	}
	v, err := plot.NewSideView(s, i)
	if err != nil {
		return nil, err
	}
	v.Name = b.Name
	return v, nil
}

func sheetChart(in input, _ chartOptions) (plot.Picture, error) {
	s, err := simulated(in)
	if err != nil {
		return nil, err
	}
	c := plot.NewContactSheet(s)
	c.Name = summarise(s.Build).heading()
	return c, nil
}

func windowChart(in input, _ chartOptions) (plot.Picture, error) {
	s, err := simulated(in)
	if err != nil {
		return nil, err
	}
	return plot.LengthWindow{Answer: s.Answer, Name: summarise(s.Build).heading()}, nil
}

// figures are what a map can show.
var figures = []struct {
	name, title, unit string
	decimals          int
	of                func(*sim.GearFit) float64
}{
	{"gap", "pulley gap", "mm", 1, func(g *sim.GearFit) float64 { return float64(g.Gap) }},
	{"forward", "reserve forward", "pitches", 1, func(g *sim.GearFit) float64 { return float64(g.Forward) }},
	{"rearward", "reserve rearward", "pitches", 1, func(g *sim.GearFit) float64 { return float64(g.Rearward) }},
	{"tension", "lower-run tension", "N", 0, func(g *sim.GearFit) float64 { return g.LowerTension }},
	{"cog-teeth", "teeth engaged on the cog", "teeth", 1, func(g *sim.GearFit) float64 { return g.OnCog.Teeth }},
	{"ground", "tension pulley over the ground", "mm", 0, func(g *sim.GearFit) float64 { return float64(g.GroundRoom) }},
}

// figureOf is a figure of a gear; without a path only its state is known.
func figureOf(g *sim.GearFit, of func(*sim.GearFit) float64) float64 {
	if g.NoPath {
		return math.NaN()
	}
	return of(g)
}

func figureNames() []string {
	var names []string
	for _, f := range figures {
		names = append(names, f.name)
	}
	return names
}

func mapChart(in input, o chartOptions) (plot.Picture, error) {
	s, err := simulated(in)
	if err != nil {
		return nil, err
	}
	for _, fig := range figures {
		if fig.name != o.figure {
			continue
		}
		b, gears := &s.Build, s.Answer.Fit.Gears
		m := plot.GearMap{
			Rings: b.Rings, Cogs: b.Cogs, Unit: fig.unit, Decimals: fig.decimals,
			Name: strings.TrimPrefix(b.Name+": "+fig.title, ": "), Advice: &s.Advice, Knowledge: s.Advice.Knowledge,
		}
		for i := range gears {
			m.Values = append(m.Values, figureOf(&gears[i], fig.of))
		}
		return m, nil
	}
	return nil, fmt.Errorf("--figure: %w", unknown("figure", o.figure, figureNames()))
}
