package road

import (
	"testing"
)

// FuzzRide reads anything as a ride of any name and finds its gears.
func FuzzRide(f *testing.F) {
	_, _, files := rideFiles(f, 5, 9)
	for name, data := range files {
		f.Add(data, name)
		f.Add(data[:len(data)/2], name)
	}
	f.Add([]byte("time;distance_km\n0;0\n1;0,01\n"), "b.csv")
	f.Add([]byte("time,speed_m_s,cadence\n9,5,80\n8,5,80\n7,5,80\n6"), "back.csv")
	f.Add([]byte("<gpx><trkpt lat='1' lon='2'><time>2026-04-01T08:00:00Z</time></trkpt></gpx>"), "")
	table := rideTable(f)
	f.Fuzz(func(t *testing.T, data []byte, name string) {
		checkRead(t, data, name)
		checkGears(t, data, name, len(table.Gears))
	})
}

func checkGears(t *testing.T, data []byte, name string, gears int) {
	t.Helper()
	found := 0
	d, err := NewDetector(rideTable(t), DetectOptions{}, func(m Moment) {
		found++
		if (m.State == Pedalled) != (m.Gear >= 0) || m.Gear >= gears || !(m.Seconds >= 0 && m.Seconds <= MaxGap) {
			t.Fatalf("moment %+v", m)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	samples, _, _ := readAll(data, name)
	for _, s := range samples {
		_ = d.Add(s)
	}
	if w := d.Close(); found != len(samples) || !(w.Scale > 0.95 && w.Scale < 1.05) || w.Found != (w.Why == "") {
		t.Fatalf("%d moments of %d samples, wheel %+v", found, len(samples), w)
	}
}
