package road

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"
	"testing"
	"time"

	"github.com/muktihari/fit/encoder"
	"github.com/muktihari/fit/profile/mesgdef"
	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/profile/untyped/mesgnum"
	"github.com/muktihari/fit/proto"
)

// rideStart is when the invented rides begin.
var rideStart = time.Date(2026, 4, 1, 8, 0, 0, 0, time.UTC)

func at(s Sample) time.Time {
	return rideStart.Add(time.Duration(s.Seconds * float64(time.Second)))
}

// decimals writes a value for CSV, GPX and TCX; nothing where none was
// recorded.
func decimals(v float64, n int) string {
	if math.IsNaN(v) {
		return ""
	}
	return strconv.FormatFloat(v, 'f', n, 64)
}

func element(name string, v float64, n int) string {
	if math.IsNaN(v) {
		return ""
	}
	return "<" + name + ">" + decimals(v, n) + "</" + name + ">"
}

func writeCSV(samples []Sample) []byte {
	var b bytes.Buffer
	b.WriteString("# invented\ntime_s,speed_m_s,cadence_rpm,power_w\n")
	for _, s := range samples {
		fmt.Fprintf(&b, "%s,%s,%s,%s\n", decimals(s.Seconds, 0), decimals(s.Speed, 3), decimals(s.Cadence, 0), decimals(s.Power, 0))
	}
	return b.Bytes()
}

const (
	gpxHead = `<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="invented" xmlns="http://www.topografix.com/GPX/1/1" xmlns:x="urn:invented">
<trk><name>invented &amp; short</name><trkseg>
`
	gpxFoot = "</trkseg></trk></gpx>\n"
	tcxHead = `<?xml version="1.0" encoding="UTF-8"?>
<TrainingCenterDatabase xmlns="urn:invented" xmlns:ns3="urn:invented:more">
<Activities><Activity Sport="Biking"><Id>2026-04-01T08:00:00Z</Id><Lap StartTime="2026-04-01T08:00:00Z"><DistanceMeters>1</DistanceMeters><Cadence>77</Cadence><Track>
`
	tcxFoot = "</Track></Lap></Activity></Activities></TrainingCenterDatabase>\n"
)

// writeGPX writes a way due north; metres is the way so far. Speed is left out
// unless withSpeed.
func writeGPX(samples []Sample, metres []float64, withSpeed bool) []byte {
	var b bytes.Buffer
	b.WriteString(gpxHead)
	for i, s := range samples {
		b.WriteString(gpxPoint(s, metres[i], withSpeed))
	}
	b.WriteString(gpxFoot)
	return b.Bytes()
}

func gpxPoint(s Sample, metres float64, withSpeed bool) string {
	speed := ""
	if withSpeed {
		speed = element("x:speed", s.Speed, 3)
	}
	return fmt.Sprintf("<trkpt lat=\"%.8f\" lon=\"8.5000000\"><ele>412.0</ele><time>%s</time><extensions>%s<x:TrackPointExtension><x:hr>120</x:hr>%s</x:TrackPointExtension>%s</extensions></trkpt>\n",
		47+metres/earthRadius*180/math.Pi, at(s).Format(time.RFC3339Nano), element("power", s.Power, 0), element("x:cad", s.Cadence, 0), speed)
}

func writeTCX(samples []Sample, metres []float64, withSpeed bool) []byte {
	var b bytes.Buffer
	b.WriteString(tcxHead)
	for i, s := range samples {
		speed := ""
		if withSpeed {
			speed = element("ns3:Speed", s.Speed, 3)
		}
		fmt.Fprintf(&b, "<Trackpoint><Time>%s</Time>%s<HeartRateBpm><Value>120</Value></HeartRateBpm>%s<Extensions><ns3:TPX>%s%s</ns3:TPX></Extensions></Trackpoint>\n",
			at(s).Format(time.RFC3339), element("DistanceMeters", metres[i], 2), element("Cadence", s.Cadence, 0), speed, element("ns3:Watts", s.Power, 0))
	}
	b.WriteString(tcxFoot)
	return b.Bytes()
}

func writeFIT(t testing.TB, samples []Sample) []byte {
	t.Helper()
	id := mesgdef.NewFileId(nil).SetType(typedef.FileActivity).SetTimeCreated(rideStart)
	messages := []proto.Message{id.ToMesg(nil)}
	for _, s := range samples {
		r := mesgdef.NewRecord(nil).SetTimestamp(at(s))
		if !math.IsNaN(s.Speed) {
			r.SetEnhancedSpeed(uint32(math.Round(s.Speed * 1000)))
		}
		if !math.IsNaN(s.Cadence) {
			r.SetCadence(uint8(s.Cadence))
		}
		if !math.IsNaN(s.Power) {
			r.SetPower(uint16(s.Power))
		}
		messages = append(messages, r.ToMesg(nil))
	}
	var b bytes.Buffer
	if err := encoder.New(&b).Encode(&proto.FIT{Messages: messages}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// writeDescriptions is a FIT file full of descriptions of own fields.
func writeDescriptions(t testing.TB, n int) []byte {
	t.Helper()
	messages := []proto.Message{mesgdef.NewFileId(nil).SetType(typedef.FileActivity).ToMesg(nil)}
	for range n {
		d := mesgdef.NewFieldDescription(nil).SetDeveloperDataIndex(1).SetFieldDefinitionNumber(1).SetFitBaseTypeId(2)
		m := d.ToMesg(nil)
		m.Num = mesgnum.FieldDescription
		messages = append(messages, m)
	}
	var b bytes.Buffer
	if err := encoder.New(&b).Encode(&proto.FIT{Messages: messages}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// way is the distance ridden up to each sample, from the true ride.
func way(ride []truth) []float64 {
	list, sum := make([]float64, len(ride)), 0.0
	for i, t := range ride {
		if i > 0 {
			sum += (t.Speed + ride[i-1].Speed) / 2
		}
		list[i] = sum
	}
	return list
}

// generated is a reader of size bytes that makes its text as it is read.
type generated struct {
	left int
	next func(i int) string
	i    int
	text string
}

func (g *generated) Read(p []byte) (n int, err error) {
	for n < len(p) && g.left > 0 {
		if g.text == "" {
			g.text = g.next(g.i)
			g.i++
		}
		k := copy(p[n:], g.text)
		g.text = g.text[k:]
		n, g.left = n+k, g.left-k
	}
	if n == 0 {
		return 0, io.EOF
	}
	return n, nil
}
