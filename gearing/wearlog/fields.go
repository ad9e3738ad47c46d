package wearlog

import (
	"time"

	"cagewise/gearing"
)

// Limits of what is believed (invented here): they refuse slips of the pen, not
// unusual bikes.
const (
	mostDistance = 1e6 // of an odometer, in km or miles
	mostPrice    = 1e7 // money units
	mostText     = 400 // characters of a note
	mostID       = 40  // characters
)

// Names of the units of distance.
const (
	unitKM    = "km"
	unitMiles = "miles"
)

// words turns typed names into the choices of a field.
func words[S ~string](list ...S) []string {
	all := make([]string, len(list))
	for i, s := range list {
		all[i] = string(s)
	}
	return all
}

// note, at and on are keys that several tables have.
func note[T any](table string, place func(*T) *string) *Field {
	return text(Field{Table: table, Key: "note", Flag: "note", High: mostText, Doc: "anything worth remembering", Sample: `"after a wet week"`}, place)
}

func at[T any](table string, place func(*T) *float64) *Field {
	return number(Field{Table: table, Key: "at", Flag: "at", Kind: Distance, High: mostDistance, Needed: true, Doc: "odometer", Sample: "1230"}, place)
}

func on[T any](table string, place func(*T) *time.Time) *Field {
	return day(Field{Table: table, Key: "on", Flag: "on", Doc: "date"}, place)
}

var topFields = []*Field{
	text(Field{Key: "name", Flag: "title", High: mostText, Doc: "title of reports", Sample: `"Errand bike"`},
		func(l *gearing.WearLog) *string { return &l.Name }),
	note("", func(l *gearing.WearLog) *string { return &l.Note }),
	unitField(),
	number(Field{Key: "distance_per_year", Flag: "per-year", Kind: Distance, Low: 1, High: 200000, Doc: "distance ridden in a year; without it: from the log's dates", Sample: "6000"},
		func(l *gearing.WearLog) *float64 { return &l.KMPerYear }),
	text(Field{Key: "money", Flag: "money", High: mostID, Doc: "unit of the prices", Sample: `"euro"`},
		func(l *gearing.WearLog) *string { return &l.Money }),
	number(Field{Key: "budget", Flag: "budget", Kind: Number, Unit: "money units", High: mostPrice, Doc: "what may be spent on parts now", Sample: "80"},
		func(l *gearing.WearLog) *float64 { return &l.Budget }),
	yes(Field{Key: "motor", Flag: "motor", Doc: "a mid motor drives the chain", Sample: "false"},
		func(l *gearing.WearLog) *bool { return &l.Motor }),
}

func unitField() *Field {
	return &Field{
		Key: "distance_unit", Flag: "unit", Kind: Choice, Choices: []string{unitKM, unitMiles}, Sample: `"km"`,
		Doc: "unit of every distance in the log; without it: km",
		put: func(record any, v value) { record.(*gearing.WearLog).Miles = v.text == unitMiles },
		get: func(record any) (value, bool) {
			miles := record.(*gearing.WearLog).Miles
			return value{text: unitMiles}, miles
		},
	}
}

var partFields = []*Field{
	text(Field{Table: "part", Key: "id", Flag: "id", High: mostID, Needed: true, Doc: "the part's name in this log, used once", Sample: `"chain-1"`},
		func(p *gearing.WearPart) *string { return &p.ID }),
	text(Field{Table: "part", Key: "kind", Flag: "kind", Kind: Choice, Choices: words(gearing.PartKinds()...), Needed: true, Doc: "what it is", Sample: `"chain"`},
		func(p *gearing.WearPart) *gearing.PartKind { return &p.Kind }),
	wheels(Field{Table: "part", Key: "teeth", Flag: "teeth", Doc: "of a wheel one count, of a cassette every cog", Sample: "[11, 13, 15, 18, 21, 24, 28, 32]"},
		func(p *gearing.WearPart) *[]gearing.Teeth { return &p.Teeth }),
	number(Field{Table: "part", Key: "pitches", Flag: "pitches", Kind: Count, Low: 40, High: 300, Unit: "pitches", Doc: "of a chain, 12.7 mm each", Sample: "112"},
		func(p *gearing.WearPart) *int { return &p.Pitches }),
	orMinus(Field{Table: "part", Key: "fitted_at", Flag: "fitted-at", Kind: Distance, High: mostDistance, Doc: "odometer when it was fitted", Sample: "0"},
		func(p *gearing.WearPart) *float64 { return &p.FittedKM }),
	day(Field{Table: "part", Key: "fitted_on", Flag: "fitted-on", Doc: "date it was fitted"},
		func(p *gearing.WearPart) *time.Time { return &p.FittedOn }),
	orMinus(Field{Table: "part", Key: "removed_at", Flag: "removed-at", Kind: Distance, High: mostDistance, Doc: "odometer when it was taken off", Sample: "2400"},
		func(p *gearing.WearPart) *float64 { return &p.RemovedKM }),
	orMinus(Field{Table: "part", Key: "price", Flag: "price", Kind: Number, Unit: "money units", High: mostPrice, Doc: "of a new one", Sample: "30"},
		func(p *gearing.WearPart) *float64 { return &p.Price }),
	text(Field{Table: "part", Key: "source", Flag: "source", Kind: Choice, Doc: "where the next one comes from", Sample: `"to buy"`,
		Choices: words(gearing.SourceOnHand, gearing.SourceBuy, gearing.SourceNone)},
		func(p *gearing.WearPart) *gearing.PartSource { return &p.Source }),
	number(Field{Table: "part", Key: "roller_play_mm", Flag: "roller-play", Kind: Length, Unit: "mm", High: 3, Doc: "of a chain, between neighbouring rollers", Sample: "0.3"},
		func(p *gearing.WearPart) *gearing.MM { return &p.RollerPlay }),
	given(Field{Table: "part", Key: "start_elongation_percent", Flag: "start-elongation", Kind: Number, Unit: "%", Low: -1, High: 5, Doc: "what a chain read on its first day", Sample: "0.05"},
		func(p *gearing.WearPart) (*gearing.Percent, *bool) { return &p.StartElongation, &p.HasStart }),
	note("part", func(p *gearing.WearPart) *string { return &p.Note }),
}

var rideFields = []*Field{
	on("ride", func(r *gearing.WearRide) *time.Time { return &r.On }),
	number(Field{Table: "ride", Key: "distance", Flag: "distance", Kind: Distance, High: mostDistance, Over: true, Needed: true, Doc: "distance ridden", Sample: "42"},
		func(r *gearing.WearRide) *float64 { return &r.KM }),
	text(Field{Table: "ride", Key: "chain", Flag: "on-chain", High: mostID, Doc: "id of the chain; without it: the one fitted then", Sample: `"chain-1"`},
		func(r *gearing.WearRide) *string { return &r.Chain }),
	note("ride", func(r *gearing.WearRide) *string { return &r.Note }),
}
