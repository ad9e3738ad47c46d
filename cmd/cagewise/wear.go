package main

import (
	"errors"
	"fmt"
	"slices"

	"github.com/spf13/pflag"

	"cagewise/gearing"
	"cagewise/gearing/build"
	"cagewise/gearing/wearlog"
	"cagewise/sim/wear"
)

func wearCommand() command {
	return command{
		name: "wear", args: "LOG [flags]", summary: "how worn it is: what to replace, test or keep; what to buy first",
		about: "LOG is a wear log (see `cagewise help log`). Every reading is turned into elongation with its error, readings of a chain are combined, and a forecast says when it reaches 0.5, 0.75 and 1 %. Every part gets a verdict with the evidence for and against. " +
			"Rides (--ride with --build) tell how much work each cog did; without them a default stands in and is named as such. " +
			dangerRule + " Otherwise it is 0, also when parts are to be replaced; 2 is bad input.",
		examples: []example{
			{"wear wear.toml", "the verdict on what the log holds"},
			{"wear examples/cargo-wear.toml --budget 40", "what to buy first with 40 to spend"},
			{"wear examples/cargo-wear.toml --build examples/gravel.toml --ride examples/gravel-ride.csv", "with the share of each cog from a ride"},
		},
		define: func(flags *pflag.FlagSet) func(*call) (int, error) {
			out := addTextFlags(flags, "text, json, csv (see --rows) or markdown")
			addLogUnitsFlag(flags)
			f := addWearFlags(flags)
			return func(c *call) (int, error) { return f.run(c, out) }
		},
	}
}

// wearFlags say what is known beside the log.
type wearFlags struct {
	build, rows *string
	rides       *[]string
	at, budget  *float64
	ride        rideFlags
}

// rideFlagNames are the flags that say nothing without a ride.
var rideFlagNames = []string{"speed-noise", "cadence-noise", "tolerance", "keep-wheel", "mass", "drag-area", "rolling", "air-density", "efficiency"}

// What csv lists.
const (
	rowsParts     = "parts"
	rowsReadings  = "readings"
	rowsForecasts = "forecasts"
	rowsCogs      = "cogs"
)

var wearRows = []string{rowsParts, rowsReadings, rowsForecasts, rowsCogs}

func addWearFlags(flags *pflag.FlagSet) wearFlags {
	return wearFlags{
		build:  flags.String("build", "", "build file of the bike, for its cogs and for --ride"),
		rides:  flags.StringArray("ride", nil, "recorded ride, may be given several times; needs --build"),
		at:     flags.Float64("at", 0, "odometer now, in the log's distance_unit; default: the last one in the log, and rides dated after it"),
		budget: flags.Float64("budget", 0, "what may be spent now, in place of the log's"),
		rows:   flags.String("rows", rowsParts, "what csv lists: parts, readings, forecasts or cogs"),
		ride:   addRideFlags(flags),
	}
}

func (f wearFlags) check(c *call, out outputFlags) error {
	if len(c.args) != 1 {
		return errors.New("wear needs one wear log, such as `cagewise wear bike-wear.toml`; `cagewise log NAME new` starts one")
	}
	if !slices.Contains(wearRows, *f.rows) {
		return fmt.Errorf("--rows: %w", unknown("rows", *f.rows, wearRows))
	}
	if len(*f.rides) > 0 && *f.build == "" {
		return errors.New("--ride needs the bike it was ridden on: --build BUILD")
	}
	for _, name := range rideFlagNames {
		if c.flags.Changed(name) && len(*f.rides) == 0 {
			return fmt.Errorf("--%s says nothing without --ride", name)
		}
	}
	if err := guardInputs(out, append([]string{c.args[0], *f.build}, *f.rides...)); err != nil {
		return err
	}
	return errors.Join(within("at", 0, 1e6, "in the log's distance_unit", *f.at), within("budget", 0, 1e7, "money units", *f.budget), f.ride.check(), twice("ride", *f.rides))
}

// guardInputs refuses to write over a file that is read.
func guardInputs(out outputFlags, paths []string) error {
	for _, path := range paths {
		if sameFile(*out.path, path) {
			return fmt.Errorf("--output: %s is read by this command; name another file", *out.path)
		}
	}
	return nil
}

func twice(flag string, paths []string) error {
	for i, path := range paths {
		if slices.Contains(paths[:i], path) {
			return fmt.Errorf("--%s: %s is given twice; each counts once", flag, path)
		}
	}
	return nil
}

func (f wearFlags) run(c *call, out outputFlags) (int, error) {
	if err := f.check(c, out); err != nil {
		return 0, err
	}
	log, err := c.wearLog(c.args[0])
	if err != nil {
		return 0, err
	}
	if c.flags.Changed("budget") {
		log.Budget = *f.budget
	}
	km, err := f.km(c.args[0], log)
	if err != nil {
		return 0, err
	}
	log.Miles = c.milesFor(log, out)
	use, err := f.usage(c, &log)
	if err != nil {
		return 0, err
	}
	r, err := f.report(c.args[0], log, use, km)
	if err != nil {
		return 0, err
	}
	r.Use.sayWarnings(c)
	if err := c.emit(out, input{path: c.args[0]}, r); err != nil {
		return 0, err
	}
	if len(r.Dangerous) > 0 {
		return exitVerdict, nil
	}
	return exitFine, nil
}

// wearLog reads a wear log; warnings go to the error stream.
func (c *call) wearLog(path string) (gearing.WearLog, error) {
	log, warnings, err := wearlog.Load(path)
	if err != nil {
		return log, err
	}
	for _, w := range warnings {
		fmt.Fprintf(c.err, "cagewise: warning: %s\n", w)
	}
	return log, nil
}

// cogUse is how the cogs were used.
type cogUse struct {
	// From says in words where the shares come from.
	From    string `json:"from"`
	Default bool   `json:"is_default"`
	// Estimated is the part of the work that no power meter recorded.
	Estimated gearing.Percent `json:"estimated_work_share_percent"`

	// Warnings tell what makes the shares doubtful.
	Warnings []string `json:"warnings"`

	shares []wear.CogUsage
	km     float64 // of the rides
	miles  bool
	misfit bool // the build lacks cogs of the log's cassette
	cogs   int
	build  *buildSummary
}

func newCogUse(log *gearing.WearLog) cogUse {
	return cogUse{Default: true, From: "no ride of yours: " + defaultWork, Warnings: []string{}, miles: log.Miles}
}

// usage reads the build and the rides, as far as they are given. A cassette
// without teeth in the log gets those of the build.
func (f wearFlags) usage(c *call, log *gearing.WearLog) (cogUse, error) {
	use := newCogUse(log)
	if *f.build == "" {
		return use, nil
	}
	in, err := c.loadBuild(*f.build)
	if err != nil {
		return use, err
	}
	return f.usageOf(c, in, log)
}

// usageOf does so for a build that was read.
func (f wearFlags) usageOf(c *call, in input, log *gearing.WearLog) (cogUse, error) {
	use := newCogUse(log)
	b := in.build.Build
	summary := summarise(b)
	use.cogs, use.build = len(b.Cogs), &summary
	use.match(log, b, *f.build)
	if len(*f.rides) == 0 {
		return use, nil
	}
	if slices.ContainsFunc(in.defaults, func(d build.Default) bool { return d.Key == "wheel.tyre" }) {
		return use, fmt.Errorf("%s: --ride needs the wheel: wheel.tyre or wheel.roll_out", *f.build)
	}
	u, err := f.ride.read(c, in, *f.rides)
	if err != nil {
		return use, err
	}
	return use.fromRides(u, len(*f.rides), *f.build), nil
}
