package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"cagewise/gearing"
	"cagewise/sim"
	"cagewise/sim/wear"
)

func faultCommand() command {
	return command{
		name: "fault", args: "[BUILD FILE] [flags]", summary: "a click or skip every so many turns: which part, and how to tell",
		about: "Count the crank turns from one click to the next, better over several of them (--every with --repeats: 21.6 turns over 10 clicks). With --gear the parts that fit are named, and the gear that tells them apart; without it they are listed for every gear; without --every all rhythms of a gear are listed. The chain is the one owned, or else of the length that `cagewise fit` names.",
		examples: []example{
			{"fault tour.toml --every 21.6 --repeats 10 --gear 46x17", "a click ten times in 21.6 crank turns"},
			{"fault tour.toml --gear 46x17", "everything that repeats in a gear"},
		},
		define: func(flags *pflag.FlagSet) func(*call) (int, error) {
			out := addTextFlags(flags, "text, json, csv (one row a gear and part) or markdown")
			addRulerUnitsFlag(flags)
			f := faultFlags{
				every:   flags.Float64("every", 0, "crank turns counted"),
				repeats: flags.Int("repeats", 1, "over how many clicks they were counted"),
				err:     flags.Float64("error", 0.25, "standard error of the count, crank turns"),
				gear:    flags.String("gear", "", "gear it was heard in, such as 46x36"),
			}
			buildFlags(flags)
			return func(c *call) (int, error) {
				in, r, err := f.report(c)
				if err != nil {
					return 0, err
				}
				return exitFine, c.emit(out, in, r)
			}
		},
	}
}

type faultFlags struct {
	every, err *float64
	repeats    *int
	gear       *string
}

// faultReport is what `cagewise fault` says.
type faultReport struct {
	Build buildSummary `json:"build"`
	// Verdict is the likely part, in words.
	Verdict string `json:"verdict"`
	Pitches int    `json:"chain_pitches"`
	// From says whether the chain is owned, or whose length it is.
	From    string        `json:"chain_from"`
	Guide   gearing.Teeth `json:"guide_pulley_teeth"`
	Tension gearing.Teeth `json:"tension_pulley_teeth"`
	// Taken: the count was not given, a usual one stands in.
	GuideTaken   bool `json:"guide_pulley_is_default"`
	TensionTaken bool `json:"tension_pulley_is_default"`
	Heard        bool `json:"has_heard"` // --every was given
	// Gears are that of --gear, or all; without --every they hold no suspects.
	Gears    []wear.FaultReport `json:"gears"`
	Cautions []string           `json:"cautions"`

	word string
}

var faultCautions = []string{
	"A rhythm points at a part, it proves nothing: a bent tooth, a bad joining link or a loose crank can sound alike. Look before you buy.",
	"On a stand: hands clear of everything that turns, motor off. On the road: seated and gently, away from traffic.",
	"Do not ride on with a link that opens, a cracked part or a skip under load; a qualified mechanic has the last word.",
}

func (f faultFlags) check(c *call) error {
	if *f.gear == "" && !c.flags.Changed("every") {
		return errors.New("fault needs --every (crank turns from one click to the next), --gear, or both, such as `cagewise fault tour.toml --every 2.16 --gear 50x21`")
	}
	for _, name := range []string{"repeats", "error"} {
		if c.flags.Changed(name) && !c.flags.Changed("every") {
			return fmt.Errorf("--%s says nothing without --every", name)
		}
	}
	if !c.flags.Changed("every") {
		return nil
	}
	return errors.Join(within("every", 0.05, 10000, "crank turns", *f.every), within("repeats", 1, 10000, "clicks", float64(*f.repeats)), within("error", 0.01, 10, "crank turns", *f.err))
}

func (f faultFlags) report(c *call) (input, faultReport, error) {
	if err := f.check(c); err != nil {
		return input{}, faultReport{}, err
	}
	in, err := c.load()
	if err != nil {
		return input{}, faultReport{}, err
	}
	b := in.build.Build
	gears, err := f.gears(b)
	if err != nil {
		return input{}, faultReport{}, err
	}
	s, err := in.study()
	if err != nil {
		return input{}, faultReport{}, err
	}
	n, from, err := chainOf(s)
	if err != nil {
		return input{}, faultReport{}, fmt.Errorf("fault needs the chain's pitches: %w", err)
	}
	r := faultReport{Build: summarise(b), Pitches: n, From: from, Heard: c.flags.Changed("every"), Cautions: faultCautions}
	r.Guide, r.Tension = pulleysOf(s)
	r.GuideTaken, r.TensionTaken = b.Rear.GuidePulleyTeeth == 0, b.Rear.TensionPulleyTeeth == 0
	for _, g := range gears {
		x, err := f.find(wear.FaultBuild{Pitches: n, Rings: b.Rings, Cogs: b.Cogs, Guide: r.Guide, Tension: r.Tension}, g, r.Heard)
		if err != nil {
			return input{}, faultReport{}, err
		}
		x.Apart.Rhythms = listed(x.Apart.Rhythms)
		r.Gears = append(r.Gears, x)
	}
	r.word, r.Verdict = r.verdictWords()
	return in, r, nil
}

// gears are the one that was named, or all.
func (f faultFlags) gears(b gearing.Build) ([]gearing.GearID, error) {
	if *f.gear != "" {
		g, err := parseGear("gear", *f.gear)
		if err != nil {
			return nil, err
		}
		if !onBuild(b, g) {
			return nil, notOnBike(b, g)
		}
		return []gearing.GearID{g}, nil
	}
	var list []gearing.GearID
	for _, ring := range slices.Backward(b.Rings) {
		for _, cog := range b.Cogs {
			list = append(list, gearing.GearID{Ring: ring, Cog: cog})
		}
	}
	return list, nil
}

func (f faultFlags) find(b wear.FaultBuild, g gearing.GearID, heard bool) (wear.FaultReport, error) {
	if heard {
		return wear.FindFault(b, g, wear.Heard{Turns: *f.every, Repeats: *f.repeats, Error: *f.err})
	}
	all, err := wear.Rhythms(b, g)
	return wear.FaultReport{GearID: g, All: all, Suspects: []wear.Suspect{}, Notes: []string{}}, err
}

// notOnBike tells of a gear that the build does not have.
func notOnBike(b gearing.Build, g gearing.GearID) error {
	if turned := (gearing.GearID{Ring: g.Cog, Cog: g.Ring}); onBuild(b, turned) {
		return fmt.Errorf("--gear: %s is not on this bike; did you mean %s? The ring comes first", g, turned)
	}
	return fmt.Errorf("--gear: %s is not on this bike; allowed: a ring of %s with a cog of %s", g, ringsLargeFirst(b.Rings), cogList(b.Cogs))
}

// parseGear reads a gear such as 46x36 or 46/36.
func parseGear(flag, text string) (gearing.GearID, error) {
	g, ok := gearing.ParseGear(strings.ReplaceAll(text, "×", "x"))
	if !ok {
		return g, fmt.Errorf("--%s: %q is no gear; allowed: ring x cog of %d to %d teeth, such as 46x36", flag, text, gearing.MinTeeth, gearing.MaxTeeth)
	}
	return g, nil
}

func onBuild(b gearing.Build, g gearing.GearID) bool {
	return slices.Contains(b.Rings, g.Ring) && slices.Contains(b.Cogs, g.Cog)
}

// chainOf is the chain owned, or the length to have.
func chainOf(s *sim.Study) (pitches int, from string, err error) {
	switch {
	case s.Build.Chain.Pitches > 0:
		return s.Build.Chain.Pitches, "owned", nil
	case s.Advice.Length > 0:
		return s.Advice.Length, "as `cagewise fit` names it, as yours is not given", nil
	}
	return 0, "", errors.New("chain.pitches or --chain, or the chainstay length to work it out from: frame.chainstay or --chainstay")
}

// pulleysOf are the pulleys' teeth, where they are not given those of a usual
// pulley.
func pulleysOf(s *sim.Study) (guide, tension gearing.Teeth) {
	guide, tension = s.Build.Rear.GuidePulleyTeeth, s.Build.Rear.TensionPulleyTeeth
	if s.Rig != nil {
		guide, tension = s.Rig.Derailleur.GuideTeeth, s.Rig.Derailleur.TensionTeeth
	}
	if guide == 0 {
		guide = wear.DefaultPulley
	}
	if tension == 0 {
		tension = wear.DefaultPulley
	}
	return guide, tension
}
