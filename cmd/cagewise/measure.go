package main

import (
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"cagewise/gearing"
	"cagewise/gearing/build"
	"cagewise/sim"
)

func measureCommand() command {
	return command{
		name: "measure", args: "BUILD READINGS [flags]", summary: "fit the derailleur's geometry to readings on the built bike",
		about: "READINGS is a TOML file with one [[reading]] table for each gear looked at: gear = \"46x36\", pitches of the chain on the bike, and what was read: cage_angle (degrees, guide to tension pulley, 0 straight ahead, -90 straight down), guide and tension ([ahead, above] of the axle in mm), gap in mm. Two gears or more, the outermost first. The cage's two stops can be read too, each alone: push the cage to its end by hand and write a [[reading]] with stop = \"rear\" or \"forward\" and its cage_angle. The result is the geometry block for the build file, and what the readings do to the chance that the build works; --save writes a whole new build file with it and never touches the old one. Exit status 1 when the readings contradict each other.",
		examples: []example{
			{"measure examples/gravel.toml examples/gravel-readings.toml --save measured.toml", "the geometry from readings, and a build file with it"},
		},
		define: func(flags *pflag.FlagSet) func(*call) (int, error) {
			out := addTextFlags(flags, "text, json, csv or markdown")
			save := flags.String("save", "", "write a new build file with the fitted geometry")
			return func(c *call) (int, error) { return c.measure(out, *save) }
		},
	}
}

// measureReport is what `cagewise measure` says.
type measureReport struct {
	Build buildSummary `json:"build"`
	sim.Fitted
	// Block is the geometry as lines for a build file.
	Block string `json:"block"`
	// Agree is false when the readings contradict each other; nothing is
	// saved then.
	Agree bool `json:"readings_agree"`
	// Stops are those that were read, ToRead those that nobody knows yet.
	Stops  []stopReading `json:"stops_read"`
	ToRead []string      `json:"stops_to_read"`
	// Before and After are the judgement of the build without and with the
	// readings; no After where they contradict each other.
	Before   sim.Advice  `json:"advice_before"`
	After    *sim.Advice `json:"advice_after,omitempty"`
	Cautions []string    `json:"cautions"`

	units gearing.Units // of what people read
}

// stopReading is a stop of the cage as read.
type stopReading struct {
	Stop  string          `json:"stop"`
	Angle gearing.Degrees `json:"cage_angle_deg"`
	Error float64         `json:"error_deg"`
}

func (c *call) measure(out outputFlags, save string) (int, error) {
	if len(c.args) != 2 {
		return 0, errors.New("measure needs a build file and a readings file: cagewise measure BUILD READINGS")
	}
	file := c.args[1]
	readings, err := build.LoadReadings(file)
	if err != nil {
		return 0, err
	}
	c.args = c.args[:1]
	in, err := c.load()
	if err != nil {
		return 0, err
	}
	if err := gearsKnown(file, readings, in.build.Build); err != nil {
		return 0, err
	}
	if low, high, small := smallGaps(readings); small {
		fmt.Fprintf(c.err, "cagewise: warning: %s: gaps of %s to %s mm; ten times that is usual: read in cm?\n", file, num(low, -1), num(high, -1))
	}
	study, err := in.study()
	if err != nil {
		return 0, err
	}
	fitted, err := sim.FitReadingsLike(study.Rig, in.build.Build, toSim(readings, in.build.Build.Chain.Pitches))
	switch {
	case errors.Is(err, sim.ErrNoGeometry):
		return 0, fmt.Errorf("measure needs a geometry to start from: the distance between the two pulley bolts, rear_derailleur.pulley_centres in %s", in.path)
	case errors.Is(err, gearing.ErrNoChainstay):
		return 0, fmt.Errorf("measure needs the chainstay length for readings in gears: frame.chainstay in %s, crank centre to rear axle centre in mm", in.path)
	case err != nil:
		return 0, fmt.Errorf("%s: %w", file, err)
	}
	b := in.build.Build
	b.Rear = fitted.Rear
	r := measureReport{
		Build: summarise(b), Fitted: fitted, Block: block(b), Stops: stopsRead(readings),
		Before: study.Advice, Cautions: cautions, units: c.units,
	}
	r.ToRead = r.Build.unknownStops()
	if r.Agree = r.Chance >= sim.LeastChance && r.allowed() == nil; r.Agree {
		if r.After, err = in.withReadings(b); err != nil {
			return 0, err
		}
	}
	if save != "" && filepath.Clean(save) == filepath.Clean(*out.path) {
		return 0, fmt.Errorf("--save: %s is what --output names; name another file", save)
	}
	data, err := c.render(out, r)
	if err != nil {
		return 0, err
	}
	// Saved first, so that nothing is told of a file that could not be written.
	status, err := r.save(save, build.Format(b))
	if err != nil {
		return 0, err
	}
	return status, c.deliver(*out.path, in.path, data)
}

// withReadings is the judgement of the build with the fitted geometry.
func (in input) withReadings(b gearing.Build) (*sim.Advice, error) {
	in.build.Build, in.path = b, "the build with the fitted geometry"
	in.made = &made{saw: in.made.saw}
	s, err := in.study()
	if err != nil {
		return nil, err
	}
	return &s.Advice, nil
}

func stopsRead(list []build.Reading) []stopReading {
	read := []stopReading{}
	for _, r := range list {
		if r.Stop != "" {
			read = append(read, stopReading{r.Stop, r.CageAngle, sim.AngleError})
		}
	}
	return read
}

// unknownStops are the stops of the cage that nobody has read.
func (s buildSummary) unknownStops() []string {
	list := []string{}
	if !s.rearStop {
		list = append(list, build.RearStop)
	}
	if !s.forwardStop {
		list = append(list, build.ForwardStop)
	}
	return list
}

// smallGaps are the least and the greatest of two gaps or more, and whether all
// are too small to be usual: a pulley under 1 mm from a cog runs into it.
func smallGaps(list []build.Reading) (low, high float64, small bool) {
	n := 0
	low = math.Inf(1)
	for _, r := range list {
		if gap := float64(r.Gap); gap > 0 {
			n++
			low, high = min(low, gap), max(high, gap)
		}
	}
	return low, high, n > 1 && low < 1 && high < 3
}

// save writes the new build file, unless the readings contradict each other.
func (r measureReport) save(path string, data []byte) (int, error) {
	switch {
	case !r.Agree:
		return exitVerdict, nil
	case path == "":
		return exitFine, nil
	}
	if err := createFile(path, data); err != nil {
		return 0, fmt.Errorf("--save: %w", err)
	}
	return exitFine, nil
}

// allowed tells what a build file would say of the fitted geometry.
func (r measureReport) allowed() error {
	draft, err := build.Parse("fitted geometry", []byte(r.Block))
	if err != nil {
		return err
	}
	_, err = draft.Part()
	return err
}

func simStop(stop string) sim.Stop {
	switch stop {
	case build.RearStop:
		return sim.RearStop
	case build.ForwardStop:
		return sim.ForwardStop
	}
	return sim.NoStop
}

func toSim(list []build.Reading, pitches int) []sim.Reading {
	readings := make([]sim.Reading, len(list))
	for i, rd := range list {
		readings[i] = sim.Reading{
			GearID: rd.GearID, Stop: simStop(rd.Stop), Pitches: rd.Pitches, CageAngle: rd.CageAngle, Gap: rd.Gap,
			Guide:   sim.Point{X: rd.Guide[0], Y: rd.Guide[1]},
			Tension: sim.Point{X: rd.Tension[0], Y: rd.Tension[1]},
		}
		if rd.Pitches == 0 {
			readings[i].Pitches = pitches
		}
	}
	return readings
}

// block is the derailleur's part of a build file.
func block(b gearing.Build) string {
	return string(build.Format(gearing.Build{
		Frame: gearing.Frame{BottomBracketDrop: 70},
		Wheel: gearing.Wheel{BeadSeat: 622, Section: 37, LoadAllowance: 1},
		Rider: gearing.Rider{CadenceLow: gearing.DefaultCadenceLow, CadenceHigh: gearing.DefaultCadenceHigh},
		Rear:  b.Rear,
	}))
}

func (r measureReport) titleText() string { return r.Build.heading() }

func (r measureReport) csvTable() *table { return r.parameterTable() }

func (r measureReport) write(p *page) {
	p.section("Geometry fitted to the readings")
	r.writeGeometry(p)
	if len(r.Residuals) > 0 {
		p.section("Readings against the fitted geometry")
		p.grid(r.residualTable())
		p.para("%s", r.agreement())
	}
	if r.After != nil {
		r.writeChances(p)
	}
	if r.Agree {
		p.section("For the build file")
		p.literal(r.Block)
	}
	p.section("Caution")
	for _, c := range r.Cautions {
		p.item("", "%s", c)
	}
}

func (r measureReport) writeGeometry(p *page) {
	for _, s := range r.Stops {
		p.item("", "The %s cage stop was read at %s degrees and counts as known to +- %s.", s.Stop, num(float64(s.Angle), -1), num(s.Error, 0))
	}
	if len(r.Parameters) == 0 {
		p.item("", "No gear was read: pivots and cage stay as they were known.")
		return
	}
	p.grid(r.parameterTable())
	p.para("Errors are standard errors. The B-screw is taken as it stood when you read; target_gap keeps the gap it left on the smallest ring and largest cog.")
}

// writeChances tell how the judgement moves with the readings, and what to read
// next.
func (r measureReport) writeChances(p *page) {
	p.section("What the readings change")
	p.item("was", "%s (%s). %s", verdictWord(&r.Before), r.Before.Knowledge, sentences(verdictSentence(&r.Before), dangerSentence(&r.Before)))
	p.item("now", "%s (%s). %s", verdictWord(r.After), r.After.Knowledge, adviceWords(r.After, r.units))
	next := nextWords(r.After)
	if next == "" && len(r.ToRead) == 0 {
		return
	}
	p.section("What to read next")
	if next != "" {
		p.item("", "%s", next)
	}
	if len(r.ToRead) > 0 {
		p.item("", "%s", askStops(r.ToRead))
	}
}

// askStops say how to read the stops that nobody knows.
func askStops(list []string) string {
	which, tables := "The "+list[0]+" cage stop is", `a [[reading]] with stop = "`+list[0]+`" and the angle as cage_angle`
	if len(list) > 1 {
		which, tables = "Both cage stops are", `a [[reading]] for each, with stop = "rear" or "forward" and the angle as cage_angle`
	}
	return which + " not known, only assumed with a wide error. Push the cage to its end by hand, read the direction from guide to tension pulley (degrees, counter-clockwise from straight ahead) and add it to the readings: " + tables + "."
}

// agreement tells whether the readings fit together.
func (r measureReport) agreement() string {
	n := len(r.Residuals)
	s := fmt.Sprintf("Sum of squares %s for %s, what is moved from before included.", num(r.ChiSquare, 1), plural(n, "figure"))
	if err := r.allowed(); err != nil {
		return s + " No derailleur is shaped like that (" + strings.TrimPrefix(err.Error(), "fitted geometry:") + "): read again, and mind the signs: ahead of and above the axle are positive, so pulleys hang at negative heights. Nothing was saved."
	}
	switch {
	case !r.Agree:
		return s + " That is far too much: " + r.culprit() + "readings contradict each other, were taken with another chain or in cm, or a sign is wrong (ahead of and above the axle are positive). Read again. Nothing was saved."
	case n < 4:
		return s + " Too few to check each other: read more gears."
	}
	return s + " The readings agree with each other."
}

// culprit names the measure that the readings move beyond belief, if one is.
func (r measureReport) culprit() string {
	for _, p := range r.Parameters {
		if p.Moved() > 3 {
			return fmt.Sprintf("they move the %s by %s mm, which was known to +- %s mm; ", p.Input, signed(p.Value-p.Start, 1), num(p.Before, 1))
		}
	}
	return ""
}

func (r measureReport) parameterTable() *table {
	t := &table{cols: []column{
		{key: "input", head: "measure", left: true},
		{key: "start_mm", head: "before", unit: "mm"}, {key: "error_before_mm", head: "+-", unit: "mm"},
		{key: "value_mm", head: "fitted", unit: "mm"}, {key: "error_after_mm", head: "+-", unit: "mm"},
	}}
	for _, p := range r.Parameters {
		t.add(p.Input.String(), num(p.Start, 1), num(p.Before, 1), num(p.Value, 1), num(p.After, 1))
	}
	return t
}

func (r measureReport) residualTable() *table {
	t := &table{lead: 2, cols: []column{
		{head: "gear", left: true}, {head: "reading", left: true}, {head: "read"}, {head: "fitted"}, {head: "off by"}, {head: "+-"}, {head: "unit", left: true},
	}}
	for _, x := range r.Residuals {
		t.add(x.GearID.String(), x.What, num(x.Read, 1), num(x.Model, 1), signed(x.Read-x.Model, 1), num(x.Error, 1), x.Unit)
	}
	return t
}
