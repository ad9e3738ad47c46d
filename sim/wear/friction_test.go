package wear

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"cagewise/gearing"
)

// benchRow is one line of testdata/efficiency_measured.csv.
type benchRow map[string]string

func benchRows(t *testing.T) []benchRow {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "efficiency_measured.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []benchRow
	for _, rec := range records[1:] {
		r := benchRow{}
		for i, key := range records[0] {
			r[key] = rec[i]
		}
		if r["certainty"] == "read" {
			rows = append(rows, r)
		}
	}
	return rows
}

// num is NaN where a cell is empty or holds more than a number.
func (r benchRow) num(key string) float64 {
	v, err := strconv.ParseFloat(r[key], 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

// lossAt is the model's loss in watts.
func lossAt(t *testing.T, f Friction, ring, cog, power, cadence float64) float64 {
	t.Helper()
	d := Drive{GearID: gearing.GearID{Ring: gearing.Teeth(ring), Cog: gearing.Teeth(cog)}, Torque: power / (2 * math.Pi * cadence / 60)}
	l, err := f.Loss(d)
	if err != nil {
		t.Fatal(err)
	}
	return l.Work * cadence / 60
}

// meansByCase gives the mean measured loss of every chain whose rows name
// teeth, power and cadence, and the model's loss at mu = 1.
func meansByCase(t *testing.T) (names []string, measured, atOne map[string]float64) {
	measured, atOne = map[string]float64{}, map[string]float64{}
	count := map[string]float64{}
	for _, r := range benchRows(t) {
		power, cadence := r.num("power_W"), r.num("cadence_rpm")
		if math.IsNaN(power+cadence) || r["quantity"] != "loss_W" {
			continue
		}
		name := r["case"]
		if count[name] == 0 {
			names = append(names, name)
		}
		count[name]++
		measured[name] += r.num("printed")
		atOne[name] = lossAt(t, Friction{Mu: 1}, r.num("teeth_front"), r.num("teeth_rear"), power, cadence)
	}
	for _, n := range names {
		measured[n] /= count[n]
	}
	return names, measured, atOne
}

// DefaultMu and MuError are the fit to the bench rows, every chain counting
// once.
func TestFrictionFit(t *testing.T) {
	names, measured, atOne := meansByCase(t)
	if len(names) != 3 {
		t.Fatalf("%d chains with teeth, power and cadence; want 3", len(names))
	}
	var sum float64
	for _, n := range names {
		sum += measured[n] / atOne[n]
	}
	mu := sum / float64(len(names))
	var squares float64
	for _, n := range names {
		squares += math.Pow(measured[n]/atOne[n]-mu, 2)
	}
	spread := math.Sqrt(squares/float64(len(names)-1)) / mu
	t.Logf("fitted mu %.4f, spread between chains %.0f %%", mu, 100*spread)
	if math.Abs(mu-DefaultMu) > 0.005 || math.Abs(spread-MuError) > 0.02 {
		t.Errorf("fit gives mu %.4f with a spread of %.3f; DefaultMu %v, MuError %v", mu, spread, DefaultMu, MuError)
	}
	for _, r := range benchRows(t) {
		power, cadence := r.num("power_W"), r.num("cadence_rpm")
		if math.IsNaN(power + cadence) {
			continue
		}
		model := lossAt(t, Friction{}, r.num("teeth_front"), r.num("teeth_rear"), power, cadence)
		residual := r.num("printed") - model
		t.Logf("%-50s %-14s measured %5.2f W, model %5.2f W, residual %+5.2f W", r["case"], r["condition"], r.num("printed"), model, residual)
		if math.Abs(residual) > 2*MuError*model {
			t.Errorf("%s: residual %.2f W is over two spreads", r["case"], residual)
		}
	}
}

// Rows without cadence or power are held against the model at 250 W and 95
// rpm, the bench's usual load: within the errors they print.
func TestFrictionAgainstOtherBenches(t *testing.T) {
	seen := 0
	for _, r := range benchRows(t) {
		ring, cog := r.num("teeth_front"), r.num("teeth_rear")
		switch {
		case r["series"] == "tandem" && !math.IsNaN(cog):
			model := lossAt(t, Friction{}, ring, cog, 250, 95) / 2.5
			spread := map[float64]float64{13: 1.7, 11: 2.8}[cog]
			t.Logf("tandem %v-%v: printed %v %% +- %v, model %.1f %%", ring, cog, r.num("printed"), spread, model)
			if math.Abs(model-r.num("printed")) > spread {
				t.Errorf("tandem %v-%v: model %.2f %%, printed %v +- %v", ring, cog, model, r.num("printed"), spread)
			}
			seen++
		case r["series"] == "straight line":
			got := lossAt(t, Friction{}, 39, 11, 250, 95*53/15.0/(39/11.0)) - lossAt(t, Friction{}, 53, 15, 250, 95)
			t.Logf("39-11 over 53-15: printed %v W, model %.2f W", r.num("printed"), got)
			if math.Abs(got-r.num("printed")) > 2*MuError*1.5 {
				t.Errorf("39-11 loses %.2f W more, printed %v", got, r.num("printed"))
			}
			seen++
		case r["series"] == "Spicer":
			l, err := (Friction{}).Loss(Drive{GearID: gearing.GearID{Ring: 52, Cog: 21}, Torque: 32})
			if err != nil || math.Abs(float64(l.Efficiency)-r.num("printed")) > float64(l.EfficiencyError)+0.5 {
				t.Errorf("best efficiency: %+v, %v; printed %v", l, err, r.num("printed"))
			}
			seen++
		}
	}
	if seen != 4 {
		t.Errorf("%d rows held against the model, want 4", seen)
	}
}

// Chain pull of a motor's 70 N m (786 and 910 N on the pitch
// radius; the effective radius gives a newton more), plus the lower run's.
func TestPullOfMotor(t *testing.T) {
	for _, c := range []struct {
		ring gearing.Teeth
		want float64
	}{{44, 786}, {38, 910}} {
		l, err := (Friction{}).Loss(Drive{GearID: gearing.GearID{Ring: c.ring, Cog: 15}, Torque: 70})
		if err != nil || math.Abs(l.Pull-DefaultLowerTension-c.want) > 1.5 {
			t.Errorf("70 N m on %d: %.1f N without the lower run, %v; want %v", c.ring, l.Pull-DefaultLowerTension, err, c.want)
		}
	}
}

func TestDriveRefused(t *testing.T) {
	good := Drive{GearID: gearing.GearID{Ring: 44, Cog: 15}, Torque: 30}
	for name, change := range map[string]func(*Drive, *Friction){
		"ring":   func(d *Drive, _ *Friction) { d.Ring = 0 },
		"cog":    func(d *Drive, _ *Friction) { d.Cog = 99 },
		"torque": func(d *Drive, _ *Friction) { d.Torque = math.NaN() },
		"back":   func(d *Drive, _ *Friction) { d.Torque = -1 },
		"slant":  func(d *Drive, _ *Friction) { d.Line = -31 },
		"mu":     func(_ *Drive, f *Friction) { f.Mu = 2 },
		"pin":    func(_ *Drive, f *Friction) { f.PinRadius = 10 },
	} {
		d, f := good, Friction{}
		change(&d, &f)
		if _, err := f.Loss(d); !errors.Is(err, ErrDrive) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Without torque nothing is delivered; the lower run's tension still turns
// joints.
func TestLossWithoutTorque(t *testing.T) {
	if l := mustLoss(t, Friction{}, Drive{GearID: gearing.GearID{Ring: 40, Cog: 20}}); l.Efficiency != 0 || l.Lower <= 0 {
		t.Errorf("no torque: %+v", l)
	}
}

func drawGear(t *rapid.T, label string) gearing.GearID {
	return gearing.GearID{
		Ring: gearing.Teeth(rapid.IntRange(20, 60).Draw(t, label+" ring")),
		Cog:  gearing.Teeth(rapid.IntRange(9, 52).Draw(t, label+" cog")),
	}
}

// Work grows with torque and slant, shrinks with the cog at the same pull, and
// ranks do not depend on the coefficients.
func TestFrictionProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Drive{GearID: drawGear(t, "a"), Torque: rapid.Float64Range(1, 150).Draw(t, "torque")}
		f := Friction{Mu: rapid.Float64Range(0.02, 0.5).Draw(t, "mu"), PerDegree: 0.01}
		base := mustLoss(t, f, d)
		more := d
		more.Torque *= 1.1
		slant := d
		slant.Line = -3
		larger := d
		larger.Cog++
		if mustLoss(t, f, more).Work <= base.Work || mustLoss(t, f, slant).Work <= base.Work || mustLoss(t, f, larger).Work >= base.Work {
			t.Fatalf("%+v: work %v is not monotone", d, base.Work)
		}
		other := Drive{GearID: drawGear(t, "b"), Torque: d.Torque}
		g := Friction{Mu: 0.3}
		f.PerDegree = 0
		a, b := mustLoss(t, f, d).Work, mustLoss(t, f, other).Work
		if math.Abs(a-b) < 1e-9*b {
			return // as good as equal
		}
		if (a < b) != (mustLoss(t, g, d).Work < mustLoss(t, g, other).Work) {
			t.Fatalf("the coefficient changes the rank of %v and %v", d.GearID, other.GearID)
		}
	})
}

func mustLoss(t rapid.TB, f Friction, d Drive) Loss {
	l, err := f.Loss(d)
	if err != nil {
		t.Fatal(err)
	}
	return l
}
