package sim

// trace keeps where every gear of a fit stands, for the margins. A nil trace
// keeps nothing.
type trace struct {
	body  body
	gears []gearTrace
}

// gearTrace is one gear: the cage angles shown and at both limits, and the
// place of the axle that decides each limit.
type gearTrace struct {
	cage, front, rear     float64
	atFront, atRear       int
	frontWhy, rearWhy     Limit
	ok, locked, slackened bool
}

func (t *trace) of(i int) *gearTrace {
	if t == nil {
		return nil
	}
	return &t.gears[i]
}

func (t *gearTrace) keepFront(k int, l *limits) {
	if t != nil {
		t.front, t.atFront, t.frontWhy = l.front, k, l.frontWhy
	}
}

func (t *gearTrace) keepRear(k int, l *limits) {
	if t != nil {
		t.rear, t.atRear, t.rearWhy = l.rear, k, l.rearWhy
	}
}

func (t *gearTrace) keepPose(angle float64, l *limits) {
	if t != nil {
		t.cage, t.ok = angle, true
		t.locked, t.slackened = angle == l.front, angle == l.rear
	}
}
