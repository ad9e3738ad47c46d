// Package wearlog reads, checks and appends to wear logs: the TOML format in
// which an owner writes down the parts of a drivetrain, readings of its chains,
// findings and rides. Load and Parse give a gearing.WearLog, from which package
// sim/wear computes. Distances are kilometres there, lengths mm, elongations
// percent, whatever the file's units.
//
// A log has a few keys at its top and four kinds of tables, in any order:
//
//	name = "Errand bike"
//	distance_unit = "km"  # or "miles": of every distance in the file
//
//	[[part]]
//	id = "chain-1"
//	kind = "chain"
//	pitches = 110
//	fitted_at = 0
//
//	[[reading]]
//	part = "chain-1"
//	at = 1230             # odometer
//	on = 2026-03-14
//	method = "rule"
//	pitches = 24
//	length_mm = 306.9
//
//	[[finding]]
//	part = "chain-1"
//	at = 1230
//	kind = "stiff"
//
//	[[ride]]
//	on = 2026-03-15
//	distance = 42
//
// One table of fields (Fields) drives reading, flags, checks, writing and the
// starting log. Readings that contradict each other, go backwards or shrink are
// no errors here: they are what the owner saw, and package sim/wear explains
// them. What cannot be is refused.
//
// Append adds entries at the end of a log without touching a byte of what is
// there, whole or not at all, and one writer after the other; Draft.Append adds
// one that was typed in flags. Format writes entries for a log that is kept
// elsewhere, Template the top of a new one.
package wearlog
