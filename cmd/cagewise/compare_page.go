package main

import (
	"fmt"
	"math"

	"cagewise/gearing"
	"cagewise/sim"
)

func (r compareReport) titleText() string {
	return fmt.Sprintf("%d builds side by side", len(r.Options))
}

// label numbers a build as the tables do.
func (r compareReport) label(i int) string {
	return fmt.Sprintf("%d %s", i+1, drivetrain(r.Options[i].Build))
}

func (r compareReport) write(p *page) {
	for i, b := range r.Builds {
		first := ""
		if i == 0 {
			first = " (today)"
		}
		p.item(whole(i+1), "%s%s", b.heading(), first)
	}
	p.section("Gears")
	p.grid(r.gearTable(p.units))
	p.section(fmt.Sprintf("Cruising at %s, %s rpm", speedWords(p.units, r.CruiseKmH), num(r.Cadence, -1)))
	p.grid(r.cruiseTable())
	p.para("A step over %s %% is a hole: hole stands behind such gears. The angle is the slant of the chain.", num(float64(r.Hole), 0))
	r.writeRecoveries(p)
	p.section("Derailleur and chain")
	p.grid(r.fitTable())
	p.para("rating: by the makers' ratings alone. typical: simulated with geometry invented for cages of this length. measured, fitted: simulated with yours. Only verdicts of the same kind compare well; `cagewise fit` gives each its margin. Needs: the capacity needed and rated, teeth. Risk: the chance that the gear most at risk is dangerous after all with that chain.")
	r.writeToday(p)
	r.writeRatings(p)
	r.writeWords(p)
	p.section("Caution")
	for _, c := range r.Cautions {
		p.item("", "%s", c)
	}
}

func (r compareReport) gearTable(u gearing.Units) *table {
	t := &table{cols: []column{
		{head: "build", left: true}, {head: "lowest", unit: u.DevelopmentUnit()}, {head: "highest", unit: u.DevelopmentUnit()}, {head: "range", unit: "%"},
		{head: "gears"}, {head: "useful"}, {head: "double"}, {head: "largest", unit: "step %"},
	}}
	for i := range r.Options {
		o := &r.Options[i]
		t.add(r.label(i), develops(u, o.Table.Lowest().Development), develops(u, o.Table.Highest().Development), num(float64(o.Table.Range), 0),
			whole(len(o.Table.Gears)), whole(o.Useful), whole(len(o.Table.Gears)-o.Table.Groups), num(float64(o.Table.LargestStep.Size), 1))
	}
	return t
}

func (r compareReport) cruiseTable() *table {
	t := &table{cols: []column{
		{head: "build", left: true}, {head: "gear", left: true}, {head: "cadence", unit: "rpm"}, {head: "step -", unit: "%"}, {head: "step +", unit: "%"}, {head: "", left: true}, {head: "angle", unit: "deg"},
	}}
	for i := range r.Options {
		c := r.Options[i].Cruise
		hole := ""
		if c.Hole {
			hole = "hole"
		}
		t.add(r.label(i), c.GearID.String(), num(c.Cadence, 0), stepCell(c.Down), stepCell(c.Up), hole, num(math.Abs(float64(c.LineAngle)), 1))
	}
	return t
}

func (r compareReport) writeRecoveries(p *page) {
	for i := range r.Options {
		for _, rec := range r.Options[i].Recoveries {
			p.item(whole(i+1), "%s", recoveryWords(rec, r.Options[i].Table.Cadences))
		}
	}
}

func (r compareReport) fitTable() *table {
	t := &table{cols: []column{
		{head: "build", left: true}, {head: "needs", unit: "of rated"}, {head: "rests on", left: true}, {head: "verdict", left: true}, {head: "lost"}, {head: "chain", unit: "pitches"}, {head: "risk", unit: "%"},
	}}
	today := r.Options[0].Today > 0
	if today {
		t.cols = append(t.cols, column{head: "today's", left: true})
	}
	for i := range r.Options {
		o := &r.Options[i]
		rated := "?"
		if n := o.Build.Rear.RatedCapacity; n > 0 {
			rated = whole(n)
		}
		row := []string{r.label(i), whole(o.Rated.Needed) + "/" + rated, knowledgeWord(o), o.Verdict.String(), whole(len(o.LostIDs)), whole(o.Chain), riskCell(r.Risks[i])}
		if today {
			row = append(row, stays(o))
		}
		t.add(row...)
	}
	return t
}

func riskCell(k *sim.Risk) string {
	if k == nil {
		return "?"
	}
	return num(100*k.Chance, 0)
}

// known is empty for a rating that is not given.
func known(n gearing.Teeth) string {
	if n == 0 {
		return ""
	}
	return whole(n)
}

func staysCell(o *sim.Option) string {
	if o.Today == 0 {
		return ""
	}
	return fmt.Sprint(o.Stays)
}

// knowledgeWord says in one word what a verdict rests on.
func knowledgeWord(o *sim.Option) string {
	if o.Simulated == nil {
		return "rating"
	}
	return knowledgeShort(o.Knowledge)
}

func knowledgeShort(k sim.Knowledge) string {
	return [...]string{"rating", "typical", "measured", "fitted"}[k]
}

func stays(o *sim.Option) string {
	switch {
	case o.Today == 0:
		return "?"
	case o.InDoubt():
		return "in doubt"
	case o.Stays:
		return "stays"
	case o.Today > o.Chain:
		return "too long"
	}
	return "too short"
}

// writeToday tells where the chain at hand does otherwise than the one
// recommended, which the verdicts are about.
func (r compareReport) writeToday(p *page) {
	for i := range r.Options {
		o := &r.Options[i]
		if o.Today == 0 || o.WithToday == o.Verdict && gearList(o.TodayLost) == gearList(o.LostIDs) {
			continue
		}
		lost := "no gear lost"
		if len(o.TodayLost) > 0 {
			lost = "lost: " + gearList(o.TodayLost)
		}
		advised := "the chain recommended, " + pitches(o.Chain)
		if o.Chain == 0 {
			advised = "no chain, as none closes"
		}
		p.item(whole(i+1), "with the chain at hand, %s: %s, %s. The verdict above takes %s; `cagewise fit` judges the chain at hand.", pitches(o.Today), o.WithToday, lost, advised)
	}
}

// writeRatings names what goes beyond the makers' ratings, and where an
// invented pivot was moved to make room.
func (r compareReport) writeRatings(p *page) {
	for i := range r.Options {
		o := &r.Options[i]
		for _, c := range o.Rated.Checks {
			if !c.OK() {
				p.item(whole(i+1), "beyond the makers' ratings: %s", checkWords(c))
			}
		}
		if o.Lowered > 0 {
			p.item(whole(i+1), "the invented cage pivot was lowered by %s mm to clear the largest cog: whether yours does, measure", num(float64(o.Lowered), 1))
		}
	}
}

func (r compareReport) writeWords(p *page) {
	for i := range r.Options {
		if i == 0 {
			continue
		}
		w := wordsFor(&r.Options[0], &r.Options[i], p.units)
		p.section("From today to " + r.label(i))
		if len(w.Gained)+len(w.Lost)+len(w.Shopping) == 0 {
			p.para("No difference that counts.")
		}
		for _, s := range w.Gained {
			p.item("+", "%s", s)
		}
		for _, s := range w.Lost {
			p.item("-", "%s", s)
		}
		for _, s := range w.Shopping {
			p.item("buy", "%s", s)
		}
	}
}

// csvTable is one row a build.
func (r compareReport) csvTable() *table {
	t := &table{cols: []column{
		{key: "build"}, {key: "lowest_development_m"}, {key: "highest_development_m"}, {key: "range_percent"}, {key: "gears"}, {key: "useful_gears"},
		{key: "largest_step_percent"}, {key: "cruise_gear"}, {key: "cruise_cadence_rpm"}, {key: "cruise_hole"}, {key: "capacity_needed_teeth"}, {key: "rated_capacity_teeth"}, {key: "rests_on"}, {key: "verdict"},
		{key: "lost_gears"}, {key: "chain_pitches"}, {key: "todays_chain_stays"},
	}}
	for i := range r.Options {
		o := &r.Options[i]
		t.add(r.Builds[i].heading(), num(float64(o.Table.Lowest().Development), 3), num(float64(o.Table.Highest().Development), 3), num(float64(o.Table.Range), 1),
			whole(len(o.Table.Gears)), whole(o.Useful), num(float64(o.Table.LargestStep.Size), 2), o.Cruise.GearID.String(), num(o.Cruise.Cadence, 1), fmt.Sprint(o.Cruise.Hole),
			whole(o.Rated.Needed), known(o.Build.Rear.RatedCapacity), knowledgeWord(o), o.Verdict.String(), gearList(o.LostIDs), whole(o.Chain), staysCell(o))
	}
	return t
}
