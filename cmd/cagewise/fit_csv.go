package main

import (
	"fmt"
	"slices"

	"cagewise/gearing"
	"cagewise/sim"
)

// csvTable is one row a gear; those of a second wheel follow.
func (r fitReport) csvTable() *table {
	t := &table{}
	for _, key := range []string{"gear", "ring_teeth", "cog_teeth", "state", "doubtful", "lost", "chance_of_danger", "chance_too_short", "chance_hits_the_cog", "chance_of_slack", "left_pulley"} {
		t.cols = append(t.cols, column{key: key})
	}
	if r.Shared != nil {
		t.cols = append(t.cols, column{key: "wheel"})
	}
	for _, key := range []string{"lost_by_rating", "chain_line_offset_mm", "chain_line_angle_deg", "next_ring_clearance_mm"} {
		t.cols = append(t.cols, column{key: key})
	}
	figures := r.Simulation != nil
	if figures {
		for _, key := range []string{
			"reserve_forward_pitches", "reserve_forward_error_pitches", "reserve_rearward_pitches", "reserve_rearward_error_pitches",
			"over_bare_loop_pitches", "pulley_gap_mm", "pulley_gap_error_mm", "cage_angle_deg", "wrap_ring_teeth", "wrap_cog_teeth", "lower_run_tension_n", "over_ground_mm",
		} {
			t.cols = append(t.cols, column{key: key})
		}
	}
	for _, key := range []string{"verdict", "chance", "chance_all_gears", "chain_pitches", "order", "length_pitches"} {
		t.cols = append(t.cols, column{key: key})
	}
	if r.Shared == nil {
		r.csvRows(t, r.study.Rated, &r.Advice, "")
		return t
	}
	r.csvRows(t, r.study.Rated, &r.Shared.First, "1")
	r.csvRows(t, r.Shared.study.Rated, &r.Shared.Second, "2")
	return t
}

// csvRows adds the gears of one wheel.
func (r fitReport) csvRows(t *table, f *gearing.RatedFit, a *sim.Advice, wheel string) {
	for i := range f.Line.Gears {
		row := csvAdvice(f.Line.Gears[i].GearID, a, i)
		if wheel != "" {
			row = append(row, wheel)
		}
		row = append(row, csvLine(f, i)...)
		if r.Simulation != nil {
			row = append(row, r.csvFigures(i)...)
		}
		t.add(append(row, r.csvAnswer(a)...)...)
	}
}

// csvChance writes a chance of 0 to 1, nothing where none is known.
func csvChance(judged bool, chance float64) string {
	if !judged {
		return ""
	}
	return num(chance, 4)
}

// csvAdvice is what the advice says of a gear.
func csvAdvice(id gearing.GearID, a *sim.Advice, i int) []string {
	row := []string{id.String(), whole(id.Ring), whole(id.Cog)}
	if i >= len(a.Gears) {
		return append(row, "", "", "", "", "", "", "", "")
	}
	g, chance := &a.Gears[i], func(p float64) string { return csvChance(a.Judged, p) }
	return append(row, g.State.String(), fmt.Sprint(g.Doubt), fmt.Sprint(g.Lost), chance(g.Danger.Any), chance(g.Danger.Short), chance(g.Danger.Hits), chance(g.Slack), g.Left)
}

// csvLine is what the ratings and the chain line say of a gear.
func csvLine(f *gearing.RatedFit, i int) []string {
	g, next := f.Line.Gears[i], ""
	if g.HasNextRing {
		next = num(float64(g.NextRing), 2)
	}
	return []string{fmt.Sprint(slices.Contains(f.Lost, g.GearID)), num(float64(g.Offset), 2), num(float64(g.Angle), 2), next}
}

// csvFigures are the simulated figures of a gear; without a path there are none.
func (r fitReport) csvFigures(i int) []string {
	g, m := &r.Simulation.Fit.Gears[i], &r.Simulation.Margins[i]
	if g.NoPath {
		return make([]string, 12)
	}
	return []string{
		num(float64(g.Forward), 3), num(float64(m.Forward), 3), num(float64(g.Rearward), 3), num(float64(m.Rearward), 3),
		num(float64(g.OverLoop), 3), num(float64(g.Gap), 2), num(float64(m.Gap), 2), num(float64(g.CageAngle), 2),
		num(g.OnRing.Teeth, 2), num(g.OnCog.Teeth, 2), num(g.LowerTension, 1), num(float64(g.GroundRoom), 1),
	}
}

// csvAnswer is the verdict and the length, which every row repeats.
func (r fitReport) csvAnswer(a *sim.Advice) []string {
	order, length := a.Order, a.Length
	if r.Shared != nil {
		order, length = r.Shared.Order, r.Shared.Length
	}
	return []string{r.Verdict.String(), csvChance(a.Judged, a.Chance), csvChance(a.Judged, a.AllGears), whole(a.Pitches), order.String(), whole(length)}
}
