// Package sim computes what a drivetrain does beyond tooth counts: the path
// of the chain round ring, cog and pulleys, where the derailleur's cage stands
// in every gear, what is left at either end, what touches, and how likely all
// that is, with what is known of the bike.
//
// Frame of reference: side view from the drive side, the bike level and
// heading right. The origin is the rear axle, x forward, y up, millimetres.
// Forward drive turns rings, cogs and the tension pulley clockwise and the
// guide pulley counter-clockwise. Angles run counter-clockwise from +x:
// radians inside, gearing.Degrees at the edge. With a swing arm the frame of
// reference moves with it.
//
// A Study is a build (gearing.Build) with all that was computed of it: the table
// of gears, what the makers' ratings say, and the one Advice (verdict with its
// chance, the length of the chain, the gears to keep out of, what to measure
// next, what would help). Every view reads it. Beneath it a Rig is a build made
// ready; Fit answers for one chain, Window for every length, Answer puts it all
// together. Compare sets builds side by side, Share finds one chain for two
// wheels, FitReadings draws the geometry from readings on the built bike.
// Everything derives from the path's length over the cage angle (train.at),
// whose slope is known in closed form.
//
// Lengths are mm, chain and reserves pitches of 12.7 mm, tensions N, torques
// N m at the cranks, springs N mm. Wheels follow ISO 606 and ASME B29.1 as in
// package gearing. The geometry of the classes is invented, and what rests on it
// says so (Knowledge). Packages sim/search, sim/wear and plot build on this one.
//
// # What is not known
//
// What is not known is uncertain, never absent. A rig carries a cloud: draws of
// what the derailleur and the frame may be, from a fixed Latin hypercube (the
// same seed, the same bytes). Where cage and pivots are measured, a draw is the
// measurements with a ruler's errors. Otherwise it is typical geometry: a class
// shifted by its spread (prior.go), weighted by the maker's rating (promise.go).
// A rating is a promise: with a chain sized by the shop rule this capacity is
// taken up and this cog cleared, with something in hand. How much makers leave
// is common practice, without a source. A figure of the rating that is not given
// is drawn from what is usual for the cage, and so are pulley centres of which
// only a class or a rating tells. Nobody moves a pivot so that a build works.
//
// What each class supports by itself, before a rating is looked at: the median
// capacity and cog that its draws keep, less what makers leave in hand, beside
// what makers usually rate such cages for (from memory), in teeth:
//
//	short    29, cog 30    28 to 33, 28 to 34
//	medium   35, cog 35    35 to 39, 34 to 36
//	long     40, cog 34    41 to 45, 34 to 36
//	wide     44, cog 46    41 to 47, 46 to 52
//
// Each draw is judged with the B-screw set anew; a chance is the weighted share
// of the draws, each smoothed by less than a ruler's error (chance.go). Chances
// under ResolvedChance are below what the sample resolves. The geometry shown,
// where it is not measured, is the mean of the cloud.
//
// # One standard of danger
//
// A gear locks when the chain is shorter than the shortest path, is too short
// with less than LeastReserve over it, and tight with less than TightReserve
// over the bare loop of ring and cog; the shortest path is never less than that
// loop, so that knowing more can only find a gear worse on the short side. An
// end that is reached because the guide pulley meets the cog is no matter of
// the chain's length and counts as hits.
//
// What the model says beyond its formulas:
//
//   - The guide pulley goes round the cage pivot on a circle, so that it may
//     reach the cog somewhere on its swing. The cage stops there; the angle
//     follows from the law of cosines (train.contacts). Without this limit the
//     path of a wide cassette ends in a singular point.
//   - Past the maximum of the path the cage takes up nothing more; that is a
//     limit too.
//   - The model error of the rear reserve is drawn so that the capacity left
//     over the rating is a maker's, and weighs by its own likelihood
//     (promiser.weigh): drawn blindly, few draws of a cage at the edge of its
//     class would count.
//   - The cage pivot's place in the cage is carried along and across the pulley
//     line. Its two distances from the pulley centres do not fix it when it
//     lies next to that line.
//   - The length to cut is looked for from the shortest without a tight gear up;
//     the look ends at the first whose danger is under two in a hundred, as no
//     longer one has more than that to give.
package sim
