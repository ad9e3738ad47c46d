package main

import (
	"fmt"
	"slices"

	"cagewise/gearing"
	"cagewise/sim"
)

// ownedDanger warns of an owned chain that locks, overstretches or fouls some
// gear: by the simulation where the geometry is known, else by the bare loop.
// It is empty when there is nothing to warn of.
func ownedDanger(b gearing.Build) string {
	if b.Chain.Pitches == 0 {
		return ""
	}
	gears := dangerousGears(b)
	if len(gears) == 0 {
		return ""
	}
	return fmt.Sprintf("Your chain of %d pitches is too short, or the pulley runs into the cog, in %s: never ride it so. `cagewise fit` says what would do.", b.Chain.Pitches, gearList(gears))
}

func dangerousGears(b gearing.Build) []gearing.GearID {
	if r, err := sim.NewRig(b); err == nil {
		f, err := r.Fit(b.Chain.Pitches)
		if err != nil {
			return nil
		}
		return f.Dangerous()
	}
	if f, err := gearing.NewRatedFit(b); err == nil && f.Owned != nil {
		return slices.Concat(f.Owned.Locked, f.Owned.Overstretched)
	}
	return nil
}
