package road

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
)

// field is the place of a value in a rawPoint.
type field int

const (
	fieldTime      field = iota // seconds from anywhere
	fieldSpeed                  // m/s
	fieldCadence                // rpm
	fieldPower                  // W
	fieldDistance               // m
	fieldLatitude               // degrees
	fieldLongitude              // degrees
	fieldCount
)

// rawPoint is a point of a ride as its file has it, in our units; NaN stands
// for what is not there.
type rawPoint struct {
	place  int // line or record
	values [fieldCount]float64
}

func newRawPoint(place int) rawPoint {
	p := rawPoint{place: place}
	for i := range p.values {
		p.values[i] = math.NaN()
	}
	return p
}

// flaw is a kind of bad value in a ride, with how often it came.
type flaw struct {
	count, first int // first is the place of the first one
}

const (
	flawNoTime = iota
	flawBackwards
	flawClock
	flawNumber
	flawSpeed
	flawCadence
	flawPower
	flawCount
)

// flawText says what each flaw is and what is made of it.
var flawText = [flawCount]string{
	flawNoTime:    "without a time, left out",
	flawBackwards: "with a time that is not after the one before, left out",
	flawClock:     "where the clock was set back, taken as a break",
	flawNumber:    "with a value that is no number, taken as not recorded",
	flawSpeed:     fmt.Sprintf("with a speed outside 0 to %.0f km/h, taken as not recorded", KmH(MostSpeed)),
	flawCadence:   fmt.Sprintf("with a cadence outside 0 to %.0f rpm, taken as not recorded", MostCadence),
	flawPower:     fmt.Sprintf("with a power outside 0 to %.0f W, taken as not recorded", MostPower),
}

// cleaner turns raw points into samples: it keeps time rising, drops values
// that cannot be, and derives speed from distance where none is recorded.
type cleaner struct {
	rec  *Recording
	each func(Sample) error
	stop error // what each returned

	flaws [flawCount]flaw
	clock clock
	track track
	pace  pace
}

func newCleaner(rec *Recording, each func(Sample) error) *cleaner {
	return &cleaner{rec: rec, each: each}
}

func (c *cleaner) note(kind, place int) {
	f := &c.flaws[kind]
	if f.count == 0 {
		f.first = place
	}
	f.count++
	if kind == flawNoTime || kind == flawBackwards {
		c.rec.LeftOut++
	}
}

// number reads a value; an empty one is not recorded, a bad one is noted.
func (c *cleaner) number(text []byte, place int) float64 {
	text = bytes.TrimSpace(text)
	if len(text) == 0 {
		return math.NaN()
	}
	v, err := strconv.ParseFloat(string(text), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		c.note(flawNumber, place)
		return math.NaN()
	}
	return v
}

// add takes the next point. Its error is that of each and ends the reading.
func (c *cleaner) add(p rawPoint) error {
	if !(math.Abs(p.values[fieldTime]) < mostTime) {
		c.note(flawNoTime, p.place)
		return nil
	}
	seconds, ok := c.time(p)
	if !ok {
		return nil
	}
	s := Sample{
		Seconds: seconds,
		Speed:   c.within(p, fieldSpeed, flawSpeed, MostSpeed),
		Cadence: c.within(p, fieldCadence, flawCadence, MostCadence),
		Power:   c.within(p, fieldPower, flawPower, MostPower),
	}
	distance := p.values[fieldDistance]
	if math.IsNaN(distance) {
		distance = c.track.distance(p.values[fieldLatitude], p.values[fieldLongitude])
	}
	c.pace.add(s, distance, p.place, c.emit)
	return c.stop
}

func (c *cleaner) time(p rawPoint) (seconds float64, ok bool) {
	seconds, set, ok := c.clock.read(p.values[fieldTime])
	switch {
	case !ok:
		c.note(flawBackwards, p.place)
	case set:
		c.note(flawClock, p.place)
	}
	return seconds, ok
}

func (c *cleaner) within(p rawPoint, f field, kind int, most float64) float64 {
	v := p.values[f]
	if v < 0 || v > most {
		c.note(kind, p.place)
		return math.NaN()
	}
	return v
}

func (c *cleaner) emit(s Sample, place int) {
	if c.stop != nil {
		return
	}
	if s.Derived && s.Speed > MostSpeed {
		c.note(flawSpeed, place)
		s.Speed, s.Derived = math.NaN(), false
	}
	c.rec.Samples++
	for _, n := range []struct {
		count *int
		has   bool
	}{{&c.rec.WithCadence, !math.IsNaN(s.Cadence)}, {&c.rec.WithTurning, s.Cadence > 0}, {&c.rec.WithPower, !math.IsNaN(s.Power)}, {&c.rec.WithDerived, s.Derived}} {
		if n.has {
			*n.count++
		}
	}
	c.stop = c.each(s)
}

func (c *cleaner) flush() { c.pace.flush(c.emit) }

// warnings tells the flaws found, in a fixed order, and first of a ride of which
// little is left.
func (c *cleaner) warnings() []string {
	unit, list := "line", []string{}
	if c.rec.MostLeftOut() {
		list = append(list, fmt.Sprintf("%s: most of the ride is left out, %d of its %d points; is it in order of time?", c.rec.Name, c.rec.LeftOut, c.rec.points()))
	}
	if c.rec.Kind == FIT {
		unit = "record"
	}
	for kind, f := range c.flaws {
		switch {
		case f.count == 1:
			list = append(list, fmt.Sprintf("%s: a point %s: %s %d", c.rec.Name, flawText[kind], unit, f.first))
		case f.count > 1:
			list = append(list, fmt.Sprintf("%s: %d points %s: first in %s %d", c.rec.Name, f.count, flawText[kind], unit, f.first))
		}
	}
	return list
}
