package main

import (
	"fmt"
	"math"
	"strings"

	"cagewise/gearing"
	"cagewise/plot"
	writeup "cagewise/plot/report"
	"cagewise/sim"
	"cagewise/sim/road"
)

// plan is everything that was found about one build.
type plan struct {
	in    input
	gears gearsReport
	// fit is nil, with the reason in fitMissing, where the chainstay is not
	// known; rig is nil where there is no simulation.
	fit        *fitReport
	fitMissing string
	rig        *sim.Rig
	keep       keepOut
	climb      climbReport
	hill       plot.Picture
	usage      *road.Usage // of the rides; nil: none was given
	logPath    string
}

func (f reportFlags) plan(c *call, path string) (plan, error) {
	in, err := c.loadBuild(path)
	if err != nil {
		return plan{}, err
	}
	p := plan{in: in, logPath: *f.log}
	if p.gears, err = newGearsReport(in, gearing.TableOptions{}); err != nil {
		return p, err
	}
	if err := p.judge(); err != nil {
		return p, err
	}
	if p.keep, err = newKeepOut(in.build.Build, p.gears.Table, p.fit, p.rig); err != nil {
		return p, err
	}
	return p, f.ascend(c, path, &p)
}

// judge finds the fit; only a chainstay that is not known is no error.
func (p *plan) judge() error {
	b := p.in.build.Build
	if b.Frame.Chainstay == 0 {
		p.fitMissing = "needs the chainstay length: frame.chainstay, crank centre to rear axle centre in mm"
		return nil
	}
	fit, err := newFitReport(p.in)
	if err != nil {
		return err
	}
	if p.fit = &fit; fit.Simulation != nil {
		p.rig, err = sim.NewRig(b)
	}
	return err
}

// ascend finds what the lowest gears do on a hill, for a table and for a
// chart, whose grades lie closer.
func (f reportFlags) ascend(c *call, path string, p *plan) error {
	named, grades, least := *c, *f.hill.grades, *f.hill.least
	named.args = []string{path}
	restore := func() { *f.hill.grades, *f.hill.least = grades, least }
	defer restore()
	var err error
	if _, p.climb, err = f.hill.climb(&named); err != nil {
		return err
	}
	restore()
	from, to := 0.0, 15.0
	for _, g := range grades {
		from, to = min(from, g), max(to, g)
	}
	if *f.hill.gears == 0 || *f.hill.gears > plot.MostClimbGears {
		return nil // more curves than can be told apart
	}
	_, p.hill, err = climbChart(&named, chartFlags{hill: f.hill, from: &from, to: &to})
	return err
}

// label tells builds apart where there are several.
func (p *plan) label(i, n int) string {
	if n == 1 {
		return drivetrain(p.in.build.Build)
	}
	return fmt.Sprintf("%d %s", i+1, p.gears.Build.heading())
}

// stem names the files of a build's pictures.
func stem(name string, i, n int) string {
	if n == 1 {
		return name
	}
	return fmt.Sprintf("%d-%s", i+1, name)
}

// cautions are the warnings of one build alone.
func (p *plan) cautions() []string {
	var list []string
	if p.climb.danger != "" {
		list = append(list, p.climb.danger)
	}
	return list
}

func (p *plan) verdict() writeup.Verdict {
	if p.fit == nil {
		return writeup.Verdict{Word: strings.ToUpper(gearing.CannotTell.String()), Sentence: "Only the gears are known. Whether the derailleur carries them " + p.fitMissing + "."}
	}
	v := writeup.Verdict{Word: strings.ToUpper(p.fit.Verdict.String()), Sentence: p.fit.sentence()}
	switch {
	case p.fit.Verdict.Fails():
		v.Tone = writeup.Bad
	case p.fit.Verdict == gearing.Works:
		v.Tone = writeup.Good
	}
	return v
}

// views are the side views of all gears with their figures.
func (p *plan) views() *writeup.Views {
	if p.rig == nil {
		return nil
	}
	a := p.fit.Simulation
	v := &writeup.Views{}
	for i := range a.Fit.Gears {
		side, ok := p.view(i)
		if !ok {
			return nil
		}
		v.Gears = append(v.Gears, writeup.View{SideView: side, Figures: p.figures(i)})
	}
	return v
}

func (p *plan) view(i int) (plot.SideView, bool) {
	a := p.fit.Simulation
	side, err := plot.NewSideView(p.rig, a.Fit, i)
	if err != nil {
		return side, false
	}
	if i < len(a.Margins) {
		side.Margin = &a.Margins[i]
	}
	return side, true
}

// figures are what the page says beside a gear's side view.
func (p *plan) figures(i int) []writeup.Figure {
	a := p.fit.Simulation
	g, t := &a.Fit.Gears[i], p.gears.Table.Gears[i]
	state := g.State.String()
	if !g.State.Runs() {
		state += ": " + g.Reason()
	}
	list := []writeup.Figure{{Name: "state", Text: state}, {Name: "development", Text: developmentWords(p.in.units, t.Development)}}
	if g.NoPath {
		return list
	}
	with := func(value, err float64, decimals int, unit string) string {
		if i >= len(a.Margins) || math.IsNaN(err) {
			return num(value, decimals) + " " + unit
		}
		return num(value, decimals) + " +- " + plusMinus(err) + " " + unit
	}
	var m sim.GearMargin
	if i < len(a.Margins) {
		m = a.Margins[i]
	}
	return append(list,
		writeup.Figure{Name: "reserve forward", Text: with(float64(g.Forward), float64(m.Forward), 1, "pitches")},
		writeup.Figure{Name: "reserve rearward", Text: with(float64(g.Rearward), float64(m.Rearward), 1, "pitches")},
		writeup.Figure{Name: "pulley gap", Text: with(float64(g.Gap), float64(m.Gap), 1, "mm")},
		writeup.Figure{Name: "engaged on the ring", Text: num(g.OnRing.Teeth, 1) + " teeth"},
		writeup.Figure{Name: "engaged on the cog", Text: num(g.OnCog.Teeth, 1) + " teeth"},
		writeup.Figure{Name: "lower-run tension", Text: num(g.LowerTension, 0) + " N"},
		writeup.Figure{Name: "over the ground", Text: num(float64(g.GroundRoom), 0) + " mm"},
	)
}
