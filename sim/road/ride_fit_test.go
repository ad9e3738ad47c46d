package road

import (
	"math"
	"testing"

	"github.com/muktihari/fit/profile/basetype"
	"github.com/muktihari/fit/profile/untyped/fieldnum"
	"github.com/muktihari/fit/profile/untyped/mesgnum"
	"github.com/muktihari/fit/proto"
)

// A record's fields by hand: speed in mm/s, the enhanced one first where it says
// something; cadence with 1/128 turns; the protocol's marks count as nothing.
func TestRecordByHand(t *testing.T) {
	field := func(num byte, v proto.Value) proto.Field {
		return proto.Field{FieldBase: &proto.FieldBase{Num: num}, Value: v}
	}
	speed, enhanced := field(fieldnum.RecordSpeed, proto.Uint16(5000)), field(fieldnum.RecordEnhancedSpeed, proto.Uint32(6000))
	silent := field(fieldnum.RecordEnhancedSpeed, proto.Uint32(basetype.Uint32Invalid))
	turns := field(fieldnum.RecordCadence, proto.Uint8(80))
	nan := math.NaN()
	for i, c := range []struct {
		fields         []proto.Field
		speed, cadence float64
	}{
		{[]proto.Field{speed, turns}, 5, 80}, {[]proto.Field{enhanced, speed}, 6, nan}, {[]proto.Field{silent, speed}, 5, nan}, {[]proto.Field{silent}, nan, nan},
		{[]proto.Field{turns, field(fieldnum.RecordFractionalCadence, proto.Uint8(32))}, nan, 80.25},
		{[]proto.Field{turns, field(fieldnum.RecordFractionalCadence, proto.Uint8(basetype.Uint8Invalid))}, nan, 80},
		{[]proto.Field{field(fieldnum.RecordCadence, proto.Uint8(basetype.Uint8Invalid))}, nan, nan}, {[]proto.Field{field(fieldnum.RecordSpeed, proto.Uint16(basetype.Uint16Invalid))}, nan, nan},
	} {
		r := &fitReader{records: 7}
		p := r.point(&proto.Message{Num: mesgnum.Record, Fields: c.fields})
		for what, v := range map[string][2]float64{"speed": {p.values[fieldSpeed], c.speed}, "cadence": {p.values[fieldCadence], c.cadence}} {
			if v[0] != v[1] && !(math.IsNaN(v[0]) && math.IsNaN(v[1])) {
				t.Errorf("%d: %s %v, want %v", i, what, v[0], v[1])
			}
		}
		if p.place != 7 {
			t.Errorf("record %d, want 7", p.place)
		}
	}
}

// As many descriptions of fields as allowed, and not one more.
func TestDescriptionsBounded(t *testing.T) {
	cancelled := 0
	r := &fitReader{cancel: func() { cancelled++ }}
	for range mostDescriptions {
		r.OnMesg(proto.Message{Num: mesgnum.FieldDescription})
	}
	if cancelled != 0 {
		t.Errorf("cancelled at %d descriptions", r.descriptions)
	}
	if r.OnMesg(proto.Message{Num: mesgnum.FieldDescription}); cancelled != 1 {
		t.Errorf("not cancelled at %d descriptions", r.descriptions)
	}
}
