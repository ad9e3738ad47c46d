package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"github.com/spf13/pflag"

	"cagewise/gearing"
	"cagewise/gearing/build"
	"cagewise/sim/road"
)

func rideCommand() command {
	return command{
		name: "ride", args: "BUILD RIDE [RIDE ...] [flags]", summary: "the gears that recorded rides really used",
		about: "Rides are FIT, GPX, TCX, or CSV with named columns: time, a speed (speed_km_h or speed_m_s) or a distance (distance_m or distance_km), cadence_rpm, and power_w if there is one. The gear of every moment is found from speed and cadence; rides without a cadence show none. Mass and resistance are only used for work where no power was recorded.",
		examples: []example{
			{"ride examples/gravel.toml examples/gravel-ride.csv", "which gears the ride used, and which cog would be missed least"},
		},
		define: func(flags *pflag.FlagSet) func(*call) (int, error) {
			out := addTextFlags(flags, "text, json, csv (one row a ride and gear) or markdown")
			addUnitsFlag(flags)
			f := addRideFlags(flags)
			buildFlags(flags)
			return func(c *call) (int, error) {
				if err := checkRideFiles(c.args, *out.path); err != nil {
					return 0, err
				}
				if err := f.check(); err != nil {
					return 0, err
				}
				in, err := c.loadBuild(c.args[0])
				if err != nil {
					return 0, err
				}
				r, err := f.report(c, in, c.args[1:])
				if err != nil {
					return 0, err
				}
				return exitFine, c.emit(out, in, r)
			}
		},
	}
}

// rideFlags say how steady the recordings are and who rode.
type rideFlags struct {
	speedNoise, cadenceNoise, tolerance *float64
	keepWheel                           *bool
	mass, cda, crr, density, efficiency *float64
}

func addRideFlags(flags *pflag.FlagSet) rideFlags {
	return rideFlags{
		speedNoise:   flags.Float64("speed-noise", float64(road.DefaultSpeedNoise), "standard error of a recorded speed, %"),
		cadenceNoise: flags.Float64("cadence-noise", road.DefaultCadenceNoise, "standard error of a recorded cadence, rpm"),
		tolerance:    flags.Float64("tolerance", float64(road.DefaultDetectTolerance), "how far a development may lie from its gear, %"),
		keepWheel:    flags.Bool("keep-wheel", false, "take the roll-out as the build has it; otherwise an error of up to 4 % is found from the ride and allowed for"),
		mass:         flags.Float64("mass", road.DefaultMassKG, "rider, bike and luggage, kg"),
		cda:          flags.Float64("drag-area", road.DefaultCdA, "of rider and bike, m^2"),
		crr:          flags.Float64("rolling", road.DefaultCrr, "coefficient of rolling resistance"),
		density:      flags.Float64("air-density", road.DefaultDensity, "kg/m^3"),
		efficiency:   flags.Float64("efficiency", road.DefaultEfficiency, "of the drivetrain, 0.5 to 1"),
	}
}

// check holds the flags against their ranges; zero would ask for a default.
func (f rideFlags) check() error {
	return errors.Join(
		within("speed-noise", 0.2, 10, "%", *f.speedNoise), within("cadence-noise", 0.1, 10, "rpm", *f.cadenceNoise),
		within("tolerance", 1, 20, "%", *f.tolerance), f.rider().Check(),
	)
}

func (f rideFlags) rider() road.Rider {
	return road.Rider{MassKG: *f.mass, CdA: *f.cda, Crr: *f.crr, AirDensity: *f.density, Efficiency: *f.efficiency}
}

func checkRideFiles(args []string, output string) error {
	if len(args) < 2 {
		return errors.New("ride needs a build file and a recorded ride, such as `cagewise ride tour.toml monday.fit`")
	}
	for i, path := range args[1:] {
		if err := givenTwice(args[1:1+i], path); err != nil {
			return err
		}
		if output != "" && sameFile(output, path) {
			return fmt.Errorf("--output: %s is a ride itself; name another file", output)
		}
	}
	return nil
}

// givenTwice refuses a ride that is the same file as one before, by whatever
// path.
func givenTwice(before []string, path string) error {
	for _, other := range before {
		if other == path {
			return fmt.Errorf("%s: given twice; each ride counts once", path)
		}
		if sameFile(other, path) {
			return fmt.Errorf("%s: given twice, also as %s; each ride counts once", path, other)
		}
	}
	return nil
}

// rideReport is what `cagewise ride` says.
type rideReport struct {
	Build buildSummary `json:"build"`
	road.Usage
	Settings map[string]float64 `json:"settings"`
	// Danger is the warning of a chain at hand that is dangerous; "" for none.
	Danger string            `json:"owned_chain_danger"`
	names  map[string]string // of the rides by their paths, for tables
}

// report is what rides show of a build.
func (f rideFlags) report(c *call, in input, rides []string) (rideReport, error) {
	if slices.ContainsFunc(in.defaults, func(d build.Default) bool { return d.Key == "wheel.tyre" }) {
		return rideReport{}, fmt.Errorf("a ride needs the wheel: %s, or %s", c.orFlag("wheel.tyre", "tyre"), c.orFlag("wheel.roll_out", "roll-out"))
	}
	u, err := f.read(c, in, rides)
	if err != nil {
		return rideReport{}, err
	}
	s, err := in.study()
	if err != nil {
		return rideReport{}, err
	}
	return rideReport{
		Build: summarise(in.build.Build), Usage: u, Danger: ownedDanger(&s.Advice), names: rideNames(rides),
		Settings: map[string]float64{
			"speed_noise_percent": *f.speedNoise, "cadence_noise_rpm": *f.cadenceNoise, "tolerance_percent": *f.tolerance,
			"mass_kg": *f.mass, "drag_area_m2": *f.cda, "rolling_resistance": *f.crr, "air_density_kg_m3": *f.density, "efficiency": *f.efficiency,
		},
	}, nil
}

// read reads all rides. One that cannot be used stops the command, but only
// after the others were looked at.
func (f rideFlags) read(c *call, in input, rides []string) (road.Usage, error) {
	s, err := in.study()
	if err != nil {
		return road.Usage{}, err
	}
	m, err := road.NewMeter(s.Build, s.Table, road.DetectOptions{
		SpeedNoise: gearing.Percent(*f.speedNoise), CadenceNoise: *f.cadenceNoise, Tolerance: gearing.Percent(*f.tolerance), KeepWheel: *f.keepWheel,
	}, f.rider())
	if err != nil {
		return road.Usage{}, err
	}
	var bad []error
	for _, path := range rides {
		bad = append(bad, readRideFile(m, path, c.err))
	}
	if err := errors.Join(bad...); err != nil {
		return road.Usage{}, err
	}
	u := m.Usage()
	for _, r := range u.Rides {
		for _, w := range r.Warnings {
			fmt.Fprintf(c.err, "cagewise: warning: %s\n", w)
		}
	}
	if !u.All.HasGear() {
		return road.Usage{}, noGear(u)
	}
	return u, nil
}

// noGear tells why no ride shows a gear.
func noGear(u road.Usage) error {
	cadences, turning := 0, 0
	var paths []string
	why := "speed and cadence fit none"
	for _, r := range u.Rides {
		paths = append(paths, r.Name)
		cadences += r.WithCadence
		turning += r.WithTurning
		if r.Wheel.Doubtful {
			why = r.Wheel.Why
		}
	}
	switch {
	case cadences == 0:
		return fmt.Errorf("%s: no ride has a cadence; without it no gear can be found", someNames(paths))
	case turning == 0:
		return fmt.Errorf("%s: no ride has a cadence over 0; without it no gear can be found", someNames(paths))
	}
	return fmt.Errorf("%s: no ride shows a gear of the build: %s; look at rings, cogs and wheel of the build, and at the units of the ride", someNames(paths), why)
}

func readRideFile(m *road.Meter, path string, stderr io.Writer) error {
	f, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("reading %s: %w", path, build.Cause(err))
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return fmt.Errorf("reading %s: %w", path, build.Cause(err))
	}
	if info.IsDir() {
		return fmt.Errorf("reading %s: is a directory; name the rides in it", path)
	}
	bar := newProgress(stderr, filepath.Base(path), info.Size())
	defer bar.done()
	err = m.AddRide(bar.reader(f), path)
	return notARide(f, path, err)
}

// notARide is err, or what a file is that holds no ride but something else of
// this program's.
func notARide(f io.ReadSeeker, path string, err error) error {
	if err == nil {
		return nil
	}
	if _, seek := f.Seek(0, io.SeekStart); seek != nil {
		return err // a pipe
	}
	data, read := io.ReadAll(io.LimitReader(f, build.MaxBytes+1))
	if read != nil {
		return err
	}
	return build.Foreign(path, "recorded ride", data, err)
}
