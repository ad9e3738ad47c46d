package plot

import (
	"fmt"
	"math"
	"strings"

	"cagewise/gearing"
	"cagewise/sim/wear"
)

// WearChart shows the elongation of one chain over distance: each reading by
// its method with an error bar, or a bracket where a gauge says no more than
// above or below; what the readings of one distance come to together; the fit,
// with its 90 % cone ahead; the limits as lines, with the distance at which the
// fit meets each; when to read again; and readings that are at odds.
type WearChart struct {
	Wear wear.ChainWear // of wear.AnalyseChain
	// Miles has distances written in miles instead of kilometres.
	Miles bool
	Name  string // heading; empty: the chain's ID

	km  float64 // the odometer now
	fit wearFit
}

// NewWearChart is the chart of one chain, the odometer now at km; up to the last
// reading, such as 0: now is that reading. It reads the forecast's curve at a few
// distances, which costs more than all the drawing.
func NewWearChart(c wear.ChainWear, km float64, miles bool) WearChart {
	return WearChart{Wear: c, Miles: miles, km: km, fit: newWearFit(&c, km)}
}

// barSigmas is how many standard errors either way hold 90 % of a normal law,
// as the forecast's cone does.
const barSigmas = 1.645

// Title is the heading.
func (c WearChart) Title() string {
	switch {
	case strings.TrimSpace(c.Name) != "":
		return c.Name
	case strings.TrimSpace(c.Wear.ID) != "":
		return "Wear of " + c.Wear.ID
	}
	return "Wear of a chain"
}

// Describe says what the chart shows.
func (c WearChart) Describe() string {
	s := "Elongation of a chain over distance. " + strings.Join(c.facts(), "; ") + "."
	if f := c.Wear.Forecast; f != nil {
		for _, l := range f.Limits {
			s += fmt.Sprintf(" %s: %s.", limitName(l.Limit), c.meetsWords(&l))
		}
		if f.NextReadingKM > 0 {
			s += " " + upper(c.nextWords()) + "."
		}
	}
	for _, k := range c.Wear.Contradictions {
		s += " " + k.Words
	}
	return s
}

// Size is the default page in mm.
func (c WearChart) Size() (wMM, hMM float64) { return 160, c.heightAt(160) }

// heightAt implements follower.
func (c WearChart) heightAt(wMM float64) float64 {
	lines := 35.0 // heading, plot, axis and three lines of the legend
	if wMM < 120 {
		lines += 4
	}
	if c.Wear.Forecast == nil {
		lines += 1.5
	}
	lines += 2.7 * float64(c.noted())
	return allowed(lines * max(ladderText, ladderPerWidth*wMM))
}

// facts are what the chart says in words.
func (c WearChart) facts() []string {
	w := &c.Wear
	list := []string{fmt.Sprintf("%s at %s", count(len(w.Estimates), "reading"), count(len(w.Points), "distance"))}
	if n := len(w.SetAside); n > 0 {
		list[0] += fmt.Sprintf(", %d more set aside", n)
	}
	list = append(list, c.nowWords())
	if w.Turns != "" {
		turns, _, _ := strings.Cut(w.Turns, ";")
		list = append(list, turns)
	}
	if w.Forecast == nil {
		return append(list, "No forecast: "+w.NoForecast)
	}
	return append(list, c.forecastFacts()...)
}

// nowWords tell the elongation now, as `cagewise wear` does: of the last reading,
// or, ridden on, by the forecast; without one, what it was then.
func (c WearChart) nowWords() string {
	p := c.Wear.Now
	if p.Bound {
		return "now only known by gauges that fall in or not"
	}
	e, half := float64(p.Elongation), barSigmas*float64(p.Error)
	low, high, when := e-half, e+half, "now"
	if since := c.Wear.RunSince(c.km); since > 0 {
		when = "at " + c.distance(p.KM)
		if f := c.Wear.Forecast; f != nil {
			mid, least, most := f.At(c.km)
			e, low, high, when = float64(mid), float64(least), float64(most), "now, by the forecast,"
		}
	}
	return fmt.Sprintf("%s %s %% (90 %%: %s to %s %%)", when, fixed(e, 2), fixed(low, 2), fixed(high, 2))
}

func (c WearChart) forecastFacts() []string {
	f := c.Wear.Forecast
	rate := fmt.Sprintf("%s %% per 1000 %s", fixed(float64(f.RatePer1000KM)*c.unitKM(), 3), c.unit())
	if c.Wear.TakesTurns() {
		rate += " of its own"
	}
	shape, _, _ := strings.Cut(f.ShapeWords, " (") // without its figures
	return append([]string{rate}, shape)
}

// unit is the unit that distances are written in.
func (c WearChart) unit() string {
	if c.Miles {
		return "miles"
	}
	return "km"
}

// unitKM is its length.
func (c WearChart) unitKM() float64 {
	if c.Miles {
		return gearing.KMPerMile
	}
	return 1
}

// distance writes a distance given in km.
func (c WearChart) distance(km float64) string {
	return fixed(km/c.unitKM(), 0) + " " + c.unit()
}

func (c WearChart) check() error {
	w := &c.Wear
	if len(w.Estimates) == 0 || len(w.Points) == 0 {
		return fmt.Errorf("wear chart: %q has no readings; make the value with wear.AnalyseChain", w.ID)
	}
	for i := range w.Points {
		if err := c.checkPoint(&w.Points[i]); err != nil {
			return fmt.Errorf("wear chart: point %d: %w", i+1, err)
		}
	}
	for i := range w.Estimates {
		e := &w.Estimates[i]
		if !percents(e.Elongation, e.Error, e.Low, e.High) {
			return fmt.Errorf("wear chart: reading %d: an elongation of %v (%v to %v) with an error of %v %%", i+1, e.Elongation, e.Low, e.High, e.Error)
		}
	}
	for _, k := range w.Contradictions {
		if min(k.A, k.B) < 0 || max(k.A, k.B) >= len(w.Estimates) {
			return fmt.Errorf("wear chart: readings %d and %d contradict each other, of %d", k.A, k.B, len(w.Estimates))
		}
	}
	return c.checkForecast()
}

// Greatest figures that a chart of wear reads.
const (
	mostPercent = 100
	mostKM      = 1e8
)

func percents(list ...gearing.Percent) bool {
	for _, v := range list {
		if !(math.Abs(float64(v)) <= mostPercent) {
			return false
		}
	}
	return true
}

func (c WearChart) checkPoint(p *wear.Point) error {
	if !(p.KM >= 0 && p.KM <= mostKM) || !percents(p.Elongation, p.Error) {
		return fmt.Errorf("%v +/- %v %% at %v km", p.Elongation, p.Error, p.KM)
	}
	for _, i := range p.From {
		if i < 0 || i >= len(c.Wear.Estimates) {
			return fmt.Errorf("it comes from reading %d of %d", i, len(c.Wear.Estimates))
		}
	}
	return nil
}

func (c WearChart) checkForecast() error {
	f := c.Wear.Forecast
	if f == nil {
		return nil
	}
	if len(c.fit.ahead) == 0 {
		return fmt.Errorf("wear chart: the forecast of %q is not read; make the chart with NewWearChart", c.Wear.ID)
	}
	for _, l := range f.Limits {
		if !percents(l.Limit) || !(l.KM >= 0 && l.KM <= mostKM && l.LowKM <= l.KM && l.KM <= l.HighKM) {
			return fmt.Errorf("wear chart: a limit of %v %% at %v km (%v to %v)", l.Limit, l.KM, l.LowKM, l.HighKM)
		}
	}
	return c.fit.check()
}
