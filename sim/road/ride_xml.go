package road

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
)

// xmlPoints are the elements that hold a point, xmlFields those in it that hold
// a value, by their names without a prefix: GPX 1.1 and its common extensions,
// TCX 2 and its activity extension. Speeds are m/s.
var (
	xmlPoints = map[string]bool{"trkpt": true, "Trackpoint": true}
	xmlFields = map[string]field{
		"time": fieldTime, "Time": fieldTime,
		"speed": fieldSpeed, "Speed": fieldSpeed,
		"cad": fieldCadence, "cadence": fieldCadence, "Cadence": fieldCadence,
		"power": fieldPower, "Power": fieldPower, "watts": fieldPower, "Watts": fieldPower,
		"DistanceMeters": fieldDistance, "lat": fieldLatitude, "lon": fieldLongitude,
		"LatitudeDegrees": fieldLatitude, "LongitudeDegrees": fieldLongitude,
	}
)

// xmlReader reads the points of a GPX or a TCX.
type xmlReader struct {
	dec *xml.Decoder
	c   *cleaner

	depth   int
	inPoint bool
	point   rawPoint
	want    bool  // the element that is open holds a value
	field   field // of that element
	text    []byte
}

// longestText bounds what is kept of a value's text.
const longestText = 64

func readXML(in io.Reader, c *cleaner) error {
	guard := &tokenGuard{in: in}
	r := xmlReader{dec: xml.NewDecoder(guard), c: c}
	r.dec.CharsetReader = charsetReader
	for {
		guard.used = 0
		// RawToken: names are wanted as written, and nothing is to pile up
		// for elements that are never closed.
		token, err := r.dec.RawToken()
		if errors.Is(err, io.EOF) && r.depth <= 0 {
			return nil
		}
		if err != nil {
			return r.damage(err)
		}
		if err := r.take(token); err != nil {
			return err
		}
	}
}

func (r *xmlReader) damage(err error) error {
	line, _ := r.dec.InputPos()
	var syntax *xml.SyntaxError
	if errors.Is(err, io.EOF) || errors.As(err, &syntax) && syntax.Msg == "unexpected EOF" {
		return fmt.Errorf("line %d, byte %d: the file ends in the middle", line, r.dec.InputOffset())
	}
	return fmt.Errorf("line %d, byte %d: %w", line, r.dec.InputOffset(), err)
}

func (r *xmlReader) take(token xml.Token) error {
	switch t := token.(type) {
	case xml.StartElement:
		r.depth++
		r.open(t)
	case xml.CharData:
		if r.want && len(r.text)+len(t) <= longestText {
			r.text = append(r.text, t...)
		}
	case xml.EndElement:
		r.depth--
		return r.close(t)
	}
	return nil
}

func (r *xmlReader) open(t xml.StartElement) {
	if xmlPoints[t.Name.Local] {
		line, _ := r.dec.InputPos()
		r.inPoint, r.point = true, newRawPoint(line)
		for _, a := range t.Attr {
			if f, ok := xmlFields[a.Name.Local]; ok {
				r.point.values[f] = r.c.number([]byte(a.Value), line)
			}
		}
		return
	}
	r.text = r.text[:0]
	r.field, r.want = xmlFields[t.Name.Local]
	r.want = r.want && r.inPoint
}

func (r *xmlReader) close(t xml.EndElement) error {
	if r.want {
		r.want = false
		if r.field == fieldTime {
			r.point.values[r.field] = r.c.date(r.text, r.point.place)
		} else {
			r.point.values[r.field] = r.c.number(r.text, r.point.place)
		}
	}
	if !r.inPoint || !xmlPoints[t.Name.Local] {
		return nil
	}
	r.inPoint = false
	return r.c.add(r.point)
}

// tokenGuard bounds how much may be read for one token, as the decoder keeps a
// whole token in memory.
type tokenGuard struct {
	in   io.Reader
	used int
}

const longestToken = 1 << 20

func (g *tokenGuard) Read(p []byte) (int, error) {
	if g.used > longestToken {
		return 0, errors.New("an element or a text of over 1 MB; allowed: a ride's points")
	}
	n, err := g.in.Read(p)
	g.used += n
	return n, err
}

// charsetReader is for old files that name another charset than UTF-8: all that
// is wanted of them is ASCII, so other bytes may become question marks.
func charsetReader(_ string, in io.Reader) (io.Reader, error) { return asciiReader{in}, nil }

type asciiReader struct{ in io.Reader }

func (a asciiReader) Read(p []byte) (int, error) {
	n, err := a.in.Read(p)
	for i, b := range p[:n] {
		if b >= 0x80 {
			p[i] = '?'
		}
	}
	return n, err
}
