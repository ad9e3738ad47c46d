// Package sim computes what a drivetrain does beyond tooth counts: the path
// of the chain round ring, cog and pulleys, and where the derailleur's cage
// stands.
//
// Frame of reference: side view from the drive side, the bike level and
// heading right. The origin is the rear axle, x forward, y up, millimetres.
// Forward drive turns rings, cogs and the tension pulley clockwise and the
// guide pulley counter-clockwise. Angles run counter-clockwise from +x:
// radians inside, gearing.Degrees at the edge.
package sim
