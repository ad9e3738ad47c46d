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
	p.para("teeth: the bare loop alone, nothing is known of the cage. rating, typical: simulated with geometry invented for cages that are rated so, or of this length. measured, fitted: simulated with yours. Needs: the capacity needed and rated, teeth. Chance: that every gear but those lost runs, with the chain at hand where a build has one. Chain: the length to have; danger: the chance that some gear is dangerous with that.")
	r.writeKeepOut(p)
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
		{head: "build", left: true}, {head: "needs", unit: "of rated"}, {head: "rests on", left: true}, {head: "verdict", left: true}, {head: "chance", unit: "%"}, {head: "lost"}, {head: "chain", unit: "pitches"}, {head: "danger", unit: "%"},
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
		row := []string{r.label(i), whole(o.Rated.Needed) + "/" + rated, knowledgeShort(o.Knowledge), o.Verdict.String(), chanceCell(&o.Advice, o.Advice.Chance), whole(len(o.LostIDs)), whole(o.Chain), chanceCell(&o.Advice, o.Advice.LengthDanger.Any)}
		if today {
			row = append(row, stays(o))
		}
		t.add(row...)
	}
	return t
}

// chanceCell is a chance in percent, unknown where nothing was judged.
func chanceCell(a *sim.Advice, chance float64) string {
	if !a.Judged {
		return "?"
	}
	return percentOf(chance)
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

// knowledgeShort says in one word what a verdict rests on.
func knowledgeShort(k sim.Knowledge) string {
	return [...]string{"teeth", "rating", "typical", "measured", "fitted"}[k]
}

func stays(o *sim.Option) string {
	switch {
	case o.Today == 0:
		return "?"
	case o.Stays:
		return "stays"
	case o.Kept.Order == sim.Replace:
		return "too short"
	}
	return "too long"
}

// writeKeepOut names the gears to keep out of, with the reason and the chance.
func (r compareReport) writeKeepOut(p *page) {
	for i := range r.Options {
		a := &r.Options[i].Advice
		for _, k := range keepOut(a) {
			p.item(whole(i+1), "%s %s: %s", k.mark, k.list(a), k.words)
		}
		if words := doubtWords(a); words != "" {
			p.item(whole(i+1), "%s", words)
		}
	}
}

// writeToday tells where the chain at hand does otherwise than the one that the
// verdict is about.
func (r compareReport) writeToday(p *page) {
	for i := range r.Options {
		o := &r.Options[i]
		switch {
		case o.Advice.Order == sim.Replace && len(o.Fresh.Gears) > 0:
			p.item(whole(i+1), "with a new chain of %s: %s. %s The verdict above takes the one at hand, of %s.",
				pitches(o.Fresh.Pitches), verdictWord(&o.Fresh), verdictSentence(&o.Fresh), pitches(o.Advice.Pitches))
			continue
		case o.Today == 0, o.Advice.Pitches == o.Today:
			continue
		}
		p.item(whole(i+1), "with the chain at hand, %s: %s. %s The verdict above takes one of %s.",
			pitches(o.Today), verdictWord(&o.Kept), verdictSentence(&o.Kept), pitches(o.Chain))
	}
}

// writeRatings names what goes beyond the makers' ratings.
func (r compareReport) writeRatings(p *page) {
	for i := range r.Options {
		o := &r.Options[i]
		for _, c := range o.Rated.Checks {
			if !c.OK() {
				p.item(whole(i+1), "beyond the makers' ratings: %s", checkWords(c))
			}
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
		{key: "chance"}, {key: "chance_all_gears"}, {key: "chance_of_danger"}, {key: "lost_gears"}, {key: "tight_gears"}, {key: "doubtful_gears"}, {key: "chain_pitches"}, {key: "todays_chain_stays"},
	}}
	for i := range r.Options {
		o := &r.Options[i]
		t.add(r.Builds[i].heading(), num(float64(o.Table.Lowest().Development), 3), num(float64(o.Table.Highest().Development), 3), num(float64(o.Table.Range), 1),
			whole(len(o.Table.Gears)), whole(o.Useful), num(float64(o.Table.LargestStep.Size), 2), o.Cruise.GearID.String(), num(o.Cruise.Cadence, 1), fmt.Sprint(o.Cruise.Hole),
			whole(o.Rated.Needed), known(o.Build.Rear.RatedCapacity), knowledgeShort(o.Knowledge), o.Verdict.String(),
			num(o.Advice.Chance, 4), num(o.Advice.AllGears, 4), num(o.Advice.LengthDanger.Any, 4), gearList(o.LostIDs), gearList(o.Advice.In(sim.Tight)), gearList(o.Advice.Doubtful()), whole(o.Chain), staysCell(o))
	}
	return t
}
