package main

import (
	"fmt"
	"slices"
	"time"

	"cagewise/gearing"
	"cagewise/sim/wear"
)

// dangerRule is when `cagewise wear` ends with status 1.
const dangerRule = "Exit status 1 when a part on the bike that can throw the rider must be replaced, whether or not it can be had: a ring; a cassette or cog found hooked, lifting the chain or skipping; a cable; a chain of 1.5 % or more."

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

func (f wearFlags) report(path string, log gearing.WearLog, use cogUse) (wearReport, error) {
	chains, err := wear.Analyse(log)
	if err != nil {
		return wearReport{}, fmt.Errorf("%s: %w", path, err)
	}
	in := wear.DecideInput{Log: log, Usage: use.shares, Cogs: use.cogs}
	decided, states, err := decideAt(path, in, chains, f.km(log))
	if err != nil {
		return wearReport{}, err
	}
	r := wearReport{
		Log: summariseLog(log), Build: use.build, Chains: chainReports(chains), Report: decided, Use: use,
		ReadRule: wear.NextReadingRule, Cautions: wearCautions, Dangerous: dangerousParts(decided, states),
		miles: log.Miles, rows: *f.rows,
	}
	r.word, r.Verdict = r.verdictWords()
	return r, nil
}

// km is --at in kilometres, 0 when it was not given.
func (f wearFlags) km(log gearing.WearLog) float64 {
	if log.Miles {
		return *f.at * kmPerMile
	}
	return *f.at
}

// decideAt decides at an odometer distance, 0 being the log's last one.
func decideAt(path string, in wear.DecideInput, chains []wear.ChainWear, km float64) (wear.Report, []wear.ChainState, error) {
	r, err := decide(path, &in, chains, 0)
	if err != nil || km == 0 {
		return r, in.Chains, err
	}
	if km < r.KM {
		return r, nil, fmt.Errorf("--at: %s is before the last distance in %s; allowed: %s or more", bothUnits(km, in.Log.Miles), path, bothUnits(r.KM, in.Log.Miles))
	}
	r, err = decide(path, &in, chains, km)
	return r, in.Chains, err
}

func decide(path string, in *wear.DecideInput, chains []wear.ChainWear, km float64) (wear.Report, error) {
	in.KM, in.Chains = km, wear.StatesOf(chains, km)
	r, err := wear.Decide(*in)
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

func chainReports(chains []wear.ChainWear) []chainReport {
	list := make([]chainReport, len(chains))
	for i, c := range chains {
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
func dangerousParts(r wear.Report, states []wear.ChainState) []string {
	list := []string{}
	for _, d := range r.Decisions {
		due := d.Verdict == wear.Replace || slices.Contains(r.NotToBeHad, d.ID)
		if !d.Off && due && throws(d, states) {
			list = append(list, d.ID)
		}
	}
	return list
}

// throws tells whether a part that is due can throw the rider.
func throws(d wear.Decision, states []wear.ChainState) bool {
	switch d.Kind {
	case gearing.PartRing, gearing.PartCog, gearing.PartCable:
		return true
	case gearing.PartCassette:
		return slices.ContainsFunc(d.Risk, foundWorn)
	case gearing.PartChain:
		return slices.ContainsFunc(states, func(s wear.ChainState) bool {
			return s.ID == d.ID && s.HasReading && s.Elongation >= wear.LimitDrive
		})
	}
	return false
}

// bothUnits writes a distance in km, and in miles too where the owner uses
// them.
func bothUnits(km float64, miles bool) string {
	text := num(km, 0) + " km"
	if miles {
		text += fmt.Sprintf(" (%s miles)", num(km/kmPerMile, 0))
	}
	return text
}
