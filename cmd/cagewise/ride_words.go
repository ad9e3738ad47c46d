package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"cagewise/gearing"
	"cagewise/sim/road"
)

// firstWords are what must not be missed.
func (r rideReport) firstWords() []string {
	var list []string
	for _, ride := range r.Rides {
		name := r.names[ride.Name]
		if ride.MostLeftOut() {
			list = append(list, fmt.Sprintf("%s: most of the ride is left out, %d of its %d points: they have no time, or are not in order of time.", name, ride.LeftOut, ride.LeftOut+ride.Samples))
		}
		if s := firstWord(ride); s != "" {
			list = append(list, fmt.Sprintf("%s: %s.", name, s))
		}
	}
	return list
}

// firstWord is what is wrong with the wheel of a ride, or "".
func firstWord(ride road.RideUse) string {
	switch w := ride.Wheel; {
	case w.Doubtful && ride.HasGear():
		return "the gears below are doubtful: " + w.Why
	case w.Doubtful:
		return "no gear is found: " + w.Why
	case w.Rival && ride.HasGear():
		return "the gears below are right only if the build's roll-out is; " + w.Why
	}
	return ""
}

// wayWords say whose wheel the ways are of, and what the shares leave out.
func (r rideReport) wayWords() string {
	text := "way: by the build's wheel where the column wheel has a figure, else as recorded."
	if len(r.Rides) > 1 && r.GearedTimes().Total < r.All.Times.Total {
		text += " all: the shares leave out rides without a gear."
	}
	return text
}

// words say what the tables show.
func (r rideReport) words(units gearing.Units) []string {
	u := r.All
	list := []string{usedWords(u)}
	list = append(list, r.missedWords()...)
	if u.HasLine {
		list = append(list, fmt.Sprintf("The chain ran at %s degrees to the line of the bike in the mean of all turns.", num(float64(u.LineAngle), 2)))
	}
	if u.TwinShare > 0 {
		list = append(list, fmt.Sprintf("For %s %% of the pedalled time another ring has a duplicate within %s %%: there the ring is as a rule the one that was last certain.", num(float64(u.TwinShare), 1), num(float64(gearing.DefaultTolerance), -1)))
	}
	for _, ride := range r.Rides {
		if firstWord(ride) == "" {
			list = append(list, r.wheelWords(ride))
		}
		if ride.HasGear() && ride.WithDerived > ride.Samples/2 {
			list = append(list, r.names[ride.Name]+": its speed comes from the way between samples, which is less certain: about one moment in ten gets a wrong gear.")
		}
	}
	if u.EstimatedShare > 0 {
		mass, area := riderWords(units, r.Settings["mass_kg"], r.Settings["drag_area_m2"])
		list = append(list, fmt.Sprintf("%s %% of the work is an estimate, as no power was recorded: a steady speed on the flat with %s, rolling %s, drag area %s. Climbs took more.",
			num(float64(u.EstimatedShare), 1), mass, num(r.Settings["rolling_resistance"], 4), area))
	}
	return list
}

func usedWords(u road.Use) string {
	if len(u.Unused) == 0 {
		return "Every gear was used."
	}
	return fmt.Sprintf("Never used, %s: %s.", plural(len(u.Unused), "gear"), gearList(u.Unused))
}

// missedWords are withheld while a wheel is in doubt: every cog may stand for
// its neighbour.
func (r rideReport) missedWords() []string {
	least, ok := r.All.LeastMissed()
	if !ok {
		return nil
	}
	if slices.ContainsFunc(r.Rides, func(ride road.RideUse) bool { return ride.HasGear() && firstWord(ride) != "" }) {
		return []string{"Which cogs would be missed is not said while a wheel is in doubt."}
	}
	most, _ := r.All.MostMissed()
	return []string{fmt.Sprintf("The %d cog would be missed least: %s %% of the pedalled time, a step of %s %% without it. The %d would be missed most: %s %%, %s %%.",
		least.Cog, num(float64(least.Share), 1), num(float64(least.StepWithout), 1), most.Cog, num(float64(most.Share), 1), num(float64(most.StepWithout), 1))}
}

// doubtful are the names of rides whose gears are in doubt.
func (r rideReport) doubtful() []string {
	var list []string
	for _, ride := range r.Rides {
		if ride.Wheel.Doubtful && ride.HasGear() {
			list = append(list, r.names[ride.Name])
		}
	}
	return list
}

// wheelAgrees is how far a wheel may be off, in percent, and still be that of
// the build: a tyre's pressure does as much (invented here).
const wheelAgrees = 0.5

func (r rideReport) wheelWords(ride road.RideUse) string {
	name, w := r.names[ride.Name], ride.Wheel
	if !w.Found {
		return fmt.Sprintf("%s: the wheel is taken as the build has it: %s.", name, w.Why)
	}
	off, margin := 100*(w.Scale-1), num(200*w.Error, 1)
	if math.Abs(off) <= max(200*w.Error, wheelAgrees) {
		return fmt.Sprintf("%s: the wheel fits the build within %s %%.", name, num(max(200*w.Error, math.Abs(off)), 1))
	}
	more, longer, rollOut := "more", "longer", gearing.Metres(w.Scale)*r.Build.RollOut
	if off < 0 {
		more, longer = "less", "shorter"
	}
	return fmt.Sprintf("%s: the ride shows %s %% (give or take %s) %s way a crank turn than the build's gears, which is allowed for in gears and way. Either the recorder's wheel is set wrong, or the true roll-out is about %s mm, not %s mm, and the way as much %s.",
		name, num(math.Abs(off), 1), margin, more, num(1000*float64(rollOut), 0), num(1000*float64(r.Build.RollOut), 0), longer)
}

// cautionWords say what the gears are worth.
func (r rideReport) cautionWords() []string {
	list := []string{"Found from speed and cadence, not seen. Turning the cranks slowly without driving looks like a higher gear; " + r.unknownWords()}
	if r.Danger != "" {
		list = append(list, r.Danger)
	}
	if names := r.doubtful(); len(names) > 0 {
		list = append([]string{fmt.Sprintf("The gears above are doubtful: no wheel near the build's fits %s.", strings.Join(names, ", "))}, list...)
	}
	return list
}

// unknownWords warn when much was not found on the rides that show gears.
func (r rideReport) unknownWords() string {
	t := r.GearedTimes()
	if t.Unknown <= 0.1*max(t.Total, 1e-9) {
		return "near duplicates of two rings are told apart only by what comes before and after."
	}
	return fmt.Sprintf("%s %% of the time shows no gear: where speed and cadence were recorded, look at rings, cogs and wheel of the build, and at the sensors.", num(100*t.Unknown/t.Total, 0))
}
