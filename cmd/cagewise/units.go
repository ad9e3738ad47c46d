package main

import (
	"fmt"
	"slices"

	"github.com/spf13/pflag"

	"cagewise/gearing"
)

var unitNames = []string{gearing.Metric.String(), gearing.Imperial.String()}

// addUnitsFlag offers the units that people read; json and csv have theirs in
// their keys.
func addUnitsFlag(flags *pflag.FlagSet) {
	flags.String("units", gearing.Metric.String(), "metric, or imperial: miles, mph, ft, lb, gear inches, a chain's length in inches; json and csv stay metric")
}

// addRulerUnitsFlag is addUnitsFlag where a chain's length alone has a unit to
// choose.
func addRulerUnitsFlag(flags *pflag.FlagSet) {
	flags.String("units", gearing.Metric.String(), "metric, or imperial: a chain's length in inches; json and csv stay metric")
}

// addLogUnitsFlag is addUnitsFlag where a wear log has a unit of its own.
func addLogUnitsFlag(flags *pflag.FlagSet) {
	flags.String("units", "", "km or miles: metric or imperial; default: the log's distance_unit; json and csv stay as they are")
}

// unitsAsked reads --units, metric where it is not given.
func unitsAsked(flags *pflag.FlagSet) (gearing.Units, error) {
	flag := flags.Lookup("units")
	if flag == nil || !flag.Changed {
		return gearing.Metric, nil
	}
	i := slices.Index(unitNames, flag.Value.String())
	if i < 0 {
		return gearing.Metric, fmt.Errorf("--units: %w", unknown("units", flag.Value.String(), unitNames))
	}
	return gearing.Units(i), nil
}

// inMiles tells whether what people read about a wear log has miles: as --units
// says, or else as the log does.
func (c *call) inMiles(log gearing.WearLog) bool {
	if c.flags.Changed("units") {
		return c.units == gearing.Imperial
	}
	return log.Miles
}

// milesFor is inMiles for one output: json and csv go by the log alone.
func (c *call) milesFor(log gearing.WearLog, out outputFlags) bool {
	if out.isMachine() {
		return log.Miles
	}
	return c.inMiles(log)
}

// developColumn heads a column of developments.
func developColumn(u gearing.Units) column {
	if u == gearing.Imperial {
		return column{head: "inches", unit: u.DevelopmentUnit()}
	}
	return column{head: "develop.", unit: u.DevelopmentUnit()}
}

// wideDevelopColumn is developColumn where there is room.
func wideDevelopColumn(u gearing.Units) column {
	c := developColumn(u)
	if u == gearing.Metric {
		c.head = "development"
	}
	return c
}

// develops writes the bare figure of a development.
func develops(u gearing.Units, d gearing.Metres) string {
	return num(u.Development(d), u.DevelopmentDecimals())
}

// developmentWords write a development in full.
func developmentWords(u gearing.Units, d gearing.Metres) string {
	if u == gearing.Imperial {
		return develops(u, d) + " gear inches"
	}
	return develops(u, d) + " m a crank turn"
}

// speedWords write a speed as it was given, or converted to a tenth.
func speedWords(u gearing.Units, kmh float64) string {
	if u == gearing.Metric {
		return num(kmh, -1) + " km/h"
	}
	return num(u.Speed(kmh), 1) + " " + u.SpeedUnit()
}

// riderWords are mass, drag area and air as they were given, or converted.
func riderWords(u gearing.Units, kg, m2 float64) (mass, area string) {
	return num(u.Mass(kg), 0) + " " + u.MassUnit(), num(u.Area(m2), 2) + " " + u.AreaUnit()
}

func airWords(u gearing.Units, kgm3 float64) string {
	if u == gearing.Metric {
		return num(kgm3, 2) + " " + u.DensityUnit()
	}
	return num(u.Density(kgm3), 4) + " " + u.DensityUnit()
}
