package main

import (
	"fmt"
	"strings"

	"cagewise/sim/wear"
)

// Of a long list of readings the latest are printed; json and csv hold all.
const (
	mostReadings = 12
	mostReasons  = 6
)

func (r wearReport) writeChain(p *page, c chainReport) {
	if p.section("Chain " + c.ID); c.Part.RemovedKM >= 0 {
		p.para("Taken off at %s.", r.distance(c.Part.RemovedKM))
	}
	p.para("%s", c.nowWords(r))
	p.grid(c.readingsTable(r))
	if hidden := len(c.Readings) - mostReadings; hidden > 0 {
		p.para("%s before these; --format json or csv --rows readings lists all.", plural(hidden, "reading"))
	}
	c.writeReasons(p)
	c.writeContradictions(p)
	c.writeSetAside(p)
	c.writeForecast(p, r)
}

func (c chainReport) nowWords(r wearReport) string {
	text := c.stateWords(r) + " " + sentence(c.Start)
	if since := c.RunSince(r.KM); c.Forecast == nil && since >= 1 {
		text = fmt.Sprintf("Read %s ago%s, and no forecast says how it is now: ", r.distance(since), c.ofItsOwn()) + text
	}
	if c.RollerPlay > 0 {
		text += fmt.Sprintf(" Roller play is taken as %s +- %s mm.", num(float64(c.RollerPlay), 2), num(float64(c.RollerPlayError), 2))
	}
	return strings.TrimSpace(text + " " + sentence(c.Turns))
}

// ofItsOwn marks a distance as the chain's own, where it takes turns.
func (c chainReport) ofItsOwn() string {
	if !c.TakesTurns() {
		return ""
	}
	return " in its own distance"
}

// ofItsRate marks a rate as one over the chain's own distance.
func (c chainReport) ofItsRate() string {
	if !c.TakesTurns() {
		return ""
	}
	return " of its own"
}

// stateWords give the one figure that everything rests on, and what it is.
func (c chainReport) stateWords(r wearReport) string {
	now, at := withError(c.Now.Elongation, c.Now.Error), r.distance(c.Now.KM)
	common := num(float64(wear.CommonError), 2)
	switch f := c.Forecast; {
	case f != nil && f.SeenKM > f.NowKM:
		mean, low, high := f.At(f.SeenKM)
		return fmt.Sprintf("Forecast: about %s %% at %s, 90 %% between %s and %s %%; the last reading is %s old%s%s. There it was %s at %s by the curve through all its readings, +- one standard error.",
			num(float64(mean), 2), r.distance(f.SeenKM), num(float64(low), 2), num(float64(high), 2), r.distance(f.Since()), c.ofItsOwn(), beyondWords(f), now, at)
	case c.Fitted:
		return fmt.Sprintf("%s at %s: by the curve through all its readings, +- one standard error.", now, at)
	case c.Now.Bound:
		return fmt.Sprintf("Gauges alone were read at %s: the middle of what they leave is %s.", at, now)
	}
	return fmt.Sprintf("%s at %s: all its readings there together, +- one standard error, in it %s %% that more readings do not lessen.", now, at, common)
}

func beyondWords(f *wear.Forecast) string {
	if f.FarBeyond() {
		return ", far beyond the readings: read it again"
	}
	return ""
}

func (c chainReport) readingsTable(r wearReport) *table {
	t := &table{cols: []column{
		{head: "at", unit: r.unit()}, {head: "on", left: true}, {head: "method", left: true}, {head: "longer", unit: "%"}, {head: "+-", unit: "%"}, {head: "play taken off", unit: "mm"},
	}}
	for _, e := range c.Readings[max(0, len(c.Readings)-mostReadings):] {
		off := "-"
		if e.Play > 0 {
			off = num(float64(e.Play), 2)
		}
		value, err := elongationCells(e.Estimate)
		t.add(r.bare(e.KM), orNone(day(e.On)), string(e.Method), value, err, off)
	}
	return t
}

// elongationCells write a value with its error, or what a gauge leaves open.
func elongationCells(e wear.Estimate) (value, err string) {
	switch {
	case !e.Interval:
		return num(float64(e.Elongation), 2), num(float64(e.Error), 2)
	case e.High >= wear.MostElongation:
		return "over " + num(float64(e.Low), 2), "-"
	case e.Low <= wear.LeastElongation:
		return "under " + num(float64(e.High), 2), "-"
	}
	return num(float64(e.Low), 2) + " to " + num(float64(e.High), 2), "-"
}

// writeReasons tells how the latest readings come to their figures.
func (c chainReport) writeReasons(p *page) {
	for _, e := range c.Readings[max(0, len(c.Readings)-mostReasons):] {
		text := fmt.Sprintf("%s, line %d: %s", e.Method, e.Line, e.Explanation)
		if e.Note != "" {
			text += " (" + e.Note + ")"
		}
		p.item("", "%s.", text)
	}
}

func (c chainReport) writeContradictions(p *page) {
	for _, x := range c.Contradictions {
		lead := "Contradiction: "
		if x.Compatible {
			lead = "Only seemingly a contradiction: "
		}
		p.item("", "%s%s", lead, x.Words)
	}
	if c.MoreContradictions > 0 {
		p.item("", "%s more.", plural(c.MoreContradictions, "contradiction"))
	}
}

func (c chainReport) writeSetAside(p *page) {
	for i, s := range c.SetAside {
		if i == mostReasons {
			p.item("", "%s more set aside.", plural(len(c.SetAside)-i, "reading"))
			return
		}
		words := strings.TrimPrefix(s.Words, fmt.Sprintf("line %d: ", s.Line))
		p.item("", "Set aside, line %d: %s.", s.Line, strings.TrimSuffix(words, "."))
	}
}

func (c chainReport) writeForecast(p *page, r wearReport) {
	f := c.Forecast
	if f == nil {
		p.para("No forecast: %s.", c.NoForecast)
		return
	}
	p.gap()
	p.para("If it is ridden on as before:")
	p.grid(r.forecastTable(f))
	p.para("90 %%: nine chains in ten get there between earliest and latest. Passed: the chance that it is past the limit at %s. %s", r.distance(f.SeenKM), r.yearWords(f))
	p.para("It wears %s +- %s %% a 1000 %s%s at the last reading. Shape %s: %s.", perThousand(r.perUnit(float64(f.RatePer1000KM))), perThousand(r.perUnit(float64(f.RateError))), r.unit(), c.ofItsRate(), f.Shape, f.ShapeWords)
	p.para("%s", c.nextReading(f, r))
}
