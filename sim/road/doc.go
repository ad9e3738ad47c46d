// Package road computes a rider on a road: speed and cadence in each gear on a
// grade, the grade a gear holds, and the gears a recorded ride really used.
//
// Rider is who and what is moved; its Power, Speed and Grade are the steady
// ride by Martin et al. 1998 (J. Appl. Biomech. 14:276, eqs. 3 to 9), held
// against their published example (testdata/road_power.csv). NewClimb asks for
// the lowest gears of a gearing.Table on a Hill.
//
// A Meter adds up recorded rides (CSV, GPX, TCX, FIT): time, turns and work in
// each gear, on each cog and ring. Beneath it ReadRide reads samples as a
// stream and a Detector finds the gear of each from speed and cadence, and by
// how much the recorder's wheel differs from the build's. Memory does not grow
// with a ride.
//
// Grades are rise over run, so 0.08 is 8 %. Speeds are metres a second inside
// and km/h where a name says so, cadences crank turns a minute, powers watts at
// the cranks, work kJ, masses kg. A rider's defaults are from memory and vary
// widely; the noise of a recorder is invented here.
//
// The package stands on gearing alone; the shares of the cogs' work that it
// finds feed package sim/wear.
package road
