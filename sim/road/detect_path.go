package road

import (
	"math"

	"cagewise/gearing"
)

// gearPath finds the most likely way through the gears, given noisy
// developments (Viterbi 1967, IEEE Trans. Inf. Theory 13:260), over a window
// that moves along. Costs are negative logarithms of likelihoods.
//
// Gears of two rings may have nearly the same development. As a shift of rings
// is rare, the path stays on the ring of the last moment that told rings apart;
// twinRun holds duplicates to it.
type gearPath struct {
	gears int
	logs  []float64 // logarithm of each development, as the recorder shows it
	top   float64   // the highest of them
	shift []float64 // cost from gear h to gear g within a second, at [h*gears+g]
	twins []twinRun // of each gear

	cost, next []float64 // of the best way to each gear
	fit        []float64 // how badly each gear fits the moment that is weighed
	begun      bool
	pause      float64 // seconds since the last pedalled moment

	window []pathMoment
	from   []uint8 // for each moment of the window the gear before each gear
}

// pathMoment is a moment that waits for its gear.
type pathMoment struct {
	Moment
	log, tolerance float64
}

// pathWindow is how many moments wait for what follows. The ways from all
// gears meet long before half of it.
const pathWindow = 1024

// Costs of shifts within one second (invented here, from how riders ride: a
// rear shift about every 25 seconds, a shift over two cogs half as often, a
// front shift every five minutes or so, with cogs shifted to recover).
const (
	costRear    = 3.2 // ln 25
	costCog     = 0.8 // each further cog
	costFront   = 5.7 // ln 300
	costLost    = 1.5 // into a gear that the derailleur does not carry
	costCrossed = 1.0 // to start fully cross-chained
	leastShift  = 0.1
	longPause   = 60.0 // seconds of not pedalling after which all shifts are likely
)

// Developments that belong to no gear: one moment in twenty, spread evenly
// over the logarithms of developments from 0.8 to 10 m (invented here).
const (
	strayShare = 0.05
	straySpan  = 2.5
)

func newGearPath(t gearing.Table, scale float64) *gearPath {
	n := len(t.Gears)
	p := &gearPath{
		gears: n, logs: make([]float64, n), top: math.Inf(-1), shift: make([]float64, n*n),
		cost: make([]float64, n), next: make([]float64, n), fit: make([]float64, n), twins: newTwinRuns(t),
		window: make([]pathMoment, 0, pathWindow), from: make([]uint8, pathWindow*n),
	}
	for g := range t.Gears {
		p.logs[g] = math.Log(float64(t.Gears[g].Development) * scale)
		p.top = max(p.top, p.logs[g])
		p.cost[g] = costCrossed * crossed(t, t.Gears[g])
		if t.Gears[g].Lost {
			p.cost[g] += costLost
		}
		for h := range t.Gears {
			p.shift[h*n+g] = shiftCost(t.Gears[h], t.Gears[g])
		}
	}
	return p
}

// crossed is 0 for a straight chain and 1 for a fully crossed one, by the
// places of ring and cog alone.
func crossed(t gearing.Table, g gearing.Gear) float64 {
	if len(t.Rings) == 1 || len(t.Cogs) == 1 {
		return 0
	}
	ring := float64(g.RingIndex) / float64(len(t.Rings)-1)
	cog := float64(g.CogIndex) / float64(len(t.Cogs)-1)
	return math.Abs(1 - ring - cog)
}

func shiftCost(from, to gearing.Gear) float64 {
	cogs := math.Abs(float64(to.CogIndex - from.CogIndex))
	rings := math.Abs(float64(to.RingIndex - from.RingIndex))
	cost := costFront*rings + costCog*cogs
	if rings == 0 && cogs > 0 {
		cost += costRear - costCog
	}
	if to.Lost && !from.Lost {
		cost += costLost
	}
	return cost
}

func (p *gearPath) full() bool { return len(p.window) == pathWindow }

// add takes the next moment; noise is the standard error of its development.
func (p *gearPath) add(m pathMoment, noise float64) {
	from := p.from[len(p.window)*p.gears:][:p.gears]
	p.window = append(p.window, m)
	p.pause += max(m.Seconds, 0)
	if m.Seconds == 0 {
		p.pause = longPause
	}
	if m.State != Pedalled {
		for g := range from {
			from[g] = uint8(g)
		}
		return
	}
	p.step(from)
	p.weigh(m.log, noise)
	p.begun, p.pause = true, 0
}

// step goes from the costs before a moment to those in it. Shifts are the
// likelier the longer the cranks were not seen turning.
func (p *gearPath) step(from []uint8) {
	ease := math.Log(min(max(p.pause, 0.1), longPause))
	if !p.begun { // the first moment: no gear comes before
		ease = math.Inf(-1)
	}
	for g := range from {
		best, at := p.cost[g], g
		for h := 0; h < p.gears; h++ {
			if c := p.cost[h] + max(p.shift[h*p.gears+g]-ease, leastShift); c < best {
				best, at = c, h
			}
		}
		p.next[g], from[g] = best, uint8(at)
	}
	p.cost, p.next = p.next, p.cost
}

// weigh adds how badly each gear fits a development: normal noise, but never
// worse than a stray value.
func (p *gearPath) weigh(log, noise float64) {
	stray := math.Log(straySpan / (strayShare * noise * math.Sqrt(2*math.Pi)))
	for g, l := range p.logs {
		z := (log - l) / noise
		p.fit[g] = min(z*z/2, stray)
	}
	least := math.Inf(1)
	for g := range p.cost {
		p.cost[g] += p.twins[g].weigh(g, p.fit, noise)
		least = min(least, p.cost[g])
	}
	for g := range p.cost {
		p.cost[g] -= least
	}
}

// flush gives their gears to all moments but the last keep ones and hands
// them on.
func (p *gearPath) flush(keep int, each func(Moment)) {
	done := len(p.window) - keep
	gear := 0
	for g, c := range p.cost {
		if c < p.cost[gear] {
			gear = g
		}
	}
	for i := len(p.window) - 1; i >= 0; i-- {
		p.window[i].settle(gear, p.logs[gear])
		gear = int(p.from[i*p.gears+gear])
	}
	for i := range p.window[:done] {
		each(p.window[i].moment())
	}
	p.window = p.window[:copy(p.window, p.window[done:])]
	copy(p.from, p.from[done*p.gears:])
}

// settle puts a pedalled moment into its gear, or into none when it is too far
// off. It may be called again with a better gear.
func (m *pathMoment) settle(gear int, log float64) {
	if m.State != Pedalled {
		return
	}
	m.Gear = gear
	if math.Abs(m.log-log) > m.tolerance {
		m.Gear = -1
	}
}

// moment is the finished moment.
func (m *pathMoment) moment() Moment {
	done := m.Moment
	if done.State == Pedalled && done.Gear < 0 {
		done.State = Unknown
	}
	return done
}
