package road

import (
	"math"

	"cagewise/gearing"
)

// use works out what sums of rides say.
func (m *Meter) use(s useSums) Use {
	u := Use{
		Times: Times{
			Pedalled: s.times[Pedalled], Freewheeling: s.times[Freewheeling],
			Stopped: s.times[Stopped], Unknown: s.times[Unknown],
		},
		Distance: s.distance, Unused: []gearing.GearID{},
	}
	for _, t := range s.times {
		u.Times.Total += t
	}
	u.addGears(m.table, s)
	u.addRings(m.table)
	u.addCogs(m.table)
	u.addLine(m.angles)
	u.addTwins(m.twins)
	u.countShifts(m.table, s.shifts)
	u.EstimatedShare = percentOf(s.estimated, u.work())
	return u
}

// percentOf is 0 of nothing.
func percentOf(part, whole float64) gearing.Percent {
	if whole == 0 {
		return 0
	}
	return gearing.Percent(100 * part / whole)
}

func (u *Use) addGears(t gearing.Table, s useSums) {
	for i, g := range t.Gears {
		use := GearUse{GearID: gearing.GearID{Ring: g.Ring, Cog: g.Cog}, Development: g.Development, Lost: g.Lost, Spent: s.gears[i]}
		use.Share = percentOf(use.Seconds, u.Times.Pedalled)
		u.Gears = append(u.Gears, use)
		if use.Seconds == 0 {
			u.Unused = append(u.Unused, use.GearID)
		}
	}
}

func (u *Use) addRings(t gearing.Table) {
	for _, ring := range t.Rings {
		use := RingUse{Ring: ring}
		for _, g := range u.Gears {
			if g.Ring == ring {
				use.Spent.add(g.Spent)
			}
		}
		use.Share = percentOf(use.Seconds, u.Times.Pedalled)
		u.Rings = append(u.Rings, use)
	}
}

func (u *Use) addCogs(t gearing.Table) {
	load := 0.0
	for i, cog := range t.Cogs {
		use := CogUse{Cog: cog}
		for _, g := range u.Gears {
			if g.Cog == cog {
				use.Spent.add(g.Spent)
			}
		}
		use.Share = percentOf(use.Seconds, u.Times.Pedalled)
		use.ToothLoad = toothLoad(use.Work, cog)
		load += use.ToothLoad
		if i > 0 && i+1 < len(t.Cogs) {
			small, large := float64(t.Cogs[i-1]), float64(t.Cogs[i+1])
			use.StepWithout = gearing.StepPercent(small, large)
			before := max(gearing.StepPercent(small, float64(cog)), gearing.StepPercent(float64(cog), large))
			use.Missed = float64(use.Share * (use.StepWithout - before))
		}
		u.Cogs = append(u.Cogs, use)
	}
	for i := range u.Cogs {
		u.Cogs[i].ToothShare = percentOf(u.Cogs[i].ToothLoad, load)
	}
}

// toothLoad is chain pull times loadings of one tooth, for a work in kJ: a
// cog turn moves cog pitches of chain, so work is pull times cog turns times
// cog pitches.
func toothLoad(work float64, cog gearing.Teeth) float64 {
	return work * 1000 / (float64(cog) * float64(gearing.Pitch) / 1000)
}

func (u *Use) addLine(angles []gearing.Degrees) {
	turns, sum := 0.0, 0.0
	for i, angle := range angles {
		turns += u.Gears[i].Turns
		sum += u.Gears[i].Turns * math.Abs(float64(angle))
	}
	if u.HasLine = angles != nil; turns > 0 {
		u.LineAngle = gearing.Degrees(sum / turns)
	}
}

func (u *Use) addTwins(twins [][]int) {
	seconds := 0.0
	for i, list := range twins {
		if len(list) > 0 {
			seconds += u.Gears[i].Seconds
		}
	}
	u.TwinShare = percentOf(seconds, u.Times.Pedalled)
}

func (u *Use) countShifts(t gearing.Table, shifts [][]int) {
	for from, row := range shifts {
		for to, n := range row {
			if t.Gears[from].CogIndex != t.Gears[to].CogIndex {
				u.RearShifts += n
			}
			if t.Gears[from].RingIndex != t.Gears[to].RingIndex {
				u.FrontShifts += n
			}
		}
	}
}

func (u *Use) work() float64 {
	sum := 0.0
	for _, g := range u.Gears {
		sum += g.Work
	}
	return sum
}
