package main

import (
	"errors"

	"cagewise/gearing"
	"cagewise/gearing/build"
	"cagewise/sim"
)

// sharedChain is one chain for two builds, such as two wheels of one bike.
type sharedChain struct {
	Other  buildSummary `json:"other_build"`
	Window sim.Window   `json:"window"` // states of the first build's gears, then the other's
	// Doubt is the gear of both most at risk with the shortest chain without a
	// dangerous gear.
	Doubt sim.Risk `json:"shortest_chain_risk"`
}

// weigh finds how likely the shortest chain is dangerous after all.
func (s *sharedChain) weigh(rigs ...*sim.Rig) error {
	if s.Window.Shortest == 0 {
		return nil
	}
	for _, r := range rigs {
		risk, err := r.Risk(s.Window.Shortest)
		if err != nil {
			return err
		}
		if risk.Chance >= s.Doubt.Chance {
			s.Doubt = risk
		}
	}
	return nil
}

// share adds the window of a chain that also has to serve another build file.
func (r *fitReport) share(first gearing.Build, path string) error {
	if path == "" {
		return nil
	}
	if r.Simulation == nil {
		return errors.New("--also needs a simulation of the first build: " + r.SimulationMissing)
	}
	other, err := build.Read(path)
	if err != nil {
		return err
	}
	mine, err := sim.NewRig(first)
	if err != nil {
		return err
	}
	rig, err := sim.NewRig(other.Build)
	if err != nil {
		return build.Problems{{Where: path, Text: err.Error()}}
	}
	r.Shared = &sharedChain{Other: summarise(other.Build), Window: sim.Both(mine, rig)}
	r.Shared.Window.Counts = listed(r.Shared.Window.Counts)
	return r.Shared.weigh(mine, rig)
}

func (s *sharedChain) write(p *page) {
	if s == nil {
		return
	}
	p.section("One chain for this and " + s.Other.heading())
	w := s.Window
	switch {
	case len(w.Counts) == 0:
		p.para("No chain length is worth looking at for both.")
	case w.Shortest == 0:
		p.para("No chain length is without a dangerous gear on both.")
	case w.ClearFrom > 0:
		p.para("Every gear of both runs from %d to %d pitches; the shortest without a dangerous gear is %d.", w.ClearFrom, w.ClearTo, w.Shortest)
	default:
		c, _ := w.Find(w.Shortest)
		p.para("No length runs in every gear of both. The shortest without a dangerous gear is %d pitches; %s hang slack with it.", w.Shortest, plural(c.Slack(), "gear"))
	}
	if s.Doubt.Chance >= sim.DoubtfulChance {
		p.para("With %d pitches %s: take a longer one.", w.Shortest, doubtWords(s.Doubt))
	}
}
