package plot

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	partsearch "cagewise/sim/search"
)

// ChoiceChart shows what a search of a parts bin found, range over largest
// step: a disc for each of the best, its area the margin, ticks round it the
// price, beside it its number in the list and the price in figures. A line runs
// along those that no other beats in range and step; the next best are hollow.
type ChoiceChart struct {
	Result partsearch.Result
	Name   string // heading; empty: the bin's name
}

// NewChoiceChart is the chart of a search.
func NewChoiceChart(r partsearch.Result) ChoiceChart { return ChoiceChart{Result: r} }

// Title is the heading.
func (c ChoiceChart) Title() string {
	switch {
	case strings.TrimSpace(c.Name) != "":
		return c.Name
	case strings.TrimSpace(c.Result.Bin.Name) != "":
		return "Choices from " + c.Result.Bin.Name
	}
	return "Choices from the parts bin"
}

// mostDescribed is how many of the best a description goes into.
const mostDescribed = 12

// Describe says what the chart shows.
func (c ChoiceChart) Describe() string {
	s := "Range over largest step of combinations of parts. " + strings.Join(c.facts(), "; ") + "."
	if c.Result.Partial {
		s += " " + c.partialWords() + "."
	}
	for i := range min(len(c.Result.Best), mostDescribed) {
		s += fmt.Sprintf(" %d: %s.", i+1, strings.Join(c.choiceFacts(&c.Result.Best[i]), ", "))
	}
	if more := len(c.Result.Best) - mostDescribed; more > 0 {
		s += fmt.Sprintf(" %d more.", more)
	}
	return s
}

// Size is the default page in mm.
func (c ChoiceChart) Size() (wMM, hMM float64) { return 160, c.heightAt(160) }

// heightAt implements follower.
func (c ChoiceChart) heightAt(wMM float64) float64 {
	lines := 36.0 // heading, plot, axis and three lines of the legend
	if n := len(c.Result.Best); n > 12 {
		lines += min(float64(n)/6, 8)
	}
	if wMM < 120 {
		lines += 5
	}
	return allowed(lines * max(ladderText, ladderPerWidth*wMM))
}

// money is the unit of the prices.
func (c ChoiceChart) money() string { return cmp.Or(c.Result.Bin.Money, "money units") }

func (c ChoiceChart) check() error {
	r := &c.Result
	if !(r.Combinations >= 0 && r.Combinations <= math.MaxFloat64 && r.Done >= 0 && r.Done <= r.Combinations) {
		return fmt.Errorf("choice chart: %v of %v combinations decided", r.Done, r.Combinations)
	}
	for i := range r.Best {
		if err := checkFound(&r.Best[i]); err != nil {
			return fmt.Errorf("choice chart: choice %d: %w", i+1, err)
		}
	}
	for i := range r.RunnersUp {
		if err := checkFound(&r.RunnersUp[i].Found); err != nil {
			return fmt.Errorf("choice chart: next best %d: %w", i+1, err)
		}
	}
	if m := r.Nearest; m != nil {
		if err := checkFound(&m.Found); err != nil {
			return fmt.Errorf("choice chart: nearest miss: %w", err)
		}
	}
	return nil
}

// Greatest figures that a chart of choices reads.
const (
	mostRange  = 1e5 // %
	mostMargin = 1e4 // pitches
	mostPrice  = 1e12
)

func checkFound(f *partsearch.Found) error {
	switch {
	case !(f.Range >= 0 && f.Range <= mostRange) || !(f.LargestStep >= 0 && f.LargestStep <= mostRange):
		return fmt.Errorf("a range of %v %% with a largest step of %v %%", f.Range, f.LargestStep)
	case !(math.Abs(float64(f.Margin)) <= mostMargin):
		return fmt.Errorf("a margin of %v pitches", f.Margin)
	case !(f.Price >= 0 && f.Price <= mostPrice):
		return fmt.Errorf("a price of %v", f.Price)
	}
	return nil
}
