// Package gearing says what teeth alone say about a derailleur drivetrain: the
// gears and the steps between them, overlap and duplicates of the rings, the
// order to shift in, the makers' ratings, the loop round ring and cog, chain
// length by the shop methods, and chain line.
//
// A Build is one bike's drivetrain with every unit fixed. Write it down in Go,
// where a zero in an optional field means "not known", or read it with package
// gearing/build, which also knows the defaults. From it come a Table (every gear
// with its development, gear inches and speeds; its methods find overlap,
// recovery shifts and the order to shift in) and a RatedFit (what the ratings
// and the chain length say, with a verdict). NewLoop, BestCogs and ChainLines
// answer single questions. PartsBin and WearLog hold what gearing/bin and
// gearing/wearlog read.
//
// Units are types where a mix-up hurts: Teeth, MM (millimetres), Metres,
// Inches, Pitches (of a chain, 12.7 mm each), Degrees and Percent. Wheels are
// listed with the smallest first, gears ring by ring from the smallest, each
// from the largest cog.
//
// Pitch, root and tip diameters follow ISO 606 and ASME B29.1, tyre markings
// ISO 5775; the loop is exact for smooth strands and is held against handbook
// tables (testdata/chain_length.csv and others, with their sources). Default
// widths and spacings are common practice without a source, and say so.
//
// The package imports the standard library alone. What the cage does in every
// gear needs more than teeth: package sim computes it from the same Build.
package gearing
