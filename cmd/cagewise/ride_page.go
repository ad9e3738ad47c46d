package main

import (
	"fmt"
	"math"
	"slices"

	"cagewise/gearing"
	"cagewise/sim/road"
)

func (r rideReport) titleText() string { return r.Build.heading() }

func (r rideReport) write(p *page) {
	r.list(p, "Look here first", r.firstWords())
	p.section("Rides")
	p.grid(r.ridesTable(p.units))
	p.para("%s", r.wayWords())
	p.section("Gears")
	p.grid(r.gearsTable(p.units))
	p.section("Cogs")
	p.grid(r.cogsTable(p.units))
	p.para("without: the step that its neighbours would leave. teeth: share of the wear of teeth, work over teeth of the cog.")
	if len(r.All.Rings) > 1 {
		p.section("Rings")
		p.grid(r.ringsTable(p.units))
	}
	r.list(p, "In words", r.words(p.units))
	r.list(p, "Caution", r.cautionWords())
}

// list writes a section of sentences, if there are any.
func (r rideReport) list(p *page, head string, sentences []string) {
	if len(sentences) == 0 {
		return
	}
	p.section(head)
	for _, s := range sentences {
		p.item("", "%s", s)
	}
}

func (r rideReport) ridesTable(u gearing.Units) *table {
	t := &table{cols: []column{
		{head: "ride", left: true}, {head: "time", unit: "h:mm:ss"}, {head: "way", unit: u.DistanceUnit()}, {head: "pedalled", unit: "%"}, {head: "freewheel", unit: "%"},
		{head: "stopped", unit: "%"}, {head: "unknown", unit: "%"}, {head: "wheel", unit: "%"}, {head: "rear", unit: "shifts"}, {head: "front", unit: "shifts"}, {head: "slant", unit: "deg"},
	}}
	for _, ride := range r.Rides {
		t.add(rideRow(u, r.names[ride.Name], ride.Use, ride.Times, wheelCell(ride.Wheel))...)
	}
	if len(r.Rides) > 1 {
		t.breakHere()
		t.add(rideRow(u, "all", r.All, r.GearedTimes(), "")...)
	}
	return t
}

// rideRow is a row with shares of some times, which may not be all of the use.
func rideRow(units gearing.Units, name string, u road.Use, t road.Times, wheel string) []string {
	part := func(seconds float64) string { return num(100*seconds/max(t.Total, 1e-9), 1) }
	rear, front, angle := whole(u.RearShifts), whole(u.FrontShifts), num(float64(u.LineAngle), 2)
	if !u.HasLine {
		angle = "?"
	}
	if !u.HasGear() {
		rear, front, angle = "-", "-", "-"
	}
	return []string{
		name, hours(u.Times.Total), num(units.Distance(u.Distance/1000), 1), part(t.Pedalled), part(t.Freewheeling), part(t.Stopped), part(t.Unknown),
		wheel, rear, front, angle,
	}
}

// wheelCell is how much larger the recorder's wheel is, or "-" when it was not
// found.
func wheelCell(w road.WheelFit) string {
	if !w.Found {
		return "-"
	}
	return signed(100*(w.Scale-1), 1)
}

// hours writes seconds as h:mm:ss.
func hours(seconds float64) string {
	s := int(math.Round(seconds))
	return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
}

// spentColumns go with spentCells.
func spentColumns(first string, u gearing.Units) []column {
	return []column{{head: first, left: true}, {head: "time", unit: "min"}, {head: "share", unit: "%"}, {head: "turns"}, {head: "way", unit: u.DistanceUnit()}, {head: "work", unit: "kJ"}}
}

func spentCells(name string, s road.Spent, u gearing.Units) []string {
	return []string{name, amount(s.Seconds/60, 1), amount(float64(s.Share), 1), amount(s.Turns, 0), amount(u.Distance(s.Metres/1000), 2), amount(s.Work, 0)}
}

// amount writes what is more than nothing, but rounds to it, as <0.1.
func amount(x float64, decimals int) string {
	least := math.Pow10(-decimals)
	if x > 0 && x < least/2 {
		return "<" + num(least, decimals)
	}
	return num(x, decimals)
}

func (r rideReport) gearsTable(u gearing.Units) *table {
	t := &table{cols: append(spentColumns("gear", u), developColumn(u), column{head: "", left: true})}
	for i, g := range r.All.Gears {
		if i > 0 && g.Ring != r.All.Gears[i-1].Ring {
			t.breakHere()
		}
		mark := ""
		switch {
		case g.Seconds == 0:
			mark = "never"
		case g.Lost:
			mark = "lost gear"
		}
		t.add(append(spentCells(g.GearID.String(), g.Spent, u), develops(u, g.Development), mark)...)
	}
	return t
}

func (r rideReport) cogsTable(u gearing.Units) *table {
	t := &table{cols: append(spentColumns("cog", u), column{head: "without", unit: "%"}, column{head: "teeth", unit: "%"})}
	for _, c := range r.All.Cogs {
		without := "end"
		if c.StepWithout > 0 {
			without = num(float64(c.StepWithout), 1)
		}
		t.add(append(spentCells(whole(c.Cog), c.Spent, u), without, num(float64(c.ToothShare), 1))...)
	}
	return t
}

func (r rideReport) ringsTable(u gearing.Units) *table {
	t := &table{cols: spentColumns("ring", u)}
	for _, g := range r.All.Rings {
		t.add(spentCells(whole(g.Ring), g.Spent, u)...)
	}
	return t
}

// csvTable is one row a ride and gear.
func (r rideReport) csvTable() *table {
	t := &table{cols: []column{
		{key: "ride"}, {key: "gear"}, {key: "ring_teeth"}, {key: "cog_teeth"}, {key: "development_m"}, {key: "lost"},
		{key: "time_s"}, {key: "share_percent"}, {key: "crank_turns"}, {key: "distance_m"}, {key: "work_kj"},
	}}
	for _, ride := range r.Rides {
		for _, g := range ride.Gears {
			t.rows = append(t.rows, slices.Concat([]string{ride.Name, g.GearID.String(), whole(g.Ring), whole(g.Cog), num(float64(g.Development), 3), fmt.Sprint(g.Lost)},
				[]string{num(g.Seconds, 1), num(float64(g.Share), 2), num(g.Turns, 1), num(g.Metres, 1), num(g.Work, 2)}))
		}
	}
	return t
}
