package wear

import (
	"fmt"
	"math"
	"strings"

	"cagewise/gearing"
)

// fill turns groups into points, rises and estimates.
func (c *ChainWear) fill(readings []reading, groups []group, k play) {
	c.Points = make([]Point, 0, len(groups))
	c.Estimates = make([]Estimate, 0, len(readings))
	dependsOnPlay := false
	for i := range groups {
		g := &groups[i]
		c.Points = append(c.Points, Point{
			KM: g.km, On: g.on, From: g.from, Bound: !g.valued,
			Elongation: gearing.Percent(g.e), Error: withCommon(g.variance),
		})
		for _, at := range g.from {
			dependsOnPlay = dependsOnPlay || readings[at].m.perMM > 0
			c.Estimates = append(c.Estimates, readings[at].m.estimate(readings[at].r, k, g.e))
		}
	}
	c.Now = c.Points[len(c.Points)-1]
	if dependsOnPlay || c.Part.RollerPlay > 0 {
		mm, sd := k.at(float64(c.Now.Elongation))
		c.RollerPlay, c.RollerPlayError = gearing.MM(mm), gearing.MM(sd)
	}
	c.rises(groups)
}

// rises are the slopes between neighbouring points.
func (c *ChainWear) rises(groups []group) {
	type place struct{ km, e, variance float64 } // km on the odometer
	var last []place
	if c.Part.FittedKM >= 0 {
		sd := float64(startError(c.Part))
		last = []place{{c.Part.FittedKM, startOf(c.Part), sd * sd}}
	}
	for i := range groups {
		g := place{groups[i].km, groups[i].e, groups[i].variance}
		if len(last) > 0 && c.track.at(g.km) <= c.track.at(last[0].km) && c.track.turns() {
			continue // it has rested since
		}
		if len(last) > 0 && g.km > last[0].km {
			per := 1000 / (c.track.at(g.km) - c.track.at(last[0].km))
			c.Rises = append(c.Rises, Rise{
				FromKM: last[0].km, ToKM: g.km,
				RatePer1000KM: gearing.Percent(per * (g.e - last[0].e)),
				Error:         gearing.Percent(per * math.Sqrt(g.variance+last[0].variance)),
			})
		}
		last = []place{g}
	}
}

// startError is the standard error of the chain's elongation when it was new.
func startError(part gearing.WearPart) gearing.Percent {
	if part.HasStart {
		return StartError
	}
	return NewTolerance
}

// startOf is the elongation that the chain had when it was fitted: as read on
// its first day, else 0.
func startOf(part gearing.WearPart) float64 {
	if part.HasStart {
		return float64(part.StartElongation)
	}
	return 0
}

// fittedUsed is the first-day elongation above which a chain was not new: new
// ones are read up to 0.15 % (common practice, no source).
const fittedUsed gearing.Percent = 0.2

// startRead is the chain's elongation when it was new with its standard error: as
// stated, or as any new chain's, and a reading of its first day weighed in.
func startRead(part gearing.WearPart, groups []group) (e, sd gearing.Percent) {
	e, sd = gearing.Percent(startOf(part)), startError(part)
	if g, ok := firstDay(part, groups); ok {
		own, read := 1/float64(sd*sd), 1/(g.variance+float64(CommonError*CommonError))
		e = (gearing.Percent(own)*e + gearing.Percent(read*g.e)) / gearing.Percent(own+read)
		sd = gearing.Percent(1 / math.Sqrt(own+read))
	}
	return e, sd
}

// firstDay is what was read where the chain was fitted.
func firstDay(part gearing.WearPart, groups []group) (group, bool) {
	if part.FittedKM < 0 || !groups[0].valued || groups[0].km > part.FittedKM+sameKM {
		return group{}, false
	}
	return groups[0], true
}

func startWords(part gearing.WearPart, groups []group) string {
	g, read := firstDay(part, groups)
	if read && !part.HasStart {
		return fmt.Sprintf("counted from 12.7 mm a pitch; its first-day reading of %s %% (+/- %s %%) counts beside the 0 +/- %s %% of any new chain", short(g.e, 2), short(math.Sqrt(g.variance), 2), short(float64(NewTolerance), 2))
	}
	if !part.HasStart {
		return fmt.Sprintf("counted from 12.7 mm a pitch; no first-day reading, so the new chain was 0 +/- %s %%", short(float64(NewTolerance), 2))
	}
	text := fmt.Sprintf("counted from 12.7 mm a pitch; its rate from the first-day reading of %s %% (+/- %s %%)", short(float64(part.StartElongation), 2), short(float64(StartError), 2))
	if part.StartElongation > fittedUsed {
		text += ": fitted used, as no new chain is so long. It has worn cogs before, and the limits count from 12.7 mm a pitch"
	}
	return text
}

func chainNames(log gearing.WearLog) string {
	var names []string
	for _, p := range log.Parts {
		if p.Kind == gearing.PartChain {
			names = append(names, fmt.Sprintf("%q", p.ID))
		}
	}
	if len(names) == 0 {
		return "none"
	}
	return strings.Join(names, ", ")
}
