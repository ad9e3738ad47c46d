package main

import (
	"errors"
	"fmt"

	"github.com/spf13/pflag"

	"cagewise/gearing"
	"cagewise/sim/wear"
)

func plansCommand() command {
	return command{
		name: "plans", args: "LOG [flags]", summary: "change early, late, in turn or run to the end: what each costs",
		about: "LOG is a wear log: its prices, its distance a year and the wear of its chains. Lives of chains come from your readings; those of cassette and ring are defaults, widely varying, until you give your own. A price that is missing is named, and plans are then compared by the ratio of prices.",
		examples: []example{
			{"plans examples/commuter-wear.toml --chain-life 3200", "what changing early, late or in turn costs when a chain lasts 3200 km"},
		},
		define: func(flags *pflag.FlagSet) func(*call) (int, error) {
			out := addTextFlags(flags, "text, json, csv (one row a plan) or markdown")
			addLogUnitsFlag(flags)
			f := addPlansFlags(flags)
			return func(c *call) (int, error) {
				r, err := f.report(c, out)
				if err != nil {
					return 0, err
				}
				return exitFine, c.emit(out, input{path: c.args[0]}, r)
			}
		},
	}
}

// plansFlags say what beats the log and the defaults; distances are in km.
type plansFlags struct {
	build                                 *string
	chain, cassette, ring                 *float64
	year, chainLife, end                  *float64
	rotate, early, late, ringChains, cogs *int
	band, limit                           *float64
}

func addPlansFlags(flags *pflag.FlagSet) plansFlags {
	return plansFlags{
		build:      flags.String("build", "", "build file of the bike, for its number of cogs"),
		chain:      flags.Float64("chain-price", 0, "in place of the log's"),
		cassette:   flags.Float64("cassette-price", 0, "in place of the log's"),
		ring:       flags.Float64("ring-price", 0, "of all rings together, in place of the log's"),
		year:       flags.Float64("per-year", 0, "km ridden a year, in place of the log's"),
		chainLife:  flags.Float64("chain-life", 0, "km until a chain reaches the practice limit (0.5 % with 11 or more cogs, else 0.75 %), in place of the readings"),
		end:        flags.Float64("end-at", 0, "km that chain, cassette and ring last when all are run to the end; default: to 2 %"),
		early:      flags.Int("early-chains", wear.DefaultEarlyChains, "chains that a cassette outlasts when they are changed at 0.5 %"),
		late:       flags.Int("late-chains", wear.DefaultLateChains, "the same at 0.75 %"),
		ringChains: flags.Int("ring-chains", wear.DefaultRingChains, "chains that a ring outlasts"),
		rotate:     flags.Int("rotate", wear.DefaultRotateChains, "how many chains take turns on one cassette"),
		cogs:       flags.Int("cog-count", 0, "number of cogs, where neither log nor build says it"),
		band:       flags.Float64("band", float64(wear.DefaultBand), "how far chains that take turns may lie apart, %"),
		limit:      flags.Float64("limit", float64(wear.LimitFew), "elongation at which a rotation ends, %"),
	}
}

// check holds every flag that was given against its range.
func (f plansFlags) check(c *call) error {
	var bad []error
	given := func(name string, low, high float64, unit string, v float64) {
		if c.flags.Changed(name) {
			bad = append(bad, within(name, low, high, unit, v))
		}
	}
	given("chain-price", 0, 1e7, "money units", *f.chain)
	given("cassette-price", 0, 1e7, "money units", *f.cassette)
	given("ring-price", 0, 1e7, "money units", *f.ring)
	given("per-year", 1, 200000, "km", *f.year)
	given("chain-life", 50, 200000, "km", *f.chainLife)
	given("end-at", 50, 1e6, "km", *f.end)
	given("cog-count", 1, gearing.MaxCogs, "cogs", float64(*f.cogs))
	return errors.Join(append(bad,
		within("early-chains", 1, 20, "chains", float64(*f.early)), within("late-chains", 1, 20, "chains", float64(*f.late)),
		within("ring-chains", 1, 100, "chains", float64(*f.ringChains)), within("rotate", 2, 10, "chains", float64(*f.rotate)),
		within("band", 0.02, 1, "%", *f.band), within("limit", 0.2, 5, "%", *f.limit),
	)...)
}

// plansReport is what `cagewise plans` says.
type plansReport struct {
	Log logSummary `json:"log"`
	// Verdict is the cheapest plan that costs no safety, in words.
	Verdict string      `json:"verdict"`
	Prices  wear.Prices `json:"prices"`
	Cogs    int         `json:"cogs"` // 0: not known
	// Shape is how chains wear, from what ShapeFrom says.
	Shape     wear.WearShape `json:"wear_shape"`
	ShapeFrom string         `json:"wear_shape_from"`
	wear.PolicyReport
	Rotation wear.Schedule `json:"rotation"`
	Assumed  []string      `json:"rotation_assumes"`
	// Past are the chains in use that `cagewise wear` replaces, Test those it
	// keeps and tests.
	Past []chainDue `json:"chains_past_limit"`
	Test []chainDue `json:"chains_to_test"`
	// Odd are the chains whose readings contradict each other.
	Odd      []string `json:"chains_with_contradictions"`
	Cautions []string `json:"cautions"`

	word      string
	units     gearing.Units
	decisions []wear.Decision // on every part, as `cagewise wear` makes them
}

var plansCautions = []string{
	"A plan's cost rests on the lives it assumes; your own distances beat every default. The error is that of the chain's wear alone.",
	"Money is not all: a chain run far past its limit skips under load, in traffic too. Fit a new one on used cogs only with a gentle test off the road.",
	"The parts' makers, local rules and a qualified mechanic have the last word.",
}

func (f plansFlags) report(c *call, out outputFlags) (plansReport, error) {
	if len(c.args) != 1 {
		return plansReport{}, errors.New("plans needs one wear log, such as `cagewise plans bike-wear.toml`")
	}
	if err := guardInputs(out, []string{c.args[0], *f.build}); err != nil {
		return plansReport{}, err
	}
	if err := f.check(c); err != nil {
		return plansReport{}, err
	}
	log, err := c.wearLog(c.args[0])
	if err != nil {
		return plansReport{}, err
	}
	if f.over(c, &log); *f.build != "" {
		in, err := c.loadBuild(*f.build)
		if err != nil {
			return plansReport{}, err
		}
		*f.cogs = len(in.build.Build.Cogs)
	}
	r := plansReport{Log: summariseLog(log), Prices: f.prices(c, log), Cogs: cogCount(log, *f.cogs), Cautions: plansCautions}
	log.Miles = c.milesFor(log, out)
	r.units = unitsOf(log.Miles && !out.isMachine())
	return r, f.fill(c, log, &r)
}

// over puts flags in place of the log's values.
func (f plansFlags) over(c *call, log *gearing.WearLog) {
	if c.flags.Changed("per-year") {
		log.KMPerYear = *f.year
	}
}

func (f plansFlags) prices(c *call, log gearing.WearLog) wear.Prices {
	p := wear.PricesOf(log)
	for _, x := range []struct {
		name  string
		v     float64
		place *float64
	}{{"chain-price", *f.chain, &p.Chain}, {"cassette-price", *f.cassette, &p.Cassette}, {"ring-price", *f.ring, &p.Ring}} {
		if c.flags.Changed(x.name) {
			*x.place = x.v
		}
	}
	return p
}

// cogCount is the number of cogs of the cassette that is on; otherwise is used
// where the log does not say it.
func cogCount(log gearing.WearLog, otherwise int) int {
	for _, p := range log.Parts {
		if p.Kind == gearing.PartCassette && p.RemovedKM < 0 && len(p.Teeth) > 0 {
			return len(p.Teeth)
		}
	}
	return otherwise
}

// fill computes the plans.
func (f plansFlags) fill(c *call, log gearing.WearLog, r *plansReport) error {
	chains, err := wear.Analyse(log)
	if err != nil {
		return fmt.Errorf("%s: %w", c.args[0], err)
	}
	if err := f.shape(c.args[0], chains, r); err != nil {
		return err
	}
	r.PolicyReport, err = wear.Policies(wear.PolicyInput{
		Prices: r.Prices, KMPerYear: r.Log.KMPerYear, Shape: r.Shape, Cogs: r.Cogs, RotateChains: *f.rotate, EndKM: *f.end, Units: r.units,
		EarlyChains: *f.early, LateChains: *f.late, RingChains: *f.ringChains,
	})
	if err != nil {
		return fmt.Errorf("%s: %w", c.args[0], err)
	}
	decided, err := decideAt(c.args[0], wear.DecideInput{Log: log, Cogs: r.Cogs}, chains, 0)
	if err != nil {
		return err
	}
	r.decisions = decided.Decisions
	if err := f.schedule(log, r); err != nil {
		return fmt.Errorf("%s: %w", c.args[0], err)
	}
	if note := wear.Overcounted(log, chains, decided.KM); note != "" {
		r.Notes = append([]string{note}, r.Notes...)
	}
	r.warnOdd(chains)
	r.warnPast(c.args[0])
	r.word, r.Verdict = r.verdictWords()
	return nil
}
