package main

import (
	"errors"
	"fmt"

	"github.com/spf13/pflag"

	"cagewise/gearing"
	"cagewise/sim"
)

func cogsCommand() command {
	return command{
		name: "cogs", args: "[BUILD FILE] [flags]", summary: "the best cog list between two ends, or one cog out and another in",
		about: "--count, --from and --to ask for the best list, even in percent or tighter round --cruising-cog. --out and --in change one cog of the build's cassette and show what that does to steps, capacity and chain; whether the build works with it, and how surely, as `cagewise fit` says it.",
		examples: []example{
			{"cogs --count 9 --from 11 --to 34", "the most even nine cogs from 11 to 34"},
			{"cogs tour.toml --out 13 --in 14", "one cog out, another in"},
		},
		define: func(flags *pflag.FlagSet) func(*call) (int, error) {
			out := addTextFlags(flags, "text, json, csv or markdown")
			f := cogsFlags{
				count: flags.Int("count", 0, "how many cogs"),
				from:  flags.Int("from", 0, "teeth of the smallest cog"), to: flags.Int("to", 0, "teeth of the largest cog"),
				cruise: flags.Int("cruising-cog", 0, "make the steps tighter round this cog"),
				tight:  flags.Float64("tightness", 4, "how much tighter, 1 (even) to 50"),
				out:    flags.Int("out", 0, "teeth of the cog to take out"), in: flags.Int("in", 0, "teeth of the cog to put in"),
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

type cogsFlags struct {
	count, from, to, cruise, out, in *int
	tight                            *float64
}

// cogsReport is what `cagewise cogs` says.
type cogsReport struct {
	Best   *cassette `json:"best,omitempty"`
	Before *cassette `json:"before,omitempty"`
	After  *cassette `json:"after,omitempty"`

	pattern string // words on it
}

// cassette is a list of cogs with what follows from it.
type cassette struct {
	Cogs    []gearing.Teeth   `json:"cogs_teeth"`
	Steps   []gearing.CogStep `json:"steps"`
	Largest gearing.Percent   `json:"largest_step_percent"`
	// Needed is 0 where the rings are not known, Chain, the length to have, where
	// the chainstay is not.
	Needed gearing.Teeth `json:"capacity_needed_teeth"`
	Chain  int           `json:"length_pitches"`
	// Over names the makers' ratings that are exceeded with it, Fit the verdict
	// and what to do with the chain, Danger what is wrong with a chain at hand;
	// empty when nothing is to be said.
	Over   []string `json:"ratings_exceeded"`
	Fit    string   `json:"fit_words"`
	Danger string   `json:"owned_chain_danger"`
}

func newCassette(cogs []gearing.Teeth) *cassette {
	c := &cassette{Cogs: cogs, Steps: gearing.Steps(cogs), Over: []string{}}
	for _, s := range c.Steps {
		c.Largest = max(c.Largest, s.Size)
	}
	return c
}

func (f cogsFlags) report(c *call) (input, cogsReport, error) {
	if err := f.conflict(c); err != nil {
		return input{}, cogsReport{}, err
	}
	if *f.out != 0 || *f.in != 0 {
		return f.mix(c)
	}
	if *f.count == 0 || *f.from == 0 || *f.to == 0 {
		return input{}, cogsReport{}, errors.New("cogs needs --count, --from and --to, or a build with --out and --in")
	}
	if err := within("tightness", 1, 50, "", *f.tight); err != nil {
		return input{}, cogsReport{}, err
	}
	cogs, err := gearing.BestCogs(*f.count, gearing.Teeth(*f.from), gearing.Teeth(*f.to),
		gearing.StepPattern{Cruise: gearing.Teeth(*f.cruise), Tightness: *f.tight})
	if err != nil {
		return input{}, cogsReport{}, err
	}
	in, before, err := f.compared(c)
	if err != nil {
		return input{}, cogsReport{}, err
	}
	r := cogsReport{Before: before, Best: newCassette(cogs), pattern: "all alike: as even as whole teeth allow, which is not always the least largest step, mostly at the smallest cogs"}
	if *f.cruise != 0 {
		r.pattern = fmt.Sprintf("those round the cog of %d weighing up to %s times as much", *f.cruise, num(*f.tight, -1))
	}
	if before != nil {
		err = r.Best.swapped(in)
	}
	return in, r, err
}

// conflict refuses flags that say nothing together.
func (f cogsFlags) conflict(c *call) error {
	mixing := c.flags.Changed("out") || c.flags.Changed("in")
	for _, name := range []string{"count", "from", "to", "cruising-cog", "tightness"} {
		if mixing && c.flags.Changed(name) {
			return fmt.Errorf("--%s says nothing beside --out and --in; allowed: one or the other", name)
		}
	}
	if c.flags.Changed("tightness") && *f.cruise == 0 {
		return errors.New("--tightness says nothing without --cruising-cog")
	}
	return nil
}

// compared is the build's own cassette, when a build is given.
func (f cogsFlags) compared(c *call) (input, *cassette, error) {
	if len(c.args) == 0 && !c.flags.Changed("cogs") {
		return input{}, nil, nil
	}
	in, err := c.load()
	if err != nil {
		return input{}, nil, err
	}
	s, err := in.study()
	if err != nil {
		return input{}, nil, err
	}
	before := newCassette(in.build.Build.Cogs)
	before.fit(s, in.units)
	return in, before, nil
}

func (f cogsFlags) mix(c *call) (input, cogsReport, error) {
	if *f.out == 0 || *f.in == 0 {
		return input{}, cogsReport{}, errors.New("--out and --in go together: the cog to take out and the one to put in")
	}
	in, err := c.load()
	if err != nil {
		return input{}, cogsReport{}, err
	}
	mixed, err := gearing.MixCogs(in.build.Build.Cogs, gearing.Teeth(*f.out), gearing.Teeth(*f.in))
	if err != nil {
		return input{}, cogsReport{}, err
	}
	s, err := in.study()
	if err != nil {
		return input{}, cogsReport{}, err
	}
	r := cogsReport{Before: newCassette(in.build.Build.Cogs), After: newCassette(mixed)}
	r.Before.fit(s, in.units)
	return in, r, r.After.swapped(in)
}

// swapped judges a build with this cassette in place of its own.
func (c *cassette) swapped(in input) error {
	like, err := in.study()
	if err != nil {
		return err
	}
	b := in.build.Build
	b.Cogs = c.Cogs
	s, err := sim.NewStudyLike(like.Rig, b, in.table)
	if err != nil {
		return fmt.Errorf("with cogs %s: %w", cogList(c.Cogs), err)
	}
	c.fit(s, in.units)
	return nil
}

// fit takes what a study says of the build with this cassette.
func (c *cassette) fit(s *sim.Study, u gearing.Units) {
	b := s.Build
	c.Needed = gearing.CapacityNeeded(b.Rings, b.Cogs)
	if s.Rated == nil {
		return
	}
	c.Chain = s.Advice.Length
	for _, check := range s.Rated.Checks {
		if !check.OK() {
			c.Over = append(c.Over, checkWords(check))
		}
	}
	c.Danger = ownedDanger(&s.Advice)
	c.Fit = sentences(verdictWord(&s.Advice)+".", verdictSentence(&s.Advice), lengthSentence(&s.Advice, u))
}

func (r cogsReport) titleText() string {
	if r.Best != nil {
		return "Best cogs: " + cogList(r.Best.Cogs)
	}
	return "Cassette: " + cogList(r.After.Cogs)
}

func (r cogsReport) write(p *page) {
	p.section("Steps")
	p.grid(r.csvTable())
	if r.Best != nil {
		p.para("Largest step %s %%. Best means the least sum of squared steps, each step as a logarithm, %s. A list on paper: cogs are sold as cassettes whose ramps match; mixed ones shift worse, and the smallest cog needs its own seat for the lockring.", num(float64(r.Best.Largest), 1), r.pattern)
		if r.Best.Largest > wideStep {
			p.para("A step over %d %% is a hole you will feel, and many derailleurs shift it badly: more cogs, ends closer together, or less tightness.", wideStep)
		}
		r.Best.consequences(p)
		return
	}
	p.para("Largest step %s %% before, %s %% after. Capacity needed %d teeth before, %d after.%s", num(float64(r.Before.Largest), 1), num(float64(r.After.Largest), 1),
		r.Before.Needed, r.After.Needed, r.chainWords())
	r.After.consequences(p)
	p.para("Ramps of a mixed cassette no longer match: it shifts worse. The smallest cog needs its own seat for the lockring, spacers their width. `cagewise fit` says what the derailleur makes of it; its maker and a qualified mechanic have the last word.")
}

func (r cogsReport) chainWords() string {
	if r.Before.Chain == 0 {
		return ""
	}
	return fmt.Sprintf(" Length of the chain to have: %d pitches before, %d after.", r.Before.Chain, r.After.Chain)
}

// consequences tells what a new cassette does to the bike it is for.
func (c *cassette) consequences(p *page) {
	for _, over := range c.Over {
		p.item("", "Beyond the makers' ratings: %s.", over)
	}
	for _, words := range []string{c.Danger, c.Fit} {
		if words != "" {
			p.item("", "%s", words)
		}
	}
}

// wideStep is the step from which a list is warned of, % (common practice, no
// source: 18 to 20 % is a hole already).
const wideStep = 30

// csvTable is one row a step.
func (r cogsReport) csvTable() *table {
	t := &table{cols: []column{{key: "cassette", head: "cassette", left: true}, {key: "from_teeth", head: "from"}, {key: "to_teeth", head: "to"}, {key: "step_percent", head: "step", unit: "%"}}}
	for _, l := range []struct {
		name string
		c    *cassette
	}{{"before", r.Before}, {"best", r.Best}, {"after", r.After}} {
		if l.c == nil {
			continue
		}
		t.breakHere()
		for _, s := range l.c.Steps {
			t.add(l.name, whole(s.From), whole(s.To), num(float64(s.Size), 1))
		}
	}
	return t
}
