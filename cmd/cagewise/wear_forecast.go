package main

import (
	"fmt"
	"time"

	"cagewise/sim/wear"
)

// forecastTable is when each limit is reached.
func (r wearReport) forecastTable(f *wear.Forecast) *table {
	t := &table{cols: []column{{head: "limit", unit: "%"}, {head: "passed", unit: "%"}, {head: "reached", unit: r.unit()}, {head: "earliest", unit: r.unit()}, {head: "latest", unit: r.unit()}}}
	dated := f.KMPerYear > 0 && !f.Limits[0].LowOn.IsZero()
	if dated {
		t.cols = append(t.cols, column{head: "on", left: true}, column{head: "earliest", left: true}, column{head: "latest", left: true})
	}
	for _, l := range f.Limits {
		row := []string{num(float64(l.Limit), 2), chance(l.Chance), r.open(l.KM, l.OpenKM), r.bare(l.LowKM), r.open(l.HighKM, l.Open)}
		if dated {
			row = append(row, openDay(l.On), openDay(l.LowOn), openDay(l.HighOn))
		}
		t.add(row...)
	}
	return t
}

func (r wearReport) open(km float64, open bool) string {
	if open {
		return "open"
	}
	return r.bare(km)
}

func openDay(t time.Time) string {
	if t.IsZero() {
		return "open"
	}
	return day(t)
}

// chance writes a chance from 0 to 1 in whole percent, never as certain.
func chance(x float64) string {
	switch {
	case x < 0.01:
		return "<1"
	case x > 0.99:
		return ">99"
	}
	return num(100*x, 0)
}

// yearWords tell where dates come from.
func (r wearReport) yearWords(f *wear.Forecast) string {
	if f.KMPerYear <= 0 {
		return fmt.Sprintf("No dates: distance a year %s.", f.KMPerYearFrom)
	}
	return fmt.Sprintf("Dates take %s a year, %s.", r.distance(f.KMPerYear), f.KMPerYearFrom)
}

func (c chainReport) nextReading(f *wear.Forecast, r wearReport) string {
	if c.Contradicts() {
		return "Read it again now, before you go by this: its readings contradict each other."
	}
	if f.NextReadingKM == 0 {
		return "No next reading is due for a limit: all of them are passed."
	}
	if f.NextReadingKM <= r.KM {
		return fmt.Sprintf("It was to be read again at %s: %s.", r.distance(f.NextReadingKM), r.readRule())
	}
	return fmt.Sprintf("Read it again at %s%s: %s.", r.distance(f.NextReadingKM), dayWords(", about ", f.NextReadingOn), r.readRule())
}

// readRule is ReadRule in the log's unit.
func (r wearReport) readRule() string {
	if r.miles {
		return wear.NextReadingRuleMiles
	}
	return r.ReadRule
}

// perUnit brings a rate per kilometre to the log's unit.
func (r wearReport) perUnit(rate float64) float64 {
	return unitsOf(r.miles).PerDistance(rate)
}

// perThousand writes a rate in % a 1000 km or miles; slow ones with one digit more.
func perThousand(rate float64) string {
	if rate < 0.1 {
		return num(rate, 3)
	}
	return num(rate, 2)
}
