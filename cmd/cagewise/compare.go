package main

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/spf13/pflag"

	"cagewise/gearing"
	"cagewise/gearing/build"
	"cagewise/sim"
)

func compareCommand() command {
	return command{
		name: "compare", args: "BUILD [BUILD ...] [flags]", summary: "two or more builds side by side, or one and its swaps",
		about: "The first build is today's. Each --swap takes it and changes values by their flag names: --swap 'rings=40/28 cogs=12-14-16-18-21-24-28-32-36'. The owned chain of the first build is tried on every other.",
		examples: []example{
			{"compare tour.toml --swap rings=40/28", "what smaller rings would change"},
			{"compare examples/gravel.toml examples/touring-double.toml", "two build files side by side"},
		},
		define: func(flags *pflag.FlagSet) func(*call) (int, error) {
			out := addTextFlags(flags, "text, json, csv (one row a build) or markdown")
			addUnitsFlag(flags)
			c := addCompareFlags(flags)
			return func(call *call) (int, error) {
				in, r, err := c.compare(call)
				if err != nil {
					return 0, err
				}
				return exitFine, call.emit(out, in, r)
			}
		},
	}
}

// compareFlags say what to compare.
type compareFlags struct {
	swaps           *[]string
	cruise, cadence *float64
	hole            *float64
}

func addCompareFlags(flags *pflag.FlagSet) compareFlags {
	return compareFlags{
		swaps:   flags.StringArray("swap", nil, "the first build with changes, such as 'rings=40/28 capacity=43'; may be given again"),
		cruise:  flags.Float64("cruise", 25, "cruising speed, km/h"),
		cadence: flags.Float64("cruise-cadence", 0, "cadence at it, rpm; default: the rider's upper cadence"),
		hole:    flags.Float64("hole", 15, "a step over this is a hole, %"),
	}
}

// compareReport is what `cagewise compare` says.
type compareReport struct {
	sim.Comparison
	Builds   []buildSummary `json:"builds"`
	Words    []optionWords  `json:"words"`
	Cautions []string       `json:"cautions"`
}

// optionWords are the plain words about one build.
type optionWords struct {
	Shopping []string `json:"shopping"`
	Gained   []string `json:"gained"`
	Lost     []string `json:"lost"`
}

func (f compareFlags) compare(c *call) (input, compareReport, error) {
	for _, err := range []error{
		within("cruise", 3, 80, "km/h", *f.cruise), within("hole", 3, 60, "%", *f.hole), f.checkCadence(),
	} {
		if err != nil {
			return input{}, compareReport{}, err
		}
	}
	inputs, err := f.builds(c)
	if err != nil {
		return input{}, compareReport{}, err
	}
	in := inputs[0]
	studies, err := studiesOf(inputs)
	if err != nil {
		return input{}, compareReport{}, err
	}
	cmp, err := sim.CompareStudies(studies, sim.CompareOptions{CruiseKmH: *f.cruise, Cadence: *f.cadence, Hole: gearing.Percent(*f.hole)})
	if errors.Is(err, gearing.ErrNoChainstay) {
		return input{}, compareReport{}, errors.New("compare needs the chainstay length of every build: frame.chainstay")
	} else if err != nil {
		return input{}, compareReport{}, err
	}
	r := compareReport{Comparison: cmp, Cautions: append(neverRide(&cmp), cautions...)}
	for i := range cmp.Options {
		r.Builds = append(r.Builds, summarise(cmp.Options[i].Build))
		r.Words = append(r.Words, wordsFor(&cmp.Options[0], &cmp.Options[i], gearing.Metric))
	}
	return in, r, nil
}

// neverRide warns of chains at hand that are dangerous.
func neverRide(c *sim.Comparison) []string {
	var list []string
	for i := range c.Options {
		o := &c.Options[i]
		if words := dangerLine(&o.Kept); words != "" {
			list = append(list, fmt.Sprintf("Build %d: %s", i+1, words))
		} else if words := dangerLine(&o.Advice); words != "" {
			list = append(list, fmt.Sprintf("Build %d: %s", i+1, words))
		}
	}
	return list
}

func (f compareFlags) checkCadence() error {
	if *f.cadence == 0 {
		return nil
	}
	return within("cruise-cadence", 20, 200, "rpm", *f.cadence)
}

// studiesOf are the studies of several builds; what is known of one derailleur is
// worked out once.
func studiesOf(inputs []input) ([]*sim.Study, error) {
	var list []*sim.Study
	var like *sim.Rig
	for _, in := range inputs {
		s, err := in.studyLike(like)
		if err != nil {
			return nil, err
		}
		if s.Rig != nil {
			like = s.Rig
		}
		list = append(list, s)
	}
	return list, nil
}

// builds loads the files and makes the swaps.
func (f compareFlags) builds(c *call) ([]input, error) {
	if len(c.args) == 0 {
		return nil, errors.New("compare needs a build file, and a second one or --swap")
	}
	if n := len(c.args) + len(*f.swaps); n < 2 || n > sim.MostOptions {
		return nil, fmt.Errorf("%s to compare; allowed: 2 to %d, files and --swap together", plural(n, "build"), sim.MostOptions)
	}
	var list []input
	for _, path := range c.args {
		in, err := c.loadBuild(path)
		if err != nil {
			return nil, err
		}
		list = append(list, in)
	}
	for _, text := range *f.swaps {
		d := list[0].draft.Clone()
		if err := applySwap(d, text); err != nil {
			return nil, err
		}
		in, err := c.finish(d, list[0].path+" --swap "+text)
		if err != nil {
			return nil, err
		}
		list = append(list, in)
	}
	return list, nil
}

// applySwap reads "rings=40/28 cogs=12-14-16". The swapped build has no name
// of its own unless the swap gives one.
func applySwap(d *build.Draft, text string) error {
	fields := map[string]*build.Field{}
	var names []string
	for _, f := range build.Fields() {
		if f.Flag != "" {
			fields[f.Flag], names = f, append(names, f.Flag)
		}
	}
	if err := d.SetFlag(fields["name"], text); err != nil {
		return fmt.Errorf("--swap: %s", strings.TrimPrefix(err.Error(), "--name: "))
	}
	given := map[string]string{}
	for _, part := range strings.Fields(text) {
		key, value, ok := strings.Cut(part, "=")
		f := fields[key]
		switch {
		case !ok:
			return fmt.Errorf("--swap: %q is not NAME=VALUE, such as rings=40/28", part)
		case f == nil:
			return fmt.Errorf("--swap: %w", unknown("value", key, names))
		case given[key] != "":
			return fmt.Errorf("--swap: %s=%s and %s in one swap; a second --swap makes a build of its own", key, strings.Trim(given[key], ",;"), value)
		}
		given[key] = value
		if err := d.SetFlag(f, value); err != nil {
			return fmt.Errorf("--swap: %s", strings.TrimPrefix(err.Error(), "--"))
		}
	}
	return nil
}

// wordsFor compares an option with today's in plain words.
func wordsFor(today, o *sim.Option, u gearing.Units) optionWords {
	w := optionWords{Shopping: []string{}, Gained: []string{}, Lost: []string{}}
	if o == today {
		return w
	}
	w.Shopping = shopping(today, o, u)
	say := func(good bool, format string, args ...any) {
		list := &w.Lost
		if good {
			list = &w.Gained
		}
		*list = append(*list, fmt.Sprintf(format, args...))
	}
	low := 100 * (float64(o.Table.Lowest().Development)/float64(today.Table.Lowest().Development) - 1)
	high := 100 * (float64(o.Table.Highest().Development)/float64(today.Table.Highest().Development) - 1)
	if math.Abs(low) >= 0.5 {
		say(low < 0, "the lowest gear is %s %% %s", num(math.Abs(low), 1), lowerHigher(low))
	}
	if math.Abs(high) >= 0.5 {
		say(high > 0, "the top gear is %s %% %s", num(math.Abs(high), 1), lowerHigher(high))
	}
	if d := o.Useful - today.Useful; d != 0 {
		say(d > 0, "%s that work instead of %d", plural(o.Useful, "different gear"), today.Useful)
	}
	switch {
	case today.Cruise.AllHoles() && o.Cruise.NearHoles == 0:
		say(true, "no hole in the steps at cruising speed any more")
	case today.Cruise.NearHoles == 0 && o.Cruise.AllHoles():
		say(false, "a hole in the steps at cruising speed")
	}
	if len(o.LostIDs) > 0 && gearList(o.LostIDs) != gearList(today.LostIDs) {
		say(false, "not to be used: %s", gearList(o.LostIDs))
	}
	return w
}

func lowerHigher(percent float64) string {
	if percent < 0 {
		return "lower"
	}
	return "higher"
}

// shopping lists what the change takes, with the reason.
func shopping(today, o *sim.Option, u gearing.Units) []string {
	var list []string
	buy := func(format string, args ...any) { list = append(list, fmt.Sprintf(format, args...)) }
	if a, b := ringsLargeFirst(today.Table.Rings), ringsLargeFirst(o.Table.Rings); a != b {
		buy("rings %s instead of %s", b, a)
	}
	if a, b := cogList(today.Table.Cogs), cogList(o.Table.Cogs); a != b {
		buy("cassette %s instead of %s", b, a)
	}
	if a, b := today.Table.RollOut, o.Table.RollOut; math.Abs(float64(a-b)) > 0.0005 {
		buy("wheel or tyre that rolls out %s %s a turn instead of %s %s", num(u.RollOut(b), 3), u.RollOutUnit(), num(u.RollOut(a), 3), u.RollOutUnit())
	}
	if words := chainToBuy(today, o, u); words != "" {
		buy("%s", words)
	}
	for _, c := range o.Rated.Checks {
		if c.Name == gearing.RatedLargestCog && !c.OK() && c.Needed > today.Table.Cogs[len(today.Table.Cogs)-1] {
			buy("perhaps a derailleur for larger cogs or a hanger extender: %s", checkWords(c))
		}
	}
	if a := withRightChain(o); !a.Verdict.Yes() && a.Judged {
		buy("perhaps another derailleur: with today's it %s, a chance of %s; measure yours before you buy", verdictSays(a.Verdict), chanceWords(a.Chance))
	}
	return list
}

// withRightChain is the judgement with the length to have: a new chain where the
// one at hand is too short.
func withRightChain(o *sim.Option) *sim.Advice {
	if o.Advice.Order == sim.Replace && len(o.Fresh.Gears) > 0 {
		return &o.Fresh
	}
	return &o.Advice
}

// verdictSays puts a verdict into a sentence.
func verdictSays(v gearing.Verdict) string {
	if v == gearing.CannotTell {
		return "may or may not work"
	}
	return v.String()
}

// chainToBuy says which chain a change takes; "" where today's stays.
func chainToBuy(today, o *sim.Option, u gearing.Units) string {
	a := &o.Fresh
	switch {
	case o.Stays || a.Length == 0 || o.Today == 0 && a.Length == today.Chain:
		return ""
	case o.Today == 0:
		return fmt.Sprintf("chain of %s instead of %d", u.Chain(gearing.Pitches(a.Length)), today.Chain)
	case o.Kept.Order == sim.Replace && a.LengthDanger.Any >= mostDanger:
		return fmt.Sprintf("no chain yet: today's %d pitches are too short, and no other length is without danger", o.Today)
	case o.Kept.Order == sim.Replace || a.Length > o.Today:
		return fmt.Sprintf("chain of %s: today's %d pitches are too short", u.Chain(gearing.Pitches(a.Length)), o.Today)
	}
	return fmt.Sprintf("no chain before you have tried today's %d pitches: they hang slack in more gears than %d would; a cut cannot be undone", o.Today, a.Length)
}

func cogList(cogs []gearing.Teeth) string {
	words := make([]string, len(cogs))
	for i, c := range cogs {
		words[i] = whole(c)
	}
	return strings.Join(words, "-")
}
