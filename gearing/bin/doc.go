// Package bin reads, checks and writes parts bins: the TOML format in which a
// builder lists what is on hand and what could be bought. Load and Parse give a
// gearing.PartsBin, from which package sim/search chooses; Format writes one.
//
// A bin has three keys at its top and six kinds of tables, in any order:
//
//	name = "Shelf in the shed"
//	money = "euro"            # of every price
//
//	[[rings]]                 # rings that are fitted together
//	name = "double 46/30"
//	teeth = "46/30"
//	price = 45
//
//	[[cassette]]
//	name = "ten 11-36"
//	teeth = "11-13-15-17-19-21-24-28-32-36"
//	on_hand = true            # costs nothing
//
//	[[rear_derailleur]]       # the keys of the build file's [rear_derailleur]
//	name = "wide cage"
//	price = 70
//	rated_capacity = 39
//	pulley_centres = 93
//
//	[rear_derailleur.geometry] # and of its [rear_derailleur.geometry]
//	hanger_behind = 9
//	hanger_below = 28
//
//	[[rear_derailleur]]
//	name = "wide cage, larger tension pulley"
//	price = 85
//	same_as = "wide cage"     # measures and ratings; the keys given here differ
//	tension_pulley = 14
//
//	[[chain]]
//	name = "packet of 116"
//	price = 20
//	pitches = 116             # may be cut shorter
//
//	[[extender]]              # no extender is always a choice too
//	name = "22 mm down"
//	price = 15
//	behind = 4
//	below = 22
//
//	[[wheel]]                 # without one: the wheel of the build
//	name = "gravel wheel"
//	on_hand = true
//	tyre = "42-622"           # or roll_out = 2174
//
// Every part has a name of its own among its kind, and may have price, on_hand,
// available (false keeps it in the bin and out of the search) and note. Once one
// part has a price, every other one that is to be bought needs one.
//
// The values are checked by the fields of package build: the same keys, units,
// ranges and words as in a build file; prices are in one money, whatever it is.
// The order of the file is kept; it breaks ties in a search.
package bin
