package main

import (
	"fmt"

	"cagewise/gearing"
	"cagewise/plot"
	writeup "cagewise/plot/report"
	"cagewise/sim"
	"cagewise/sim/road"
)

// plan is everything that was found about one build.
type plan struct {
	in    input
	study *sim.Study
	gears gearsReport
	// fit is nil, with the reason in fitMissing, where the chainstay is not
	// known.
	fit        *fitReport
	fitMissing string
	keep       stemCard
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
	if p.study, err = in.study(); err != nil {
		return p, err
	}
	if p.gears, err = newGearsReport(in); err != nil {
		return p, err
	}
	if p.study.Rated == nil {
		p.fitMissing = "needs the chainstay length: frame.chainstay, crank centre to rear axle centre in mm"
	} else {
		fit, err := newFitReport(in)
		if err != nil {
			return p, err
		}
		p.fit = &fit
	}
	p.keep = newStemCard(p.study)
	return p, f.ascend(c, &p)
}

// ascend finds what the lowest gears do on a hill, for a table and for a
// chart, whose grades lie closer.
func (f reportFlags) ascend(c *call, p *plan) error {
	var err error
	grades := *f.hill.grades
	if p.climb, err = f.hill.climbAt(p.in, grades); err != nil {
		return err
	}
	from, to := 0.0, 15.0
	for _, g := range grades {
		from, to = min(from, g), max(to, g)
	}
	if *f.hill.gears == 0 || *f.hill.gears > plot.MostClimbGears {
		return nil // more curves than can be told apart
	}
	p.hill, err = chartFlags{hill: f.hill, from: &from, to: &to}.climb(c, p.in)
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
	if p.climb.Danger == "" {
		return nil
	}
	return []string{p.climb.Danger}
}

func (p *plan) verdict() writeup.Verdict {
	if p.fit == nil {
		return writeup.Verdict{Word: verdictWord(&p.study.Advice), Sentence: "Only the gears are known. Whether the derailleur carries them " + p.fitMissing + "."}
	}
	v := writeup.Verdict{Word: verdictWord(&p.fit.Advice), Sentence: p.fit.sentence()}
	switch p.fit.Verdict {
	case gearing.Works:
		v.Tone = writeup.Good
	case gearing.LikelyDoesNot, gearing.DoesNotWork:
		v.Tone = writeup.Bad
	}
	return v
}

// views are the side views of all gears with their figures.
func (p *plan) views() *writeup.Views {
	if p.study.Answer == nil {
		return nil
	}
	a := p.study.Answer
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
	side, err := plot.NewSideView(p.study, i)
	return side, err == nil
}

// figures are what the page says beside a gear's side view.
func (p *plan) figures(i int) []writeup.Figure {
	a := p.study.Answer
	g, m, k, t := &a.Fit.Gears[i], &a.Margins[i], &a.Gears[i], p.gears.Table.Gears[i]
	state := stateWords(k)
	if !g.State.Runs() {
		state += ": " + g.Reason()
	}
	list := []writeup.Figure{
		{Name: "state", Text: state}, {Name: "chance of danger", Text: chanceWords(k.Danger.Any)}, {Name: "chance of slack", Text: chanceWords(k.Slack)},
		{Name: "development", Text: developmentWords(p.in.units, t.Development)},
	}
	if g.NoPath {
		return list
	}
	if k.Left != "" {
		list = append(list, writeup.Figure{Name: "chain leaves", Text: "the " + k.Left})
	}
	with := func(value, err float64, unit string) string {
		return num(value, 1) + " +- " + plusMinus(err) + " " + unit
	}
	return append(list,
		writeup.Figure{Name: "reserve forward", Text: with(float64(g.Forward), float64(m.Forward), "pitches")},
		writeup.Figure{Name: "reserve rearward", Text: with(float64(g.Rearward), float64(m.Rearward), "pitches")},
		writeup.Figure{Name: "pulley gap", Text: with(float64(g.Gap), float64(m.Gap), "mm")},
		writeup.Figure{Name: "engaged on the ring", Text: num(g.OnRing.Teeth, 1) + " teeth"},
		writeup.Figure{Name: "engaged on the cog", Text: num(g.OnCog.Teeth, 1) + " teeth"},
		writeup.Figure{Name: "lower-run tension", Text: num(g.LowerTension, 0) + " N"},
		writeup.Figure{Name: "over the ground", Text: num(float64(g.GroundRoom), 0) + " mm"},
	)
}
