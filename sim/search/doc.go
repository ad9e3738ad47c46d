// Package search looks through a parts bin for the drivetrains that really work:
// every combination of rings, cassette, derailleur, extender, chain and wheel
// is judged by wishes, and what is left by the full simulation of package sim.
//
// The answer is exact: the same as simulating every combination. Work is saved
// only where it provably cannot matter; each place says why:
//
//   - Rings, cassette and wheel alone bound the gears: a gear that the
//     derailleur costs can only narrow the range (see pair).
//   - Chain and wheel do not enter the simulated states: the chain is cut to
//     the count that the simulation recommends, and the wheel's size only moves
//     the ground. So one simulation serves all chains and wheels, and of those
//     only the cheapest that will do can be in the Pareto set (see block).
//   - Prices add up; a sum that is over the budget without chain or wheel
//     stays over it.
//
// Run takes a base gearing.Build, a gearing.PartsBin (package gearing/bin reads
// one) and Wishes, and gives a Result: the Pareto set over range, largest step,
// margin and price, those next to it, and why the others fell out. Developments
// are metres a crank turn, ranges and steps percent, margins pitches of 12.7 mm.
// Prices are counted in whole hundredths, so that sums are exact.
package search
