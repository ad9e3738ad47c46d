package road

// clock keeps time rising. A time that is not after the last one is refused,
// but after patience such times that rise among themselves the clock was set
// back, and the ride goes on after a break.
type clock struct {
	started      bool
	offset, last float64 // seconds of the ride = time - offset
	refused      float64
	run          int
}

const (
	patience     = 10
	mostTime     = 1e11       // seconds; over three thousand years is no time
	breakSeconds = 2 * MaxGap // put in where the clock was set
)

// read gives the seconds of the ride at a time; set tells that the clock was
// set back.
func (c *clock) read(t float64) (seconds float64, set, ok bool) {
	if !c.started {
		c.started, c.offset = true, t
		return 0, false, true
	}
	if s := t - c.offset; s > c.last {
		c.last, c.run = s, 0
		return s, false, true
	}
	if c.run > 0 && t <= c.refused {
		c.run = 0
	}
	c.refused = t
	c.run++
	if c.run < patience {
		return 0, false, false
	}
	c.last += breakSeconds
	c.offset, c.run = t-c.last, 0
	return c.last, true, true
}
