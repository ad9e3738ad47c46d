package sim

import (
	"fmt"

	"cagewise/gearing"
)

// Card tells which gears a chain leaves: what to write on the stem when a few
// pitches are missing.
type Card struct {
	Pitches int `json:"pitches"`
	// Never holds the gears that lock, overstretch or foul.
	Never []gearing.GearID `json:"never"`
	// Doubtful holds gears that are not dangerous by their figures but may
	// be within the margins: a chance of DoubtfulChance or more.
	Doubtful []gearing.GearID `json:"doubtful"`
	// Slack holds the gears in which the chain may drop.
	Slack []gearing.GearID `json:"slack"`
	// Free holds the gears that run.
	Free []gearing.GearID `json:"free"`
}

// Roadside sorts the gears by what a chain does in them from which some pitches
// are missing. The B-screw stands as it was set for the whole chain. A gear on
// the card is a slip of the thumb away: only a stop screw or a locked shifter
// keeps a chain out of it. A count that no chain closes with is refused.
func (r *Rig) Roadside(whole, missing int) (Card, error) {
	n := whole - missing
	for _, n := range [...]int{whole, n} {
		if n < 3 || n > 10000 {
			return Card{}, badCount(n)
		}
	}
	if step := gearing.CountStep(r.Build.Chain); n%step != 0 {
		return Card{}, fmt.Errorf("a chain of %d pitches does not close: links alternate; allowed: an even count, or an odd one with an offset link", n)
	}
	f, m := r.held(float64(n), r.setBody(float64(whole)))
	f.Pitches = n
	c := Card{Pitches: n, Never: []gearing.GearID{}, Doubtful: []gearing.GearID{}, Slack: []gearing.GearID{}, Free: []gearing.GearID{}}
	for i := range f.Gears {
		g := &f.Gears[i]
		switch {
		case g.State.Dangerous():
			c.Never = append(c.Never, g.GearID)
		case m.Danger(f, i) >= DoubtfulChance:
			c.Doubtful = append(c.Doubtful, g.GearID)
		case g.State == Slack:
			c.Slack = append(c.Slack, g.GearID)
		default:
			c.Free = append(c.Free, g.GearID)
		}
	}
	return c, nil
}
