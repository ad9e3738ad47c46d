package road

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"testing/iotest"
)

// readAll reads a ride into memory.
func readAll(data []byte, name string) ([]Sample, Recording, error) {
	var list []Sample
	rec, err := ReadRide(bytes.NewReader(data), name, func(s Sample) error {
		list = append(list, s)
		return nil
	})
	return list, rec, err
}

// rideFiles is one ride in every kind of file.
func rideFiles(t testing.TB, seconds int, seed uint64) (ride []truth, samples []Sample, files map[string][]byte) {
	t.Helper()
	ride = rideTruth(rideTable(t), seconds, seed)
	samples = usual(seed).of(ride)
	metres := way(ride)
	return ride, samples, map[string][]byte{
		"a.csv": writeCSV(samples), "a.gpx": writeGPX(samples, metres, true),
		"a.tcx": writeTCX(samples, metres, true), "a.fit": writeFIT(t, samples),
	}
}

func same(a, b float64) bool { return math.Abs(a-b) < 0.0006 || math.IsNaN(a) && math.IsNaN(b) }

func TestEveryKindReadsTheSame(t *testing.T) {
	_, want, files := rideFiles(t, 1200, 3)
	for name, data := range files {
		t.Run(name, func(t *testing.T) {
			got, rec, err := readAll(data, name)
			if err != nil || len(rec.Warnings) > 0 || len(got) != len(want) || rec.Samples != len(want) {
				t.Fatalf("%d of %d samples, %+v, error %v", len(got), len(want), rec, err)
			}
			for i, s := range got {
				w := want[i]
				if !same(s.Seconds, w.Seconds) || !same(s.Speed, w.Speed) || !same(s.Cadence, w.Cadence) || !same(s.Power, w.Power) || s.Derived {
					t.Fatalf("sample %d is %+v, want %+v", i, s, w)
				}
			}
		})
	}
}

// Without a speed it comes from distances or positions.
func TestDerivedSpeed(t *testing.T) {
	ride := rideTruth(rideTable(t), 1200, 4)
	samples := usual(4).of(ride)
	metres := way(ride)
	for name, data := range map[string][]byte{
		"a.gpx": writeGPX(samples, metres, false), "a.tcx": writeTCX(samples, metres, false),
	} {
		got, rec, err := readAll(data, name)
		if err != nil || len(got) != len(samples) || rec.WithDerived != len(samples) {
			t.Fatalf("%s: %d samples, %+v, error %v", name, len(got), rec, err)
		}
		off := 0.0
		for i := 5; i < len(got)-5; i++ {
			mean := (ride[i-2].Speed + 2*ride[i-1].Speed + 2*ride[i].Speed + 2*ride[i+1].Speed + ride[i+2].Speed) / 8
			off = max(off, math.Abs(got[i].Speed-mean))
		}
		if off > 0.02 {
			t.Errorf("%s: derived speed up to %.3f m/s off the mean of five seconds", name, off)
		}
	}
}

func TestColumns(t *testing.T) {
	const want = "[0 10 80 200] [1 10 81 NaN]"
	for name, text := range map[string]string{
		"comma":      "time,speed_m_s,cadence,power\n0,10,80,200\n1,10,81,\n",
		"semicolon":  "Time (s);Speed [km/h];Cadence (rpm);Power (W)\r\n0;36,0;80;200\r\n1;36,0;81;\r\n",
		"tab":        "power_w\ttimestamp\tnote\tcadence_rpm\tspeed_km_h\n200\t2026-04-01T08:00:00Z\thm\t80\t36\n\t2026-04-01T08:00:01Z\t\t81\t36",
		"quotes":     "\"note\",\"time\",\"speed_m_s\",\"cadence_rpm\",\"power_w\"\n\"a, b\",\"1:00:00\",\"10\",80,200\n,1:00:01,10,81,\n",
		"mark, rem.": byteOrderMark + "# invented\n\nseconds,speed_m_s,cadence,power\n# half\n0,10,80,200\n1,10,81\n",
		"distance":   "seconds,distance_km,cadence,power\n0,0,80,200\n1,0.01,81,\n",
	} {
		var got []string
		_, err := ReadRide(iotest.OneByteReader(strings.NewReader(text)), "r.csv", func(s Sample) error {
			got = append(got, fmt.Sprint([]float64{s.Seconds, math.Round(s.Speed*1e6) / 1e6, s.Cadence, s.Power}))
			return nil
		})
		if g := strings.Join(got, " "); err != nil || g != want {
			t.Errorf("%s: %s, %v; want %s", name, g, err, want)
		}
	}
}

func TestRideRefusals(t *testing.T) {
	none := "<gpx><trk><trkseg><trkpt lat='1' lon='2'/><trkpt lat='1' lon='2.1'/></trkseg></trk></gpx>"
	_, _, files := rideFiles(t, 60, 1)
	for _, c := range []struct{ name, data, want string }{
		{"a.fit", "", "a.fit: no ride: the file is empty"},
		{"a.csv", " \n\n", "a.csv: no ride: the file is empty"},
		{"a.csv", "# only a remark\n", "a.csv: no ride: it holds no samples"},
		{"a.csv", "time,speed_m_s\n", "a.csv: no ride: it holds no samples"},
		{"a.txt", "Dear diary, today I rode\n", `a.txt: no ride: line 1: no ride's columns: "dear_diary, today_i_rode"; needed: time, and a speed or a distance; known: cadence, cadence_rpm, distance_km, distance_m, power, power_w, seconds, speed_km_h, speed_m_s, time, time_s, timestamp`},
		{"a.csv", "time,speed\n1,2\n", `a.csv: no ride: line 1: column "speed" has no unit; allowed: speed_km_h, speed_m_s`},
		{"a.csv", "time,seconds,speed_m_s\n1,2\n", "a.csv: no ride: line 1: columns time and seconds say the same; allowed: one of them"},
		{"a.csv", "time,speed_m_s" + strings.Repeat(" ", 70_000), "a.csv: no ride: line 1: over 64 kB long; allowed: a ride with a line for each sample"},
		{"a.fit", "\x0e\x10\x00\x00more", "a.fit: no ride: named .fit but holds no FIT header, or a damaged one"},
		{"a.csv", "\x00\x01\x02", "a.csv: no ride: binary data of no known kind; allowed: CSV, GPX, TCX, FIT"},
		{"a.gpx", "pages and pages", `a.gpx: no ride: named .gpx but looks like CSV: line 1: no ride's columns: "pages_and_pages"; needed: time, and a speed or a distance; known: cadence, cadence_rpm, distance_km, distance_m, power, power_w, seconds, speed_km_h, speed_m_s, time, time_s, timestamp`},
		{"a.gpx", "PK\x03\x04\x00", "a.gpx: no ride: the file is packed; unpack it first"},
		{"a.gpx", "\xff\xfe<\x00", "a.gpx: no ride: the text is UTF-16; allowed: UTF-8"},
		{"a.gpx", "<kml></kml>", "a.gpx: no ride: XML, but neither GPX nor TCX: no <gpx> or <TrainingCenterDatabase> at the start"},
		{"a.gpx", none, "a.gpx: no ride: none of its 2 points has a time; a planned route is not a recorded ride"},
		{"a.gpx", "<gpx><trk>", "a.gpx: no ride: line 1, byte 10: the file ends in the middle"},
		{"a.fit", string(files["a.fit"][:40]), "a.fit: no ride: after record 0: the file ends in the middle: decode message [byte pos: 38]: EOF"},
	} {
		_, rec, err := readAll([]byte(c.data), c.name)
		if err == nil || err.Error() != c.want || !errors.Is(err, ErrNoRide) || rec.Samples != 0 {
			t.Errorf("%q: %v\nwant %s", c.data[:min(len(c.data), 40)], err, c.want)
		}
	}
}

// The content decides, and a name that promises something else is told of.
func TestWrongName(t *testing.T) {
	_, _, files := rideFiles(t, 60, 1)
	for name, data := range files {
		for other := range files {
			_, rec, err := readAll(data, other)
			if err != nil || rec.Samples != 60 || kindByName(name) != rec.Kind {
				t.Errorf("%s as %s: %+v, %v", name, other, rec, err)
			}
			if told := len(rec.Warnings) == 1 && strings.Contains(rec.Warnings[0], "named"); told == (name == other) {
				t.Errorf("%s as %s: warnings %q", name, other, rec.Warnings)
			}
		}
	}
}

func TestAbsurdValues(t *testing.T) {
	text := "time,speed_m_s,cadence,power\n0,5,80,200\n1,1e9,255,9999\n2,NaN,-3,-1\n3,Inf,x,\n5,6,70,100\n4,6,70,100\n5,6,70,100\n,6,70,100\n6,6,70,1e999\n1e300,6,70,100\n"
	got, rec, err := readAll([]byte(text), "r.csv")
	if err != nil || len(got) != 6 {
		t.Fatalf("%d samples, error %v", len(got), err)
	}
	want := []string{
		"r.csv: 2 points without a time, left out: first in line 9",
		"r.csv: 2 points with a time that is not after the one before, left out: first in line 7",
		"r.csv: 4 points with a value that is no number, taken as not recorded: first in line 4",
		"r.csv: a point with a speed outside 0 to 144 km/h, taken as not recorded: line 3",
		"r.csv: 2 points with a cadence outside 0 to 200 rpm, taken as not recorded: first in line 3",
		"r.csv: 2 points with a power outside 0 to 3000 W, taken as not recorded: first in line 3",
	}
	if g, w := strings.Join(rec.Warnings, "\n"), strings.Join(want, "\n"); g != w {
		t.Errorf("warnings\n%s\nwant\n%s", g, w)
	}
	for _, s := range got[1:4] {
		if !math.IsNaN(s.Speed) || !math.IsNaN(s.Cadence) || !math.IsNaN(s.Power) {
			t.Errorf("absurd values were kept: %+v", s)
		}
	}
}

// A clock that is set back, or jumps ahead for one point, costs a few points
// and a break, not the ride.
func TestClock(t *testing.T) {
	var back, jump strings.Builder
	back.WriteString("time,speed_m_s\n")
	jump.WriteString("time,speed_m_s\n")
	for i := range 200 {
		b, j := 1e6+float64(i), float64(i)
		if i >= 100 {
			b -= 5e5
		}
		if i == 100 {
			j = 1e9
		}
		fmt.Fprintf(&back, "%v,5\n", b)
		fmt.Fprintf(&jump, "%v,5\n", j)
	}
	for name, text := range map[string]string{"back": back.String(), "jump": jump.String()} {
		got, rec, err := readAll([]byte(text), "r.csv")
		if err != nil || len(got) < 190 || len(rec.Warnings) != 2 {
			t.Errorf("%s: %d samples, %q, %v", name, len(got), rec.Warnings, err)
		}
		recorded := 0.0
		for i := range got[1:] {
			step := got[i+1].Seconds - got[i].Seconds
			if step <= 0 {
				t.Fatalf("%s: time falls at %d", name, i)
			}
			if step <= MaxGap {
				recorded += step
			}
		}
		if recorded < 185 || recorded > 199 {
			t.Errorf("%s: %v s recorded, want about 190", name, recorded)
		}
	}
}

// What comes before damage is used, and the damage has a place.
func TestDamage(t *testing.T) {
	_, _, files := rideFiles(t, 600, 5)
	for name, data := range files {
		cut := data[:len(data)*2/3]
		if name == "a.csv" { // a cut within the last column shows nothing
			cut = cut[:bytes.LastIndexByte(cut, ',')]
		}
		got, _, err := readAll(cut, name)
		var damage *DamageError
		if !errors.As(err, &damage) || damage.Samples != len(got) || len(got) < 380 || len(got) > 405 ||
			!strings.Contains(err.Error(), "the file ends in the middle") || !strings.Contains(err.Error(), "samples before the damage are used") {
			t.Errorf("%s: %d samples, %v", name, len(got), err)
		}
	}
	fit := bytes.Clone(files["a.fit"])
	fit[len(fit)/2] ^= 0x10 // a value, not a message
	got, _, err := readAll(fit, "a.fit")
	if len(got) < 580 || err == nil || !strings.Contains(err.Error(), "check sum") {
		t.Errorf("flipped FIT: %d samples, %v", len(got), err)
	}
}

// However a file is cut, its reader says so in plain words, and of CSV how much
// the last line has.
func TestCutFiles(t *testing.T) {
	_, _, files := rideFiles(t, 60, 5)
	for _, name := range []string{"a.gpx", "a.tcx"} {
		for cut := len(files[name]) / 2; cut < len(files[name])/2+400; cut++ {
			if _, _, err := readAll(files[name][:cut], name); err == nil || !strings.HasSuffix(err.Error(), "the file ends in the middle") {
				t.Errorf("%s cut at %d: %v", name, cut, err)
			}
		}
	}
	for text, want := range map[string]string{
		"time,speed_m_s,cadence,power\n0,5,80,200\n1,5,80,200\n2":      "r.csv: damaged; the 2 samples before the damage are used: line 4 has 1 of 4 columns: the file ends in the middle",
		"time,speed_m_s,cadence,power\n0,5,80,200\n1,5,8":              "r.csv: damaged; the 1 sample before the damage is used: line 3 has 3 of 4 columns: the file ends in the middle",
		"time,speed_m_s,cadence,power\n0,5,80,200\n1,5,80,200":         "<nil>",
		"time,speed_m_s,cadence,power\n0,5,80,200\n1,5,80\n":           "<nil>", // ended: power was not recorded
		"time,speed_m_s,cadence,power\n0,5,80,200\n# 2 of 2 samples":   "<nil>",
		"time,speed_m_s,cadence,power\n0,5,80,200\n1,5,80,200,more, x": "<nil>",
	} {
		if _, _, err := readAll([]byte(text), "r.csv"); fmt.Sprint(err) != want {
			t.Errorf("%q: %v\nwant %s", text, err, want)
		}
	}
}

// A bit of any byte may be flipped: nothing crashes, and samples stay sane.
func TestFlips(t *testing.T) {
	_, _, files := rideFiles(t, 20, 6)
	for name, data := range files {
		for i := range data {
			flipped := bytes.Clone(data)
			flipped[i] ^= 1 << (i % 8)
			checkRead(t, flipped, name)
		}
	}
}

// checkRead holds what every reading must keep, whatever the bytes.
func checkRead(t *testing.T, data []byte, name string) {
	t.Helper()
	last, n := -1.0, 0
	rec, err := ReadRide(bytes.NewReader(data), name, func(s Sample) error {
		bad := !(s.Seconds > last) || math.IsInf(s.Seconds, 0) ||
			s.Speed < 0 || s.Speed > MostSpeed || s.Cadence < 0 || s.Cadence > MostCadence || s.Power < 0 || s.Power > MostPower
		if bad {
			t.Fatalf("sample %+v after %v s", s, last)
		}
		last = s.Seconds
		n++
		return nil
	})
	var damage *DamageError
	switch {
	case n != rec.Samples:
		t.Fatalf("%d samples came, %d were counted", n, rec.Samples)
	case n == 0 && !errors.Is(err, ErrNoRide):
		t.Fatalf("nothing read, but error %v", err)
	case n > 0 && err != nil && !errors.As(err, &damage):
		t.Fatalf("%d samples, error %v", n, err)
	}
}

// The error of the caller ends the reading and comes back as it is.
func TestCallerStops(t *testing.T) {
	_, _, files := rideFiles(t, 300, 7)
	enough := errors.New("enough")
	for name, data := range files {
		n := 0
		_, err := ReadRide(bytes.NewReader(data), name, func(Sample) error {
			if n++; n == 100 {
				return enough
			}
			return nil
		})
		if n != 100 || err != enough {
			t.Errorf("%s: %d samples, error %v", name, n, err)
		}
	}
}

// A disk that fails in the middle is damage with a place.
func TestReadError(t *testing.T) {
	_, _, files := rideFiles(t, 600, 8)
	for name, data := range files {
		broken := io.MultiReader(bytes.NewReader(data[:len(data)/2]), iotest.ErrReader(errors.New("disk gone")))
		rec, err := ReadRide(broken, name, func(Sample) error { return nil })
		var damage *DamageError
		if !errors.As(err, &damage) || rec.Samples < 280 || !strings.Contains(err.Error(), "disk gone") {
			t.Errorf("%s: %d samples, %v", name, rec.Samples, err)
		}
	}
}
