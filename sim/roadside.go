package sim

import (
	"fmt"

	"cagewise/gearing"
)

// Card tells which gears a chain leaves: what to write on the stem when a few
// pitches are missing.
type Card struct {
	Pitches int          `json:"pitches"`
	Gears   []GearAdvice `json:"-"`
	// Never holds the gears that lock, are too short or hit.
	Never []gearing.GearID `json:"never"`
	// Doubtful holds gears that are not dangerous by their figures but may be,
	// with LostChance or more.
	Doubtful []gearing.GearID `json:"doubtful"`
	// Tight holds the gears that turn with less in hand than the trade wants.
	Tight []gearing.GearID `json:"tight"`
	// Slack holds the gears in which the chain hangs slack, or may with
	// LostChance or more.
	Slack []gearing.GearID `json:"slack"`
	// Free holds the gears that run.
	Free []gearing.GearID `json:"free"`
}

// Card sorts the gears of an advice.
func (a *Advice) Card() Card {
	c := Card{Pitches: a.Pitches, Gears: a.Gears}
	c.sort()
	return c
}

func (c *Card) sort() {
	c.Never, c.Doubtful, c.Tight = []gearing.GearID{}, []gearing.GearID{}, []gearing.GearID{}
	c.Slack, c.Free = []gearing.GearID{}, []gearing.GearID{}
	for i := range c.Gears {
		list := &c.Free
		switch g := &c.Gears[i]; {
		case g.State.Dangerous():
			list = &c.Never
		case g.Danger.Any >= LostChance:
			list = &c.Doubtful
		case g.State == Tight:
			list = &c.Tight
		case g.Lost:
			list = &c.Slack
		}
		*list = append(*list, c.Gears[i].GearID)
	}
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
	f := r.newFit()
	r.fitHeld(float64(n), r.setBody(float64(whole)), &f)
	f.Pitches = n
	j := r.look(f, whole)
	c := Card{Pitches: n, Gears: j.gears(true)}
	c.sort()
	return c, nil
}
