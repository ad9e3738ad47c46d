package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"time"

	"github.com/spf13/pflag"

	"cagewise/gearing"
	"cagewise/gearing/bin"
	"cagewise/sim/road"
	"cagewise/sim/search"
)

func searchCommand() command {
	return command{
		name: "search", args: "BUILD BIN [flags]", summary: "the best of a parts bin: every combination that really works",
		about: "BUILD gives the frame, the rider and, where the bin has none, the wheel; BIN is a parts bin (see examples/parts-bin.toml). Every combination is held against your wishes and what is left is simulated. Best are those that no other beats in range, largest step, margin and price at once. Interrupting it (Ctrl-C) or --time-limit prints what was found until then, marked partial. Exit status 1 when nothing meets the wishes.",
		examples: []example{
			{"search examples/mountain-tourer.toml examples/mountain-bin.toml --hill 8 --power 160 --mass 125 --over-capacity 5 --over-cog 2 --lost-gears 3", "which parts of the bin climb 8 % with 160 W"},
		},
		define: func(flags *pflag.FlagSet) func(*call) (int, error) {
			out := addTextFlags(flags, "text, json, csv (one row a combination) or markdown")
			addUnitsFlag(flags)
			f := addSearchFlags(flags)
			return func(c *call) (int, error) { return f.run(c, out) }
		},
	}
}

// searchFlags are the wishes and how to search.
type searchFlags struct {
	lowest, highest, step, hill, budget, limit *float64
	lost, overCapacity, overCog, workers, top  *int
	onHand                                     *bool
	rider                                      hillFlags
}

func addSearchFlags(flags *pflag.FlagSet) searchFlags {
	f := searchFlags{
		lowest:       flags.Float64("lowest-development", 0, "the lowest gear is to be at most this, m a crank turn"),
		highest:      flags.Float64("highest-development", 0, "the highest gear is to be at least this, m a crank turn"),
		hill:         flags.Float64("hill", 0, "a grade in % that the lowest gear is to climb at --least-cadence with the first --power"),
		step:         flags.Float64("largest-step", 0, "no step between neighbouring cogs over this, %"),
		lost:         flags.Int("lost-gears", 0, "how many gears may be lost; -1: any number"),
		budget:       flags.Float64("budget", -1, "what it may cost; default: any sum"),
		overCapacity: flags.Int("over-capacity", 0, "teeth by which a rated capacity may be exceeded; -1: any number"),
		overCog:      flags.Int("over-cog", 0, "teeth by which a rated largest cog may be exceeded; -1: any number"),
		onHand:       flags.Bool("on-hand", false, "only parts that are on hand"),
		top:          flags.Int("top", 12, "how many of the best to show as text; 0 for all"),
		workers:      flags.Int("workers", 0, "how many processors to use; default: all"),
		limit:        flags.Float64("time-limit", 0, "stop after this many seconds, with what was found until then"),
	}
	hill := pflag.NewFlagSet("hill", pflag.ContinueOnError)
	f.rider = addHillFlags(hill)
	hill.VisitAll(func(flag *pflag.Flag) {
		if flag.Name != "grade" && flag.Name != "lowest" {
			flags.AddFlag(flag)
		}
	})
	return f
}

func (f searchFlags) check() error {
	optional := func(v float64) []float64 {
		if v == 0 {
			return nil
		}
		return []float64{v}
	}
	budget := []float64{*f.budget}
	if *f.budget == -1 {
		budget = nil
	}
	return errors.Join(
		within("lowest-development", 0.3, 15, "m", optional(*f.lowest)...), within("highest-development", 0.3, 15, "m", optional(*f.highest)...),
		within("hill", 0.5, 60, "%", optional(*f.hill)...), within("largest-step", 1, 100, "%", optional(*f.step)...),
		within("lost-gears", -1, 60, "gears", float64(*f.lost)), within("budget", 0, 1e9, "", budget...),
		within("over-capacity", -1, 60, "teeth", float64(*f.overCapacity)), within("over-cog", -1, 60, "teeth", float64(*f.overCog)),
		within("top", 0, 1e6, "", float64(*f.top)), within("workers", 0, 1024, "", float64(*f.workers)),
		within("time-limit", 0, 1e6, "s", *f.limit),
	)
}

// wishes reads the flags; a hill becomes the development that it asks for.
func (f searchFlags) wishes(b gearing.Build) (search.Wishes, error) {
	w := search.Wishes{
		Lowest: gearing.Metres(*f.lowest), Highest: gearing.Metres(*f.highest), LargestStep: gearing.Percent(*f.step),
		LostGears: *f.lost, OverCapacity: gearing.Teeth(*f.overCapacity), OverCog: gearing.Teeth(*f.overCog), OnHandOnly: *f.onHand,
		Budget: *f.budget, HasBudget: *f.budget >= 0,
	}
	if *f.hill == 0 {
		return w, nil
	}
	if *f.lowest > 0 {
		return w, errors.New("--hill and --lowest-development ask for the same; allowed: one of them")
	}
	*f.rider.grades = []float64{*f.hill}
	if err := f.rider.check(); err != nil {
		return w, err
	}
	cadence := *f.rider.least
	if cadence == 0 {
		cadence = b.Rider.CadenceLow
	}
	speed := f.rider.road().Speed((*f.rider.powers)[0], *f.hill/100)
	if road.KmH(speed) < road.BalanceKmH {
		return w, fmt.Errorf("--hill: %s %% with %s W is %s km/h: no gear keeps this above balancing speed (%s km/h)",
			num(*f.hill, -1), num((*f.rider.powers)[0], -1), num(road.KmH(speed), 1), num(road.BalanceKmH, 0))
	}
	w.Lowest = gearing.Metres(60 * speed / cadence)
	return w, nil
}

func (f searchFlags) run(c *call, out outputFlags) (int, error) {
	in, wishes, r, err := f.find(c)
	if err != nil {
		return 0, err
	}
	if err := c.emit(out, in, newSearchReport(in, r, wishes, *f.top)); err != nil {
		return 0, err
	}
	if len(r.Best) == 0 {
		return exitVerdict, nil
	}
	return exitFine, nil
}

// find reads BUILD and BIN and searches. Only BUILD is left among the arguments.
func (f searchFlags) find(c *call) (input, search.Wishes, search.Result, error) {
	fail := func(err error) (input, search.Wishes, search.Result, error) {
		return input{}, search.Wishes{}, search.Result{}, err
	}
	if len(c.args) != 2 {
		return fail(errors.New("search needs a build file and a parts bin: cagewise search BUILD BIN"))
	}
	if err := f.check(); err != nil {
		return fail(err)
	}
	name := c.args[1]
	parts, err := bin.Load(name)
	if err != nil {
		return fail(err)
	}
	c.args = c.args[:1]
	in, err := c.load()
	if err != nil {
		return fail(err)
	}
	wishes, err := f.wishes(in.build.Build)
	if err != nil {
		return fail(err)
	}
	r, err := f.search(c, in, parts, wishes)
	if errors.Is(err, gearing.ErrNoChainstay) {
		return fail(fmt.Errorf("%s: search needs the chainstay length: frame.chainstay", in.name()))
	} else if err != nil {
		return fail(fmt.Errorf("%s: %w", name, err))
	}
	return in, wishes, r, nil
}

// search runs until its end, its time limit or an interrupt.
func (f searchFlags) search(c *call, in input, parts gearing.PartsBin, w search.Wishes) (search.Result, error) {
	ctx, stop := signal.NotifyContext(c.context(), os.Interrupt)
	defer stop()
	if *f.limit > 0 {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, time.Duration(*f.limit*float64(time.Second)))
		defer cancel()
	}
	bar := newSearchBar(c.err)
	defer bar.done()
	return search.Run(ctx, in.build.Build, parts, w, search.Options{Workers: *f.workers, Progress: bar.draw})
}
