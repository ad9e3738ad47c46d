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

// simulated makes a rig and its fit with the chain owned or the recommended
// one.
func simulated(in input) (*sim.Rig, sim.Fit, error) {
	r, f, err := sim.Solve(in.build.Build)
	switch {
	case errors.Is(err, gearing.ErrNoChainstay):
		return nil, sim.Fit{}, errors.New("this chart needs the chainstay length: frame.chainstay or --chainstay")
	case errors.Is(err, sim.ErrNoGeometry):
		return nil, sim.Fit{}, errors.New("this chart needs the distance between the pulley bolts: rear_derailleur.pulley_centres or --pulley-centres")
	}
	return r, f, err
}

func sideChart(in input, o chartOptions) (plot.Picture, error) {
	r, f, err := simulated(in)
	if err != nil {
		return nil, err
	}
	b := in.build.Build
	id := gearing.GearID{Ring: b.LargestRing(), Cog: b.LargestCog()}
	if o.gear != "" {
		if id, err = parseGear("gear", o.gear); err != nil {
			return nil, err
		}
	}
	i, ok := r.Index(id)
	if !ok {
		return nil, notOnBike(b, id)
	}
	v, err := plot.NewSideView(r, f, i)
	if err != nil {
		return nil, err
	}
	v.Name = b.Name
	if f.Pitches == 0 { // no chain closes
		return v, nil
	}
	_, m, err := r.Margins(f.Pitches)
	if err != nil {
		return nil, err
	}
	v.Margin = &m.Gears[i]
	return v, nil
}

func sheetChart(in input, _ chartOptions) (plot.Picture, error) {
	r, f, err := simulated(in)
	if err != nil {
		return nil, err
	}
	s := plot.NewContactSheet(r, f)
	s.Name = summarise(in.build.Build).heading()
	return s, nil
}

func windowChart(in input, _ chartOptions) (plot.Picture, error) {
	r, f, err := simulated(in)
	if err != nil {
		return nil, err
	}
	advised, _, ok := r.Recommended()
	if !ok {
		advised = 0
	}
	return plot.LengthWindow{
		Fit: f, Window: r.Window(), Recommended: advised, Chosen: f.Pitches, Knowledge: r.Derailleur.Knowledge,
		Name: summarise(in.build.Build).heading(),
	}, nil
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
	r, f, err := simulated(in)
	if err != nil {
		return nil, err
	}
	for _, fig := range figures {
		if fig.name != o.figure {
			continue
		}
		m := plot.GearMap{
			Rings: r.Build.Rings, Cogs: r.Build.Cogs, Unit: fig.unit, Decimals: fig.decimals,
			Name: strings.TrimPrefix(r.Build.Name+": "+fig.title, ": "), Knowledge: r.Derailleur.Knowledge,
		}
		for i := range f.Gears {
			m.Values = append(m.Values, figureOf(&f.Gears[i], fig.of))
			m.States = append(m.States, f.Gears[i].State)
		}
		return m, nil
	}
	return nil, fmt.Errorf("--figure: %w", unknown("figure", o.figure, figureNames()))
}
