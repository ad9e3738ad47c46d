package main

import (
	"fmt"
	"time"

	"cagewise/gearing"
	"cagewise/sim/wear"
)

// dangerRule is when `cagewise wear` ends with status 1.
const dangerRule = "Exit status 1 when a part on the bike that can throw the rider must be replaced, whether or not it can be had: a ring; a cassette or cog found hooked, lifting a new chain or skipping under load; a cable; a chain that is broken or bent, skips under load or is of 1.5 % or more."

// wearReport is what `cagewise wear` says.
type wearReport struct {
	Log   logSummary    `json:"log"`
	Build *buildSummary `json:"build"`
	// Verdict is what to do, in words.
	Verdict string `json:"verdict"`
	// Dangerous are the IDs of parts not to be ridden on with, see dangerRule.
	Dangerous []string      `json:"dangerous_parts"`
	Chains    []chainReport `json:"chains"`
	wear.Report
	Use      cogUse   `json:"cog_use"`
	ReadRule string   `json:"next_reading_rule"`
	Cautions []string `json:"cautions"`

	word  string // verdict in a word
	miles bool
	rows  string
}

// logSummary tells in every output which log it is about.
type logSummary struct {
	Name      string  `json:"name"`
	Note      string  `json:"note"`
	Motor     bool    `json:"motor"`
	Money     string  `json:"money"`
	KMPerYear float64 `json:"km_per_year"` // 0: not known
	KMFrom    string  `json:"km_per_year_from"`
}

// chainReport is a chain with its readings as they were taken.
type chainReport struct {
	wear.ChainWear
	Readings       []readingReport      `json:"readings"`
	Rises          []wear.Rise          `json:"rises"`
	Contradictions []wear.Contradiction `json:"contradictions"`
	SetAside       []wear.SetAside      `json:"set_aside"`
}

// readingReport is one reading and what it comes to.
type readingReport struct {
	Line    int                   `json:"line"`
	KM      float64               `json:"km"`
	On      time.Time             `json:"on,omitzero"`
	Method  gearing.ReadingMethod `json:"method"`
	Pitches int                   `json:"pitches"` // 0: the method's usual
	wear.Estimate
	Note string `json:"note"`
}

// wearCautions close every verdict on wear.
var wearCautions = []string{
	"Computed from your readings and findings, each with its error; a reading without its error is no reading.",
	"No wear coefficient is published for chains: your own log beats every default, and a forecast only says how it goes on if you ride on as before.",
	"That a new chain may skip is a risk, never a promise, nor is a low risk one: the gentle test off the road decides.",
	"The parts' makers, local rules and a qualified mechanic have the last word.",
}

func (f wearFlags) report(path string, log gearing.WearLog, use cogUse, km float64) (wearReport, error) {
	chains, err := wear.Analyse(log)
	if err != nil {
		return wearReport{}, fmt.Errorf("%s: %w", path, err)
	}
	in := wear.DecideInput{Log: log, Usage: use.shares, UsageKM: use.km, Cogs: use.cogs}
	decided, err := decideAt(path, in, chains, km)
	if err != nil {
		return wearReport{}, err
	}
	use.warnTiny(log, chains, decided.KM)
	if note := wear.Overcounted(log, chains, decided.KM); note != "" {
		decided.Notes = append([]string{note}, decided.Notes...)
	}
	r := wearReport{
		Log: summariseLog(log), Build: use.build, Chains: chainReports(chains, decided.KM), Report: decided, Use: use,
		ReadRule: wear.NextReadingRule, Cautions: wearCautions, Dangerous: dangerousParts(decided),
		miles: log.Miles, rows: *f.rows,
	}
	r.word, r.Verdict = r.verdictWords()
	return r, nil
}

// km is where the odometer stands: as --at says, in the log's unit, or else as
// the log and its rides say.
func (f wearFlags) km(path string, log gearing.WearLog) (float64, error) {
	o, km := wear.OdometerOf(log), *f.at
	if km == 0 {
		return o.KM, nil
	}
	if log.Miles {
		km *= gearing.KMPerMile
	}
	if km < o.EntryKM-1e-6 {
		return 0, fmt.Errorf("--at: %s is before the last distance in %s; allowed: %s or more", inUnit(km, log.Miles), path, inUnit(o.EntryKM, log.Miles))
	}
	return km, nil
}

// decideAt decides at an odometer distance.
func decideAt(path string, in wear.DecideInput, chains []wear.ChainWear, km float64) (wear.Report, error) {
	in.KM, in.Chains = km, wear.StatesOf(chains, km)
	r, err := wear.Decide(in)
	if err != nil {
		return r, fmt.Errorf("%s: %w", path, err)
	}
	return r, nil
}

func summariseLog(log gearing.WearLog) logSummary {
	s := logSummary{Name: log.Name, Note: log.Note, Motor: log.Motor, Money: log.Money}
	if s.Money == "" {
		s.Money = "money units"
	}
	s.KMPerYear, s.KMFrom = wear.KMPerYear(log)
	return s
}

func (s logSummary) heading() string {
	if s.Name == "" {
		return "Wear log"
	}
	return s.Name
}

// chainReports tells of the chains, their chances as of the odometer now.
func chainReports(chains []wear.ChainWear, km float64) []chainReport {
	list := make([]chainReport, len(chains))
	for i, c := range chains {
		if c.Forecast != nil && c.Part.RemovedKM < 0 {
			c.Forecast = c.Forecast.AsOf(km)
		}
		list[i] = chainReport{ChainWear: c, Rises: listed(c.Rises), Contradictions: listed(c.Contradictions), SetAside: listed(c.SetAside)}
		for _, e := range c.Estimates {
			list[i].Readings = append(list[i].Readings, readingReport{
				Line: e.Reading.Line, KM: e.Reading.KM, On: e.Reading.On, Method: e.Reading.Method, Pitches: e.Reading.Pitches, Estimate: e, Note: e.Reading.Note,
			})
		}
	}
	return list
}

// dangerousParts follows dangerRule.
func dangerousParts(r wear.Report) []string {
	list := []string{}
	for _, d := range r.Decisions {
		if d.Danger {
			list = append(list, d.ID)
		}
	}
	return list
}

// inUnit writes a distance in the log's unit.
func inUnit(km float64, miles bool) string {
	u := unitsOf(miles)
	return num(u.Distance(km), 0) + " " + u.DistanceUnit()
}

// unitsOf are the units of distances in miles or km.
func unitsOf(miles bool) gearing.Units {
	if miles {
		return gearing.Imperial
	}
	return gearing.Metric
}
