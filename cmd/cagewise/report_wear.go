package main

import (
	"cagewise/gearing"
	"cagewise/plot"
	writeup "cagewise/plot/report"
)

// worn is what the log says about the first build's bike, with the use of its
// cogs from the rides where there are any.
func (f reportFlags) worn(c *call, p *plan) (writeup.Chapter, error) {
	if *f.log == "" {
		return writeup.Chapter{}, nil
	}
	log, err := c.wearLog(*f.log)
	if err != nil {
		return writeup.Chapter{}, err
	}
	wear := wearFlags{build: &c.args[0], rows: new(string), rides: new([]string), at: f.at, budget: new(float64), ride: f.ride}
	km, err := wear.km(*f.log, log)
	if err != nil {
		return writeup.Chapter{}, err
	}
	log.Miles = c.inMiles(log)
	use, err := wear.cogUse(c, &log, p)
	if err != nil {
		return writeup.Chapter{}, err
	}
	r, err := wear.report(*f.log, log, use, km)
	if err != nil {
		return writeup.Chapter{}, err
	}
	chapter := writeup.Chapter{Title: r.titleText(), Verdict: writeup.Verdict{Word: r.word, Sentence: r.Verdict, Tone: wordTone(r.word)}}
	_, chapter.Parts = written(c.units, r.write)
	r.addCharts(chapter.Parts)
	chapter.Parts = append(r.chainInFit(c, p), chapter.Parts...)
	return chapter, nil
}

// cogUse is usage with a build and rides that have been read already. The cogs of
// the build are held against the log's aloud.
func (f wearFlags) cogUse(c *call, log *gearing.WearLog, p *plan) (cogUse, error) {
	use, err := f.usageOf(c, p.in, log)
	if err != nil {
		return use, err
	}
	named := *c
	named.args = []string{p.logPath}
	use.sayWarnings(&named)
	if p.usage == nil {
		return use, nil
	}
	return use.fromRides(*p.usage, len(p.usage.Rides), c.args[0]), nil
}

func wordTone(word string) writeup.Tone {
	switch word {
	case wordStop:
		return writeup.Bad
	case wordKeep:
		return writeup.Good
	}
	return writeup.Doubtful
}

// addCharts puts the chart of each chain into its part.
func (r wearReport) addCharts(parts []writeup.Part) {
	for i, c := range r.Chains {
		for j := range parts {
			if parts[j].Title == "Chain "+c.ID {
				chart := plot.NewWearChart(c.ChainWear, r.KM, r.miles)
				parts[j].Pictures = append(parts[j].Pictures, writeup.Picture{Name: "wear-" + whole(i+1), Picture: chart, Wide: true})
			}
		}
	}
}
