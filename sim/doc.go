// Package sim computes what a drivetrain does beyond tooth counts: the path
// of the chain round ring, cog and pulleys, where the derailleur's cage stands
// in every gear, what is left at either end, what touches, and by how much all
// that may be wrong.
//
// Frame of reference: side view from the drive side, the bike level and
// heading right. The origin is the rear axle, x forward, y up, millimetres.
// Forward drive turns rings, cogs and the tension pulley clockwise and the
// guide pulley counter-clockwise. Angles run counter-clockwise from +x:
// radians inside, gearing.Degrees at the edge. With a swing arm the frame of
// reference moves with it.
//
// A Rig is a build (gearing.Build) made ready; Fit answers for one chain, Window
// for every length, Margins carries the errors of the inputs, Answer puts it all
// into a verdict. Solve and Judge are the short ways from a build to a fit and
// to an answer; Compare sets builds side by side, FitReadings draws the geometry
// from readings on the built bike. Everything derives from the path's length
// over the cage angle (train.at), whose slope is known in closed form.
//
// Lengths are mm, chain and reserves pitches of 12.7 mm, tensions N, torques
// N m at the cranks, springs N mm. Wheels follow ISO 606 and ASME B29.1 as in
// package gearing. The geometry of the classes is invented, and what rests on it
// says so (Knowledge). Packages sim/search, sim/wear and plot build on this one.
//
// What the model says beyond its formulas:
//
//   - The guide pulley goes round the cage pivot on a circle, so that it may
//     reach the cog somewhere on its swing. The cage stops there; the angle
//     follows from the law of cosines (train.contacts). Without this limit the
//     path of a wide cassette ends in a singular point.
//   - Past the maximum of the path the cage takes up nothing more; that is a
//     limit too.
//   - A B-screw moves the gap by a few tenths of a millimetre a degree only, so
//     no screw can undo an error of some millimetres in the pivots. The margins
//     therefore take the screw as standing anywhere in its range and the gap it
//     was set to as observed (Margins), instead of turning it by derivatives.
//   - The cage pivot's place in the cage is carried along and across the pulley
//     line. Its two distances from the pulley centres do not fix it when it
//     lies next to that line.
//   - A pivot of typical geometry may lie closer to the cog than the real one:
//     with typical geometry the set gap counts as reached.
package sim
