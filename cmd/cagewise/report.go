package main

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	writeup "cagewise/plot/report"
)

const formatHTML = "html"

var (
	documentFormats = []string{formatHTML, formatMarkdown}
	documentEndings = map[string]string{".html": formatHTML, ".htm": formatHTML, ".md": formatMarkdown}
)

func reportCommand() command {
	return command{
		name: "report", args: "BUILD [BUILD ...] [flags]", summary: "the write-up: one page with every table and picture, to publish",
		about: "The page is one HTML file that needs no network, no font and no other file; on it a reader picks any gear and sees its cage. With --output page.md it is Markdown, its pictures beside it as page-side-46x36.svg and the like, or as PNG with --pictures png. " +
			"Several builds, or --swap, add a comparison; --log adds the wear and --ride the rides of the first build. What is not known is named where it is missing. Exit status 0 when the page was written, whatever it says.",
		examples: []example{
			{"report tour.toml -o tour.html", "one page about one build"},
			{"report examples/report-worn.toml --log examples/cargo-wear.toml -o worn.html", "with the wear of its chain"},
			{"report tour.toml --swap rings=40/28 -o swap.md", "with a swap beside it, as Markdown"},
		},
		define: func(flags *pflag.FlagSet) func(*call) (int, error) {
			f := addReportFlags(flags)
			return func(c *call) (int, error) { return exitFine, f.run(c) }
		},
	}
}

// reportFlags say what goes on the page.
type reportFlags struct {
	out        outputFlags
	title, log *string
	pictures   *string
	rides      *[]string
	at         *float64
	compare    compareFlags
	hill       hillFlags
	ride       rideFlags
}

// addReportFlags offers the flags of compare, climb, ride and wear that matter
// here; climb and ride share the rider.
func addReportFlags(flags *pflag.FlagSet) reportFlags {
	f := reportFlags{
		out:      addOutputFlags(flags, "html or markdown"),
		title:    flags.String("title", "", "heading of the page; default: the first build's name"),
		log:      flags.String("log", "", "wear log of the first build's bike"),
		pictures: flags.String("pictures", formatSVG, "the pictures beside Markdown: svg, or png for forums that take no SVG"),
		rides:    flags.StringArray("ride", nil, "recorded ride on the first build; may be given again"),
		at:       flags.Float64("at", 0, "odometer now, in the log's distance_unit; default: the last one in the log"),
	}
	addUnitsFlag(flags)
	f.compare = addCompareFlags(flags)
	hill, ride := pflag.NewFlagSet("hill", pflag.ContinueOnError), pflag.NewFlagSet("ride", pflag.ContinueOnError)
	f.hill, f.ride = addHillFlags(hill), addRideFlags(ride)
	f.ride.mass, f.ride.cda, f.ride.crr, f.ride.density, f.ride.efficiency = f.hill.mass, f.hill.cda, f.hill.crr, f.hill.density, f.hill.efficiency
	for _, set := range []*pflag.FlagSet{hill, ride} {
		set.VisitAll(func(flag *pflag.Flag) {
			if flags.Lookup(flag.Name) == nil {
				flags.AddFlag(flag)
			}
		})
	}
	return f
}

func (f reportFlags) check(c *call) error {
	if len(c.args) == 0 {
		return errors.New("report needs a build file, such as `cagewise report tour.toml -o tour.html`; `cagewise new` writes one")
	}
	for i, path := range c.args {
		if slices.Contains(c.args[:i], path) {
			return fmt.Errorf("%s: given twice; each build counts once", path)
		}
	}
	if c.flags.Changed("at") && *f.log == "" {
		return errors.New("--at says nothing without --log")
	}
	if err := guardInputs(f.out, slices.Concat(c.args, []string{*f.log}, *f.rides)); err != nil {
		return err
	}
	return errors.Join(within("at", 0, 1e6, "in the log's distance_unit", *f.at), f.ride.check(), f.hill.check(), twice("ride", *f.rides))
}

func (f reportFlags) run(c *call) error {
	if err := f.check(c); err != nil {
		return err
	}
	format, err := f.format(c.isTTY, c.flags.Changed("pictures"))
	if err != nil {
		return err
	}
	warnOfFractions(c.err, "grade", *f.hill.grades)
	d, err := f.document(c)
	if err != nil {
		return err
	}
	if format == formatMarkdown {
		return f.markdown(c, d)
	}
	var out bytes.Buffer
	if err := writeup.WriteHTML(&out, d); err != nil {
		return err
	}
	return c.deliver(*f.out.path, "", out.Bytes())
}

func (f reportFlags) format(isTTY, picturesAsked bool) (string, error) {
	format, err := f.out.choose(documentFormats, documentEndings, formatHTML)
	switch {
	case err != nil:
		return "", err
	case !slices.Contains(pictureFormats, *f.pictures):
		return "", fmt.Errorf("--pictures: %w", unknown("format", *f.pictures, pictureFormats))
	case format != formatMarkdown && picturesAsked:
		return "", errors.New("--pictures: a page as HTML has its pictures in it; the flag goes with Markdown, such as --output page.md")
	case *f.out.path == "" && format == formatMarkdown:
		return "", errors.New("--format: markdown needs --output, as its pictures are files beside it")
	case *f.out.path == "" && isTTY:
		return "", errors.New("a page is no text for a terminal; name a file with --output")
	}
	return format, nil
}

// markdown writes the text and its pictures, all or none.
func (f reportFlags) markdown(c *call, d writeup.Document) error {
	dir, name := filepath.Split(*f.out.path)
	if special(*f.out.path) {
		return fmt.Errorf("--output: %s is no file; the pictures of a Markdown report stand beside it, so name one", *f.out.path)
	}
	files, err := writeup.Markdown(d, strings.TrimSuffix(name, filepath.Ext(name)), writeup.MarkdownOptions{PNG: *f.pictures == formatPNG})
	if err != nil {
		return err
	}
	files[0].Name = name
	inputs := slices.Concat(c.args, []string{*f.log}, *f.rides)
	for i := range files {
		files[i].Name = filepath.Join(dir, files[i].Name)
		if slices.ContainsFunc(inputs, func(in string) bool { return sameFile(files[i].Name, in) }) {
			return fmt.Errorf("--output: %s is read by this command; name another file", files[i].Name)
		}
	}
	if err := writeFiles(files); err != nil {
		return fmt.Errorf("--output: %w", err)
	}
	return nil
}
