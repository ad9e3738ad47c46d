package sim

import (
	"encoding/csv"
	"math"
	"os"
	"regexp"
	"strconv"
	"testing"

	"cagewise/gearing"
)

var tensionInputs = regexp.MustCompile(`^z=(\d+) p=([\d.]+) mm n=([\d.]+) rpm P=([\d.]+) kW$`)

// Handbook chain tensions (testdata/chain_tension.csv, sources in its last
// column): power over chain speed, which is torque over the effective radius.
// UpperTension is for 12.7 mm pitch; tension goes with one over the pitch.
func TestUpperTensionAgainstHandbook(t *testing.T) {
	f, err := os.Open("../testdata/chain_tension.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	checked := 0
	for _, row := range rows[1:] {
		m := tensionInputs.FindStringSubmatch(row[1])
		if m == nil {
			continue // factors of safety and torques: no function here has them
		}
		var in [4]float64
		for i := range in {
			if in[i], err = strconv.ParseFloat(m[i+1], 64); err != nil {
				t.Fatal(err)
			}
		}
		want, err := strconv.ParseFloat(row[2], 64)
		if err != nil {
			t.Fatal(err)
		}
		torque := in[3] * 1000 / (2 * math.Pi * in[2] / 60)
		got := UpperTension(torque, gearing.Teeth(in[0])) * pitchMM / in[1]
		if math.Abs(got-want) > 1e-5*want {
			t.Errorf("%s: %.4f N, printed %.4f", row[1], got, want)
		}
		checked++
	}
	if checked == 0 {
		t.Error("no row was checked")
	}
}
