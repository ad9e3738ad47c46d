package main

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"cagewise/gearing"
	"cagewise/gearing/build"
	"cagewise/plot"
)

// chartFlags are the flags that only some charts take.
type chartFlags struct {
	gear, figure *string
	compare      compareFlags
	hill         hillFlags
	from, to     *float64 // grades, %
	part         *string  // of a wear log
	choice       searchFlags
}

// The flags of the charts of a comparison, a climb and speeds.
var (
	compareTakes = []string{"units", "swap", "cruise", "cruise-cadence", "hole"}
	climbTakes   = []string{"units", "mass", "power", "least-cadence", "lowest", "drag-area", "rolling", "air-density", "efficiency", "headwind", "grade-from", "grade-to"}
	speedTakes   = []string{"units", "cruise"}
)

func addChartFlags(flags *pflag.FlagSet) chartFlags {
	f := chartFlags{
		gear:    flags.String("gear", "", "gear of a side view, ring x cog; default: largest ring and cog"),
		figure:  flags.String("figure", "gap", "figure of a map: "+strings.Join(figureNames(), ", ")),
		compare: addCompareFlags(flags),
		from:    flags.Float64("grade-from", 0, fmt.Sprintf("first grade of a climb, %%, %v to %v", leastGrade, mostGrade)),
		to:      flags.Float64("grade-to", 15, fmt.Sprintf("last grade of a climb, %%, %v or more over the first, to %v", leastSpan, mostGrade)),
	}
	hill := pflag.NewFlagSet("hill", pflag.ContinueOnError)
	f.hill = addHillFlags(hill)
	hill.VisitAll(func(flag *pflag.Flag) {
		switch flag.Name {
		case "grade": // a chart has a grid of its own
			return
		case "lowest":
			flag.Usage = fmt.Sprintf("how many of the lowest gears to draw, 1 to %d", plot.MostClimbGears)
		case "power":
			flag.Usage = fmt.Sprintf("at the cranks, W: 1 to %d, a panel for each", mostPowers)
		}
		flags.AddFlag(flag)
	})
	flags.String("units", "", "metric or imperial; default: metric, or a wear log's distance_unit")
	f.part = flags.String("part", "", "the chain of a wear chart; default: the last with readings")
	f.choice = addChoiceFlags(flags, f.hill)
	return f
}

// Limits of a chart of a climb: grades in %, the least from the first to the
// last, and how many powers.
const (
	leastGrade, mostGrade = -30, 60
	leastSpan             = 1
	mostPowers            = 4
)

// chartKind finds the chart that an argument or --kind names, and takes the
// argument away.
func (c *call) chartKind(name string) (*chartKind, error) {
	at, err := c.namedChart()
	if err != nil {
		return nil, err
	}
	if at >= 0 {
		if word := c.args[at]; c.flags.Changed("kind") && name != word {
			return nil, fmt.Errorf("--kind: %s, and %s among the arguments; allowed: one of them", name, word)
		}
		name, c.args = c.args[at], slices.Concat(c.args[:at], c.args[at+1:])
	}
	for i := range chartKinds {
		if chartKinds[i].name == name {
			return &chartKinds[i], nil
		}
	}
	return nil, fmt.Errorf("--kind: %w", unknown("chart", name, chartNames()))
}

// namedChart is the place of the argument that names a chart, -1 for none: the
// first, or else the only one that is no file.
func (c *call) namedChart() (int, error) {
	if len(c.args) > 0 && slices.Contains(chartNames(), c.args[0]) {
		return 0, nil
	}
	at := -1
	for i, word := range c.args {
		switch isChart := slices.Contains(chartNames(), word); {
		case exists(word):
		case isChart && at >= 0:
			return -1, fmt.Errorf("%s and %s: two charts; allowed: one, before the build file, as in `cagewise chart %s %s`", c.args[at], word, c.args[at], c.args[0])
		case isChart:
			at = i
		case !c.flags.Changed("kind") && meansChart(word):
			return -1, unknown("chart", word, chartNames())
		}
	}
	return at, nil
}

// meansChart tells whether a word that is no file is meant for a chart: it is
// near a chart's name or bears no ending, as files do.
func meansChart(word string) bool {
	isFile := filepath.Ext(word) != "" || strings.ContainsAny(word, `/\`)
	return !isFile || build.Nearest(word, chartNames()) != ""
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return !errors.Is(err, fs.ErrNotExist)
}

// checkFlags refuses a flag that only other charts take.
func (k *chartKind) checkFlags(flags *pflag.FlagSet) error {
	var err error
	flags.Visit(func(f *pflag.Flag) {
		if err != nil || slices.Contains(k.takes, f.Name) {
			return
		}
		var others []string
		for _, other := range chartKinds {
			if slices.Contains(other.takes, f.Name) {
				others = append(others, other.name)
			}
		}
		if len(others) > 0 {
			err = fmt.Errorf("--%s: the %s chart does not take it; allowed with: %s", f.Name, k.name, strings.Join(others, ", "))
		}
	})
	return err
}

// keepInputs refuses to draw over any of several build files.
func (c *call) keepInputs(path string) error {
	for _, in := range c.args {
		if sameFile(path, in) {
			return fmt.Errorf("--output: %s is a build file; name another file", path)
		}
	}
	return nil
}

func compareChart(c *call, f chartFlags) (input, plot.Picture, error) {
	for _, field := range build.Fields() {
		if field.Flag != "" && c.flags.Changed(field.Flag) {
			return input{}, nil, fmt.Errorf("--%s: the compare chart changes builds by --swap alone, such as --swap '%s=...'", field.Flag, field.Flag)
		}
	}
	in, r, err := f.compare.compare(c)
	if err != nil {
		return input{}, nil, err
	}
	return in, plot.Comparison{Compared: r.Comparison, Units: c.units}, nil
}

// gradesOfChart is the number of grades a climb is computed for: the most that
// road.NewClimb takes.
const gradesOfChart = 40

func climbChart(c *call, f chartFlags) (input, plot.Picture, error) {
	if err := f.checkHill(); err != nil {
		return input{}, nil, err
	}
	in, err := c.load()
	if err != nil {
		return input{}, nil, err
	}
	if err := f.hill.check(); err != nil {
		return input{}, nil, err
	}
	p, err := f.climb(c, in)
	return in, p, err
}

// climb draws a build on the grades of a chart.
func (f chartFlags) climb(c *call, in input) (plot.Picture, error) {
	var grades []float64
	for i := range gradesOfChart {
		share := float64(i) / (gradesOfChart - 1)
		grades = append(grades, *f.from+(*f.to-*f.from)*share)
	}
	r, err := f.hill.climbAt(in, grades)
	if err != nil {
		return nil, err
	}
	low, high := comfortable(in, r.LeastCadence)
	if low >= high {
		return nil, fmt.Errorf("--least-cadence: %v; allowed under the upper cadence, %v rpm, or with both ends given: %s", low, high, c.orFlag("rider.cadence", "cadence"))
	}
	p := plot.NewClimbChart(r.Climb, low, high)
	p.Name, p.Units = r.Build.heading(), c.units
	p.LeftOut = leftOut(r, *f.hill.gears)
	return p, nil
}

// leftOut are the lost gears that are as low as those drawn.
func leftOut(r climbReport, asked int) []gearing.GearID {
	if len(r.Gears) < asked {
		return r.Left
	}
	var list []gearing.GearID
	highest := r.Gears[len(r.Gears)-1]
	for _, g := range r.Left {
		if g.Ring*highest.Cog <= highest.Ring*g.Cog {
			list = append(list, g)
		}
	}
	return list
}

// comfortable is the rider's cadence band; without one it goes from the least
// cadence to the usual upper one.
func comfortable(in input, least float64) (low, high float64) {
	r := in.build.Build.Rider
	if len(defaultsOf(in.defaults, "rider.cadence")) > 0 {
		return least, gearing.DefaultCadenceHigh
	}
	return cmp.Or(r.CadenceLow, least), cmp.Or(r.CadenceHigh, gearing.DefaultCadenceHigh)
}

func (f chartFlags) checkHill() error {
	err := errors.Join(within("grade-from", leastGrade, mostGrade, "%", *f.from), within("grade-to", leastGrade, mostGrade, "%", *f.to))
	switch n := len(*f.hill.powers); {
	case err != nil:
		return err
	case *f.to-*f.from < leastSpan:
		return fmt.Errorf("--grade-to: %v; allowed: %v %% or more over --grade-from, %v", *f.to, leastSpan, *f.from)
	case n == 0 || n > mostPowers:
		return fmt.Errorf("--power: %d powers; allowed: 1 to %d", n, mostPowers)
	}
	return within("lowest", 1, plot.MostClimbGears, "gears in a chart", float64(*f.hill.gears))
}

func speedChart(c *call, f chartFlags) (input, plot.Picture, error) {
	if err := within("cruise", 3, 80, "km/h", *f.compare.cruise); err != nil {
		return input{}, nil, err
	}
	in, err := c.load()
	if err != nil {
		return input{}, nil, err
	}
	s, err := in.study()
	if err != nil {
		return input{}, nil, err
	}
	t := s.Table
	if len(t.Cadences) < 2 {
		return input{}, nil, fmt.Errorf("the speed chart needs a cadence band with two ends, not %v rpm alone: rider.cadence or --cadence", t.Cadences[0])
	}
	return in, plot.SpeedBands{Table: t, LostBy: lostBy(s), CruiseKmH: *f.compare.cruise, Name: summarise(in.build.Build).heading(), Units: c.units}, nil
}
