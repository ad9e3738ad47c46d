// Package wear tells how worn a chain is and what follows: readings turned into
// elongation with honest errors, combined and looked ahead (Elongation,
// AnalyseChain, Forecast), and on top of that the parts to replace (Decide),
// plans and their cost (Policies, Rotate), faults by rhythm (Rhythms,
// FindFault), and which gear spares the chain (Friction).
//
// It computes from a gearing.WearLog, which package gearing/wearlog reads.
// AnalyseChain gives a ChainWear, StatesOf turns a list of them into what
// Decide and Policies take; CogUsage may come from rides (package sim/road).
//
// Elongation is percent of the pitch of 12.7 mm, distances are kilometres,
// lengths mm, work J, forces N. Errors are standard errors.
//
// Limits of elongation are common practice (testdata/elongation_rules.csv
// names what is published), the friction of a joint follows Spicer et al. 2001
// (J. Mech. Design 123:598), wear in proportion to load times sliding Archard
// 1953 (J. Appl. Phys. 24:981). No wear coefficient is published that would
// serve: forecasts rest on the owner's readings alone, and every default names
// itself as such.
package wear
