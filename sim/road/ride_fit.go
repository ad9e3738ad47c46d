package road

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/muktihari/fit/decoder"
	"github.com/muktihari/fit/profile/basetype"
	"github.com/muktihari/fit/profile/untyped/fieldnum"
	"github.com/muktihari/fit/profile/untyped/mesgnum"
	"github.com/muktihari/fit/proto"
)

// fitReader takes the record messages of a FIT file as they are decoded; none
// is kept.
type fitReader struct {
	c            *cleaner
	cancel       context.CancelFunc
	records      int
	descriptions int
}

// mostDescriptions bounds the descriptions of own fields, the one thing that
// the decoder keeps.
const mostDescriptions = 4096

var errDescriptions = fmt.Errorf("over %d descriptions of own fields; allowed: a ride", mostDescriptions)

func readFIT(in io.Reader, c *cleaner) error {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	r := &fitReader{c: c, cancel: cancel}
	dec := decoder.New(in, decoder.WithMesgListener(r), decoder.WithBroadcastOnly(), decoder.WithReadBufferSize(64<<10))
	for dec.Next() {
		if _, err := dec.DecodeWithContext(ctx); err != nil {
			return r.damage(err)
		}
	}
	return nil
}

func (r *fitReader) damage(err error) error {
	switch {
	case r.descriptions > mostDescriptions:
		err = errDescriptions
	case errors.Is(err, decoder.ErrCRCChecksumMismatch):
		err = fmt.Errorf("the check sum does not fit, so any value may be wrong: %w", err)
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		err = fmt.Errorf("the file ends in the middle: %w", err)
	}
	return fmt.Errorf("after record %d: %w", r.records, err)
}

// OnMesg takes one message from the decoder.
func (r *fitReader) OnMesg(m proto.Message) {
	switch m.Num {
	case mesgnum.FieldDescription:
		if r.descriptions++; r.descriptions > mostDescriptions {
			r.cancel()
		}
	case mesgnum.Record:
		r.records++
		if r.c.add(r.point(&m)) != nil {
			r.cancel()
		}
	}
}

// point reads the fields of a record. The protocol's own marks for "no value"
// count as not recorded.
func (r *fitReader) point(m *proto.Message) rawPoint {
	p := newRawPoint(r.records)
	set := func(f field, v uint32, invalid uint32, scale float64) {
		if v != invalid {
			p.values[f] = float64(v) / scale
		}
	}
	fraction, enhanced := uint8(0), false
	for i := range m.Fields {
		v := m.Fields[i].Value
		switch m.Fields[i].Num {
		case fieldnum.RecordTimestamp:
			set(fieldTime, v.Uint32(), basetype.Uint32Invalid, 1)
		case fieldnum.RecordEnhancedSpeed:
			set(fieldSpeed, v.Uint32(), basetype.Uint32Invalid, 1000)
			enhanced = v.Uint32() != basetype.Uint32Invalid
		case fieldnum.RecordSpeed:
			if !enhanced {
				set(fieldSpeed, uint32(v.Uint16()), uint32(basetype.Uint16Invalid), 1000)
			}
		case fieldnum.RecordCadence:
			set(fieldCadence, uint32(v.Uint8()), uint32(basetype.Uint8Invalid), 1)
		case fieldnum.RecordFractionalCadence:
			fraction = v.Uint8()
		case fieldnum.RecordPower:
			set(fieldPower, uint32(v.Uint16()), uint32(basetype.Uint16Invalid), 1)
		case fieldnum.RecordDistance:
			set(fieldDistance, v.Uint32(), basetype.Uint32Invalid, 100)
		}
	}
	if fraction != basetype.Uint8Invalid {
		p.values[fieldCadence] += float64(fraction) / 128 // NaN stays NaN
	}
	return p
}
