package search

import (
	"errors"
	"fmt"
	"math"

	"cagewise/gearing"
)

// Wishes are what a builder asks of a drivetrain. Zero fields ask nothing
// unless they say otherwise.
type Wishes struct {
	// Lowest is the development in metres that the lowest gear must not
	// exceed, Highest what the highest must reach; 0.3 to 15, 0: any.
	Lowest, Highest gearing.Metres
	// LargestStep between neighbouring cogs; 1 to 100 %, 0: any.
	LargestStep gearing.Percent
	// LostGears is how many gears may be lost; negative: any number.
	LostGears int
	// Budget in money, when HasBudget.
	Budget    float64
	HasBudget bool
	// OverCapacity and OverCog are by how many teeth the derailleur's rated
	// capacity and largest cog may be exceeded; negative: by any number. A
	// rating that is not known bounds nothing.
	OverCapacity, OverCog gearing.Teeth
	// OnHandOnly leaves out what would have to be bought.
	OnHandOnly bool
}

// ErrWishes is wrapped when wishes contradict each other or cannot be read.
var ErrWishes = errors.New("wishes")

// Check refuses wishes that no drivetrain can meet.
func (w Wishes) Check() error {
	for _, c := range []struct {
		name         string
		v, low, high float64
		unit         string
	}{
		{"lowest development", float64(w.Lowest), 0.3, 15, "m"}, {"highest development", float64(w.Highest), 0.3, 15, "m"},
		{"largest step", float64(w.LargestStep), 1, 100, "%"},
	} {
		if c.v != 0 && !(c.v >= c.low && c.v <= c.high) {
			return fmt.Errorf("%w: %s %v %s; allowed: %v to %v", ErrWishes, c.name, c.v, c.unit, c.low, c.high)
		}
	}
	if w.HasBudget && !(w.Budget >= 0 && w.Budget <= mostMoney) {
		return fmt.Errorf("%w: budget %v; allowed: 0 to %v", ErrWishes, w.Budget, mostMoney)
	}
	if w.Lowest > 0 && w.Highest > 0 && w.Lowest >= w.Highest {
		return fmt.Errorf("%w: a lowest gear of at most %v m and a highest of at least %v m contradict each other only in a drivetrain of one gear; allowed: the lowest under the highest",
			ErrWishes, float64(w.Lowest), float64(w.Highest))
	}
	return nil
}

// mostMoney bounds prices, so that sums of hundredths fit.
const mostMoney = 1e9

// cents are hundredths of the money unit.
type cents int64

func toCents(money float64) cents { return cents(math.Round(money * 100)) }

// Money is the amount in the bin's unit.
func (c cents) Money() float64 { return float64(c) / 100 }
