package main

import (
	"errors"
	"fmt"
	"slices"

	"github.com/spf13/pflag"

	"cagewise/gearing"
	"cagewise/sim/wear"
)

func spareCommand() command {
	return command{
		name: "spare", args: "[BUILD FILE] --gear 46x24 --gear 30x16 [flags]", summary: "which gear wears the chain least, and what larger wheels do to its life",
		about: "To spare is meant as wearing the chain least; it is not about spare parts: what to carry and which gears still go with a shortened chain is `cagewise roadside BUILD`, and which parts to buy next `cagewise wear LOG`. Gears are compared on the same road, with the same push at the wheel: chain pull, how far joints turn under load, the length of the chain and its slant. One --gear shows what smaller and larger wheels of the same ratio would do; two or more are compared with the first. Lives are an estimate by the model: load times sliding; dirt, lubricant and hardness are left out.",
		examples: []example{
			{"spare tour.toml --gear 46x17 --gear 30x11", "which of two gears of about one ratio spares the chain"},
		},
		define: func(flags *pflag.FlagSet) func(*call) (int, error) {
			out := addTextFlags(flags, "text, json, csv (one row a gear) or markdown")
			addUnitsFlag(flags)
			f := spareFlags{
				gears:  flags.StringArray("gear", nil, "gear to compare, such as 46x24; once or several times; it need not be on the bike"),
				push:   flags.Float64("push", 50, "at the wheel's rim, N: about 30 is a brisk ride on the flat, 100 a climb"),
				torque: flags.Float64("torque", 0, "at the cranks, rider and motor together, N m: the chain pull under it in each gear is shown, the lower run's in it"),
				speed:  flags.Float64("speed", 0, "km/h, such as a motor's limit: the cadence in each gear is shown"),
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

type spareFlags struct {
	gears               *[]string
	push, torque, speed *float64
}

// spareReport is what `cagewise spare` says.
type spareReport struct {
	Build buildSummary `json:"build"`
	// Verdict is which gear spares the chain, in words.
	Verdict string  `json:"verdict"`
	Push    float64 `json:"push_at_wheel_n"`
	Torque  float64 `json:"torque_nm"`  // 0: not asked
	Speed   float64 `json:"speed_km_h"` // 0: not asked
	// Gears are compared with the first; Sizes are wheels of about the ratio
	// of the first, the smallest first.
	Gears    []sparedGear `json:"gears"`
	Sizes    []sparedGear `json:"other_sizes"`
	Pitches  int          `json:"chain_pitches"`
	From     string       `json:"chain_from"`
	Notes    []string     `json:"notes"`
	Cautions []string     `json:"cautions"`

	word string
}

// sparedGear is a gear against the first one that was named.
type sparedGear struct {
	wear.GearWear
	OnBike bool `json:"on_the_bike"`
	// Lives are those of the first gear times these.
	ChainLife float64         `json:"chain_life_over_first"`
	CogLife   float64         `json:"cog_life_over_first"`
	RingLife  float64         `json:"ring_life_over_first"`
	Step      gearing.Percent `json:"step_percent"`
	Why       []string        `json:"why"`
	Spares    bool            `json:"spares_the_chain"`
	Wears     bool            `json:"wears_the_chain_more"`
	// Pull is what --torque alone puts on the upper run, without the lower
	// run's; Cadence that at --speed; 0: not asked.
	Pull    float64 `json:"chain_pull_at_torque_n"`
	Cadence float64 `json:"cadence_at_speed_rpm"`
}

var spareCautions = []string{
	"An estimate by the model, never a promise: dirt and lubricant change a chain's life far more than a few teeth.",
	"Other wheels ask for another chain, and for what the derailleur can carry: `cagewise fit` tells before you buy.",
}

func (f spareFlags) check(c *call) error {
	switch n := len(*f.gears); {
	case n == 0:
		return errors.New("spare tells which gear wears the chain least: name one to ten gears, such as `" + c.spareExample() + "`; for a chain that lost pitches on the road there is `cagewise roadside`")
	case n > 10:
		return fmt.Errorf("--gear: %d gears; allowed: 1 to 10", n)
	}
	bad := []error{within("push", 1, 2000, "N", *f.push)}
	if c.flags.Changed("torque") {
		bad = append(bad, within("torque", 1, 1000, "N m", *f.torque))
	}
	if c.flags.Changed("speed") {
		bad = append(bad, within("speed", 1, 120, "km/h", *f.speed))
	}
	return errors.Join(bad...)
}

// spareExample is a command to type, with gears that the bike has where it can be
// read.
func (c *call) spareExample() string {
	name, gears := "BUILD", "--gear 46x24 --gear 30x16"
	if len(c.args) == 1 {
		name = c.args[0]
	}
	if in, err := c.load(); err == nil {
		b := in.build.Build
		gears = fmt.Sprintf("--gear %dx%d", slices.Max(b.Rings), b.Cogs[2*(len(b.Cogs)-1)/3])
		if len(b.Rings) > 1 {
			gears += fmt.Sprintf(" --gear %dx%d", slices.Min(b.Rings), b.Cogs[(len(b.Cogs)-1)/3])
		}
	}
	return "cagewise spare " + name + " " + gears
}

func (f spareFlags) report(c *call) (input, spareReport, error) {
	if err := f.check(c); err != nil {
		return input{}, spareReport{}, err
	}
	gears, err := f.parse()
	if err != nil {
		return input{}, spareReport{}, err
	}
	in, err := c.load()
	if err != nil {
		return input{}, spareReport{}, err
	}
	b := in.build.Build
	r := spareReport{Build: summarise(b), Push: *f.push, Torque: *f.torque, Speed: *f.speed, Sizes: []sparedGear{}, Notes: []string{}, Cautions: spareCautions}
	study, err := in.study()
	if err != nil {
		return input{}, spareReport{}, err
	}
	s := newSparer(study, &r)
	for _, g := range gears {
		x, err := s.against(g, gears[0], s.pitches)
		if err != nil {
			return input{}, spareReport{}, err
		}
		r.Gears = append(r.Gears, x)
	}
	if err := s.sizes(gears[0], &r); err != nil {
		return input{}, spareReport{}, err
	}
	r.word, r.Verdict = r.verdictWords()
	return in, r, nil
}

func (f spareFlags) parse() ([]gearing.GearID, error) {
	var list []gearing.GearID
	for _, text := range *f.gears {
		g, err := parseGear("gear", text)
		if err != nil {
			return nil, err
		}
		if slices.Contains(list, g) {
			return nil, fmt.Errorf("--gear: %s is given twice; allowed: different gears", g)
		}
		list = append(list, g)
	}
	return list, nil
}
