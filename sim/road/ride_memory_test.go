package road

import (
	"fmt"
	"io"
	"math"
	"runtime"
	"strings"
	"testing"
	"time"
)

// peakHeap is the most heap in use in MB over the start while do runs; watch is
// for do to call now and then.
func peakHeap(do func(watch func())) float64 {
	var s runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&s)
	start, peak := s.HeapAlloc, s.HeapAlloc
	do(func() {
		runtime.ReadMemStats(&s)
		peak = max(peak, s.HeapAlloc)
	})
	return float64(peak-start) / 1e6
}

// sampleAt is an endless even ride.
func sampleAt(i int) Sample {
	return Sample{Seconds: float64(i), Speed: 6 + 2*math.Sin(float64(i)/50), Cadence: float64(70 + i/60%20), Power: 150}
}

// longRides are readers that make their text as it is read. All hold far more
// samples than are held for the wheel, but the GPX, which is the bulkiest.
func longRides(t testing.TB) map[string]io.Reader {
	samples := make([]Sample, 2000)
	for i := range samples {
		samples[i] = sampleAt(i)
	}
	fit := string(writeFIT(t, samples))
	return map[string]io.Reader{
		"a.csv": &generated{left: 8 << 20, next: func(i int) string {
			if i == 0 {
				return "seconds,speed_m_s,cadence,power\n"
			}
			s := sampleAt(i)
			return fmt.Sprintf("%d,%.3f,%.0f,%.0f\n", i, s.Speed, s.Cadence, s.Power)
		}},
		"a.gpx": &generated{left: 50 << 20, next: func(i int) string {
			if i == 0 {
				return gpxHead
			}
			return gpxPoint(sampleAt(i), 6*float64(i), false)
		}},
		// A chain of FIT files: each starts with the clock set back.
		"a.fit": &generated{left: 4 << 20, next: func(int) string { return fit }},
	}
}

func TestMemoryStaysFlat(t *testing.T) {
	for name, in := range longRides(t) {
		m, err := NewMeter(rideBuild(), rideTable(t), DetectOptions{}, Rider{})
		if err != nil {
			t.Fatal(err)
		}
		peak := peakHeap(func(watch func()) {
			if err := m.AddRide(watched{in, watch}, name); err != nil {
				t.Errorf("%s: %v", name, err)
			}
		})
		rec := m.Usage().Rides[0].Recording
		t.Logf("%s: %d samples, at most %.1f MB of heap", name, rec.Samples, peak)
		if peak > 40 {
			t.Errorf("%s: %.1f MB of heap, allowed 40", name, peak)
		}
	}
}

// watched calls watch at every read.
type watched struct {
	io.Reader
	watch func()
}

func (w watched) Read(p []byte) (int, error) {
	w.watch()
	return w.Reader.Read(p)
}

// What can pile up in a decoder is refused before it does.
func TestPilesAreRefused(t *testing.T) {
	fill := func(head, piece string) io.Reader {
		return &generated{left: 8 << 20, next: func(i int) string {
			if i == 0 {
				return head
			}
			return strings.Repeat(piece, 100)
		}}
	}
	for name, in := range map[string]io.Reader{
		"one text":    fill("<gpx><name>", "aaaaaaaaaa"),
		"one comment": fill("<gpx><!--", "aaaaaaaaaa"),
		"one tag":     fill("<gpx><a ", "b='cccccc' "),
		"deep":        fill("<gpx>", "<a><b><c>"),
		"one line":    fill("time,speed_m_s\n", "1,1,1,1,"),
		"fields":      strings.NewReader(string(writeDescriptions(t, mostDescriptions+10))),
	} {
		start := time.Now()
		var err error
		peak := peakHeap(func(watch func()) {
			_, err = ReadRide(watched{in, watch}, name, func(Sample) error { return nil })
		})
		t.Logf("%s: %.1f MB in %v: %v", name, peak, time.Since(start).Round(time.Millisecond), err)
		if err == nil || peak > 20 {
			t.Errorf("%s: %.1f MB of heap, error %v", name, peak, err)
		}
	}
}
