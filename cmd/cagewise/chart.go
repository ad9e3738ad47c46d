package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"cagewise/gearing/build"
	"cagewise/plot"
	"cagewise/sim"
)

// Formats of pictures.
const (
	formatSVG = "svg"
	formatPNG = "png"
)

var (
	pictureFormats = []string{formatSVG, formatPNG}
	pictureEndings = map[string]string{".svg": formatSVG, ".png": formatPNG}
	themes         = []string{"light", "dark", "print"}
)

// pictureFlags are the flags of every command that draws.
type pictureFlags struct {
	out           outputFlags
	width, height *float64
	dpi           *int
	theme, title  *string
}

func addPictureFlags(flags *pflag.FlagSet) pictureFlags {
	return pictureFlags{
		out:    addOutputFlags(flags, "svg or png"),
		width:  flags.Float64("width", 0, "width of the page in mm, 60 to 1000; default: the chart's own"),
		height: flags.Float64("height", 0, "height of the page in mm, 60 to 1000; default: the chart's own"),
		dpi:    flags.Int("dpi", plot.DefaultDPI, "resolution of a PNG in dots an inch, 36 to 600"),
		title:  flags.String("title", "", "heading of the picture; default: the build's name"),
		theme:  flags.String("theme", "light", "light, dark or print (black and greys)"),
	}
}

// chartKind is one chart the command can draw.
type chartKind struct {
	name, about string
	takes       []string // the flags that only some charts take
	make        func(*call, chartFlags) (input, plot.Picture, error)
}

var chartKinds = []chartKind{
	{"ladder", "the gear ladder: every gear's development, ring by ring", []string{"units"}, ofBuild(ladderChart)},
	{"side", "one gear to scale from the drive side (--gear 46x36)", []string{"gear"}, ofBuild(sideChart)},
	{"sheet", "every gear's cage on one sheet", nil, ofBuild(sheetChart)},
	{"window", "which chain lengths each gear runs with", nil, ofBuild(windowChart)},
	{"map", "one figure for every ring and cog (--figure gap)", []string{"figure"}, ofBuild(mapChart)},
	{"compare", "builds side by side, several files or one and its --swap", compareTakes, compareChart},
	{"climb", "cadence over the grade in the lowest gears (--grade-to 15 --power 130,220)", climbTakes, climbChart},
	{"speed", "the speeds of each gear over the cadence band (--cruise 25)", speedTakes, speedChart},
	{"wear", "how a chain wears and when it reaches its limits, from a wear log (--part chain-1)", wearTakes, wearChart},
	{"choice", "what a search of a parts bin finds, BUILD BIN and the wishes of `cagewise search`", choiceTakes, choiceChart},
}

// ofBuild makes a chart of the one build among arguments and flags.
func ofBuild(draw func(input, chartOptions) (plot.Picture, error)) func(*call, chartFlags) (input, plot.Picture, error) {
	return func(c *call, f chartFlags) (input, plot.Picture, error) {
		in, err := c.load()
		if err != nil {
			return input{}, nil, err
		}
		p, err := draw(in, chartOptions{*f.gear, *f.figure})
		return in, p, err
	}
}

func chartNames() []string {
	list := make([]string, len(chartKinds))
	for i, k := range chartKinds {
		list[i] = k.name
	}
	return list
}

func chartCommand() command {
	return command{
		name: "chart", args: "[CHART] [BUILD FILE ...] [flags]", summary: "draw a build as SVG or PNG",
		about: chartAbout(),
		examples: []example{
			{"chart tour.toml -o ladder.svg", "the gear ladder"},
			{"chart speed tour.toml --cruise 28 -o speed.png", "the speeds of each gear, as PNG"},
			{"chart side tour.toml --pulley-centres 76 --gear 46x36 -o side.svg", "one gear to scale"},
			{"chart wear examples/cargo-wear.toml -o wear.svg", "how a chain wears"},
		},
		define: func(flags *pflag.FlagSet) func(*call) (int, error) {
			f := addPictureFlags(flags)
			kind := flags.String("kind", "ladder", "which chart, where the first word does not say")
			charts := addChartFlags(flags)
			buildFlags(flags)
			return func(c *call) (int, error) { return exitFine, c.chart(f, *kind, charts) }
		},
	}
}

func chartAbout() string {
	s := "Charts:"
	for i, k := range chartKinds {
		if i > 0 {
			s += ";"
		}
		s += " " + k.name + ", " + k.about
	}
	return s + ". The chart stands before the build file, as in `cagewise chart speed my.toml`, after it, or in --kind. Without --output the picture goes to standard output, as SVG unless --format says png."
}

func (c *call) chart(f pictureFlags, name string, o chartFlags) error {
	kind, err := c.chartKind(name)
	if err != nil {
		return err
	}
	if err := kind.checkFlags(c.flags); err != nil {
		return err
	}
	in, p, err := kind.make(c, o)
	if err != nil {
		return err
	}
	if err := c.keepInputs(*f.out.path); err != nil {
		return err
	}
	return c.draw(f, in, p)
}

// draw writes a picture in the chosen format to the chosen place.
func (c *call) draw(f pictureFlags, in input, p plot.Picture) error {
	format, err := f.format(c.isTTY)
	if err != nil {
		return err
	}
	write := plot.WriteSVG
	if format == formatPNG {
		write = plot.WritePNG
	}
	var out bytes.Buffer
	if err := f.paint(write, &out, p); err != nil {
		return err
	}
	if format == formatSVG && c.flags.Changed("dpi") {
		fmt.Fprintln(c.err, "cagewise: warning: --dpi says nothing about an SVG, which is sharp at any size")
	}
	return c.deliver(*f.out.path, in.path, out.Bytes())
}

func (f pictureFlags) paint(write func(io.Writer, plot.Picture, plot.Options) error, w io.Writer, p plot.Picture) error {
	o := plot.Options{WidthMM: *f.width, HeightMM: *f.height, DPI: *f.dpi, Theme: *f.theme, Title: *f.title}
	if err := checkTitle(o.Title); err != nil {
		return err
	}
	if err := sizeWithin("width", o.WidthMM); err != nil {
		return err
	}
	if err := sizeWithin("height", o.HeightMM); err != nil {
		return err
	}
	if err := within("dpi", plot.MinDPI, plot.MaxDPI, "dots an inch", float64(o.DPI)); err != nil {
		return err
	}
	if _, err := plot.ThemeByName(o.Theme); err != nil {
		return fmt.Errorf("--theme: %w", unknown("theme", o.Theme, themes))
	}
	return write(w, p, o)
}

// checkTitle holds a heading to what a build's name may be.
func checkTitle(title string) error {
	name, err := build.Find("name")
	if err != nil {
		return err
	}
	if err := new(build.Draft).SetFlag(name, title); err != nil {
		return fmt.Errorf("--title: %s", strings.TrimPrefix(err.Error(), "--name: "))
	}
	return nil
}

// sizeWithin lets 0 through: the chart's own size.
func sizeWithin(flag string, mm float64) error {
	if mm == 0 {
		return nil
	}
	return within(flag, plot.MinSizeMM, plot.MaxSizeMM, "mm", mm)
}

// format is chosen by flag or ending; a PNG on a terminal is refused.
func (f pictureFlags) format(isTTY bool) (string, error) {
	format, err := f.out.choose(pictureFormats, pictureEndings, formatSVG)
	if err != nil {
		return "", err
	}
	if format == formatPNG && *f.out.path == "" && isTTY {
		return "", errors.New("a PNG is no text for a terminal; name a file with --output")
	}
	return format, nil
}

func ladderChart(in input, _ chartOptions) (plot.Picture, error) {
	s, err := in.study()
	if err != nil {
		return nil, err
	}
	return ladderOf(in, s), nil
}

// ladderOf is the ladder of a study.
func ladderOf(in input, s *sim.Study) plot.Picture {
	return plot.Ladder{Table: s.Table, LostBy: s.LostBy, Advice: &s.Advice, Name: summarise(s.Build).heading(), Units: in.units}
}
