package main

import (
	"fmt"
	"slices"

	"github.com/spf13/pflag"

	"cagewise/gearing/wearlog"
	"cagewise/plot"
	"cagewise/sim/wear"
)

// The flags of the charts of a wear log and of a search.
var (
	wearTakes   = []string{"units", "part"}
	choiceTakes = []string{
		"lowest-development", "highest-development", "hill", "largest-step", "lost-gears", "budget", "over-capacity", "over-cog", "on-hand", "workers", "time-limit",
		"mass", "power", "least-cadence", "drag-area", "rolling", "air-density", "efficiency", "headwind",
	}
)

// addChoiceFlags adds the wishes of a search; the rider's flags are those the
// climb chart has.
func addChoiceFlags(flags *pflag.FlagSet, rider hillFlags) searchFlags {
	own := pflag.NewFlagSet("search", pflag.ContinueOnError)
	f := addSearchFlags(own)
	f.rider = rider
	own.VisitAll(func(flag *pflag.Flag) {
		if flag.Name != "top" && flags.Lookup(flag.Name) == nil {
			flags.AddFlag(flag)
		}
	})
	return f
}

// wearChart draws one chain of a wear log.
func wearChart(c *call, f chartFlags) (input, plot.Picture, error) {
	if len(c.args) != 1 {
		return input{}, nil, fmt.Errorf("%d wear logs; allowed: one, as in `cagewise chart wear bike-wear.toml`", len(c.args))
	}
	path := c.args[0]
	log, warnings, err := wearlog.Load(path)
	if err != nil {
		return input{}, nil, err
	}
	for _, w := range warnings {
		fmt.Fprintf(c.err, "cagewise: warning: %s\n", w)
	}
	log.Miles = c.inMiles(log)
	chains, err := wear.Analyse(log)
	if err != nil {
		return input{}, nil, fmt.Errorf("%s: %w", path, err)
	}
	var ids []string
	for _, chain := range chains {
		ids = append(ids, chain.ID)
	}
	if len(ids) == 0 {
		return input{}, nil, fmt.Errorf("%s: no chain has a reading", path)
	}
	at := len(ids) - 1
	if *f.part != "" {
		if at = slices.Index(ids, *f.part); at < 0 {
			return input{}, nil, fmt.Errorf("--part: %w", unknown("chain", *f.part, ids))
		}
	}
	p := plot.NewWearChart(chains[at], wear.OdometerOf(log).KM, log.Miles)
	p.Name = log.Name
	return input{path: path}, p, nil
}

// choiceChart draws what a search finds.
func choiceChart(c *call, f chartFlags) (input, plot.Picture, error) {
	if len(c.args) != 2 {
		return input{}, nil, fmt.Errorf("the choice chart needs a build file and a parts bin: cagewise chart choice BUILD BIN")
	}
	name := c.args[1]
	in, _, r, err := f.choice.find(c)
	if err != nil {
		return input{}, nil, err
	}
	c.args = append(c.args, name) // never drawn over
	p := plot.NewChoiceChart(r)
	p.Name = r.Bin.Name
	return in, p, nil
}
