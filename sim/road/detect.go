package road

import (
	"fmt"
	"math"

	"cagewise/gearing"
)

// State is what rider and bike did in a moment.
type State int

// The states of a moment.
const (
	Unknown      State = iota // moving, but no gear fits, or cadence or speed was not recorded
	Pedalled                  // in a gear
	Freewheeling              // moving, cranks still or too slow for any gear
	Stopped
	stateCount
)

func (s State) String() string {
	return [...]string{"unknown", "pedalled", "freewheeling", "stopped"}[s]
}

// Moment is a sample with what was found out about it.
type Moment struct {
	// Seconds is the time since the sample before, which the moment stands
	// for; 0 after a break.
	Seconds               float64
	Speed, Cadence, Power float64 // as recorded; NaN where not
	Derived               bool    // as in Sample
	State                 State
	Gear                  int // index into Table.Gears; -1 unless State is Pedalled
}

// MaxGap is the longest time between two samples in seconds that still counts;
// over it the recorder was off. Recorders that save room skip up to ten
// seconds (common practice, no source).
const MaxGap = 30.0

// DetectOptions say how steady a recording is. The zero value asks for the
// defaults.
type DetectOptions struct {
	// SpeedNoise is the standard error of a speed, 0.2 to 10 %; default 2 %.
	// A derived speed has at least DerivedNoise.
	SpeedNoise gearing.Percent
	// CadenceNoise is the standard error of a cadence, 0.1 to 10 rpm;
	// default 1.
	CadenceNoise float64
	// Tolerance is how far from its gear a development may lie, 1 to 20 %;
	// default 5 %. It widens to three standard errors where these are more, up to
	// 20 %.
	Tolerance gearing.Percent
	// KeepWheel leaves the roll-out as the build has it.
	KeepWheel bool
}

// Defaults of DetectOptions, and the noise of a speed from positions
// (invented here).
const (
	DefaultSpeedNoise      gearing.Percent = 2
	DefaultCadenceNoise                    = 1.0
	DefaultDetectTolerance gearing.Percent = 5
	DerivedNoise           gearing.Percent = 4
)

// WithDefaults fills zero fields.
func (o DetectOptions) WithDefaults() DetectOptions {
	if o.SpeedNoise == 0 {
		o.SpeedNoise = DefaultSpeedNoise
	}
	if o.CadenceNoise == 0 {
		o.CadenceNoise = DefaultCadenceNoise
	}
	if o.Tolerance == 0 {
		o.Tolerance = DefaultDetectTolerance
	}
	return o
}

// Check refuses options out of range.
func (o DetectOptions) Check() error {
	switch {
	case !(o.SpeedNoise >= 0.2 && o.SpeedNoise <= 10):
		return fmt.Errorf("speed noise %v %%; allowed: 0.2 to 10 %%", o.SpeedNoise)
	case !(o.CadenceNoise >= 0.1 && o.CadenceNoise <= 10):
		return fmt.Errorf("cadence noise %v rpm; allowed: 0.1 to 10 rpm", o.CadenceNoise)
	case !(o.Tolerance >= 1 && o.Tolerance <= 20):
		return fmt.Errorf("tolerance %v %%; allowed: 1 to 20 %%", o.Tolerance)
	}
	return nil
}

// Detector finds the gear of every moment of one ride. Memory stays flat: the
// first samples are held until the wheel is known from them, then a window
// moves along.
type Detector struct {
	o     DetectOptions
	table gearing.Table
	each  func(Moment)

	last    float64 // seconds of the last sample
	started bool
	held    []heldMoment
	wheel   *WheelFit // nil while samples are held
	path    *gearPath
}

// heldMoment is a Moment in little room.
type heldMoment struct {
	seconds, speed, cadence, power float32
	derived                        bool
}

// holdMost is how many samples are held to find the wheel: three days at one
// a second.
const holdMost = 1 << 18

// NewDetector makes a detector for a build's gears that calls each with every
// moment in order. It fails when an option is out of range or there is no gear.
func NewDetector(t gearing.Table, o DetectOptions, each func(Moment)) (*Detector, error) {
	o = o.WithDefaults()
	if err := o.Check(); err != nil {
		return nil, err
	}
	if len(t.Gears) == 0 {
		return nil, ErrNoGear
	}
	return &Detector{o: o, table: t, each: each}, nil
}

// Add takes the next sample. Its error is always nil, so that it can be given
// to ReadRide.
func (d *Detector) Add(s Sample) error {
	m := Moment{Seconds: s.Seconds - d.last, Speed: s.Speed, Cadence: s.Cadence, Power: s.Power, Derived: s.Derived, Gear: -1}
	if !d.started || m.Seconds > MaxGap {
		m.Seconds = 0
	}
	d.started, d.last = true, s.Seconds
	if d.wheel != nil {
		d.take(m)
		return nil
	}
	d.held = append(d.held, heldMoment{float32(m.Seconds), float32(m.Speed), float32(m.Cadence), float32(m.Power), m.Derived})
	if len(d.held) >= holdMost {
		d.release()
	}
	return nil
}

// Close ends the ride: every moment has been handed on when it returns.
func (d *Detector) Close() WheelFit {
	if d.wheel == nil {
		d.release()
	}
	d.path.flush(0, d.each)
	return *d.wheel
}

// release finds the wheel from the samples held and sends these on.
func (d *Detector) release() {
	w := d.findWheel()
	d.wheel = &w
	d.path = newGearPath(d.table, w.Scale)
	for _, h := range d.held {
		d.take(h.moment())
	}
	d.held = nil
}

func (h heldMoment) moment() Moment {
	return Moment{Seconds: float64(h.seconds), Speed: float64(h.speed), Cadence: float64(h.cadence), Power: float64(h.power), Derived: h.derived, Gear: -1}
}

func (d *Detector) take(m Moment) {
	log, noise := d.o.development(m)
	m.State = d.o.state(m, log, noise, d.path.top)
	d.path.add(pathMoment{Moment: m, log: log, tolerance: d.o.tolerance(noise)}, noise)
	if d.path.full() {
		d.path.flush(pathWindow/2, d.each)
	}
}

// development is the logarithm of the metres a crank turn that a moment shows,
// and its standard error: the errors of speed and cadence are relative ones of
// a quotient (derived here).
func (o DetectOptions) development(m Moment) (log, noise float64) {
	speed := o.SpeedNoise
	if m.Derived {
		speed = max(speed, DerivedNoise)
	}
	return math.Log(60 * m.Speed / m.Cadence), math.Hypot(float64(speed)/100, o.CadenceNoise/m.Cadence)
}

func (o DetectOptions) tolerance(noise float64) float64 {
	return max(math.Log1p(float64(o.Tolerance)/100), min(3*noise, widest))
}

const (
	// stillSpeed is the speed in m/s under which a bike stands: wheel
	// sensors fall silent there and positions wander (invented here).
	stillSpeed = 0.5
	// farOver is how far over the highest gear the cranks are too slow to
	// drive, at the least (invented here).
	farOver = 0.15
	// widest bounds how far noise widens the tolerance: over it slow cranks
	// would fit any gear (invented here).
	widest = 0.18
)

// state tells what can be told of a moment alone; Pedalled is still to be
// confirmed by a gear. top is the logarithm of the highest development.
func (o DetectOptions) state(m Moment, log, noise, top float64) State {
	switch {
	case m.Speed < stillSpeed: // false when not recorded
		return Stopped
	case m.Cadence == 0 && m.Speed >= stillSpeed:
		return Freewheeling
	case math.IsNaN(log):
		return Unknown
	case log > top+max(farOver, 4*noise):
		return Freewheeling
	}
	return Pedalled
}
