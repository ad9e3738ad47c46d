package main

import (
	"fmt"

	"cagewise/gearing"
	"cagewise/sim"
)

// newTable is the table of gears with those marked that the derailleur does
// not carry: by the simulation where its geometry is known, else by the
// rating. by says which.
func newTable(b gearing.Build, o gearing.TableOptions) (t gearing.Table, by string, err error) {
	t, err = gearing.NewTable(b, o)
	if err != nil {
		return t, "", err
	}
	if lost, n, ok := simulatedLosses(b); ok {
		for i := range t.Gears {
			t.Gears[i].Lost = lost[i]
		}
		return t, fmt.Sprintf("the simulated cage with %d pitches", n), nil
	}
	markOwned(&t, b)
	return t, "the rated capacity", nil
}

// simulatedLosses are the gears that do not run with the chain owned, or the
// recommended one; ok is false when there is nothing to simulate.
func simulatedLosses(b gearing.Build) (lost []bool, pitches int, ok bool) {
	_, f, err := sim.Solve(b)
	if err != nil {
		return nil, 0, false
	}
	for i := range f.Gears {
		lost = append(lost, !f.Gears[i].State.Runs())
	}
	return lost, f.Pitches, true
}

// markOwned adds the gears that the owned chain costs by the ratings.
func markOwned(t *gearing.Table, b gearing.Build) {
	f, err := gearing.NewRatedFit(b)
	if err != nil || f.Owned == nil {
		return
	}
	bad := map[gearing.GearID]bool{}
	for _, list := range [][]gearing.GearID{f.Owned.Slack, f.Owned.Locked, f.Owned.Overstretched} {
		for _, g := range list {
			bad[g] = true
		}
	}
	for i := range t.Gears {
		g := &t.Gears[i]
		g.Lost = g.Lost || bad[gearing.GearID{Ring: g.Ring, Cog: g.Cog}]
	}
}
