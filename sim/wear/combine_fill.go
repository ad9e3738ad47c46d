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

func startWords(part gearing.WearPart) string {
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
