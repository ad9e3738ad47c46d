package road

import (
	"bytes"
	"testing"
)

// BenchmarkRide reads 100,000 samples of each kind, finds the gears and adds up
// their use.
func BenchmarkRide(b *testing.B) {
	const n = 100_000
	ride := rideTruth(rideTable(b), n, 1)
	samples := usual(1).of(ride)
	metres := way(ride)
	for _, f := range []struct {
		name string
		data []byte
	}{
		{"a.fit", writeFIT(b, samples)}, {"a.gpx", writeGPX(samples, metres, true)}, {"positions.gpx", writeGPX(samples, metres, false)},
		{"a.tcx", writeTCX(samples, metres, true)}, {"a.csv", writeCSV(samples)},
	} {
		b.Run(f.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				addRide(b, f.data, f.name)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/n, "ns/sample")
		})
		b.Run(f.name+"/reading", func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := ReadRide(bytes.NewReader(f.data), f.name, func(Sample) error { return nil }); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/n, "ns/sample")
		})
	}
}

func addRide(b *testing.B, data []byte, name string) {
	m, err := NewMeter(rideBuild(), rideTable(b), DetectOptions{}, Rider{})
	if err != nil {
		b.Fatal(err)
	}
	if err := m.AddRide(bytes.NewReader(data), name); err != nil {
		b.Fatal(err)
	}
}
