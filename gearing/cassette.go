package gearing

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// StepPattern says how the steps of a cassette shall be spread.
type StepPattern struct {
	// Cruise is the cog round which the steps shall be tighter; 0: even
	// steps in percent all over.
	Cruise Teeth
	// Tightness weighs the steps at the cruising cog against those at the
	// ends; 0: 4, allowed up to 50. A weight of 4 makes the step there about
	// half of those at the ends.
	Tightness float64
}

// ErrCassette is wrapped when no cassette can be made as asked.
var ErrCassette = errors.New("cassette")

// cruiseWidth is how far the tight part reaches, as a logarithm: about 20 %
// of the cog either way (invented here).
const cruiseWidth = 0.2

// BestCogs finds the n cogs between two ends, ends included, whose steps
// follow a pattern best: the least sum of squared logarithmic steps, each
// weighted by the pattern. Squares make equal steps the best under equal
// weights. It is exact, by dynamic programming over the whole teeth between.
func BestCogs(n int, smallest, largest Teeth, p StepPattern) ([]Teeth, error) {
	if err := checkCassette(n, smallest, largest, p); err != nil {
		return nil, err
	}
	span := int(largest-smallest) + 1
	cost := make([][]float64, n) // cost[k][i]: best way to cog i as the k-th
	from := make([][]int, n)
	for k := range cost {
		cost[k], from[k] = make([]float64, span), make([]int, span)
		for i := range cost[k] {
			cost[k][i] = math.Inf(1)
		}
	}
	cost[0][0] = 0
	for k := 1; k < n; k++ {
		for i := k; i < span; i++ {
			for j := k - 1; j < i; j++ {
				if c := cost[k-1][j] + p.cost(smallest+Teeth(j), smallest+Teeth(i)); c < cost[k][i] {
					cost[k][i], from[k][i] = c, j
				}
			}
		}
	}
	cogs := make([]Teeth, n)
	for k, i := n-1, span-1; k >= 0; k-- {
		cogs[k] = smallest + Teeth(i)
		i = from[k][i]
	}
	return cogs, nil
}

func checkCassette(n int, smallest, largest Teeth, p StepPattern) error {
	switch {
	case n < 2 || n > MaxCogs:
		return fmt.Errorf("%w: %d cogs; allowed 2 to %d", ErrCassette, n, MaxCogs)
	case smallest < MinTeeth || largest > MaxTeeth || largest <= smallest:
		return fmt.Errorf("%w: cogs from %d to %d teeth; allowed rising, %d to %d", ErrCassette, smallest, largest, MinTeeth, MaxTeeth)
	case int(largest-smallest)+1 < n:
		return fmt.Errorf("%w: %d cogs do not fit between %d and %d teeth; allowed at most %d", ErrCassette, n, smallest, largest, largest-smallest+1)
	case p.Cruise != 0 && (p.Cruise < smallest || p.Cruise > largest):
		return fmt.Errorf("%w: cruising cog of %d teeth; allowed %d to %d", ErrCassette, p.Cruise, smallest, largest)
	case !(p.Tightness >= 0 && p.Tightness <= 50):
		return fmt.Errorf("%w: tightness %v; allowed 0 to 50", ErrCassette, p.Tightness)
	}
	return nil
}

// cost of the step between two neighbouring cogs.
func (p StepPattern) cost(small, large Teeth) float64 {
	step := math.Log(float64(large) / float64(small))
	if p.Cruise == 0 {
		return step * step
	}
	middle := math.Sqrt(float64(small) * float64(large))
	x := math.Log(middle/float64(p.Cruise)) / cruiseWidth
	return step * step * (1 + (orDefault(p.Tightness, 4)-1)*math.Exp(-x*x))
}

// Steps are the steps of a rising list of cogs, from the largest.
func Steps(cogs []Teeth) []CogStep {
	var steps []CogStep
	for j := len(cogs) - 1; j > 0; j-- {
		steps = append(steps, CogStep{
			From: cogs[j], To: cogs[j-1],
			Size: StepPercent(float64(cogs[j-1]), float64(cogs[j])),
		})
	}
	return steps
}

// MixCogs takes one cog out of a rising list and puts another in.
func MixCogs(cogs []Teeth, out, in Teeth) ([]Teeth, error) {
	i := slices.Index(cogs, out)
	switch {
	case i < 0:
		return nil, fmt.Errorf("%w: no cog of %d teeth to take out; there are %s", ErrCassette, out, cogWords(cogs))
	case in < MinTeeth || in > MaxTeeth:
		return nil, fmt.Errorf("%w: cog of %d teeth; allowed %d to %d", ErrCassette, in, MinTeeth, MaxTeeth)
	case slices.Contains(cogs, in):
		return nil, fmt.Errorf("%w: a cog of %d teeth is there already", ErrCassette, in)
	}
	mixed := slices.Clone(cogs)
	mixed[i] = in
	return SortTeeth(mixed), nil
}

// cogWords writes cogs as one lists them: 11-13-15.
func cogWords(cogs []Teeth) string {
	words := make([]string, len(cogs))
	for i, c := range cogs {
		words[i] = strconv.Itoa(int(c))
	}
	return strings.Join(words, "-")
}
