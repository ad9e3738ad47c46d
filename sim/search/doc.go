// Package search looks through a parts bin for the drivetrains that really work:
// every combination of rings, cassette, derailleur, extender, chain and wheel
// is judged by wishes, and what is left by the simulation of package sim.
//
// Every combination is judged at a glance, by sim.Rig.Quick, which takes a thin
// sample of what is not known. Whatever gets among the best by that is then looked
// at closely and has the advice, the length and the chance of every other command;
// what the close look does not bear out falls out, and the best are picked anew
// (see sift). So all that is told is what a fit of the same build says. Where many
// combinations meet the wishes, what a glance has wrong may hide one: of the sets
// that close looks at everything give about nine in ten are found (a test measures
// that). Where few do, all are looked at closely.
//
// The answer is exact: the same as glancing at every combination and sifting all.
// Work is saved only where it provably cannot matter; each place says why:
//
//   - Rings, cassette and wheel alone bound the gears: a gear that the
//     derailleur costs can only narrow the range (see pair).
//   - Chain and wheel do not enter the simulated states: the chain is cut to
//     the count that the simulation names, and the wheel's size only moves
//     the ground. So one simulation serves all chains and wheels, and of those
//     only the cheapest that will do can be in the Pareto set (see block).
//   - Prices add up; a sum that is over the budget without chain or wheel
//     stays over it.
//   - A glance ends where a yes is out of the question (see sim.Quick).
//
// Run takes a base gearing.Build, a gearing.PartsBin (package gearing/bin reads
// one) and Wishes, and gives a Result: the Pareto set over range, largest step,
// margin and price, those next to it, and why the others fell out. Developments
// are metres a crank turn, ranges and steps percent, margins pitches of 12.7 mm.
// Prices are counted in whole hundredths, so that sums are exact.
package search
