package main

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"

	"cagewise/gearing"
	"cagewise/sim/road"
)

func (r rideReport) titleText() string { return r.Build.heading() }

func (r rideReport) write(p *page) {
	p.section("Rides")
	p.grid(r.ridesTable())
	p.section("Gears")
	p.grid(r.gearsTable())
	p.section("Cogs")
	p.grid(r.cogsTable())
	p.para("without: the step that its neighbours would leave. teeth: share of the wear of teeth, work over teeth of the cog.")
	if len(r.All.Rings) > 1 {
		p.section("Rings")
		p.grid(r.ringsTable())
	}
	p.section("In words")
	for _, s := range r.words() {
		p.item("", "%s", s)
	}
	p.section("Caution")
	p.item("", "Found from speed and cadence, not seen. Turning the cranks slowly without driving looks like a higher gear; %s", r.unknownWords())
}

func (r rideReport) ridesTable() *table {
	t := &table{cols: []column{
		{head: "ride", left: true}, {head: "time", unit: "h:mm:ss"}, {head: "way", unit: "km"}, {head: "pedalled", unit: "%"}, {head: "freewheel", unit: "%"},
		{head: "stopped", unit: "%"}, {head: "unknown", unit: "%"}, {head: "wheel", unit: "%"}, {head: "rear", unit: "shifts"}, {head: "front", unit: "shifts"}, {head: "slant", unit: "deg"},
	}}
	for _, ride := range r.Rides {
		t.add(rideRow(rideName(ride.Name), ride.Use, wheelCell(ride.Wheel))...)
	}
	if len(r.Rides) > 1 {
		t.breakHere()
		t.add(rideRow("all", r.All, "")...)
	}
	return t
}

// rideName keeps a path from filling the page.
func rideName(path string) string {
	name := []rune(filepath.Base(path))
	if len(name) > 24 {
		return string(name[:21]) + "..."
	}
	return string(name)
}

func rideRow(name string, u road.Use, wheel string) []string {
	part := func(seconds float64) string { return num(100*seconds/max(u.Times.Total, 1e-9), 1) }
	angle := "?"
	if u.HasLine {
		angle = num(float64(u.LineAngle), 2)
	}
	return []string{
		name, hours(u.Times.Total), num(u.Distance/1000, 1), part(u.Times.Pedalled), part(u.Times.Freewheeling), part(u.Times.Stopped), part(u.Times.Unknown),
		wheel, whole(u.RearShifts), whole(u.FrontShifts), angle,
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
func spentColumns(first string) []column {
	return []column{{head: first, left: true}, {head: "time", unit: "min"}, {head: "share", unit: "%"}, {head: "turns"}, {head: "way", unit: "km"}, {head: "work", unit: "kJ"}}
}

func spentCells(name string, s road.Spent) []string {
	return []string{name, num(s.Seconds/60, 1), num(float64(s.Share), 1), num(s.Turns, 0), num(s.Metres/1000, 2), num(s.Work, 0)}
}

func (r rideReport) gearsTable() *table {
	t := &table{cols: append(spentColumns("gear"), column{head: "develop.", unit: "m"}, column{head: "", left: true})}
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
		t.add(append(spentCells(g.GearID.String(), g.Spent), num(float64(g.Development), 2), mark)...)
	}
	return t
}

func (r rideReport) cogsTable() *table {
	t := &table{cols: append(spentColumns("cog"), column{head: "without", unit: "%"}, column{head: "teeth", unit: "%"})}
	for _, c := range r.All.Cogs {
		without := "end"
		if c.StepWithout > 0 {
			without = num(float64(c.StepWithout), 1)
		}
		t.add(append(spentCells(whole(c.Cog), c.Spent), without, num(float64(c.ToothShare), 1))...)
	}
	return t
}

func (r rideReport) ringsTable() *table {
	t := &table{cols: spentColumns("ring")}
	for _, g := range r.All.Rings {
		t.add(spentCells(whole(g.Ring), g.Spent)...)
	}
	return t
}

// words say what the tables show.
func (r rideReport) words() []string {
	u := r.All
	list := []string{usedWords(u)}
	if least, ok := u.LeastMissed(); ok {
		most, _ := u.MostMissed()
		list = append(list, fmt.Sprintf("The %d cog would be missed least: %s %% of the pedalled time, a step of %s %% without it. The %d would be missed most: %s %%, %s %%.",
			least.Cog, num(float64(least.Share), 1), num(float64(least.StepWithout), 1), most.Cog, num(float64(most.Share), 1), num(float64(most.StepWithout), 1)))
	}
	if u.HasLine {
		list = append(list, fmt.Sprintf("The chain ran at %s degrees to the line of the bike in the mean of all turns.", num(float64(u.LineAngle), 2)))
	}
	if u.TwinShare > 0 {
		list = append(list, fmt.Sprintf("For %s %% of the pedalled time another ring has a duplicate within %s %%: there the ring is the one that was last certain.", num(float64(u.TwinShare), 1), num(float64(gearing.DefaultTolerance), -1)))
	}
	for _, ride := range r.Rides {
		list = append(list, r.wheelWords(ride))
		if ride.WithDerived > ride.Samples/2 {
			list = append(list, rideName(ride.Name)+": its speed comes from the way between samples, which is less certain: about one moment in ten gets a wrong gear.")
		}
	}
	if u.EstimatedShare > 0 {
		list = append(list, fmt.Sprintf("%s %% of the work is an estimate, as no power was recorded: a steady speed on the flat with %s kg, rolling %s, drag area %s m2. Climbs took more.",
			num(float64(u.EstimatedShare), 1), num(r.Settings["mass_kg"], 0), num(r.Settings["rolling_resistance"], 4), num(r.Settings["drag_area_m2"], 2)))
	}
	return list
}

func usedWords(u road.Use) string {
	switch n := len(u.Unused); n {
	case 0:
		return "Every gear was used."
	case len(u.Gears):
		return "No gear was found."
	default:
		return fmt.Sprintf("Never used, %s: %s.", plural(n, "gear"), gearList(u.Unused))
	}
}

func (r rideReport) wheelWords(ride road.RideUse) string {
	name, w := rideName(ride.Name), ride.Wheel
	if !w.Found {
		return fmt.Sprintf("%s: the wheel is taken as the build has it: %s.", name, w.Why)
	}
	off, margin := 100*(w.Scale-1), num(200*w.Error, 1)
	if math.Abs(off) <= 200*w.Error {
		return fmt.Sprintf("%s: the wheel fits the build within %s %%.", name, margin)
	}
	more, rollOut := "more", gearing.Metres(w.Scale)*r.Build.RollOut
	if off < 0 {
		more = "less"
	}
	return fmt.Sprintf("%s: the ride shows %s %% (give or take %s) %s way a crank turn than the build's gears, which is allowed for. Either the recorder's wheel is set wrong, or the true roll-out is about %s mm, not %s mm.",
		name, num(math.Abs(off), 1), margin, more, num(1000*float64(rollOut), 0), num(1000*float64(r.Build.RollOut), 0))
}

// unknownWords warn when much was not found.
func (r rideReport) unknownWords() string {
	t := r.All.Times
	if t.Unknown <= 0.1*max(t.Total, 1e-9) {
		return "near duplicates of two rings are told apart only by what comes before and after."
	}
	return fmt.Sprintf("%s %% of the time shows no gear: where speed and cadence were recorded, look at rings, cogs and wheel of the build, and at the sensors.", num(100*t.Unknown/t.Total, 0))
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
