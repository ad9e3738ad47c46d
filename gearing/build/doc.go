// Package build reads, checks and writes build files: the TOML format in which
// cagewise keeps one bike's drivetrain.
//
// Read gives the Result of a file: a gearing.Build ready for packages gearing
// and sim, the defaults that were assumed and warnings about unusual values.
// A program with flags of its own takes the steps one by one: Load or Parse
// into a Draft, Draft.SetFlag, Draft.Finish. Format writes a build back,
// Template the commented starting file, Schema a JSON Schema for editors.
// LoadReadings reads readings on the built bike. Errors are Problems, one line
// for everything that is wrong, with its place and what is allowed.
//
// One table of fields (Fields) drives everything: reading a file, reading
// flags, the checks with their messages, the starting file that `cagewise new`
// writes, the schema and the key reference. A value that is not given falls
// back to a default, which Result.Defaults names, or stays unknown, and the
// computation that needs it asks for it by name.
//
// Lengths are millimetres as plain numbers, or text with a unit: "16.9 in",
// "43 cm", "430 mm". Rings and cogs come in either order. Ranges are wide
// enough for any bike; usual ranges and defaults are common practice, no source.
//
// Its fields, problems and file reader serve packages gearing/bin and
// gearing/wearlog too.
package build
