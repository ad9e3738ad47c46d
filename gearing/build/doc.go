// Package build reads, checks and writes build files: the TOML format in which
// cagewise keeps one bike's drivetrain.
//
// One table of fields (Fields) drives everything: reading a file, reading
// flags, the checks with their messages, the starting file that `cagewise new`
// writes and the key reference. A value that is not given falls back to a
// default, which Result.Defaults names, or stays unknown, and the computation
// that needs it asks for it by name.
//
// Lengths are millimetres as plain numbers, or text with a unit: "16.9 in",
// "43 cm", "430 mm". Rings and cogs come in either order.
package build
