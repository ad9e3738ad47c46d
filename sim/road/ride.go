package road

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
)

// Sample is one moment of a recorded ride. NaN stands for what was not
// recorded.
type Sample struct {
	Seconds float64 // since the ride's first sample; always rising
	Speed   float64 // m/s; 0 to MostSpeed
	Cadence float64 // crank turns a minute; 0 to MostCadence
	Power   float64 // at the cranks, W; 0 to MostPower
	// Derived tells that Speed was not recorded but comes from the distances
	// between samples.
	Derived bool
}

// Values over these are no rider's; they are taken as not recorded (common
// practice, no source).
const (
	MostSpeed   = 40.0   // m/s
	MostCadence = 200.0  // rpm
	MostPower   = 3000.0 // W
)

// Kind is what a ride file holds.
type Kind string

// The kinds of ride files.
const (
	CSV Kind = "CSV" // named columns, see ReadRide
	GPX Kind = "GPX" // GPS Exchange Format 1.0 and 1.1
	TCX Kind = "TCX" // Training Center XML, version 2
	FIT Kind = "FIT" // Flexible and Interoperable Data Transfer
)

// Recording tells what was read of a ride.
type Recording struct {
	Name    string `json:"name"`
	Kind    Kind   `json:"kind"`
	Samples int    `json:"samples"`
	// How many samples have a cadence, a power, and a speed that comes from
	// distances.
	WithCadence int `json:"samples_with_cadence"`
	WithPower   int `json:"samples_with_power"`
	WithDerived int `json:"samples_with_derived_speed"`
	// WithTurning is how many samples have a cadence over 0, LeftOut how many
	// points had no time or one that is not after the one before.
	WithTurning int `json:"-"`
	LeftOut     int `json:"-"`
	// Warnings tell what was odd and what was made of it, with the place.
	Warnings []string `json:"warnings"`
}

func (r Recording) points() int { return r.LeftOut + r.Samples }

// MostLeftOut tells that over half of the points could not be used.
func (r Recording) MostLeftOut() bool { return 2*r.LeftOut > r.points() }

// ErrNoRide is wrapped when nothing could be read as a ride.
var ErrNoRide = errors.New("no ride")

// DamageError tells that reading a ride stopped early. What was read until
// then is good.
type DamageError struct {
	Samples int   // good samples before the damage
	Err     error // what was wrong, with the line, record or byte
}

func (e *DamageError) Error() string {
	if e.Samples == 1 {
		return fmt.Sprintf("damaged; the 1 sample before the damage is used: %v", e.Err)
	}
	return fmt.Sprintf("damaged; the %d samples before the damage are used: %v", e.Samples, e.Err)
}

func (e *DamageError) Unwrap() error { return e.Err }

// ReadRide reads a recorded ride as a stream and calls each for every sample,
// in order of time. The kind is found by the content; a name that says
// otherwise gives a warning. Memory does not grow with the length of the ride.
//
// CSV needs a first line with names of columns, in any order, apart by comma,
// semicolon or tab; a mark of the unit may stand in brackets. Known are time
// (seconds, H:MM:SS or a date and time of RFC 3339; also seconds, timestamp),
// speed_km_h, speed_m_s, distance_m, distance_km, cadence_rpm and power_w.
// time is needed, and a speed or a distance. Lines that start with # are left
// out. GPX and TCX may hold speed, cadence and power in elements of those
// names, in extensions too; without a speed it comes from the distances.
//
// It fails with ErrNoRide when there is nothing to use, with a *DamageError
// when reading stopped early, and with the error that each returns.
func ReadRide(r io.Reader, name string, each func(Sample) error) (Recording, error) {
	in := bufio.NewReaderSize(r, 64<<10)
	rec := Recording{Name: name, Warnings: []string{}}
	head, err := in.Peek(4 << 10)
	if len(head) == 0 && err != nil && !errors.Is(err, io.EOF) {
		return rec, fmt.Errorf("%s: %w: %w", name, ErrNoRide, err)
	}
	if bytes.HasPrefix(head, []byte(byteOrderMark)) {
		head = head[len(byteOrderMark):]
		_, _ = in.Discard(len(byteOrderMark)) // peeked, so it is there
	}
	if rec.Kind, err = kindOf(head, name); err != nil {
		return rec, fmt.Errorf("%s: %w: %w", name, ErrNoRide, err)
	}
	if rec.misnamed() {
		rec.Warnings = append(rec.Warnings, fmt.Sprintf("%s: named %s but holds %s; read as that", name, filepath.Ext(name), rec.Kind))
	}
	c := newCleaner(&rec, each)
	err = c.read(in)
	rec.Warnings = append(rec.Warnings, c.warnings()...)
	return rec, c.verdict(err)
}

const byteOrderMark = "\xef\xbb\xbf"

// read runs the reader of the recording's kind.
func (c *cleaner) read(in *bufio.Reader) error {
	var err error
	switch c.rec.Kind {
	case FIT:
		err = readFIT(in, c)
	case CSV:
		err = readCSV(in, c)
	default:
		err = readXML(in, c)
	}
	if c.stop == nil {
		c.flush() // also before damage
	}
	return err
}

// verdict turns the end of reading into the error of ReadRide.
func (c *cleaner) verdict(err error) error {
	name := c.rec.Name
	switch {
	case c.stop != nil:
		return c.stop
	case c.rec.Samples > 0 && err != nil:
		return fmt.Errorf("%s: %w", name, &DamageError{c.rec.Samples, err})
	case c.rec.Samples > 0:
		return nil
	case err != nil && c.rec.misnamed():
		return fmt.Errorf("%s: %w: named %s but looks like %s: %w", name, ErrNoRide, filepath.Ext(name), c.rec.Kind, err)
	case err != nil:
		return fmt.Errorf("%s: %w: %w", name, ErrNoRide, err)
	case c.flaws[flawNoTime].count > 0:
		return fmt.Errorf("%s: %w: none of its %d points has a time; a planned route is not a recorded ride", name, ErrNoRide, c.flaws[flawNoTime].count)
	}
	return fmt.Errorf("%s: %w: it holds no samples", name, ErrNoRide)
}

// kindOf finds the kind by the first bytes of a file.
func kindOf(head []byte, name string) (Kind, error) {
	text := bytes.TrimSpace(head)
	switch {
	case len(text) == 0:
		return "", errors.New("the file is empty")
	case len(head) >= 12 && string(head[8:12]) == ".FIT":
		return FIT, nil
	case bytes.HasPrefix(head, []byte{0x1f, 0x8b}), bytes.HasPrefix(head, []byte("PK\x03\x04")):
		return "", errors.New("the file is packed; unpack it first")
	case bytes.HasPrefix(head, []byte{0xff, 0xfe}), bytes.HasPrefix(head, []byte{0xfe, 0xff}):
		return "", errors.New("the text is UTF-16; allowed: UTF-8")
	case bytes.IndexByte(head, 0) >= 0 && kindByName(name) == FIT:
		return "", errors.New("named .fit but holds no FIT header, or a damaged one")
	case bytes.IndexByte(head, 0) >= 0:
		return "", errors.New("binary data of no known kind; allowed: CSV, GPX, TCX, FIT")
	case text[0] == '<':
		return kindOfXML(text)
	}
	return CSV, nil // its heading is checked by the reader
}

func kindOfXML(text []byte) (Kind, error) {
	switch {
	case bytes.Contains(text, []byte("<gpx")):
		return GPX, nil
	case bytes.Contains(text, []byte("<TrainingCenterDatabase")):
		return TCX, nil
	}
	return "", errors.New("XML, but neither GPX nor TCX: no <gpx> or <TrainingCenterDatabase> at the start")
}

// kindByName is the kind that a file's ending promises, or "".
func kindByName(name string) Kind {
	switch k := Kind(strings.ToUpper(strings.TrimPrefix(filepath.Ext(name), "."))); k {
	case CSV, GPX, TCX, FIT:
		return k
	}
	return ""
}

// misnamed tells that the file's ending promises another kind.
func (r *Recording) misnamed() bool {
	ending := kindByName(r.Name)
	return ending != "" && ending != r.Kind
}
