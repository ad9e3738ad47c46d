package wearlog

import (
	"time"

	"cagewise/gearing"
)

// readingLength is a length of a reading, between low and high millimetres.
func readingLength(key, flag, doc, sample string, low, high float64, place func(*gearing.WearReading) *gearing.MM) *Field {
	return number(Field{Table: "reading", Key: key, Flag: flag, Kind: Length, Unit: "mm", Low: low, High: high, Doc: doc, Sample: sample}, place)
}

var readingFields = []*Field{
	text(Field{Table: "reading", Key: "part", Flag: "part", High: mostID, Needed: true, Doc: "id of the part; of a reading, a chain's", Sample: `"chain-1"`},
		func(r *gearing.WearReading) *string { return &r.Part }),
	at("reading", func(r *gearing.WearReading) *float64 { return &r.KM }),
	on("reading", func(r *gearing.WearReading) *time.Time { return &r.On }),
	text(Field{Table: "reading", Key: "method", Flag: "method", Kind: Choice, Choices: words(gearing.ReadingMethods()...), Needed: true, Doc: "how it was read", Sample: `"rule"`},
		func(r *gearing.WearReading) *gearing.ReadingMethod { return &r.Method }),
	number(Field{Table: "reading", Key: "pitches", Flag: "pitches", Kind: Count, Low: 1, High: 300, Unit: "pitches", Doc: "that the reading spans, 12.7 mm each", Sample: "24"},
		func(r *gearing.WearReading) *int { return &r.Pitches }),
	readingLength("length_mm", "length", "length measured over the pitches (rule)", "306.9", 1, 4500,
		func(r *gearing.WearReading) *gearing.MM { return &r.Length }),
	readingLength("offset_mm", "offset", "how much longer than a new chain of the same count (hung)", "6.5", -400, 400,
		func(r *gearing.WearReading) *gearing.MM { return &r.Offset }),
	readingLength("inside_10_mm", "inside-10", "between the rollers at the ends of 10 pitches (caliper)", "120.8", 80, 150,
		func(r *gearing.WearReading) *gearing.MM { return &r.Inside10 }),
	readingLength("inside_2_mm", "inside-2", "the same over 2 pitches (caliper)", "18.44", 5, 35,
		func(r *gearing.WearReading) *gearing.MM { return &r.Inside2 }),
	number(Field{Table: "reading", Key: "mark_percent", Flag: "mark", Kind: Number, Unit: "%", Low: 0.05, High: 5, Doc: "the gauge's mark (two-point, three-point)", Sample: "0.75"},
		func(r *gearing.WearReading) *gearing.Percent { return &r.Mark }),
	yes(Field{Table: "reading", Key: "falls", Flag: "falls", Doc: "whether the mark falls in", Sample: "true"},
		func(r *gearing.WearReading) *bool { return &r.Falls }),
	given(Field{Table: "reading", Key: "scale_percent", Flag: "scale", Kind: Number, Unit: "%", Low: -2, High: 10, Doc: "what a gauge with a scale shows", Sample: "0.6"},
		func(r *gearing.WearReading) (*gearing.Percent, *bool) { return &r.Scale, &r.HasScale }),
	readingLength("lift_mm", "lift", "how far the chain is pulled off the ring at mid-wrap (lift)", "4", 0, 60,
		func(r *gearing.WearReading) *gearing.MM { return &r.Lift }),
	number(Field{Table: "reading", Key: "ring", Flag: "ring", Kind: Count, Low: float64(gearing.MinTeeth), High: float64(gearing.MaxTeeth), Unit: "teeth", Doc: "ring the lift was taken on", Sample: "44"},
		func(r *gearing.WearReading) *gearing.Teeth { return &r.Ring }),
	readingLength("error_mm", "error", "your standard error of the lengths; without it: the method's", "0.2", 0.001, 20,
		func(r *gearing.WearReading) *gearing.MM { return &r.Error }),
	note("reading", func(r *gearing.WearReading) *string { return &r.Note }),
}

var findingKinds = words(gearing.FindTeeth, gearing.FindSnag, gearing.FindLift, gearing.FindSkip, gearing.FindShift,
	gearing.FindPlay, gearing.FindRough, gearing.FindFrayed, gearing.FindStiff, gearing.FindSuck, gearing.FindBroken, gearing.FindBent, gearing.FindNothing)

var findingFields = []*Field{
	text(Field{Table: "finding", Key: "part", Flag: "part", High: mostID, Needed: true, Doc: "id of the part", Sample: `"cassette-1"`},
		func(f *gearing.WearFinding) *string { return &f.Part }),
	at("finding", func(f *gearing.WearFinding) *float64 { return &f.KM }),
	on("finding", func(f *gearing.WearFinding) *time.Time { return &f.On }),
	text(Field{Table: "finding", Key: "kind", Flag: "kind", Kind: Choice, Choices: findingKinds, Needed: true, Doc: "what was seen, heard or felt; of a chain broken is a plate cracked or broken or a pin working out, bent a plate or the chain twisted, stiff a joint", Sample: `"tooth shape"`},
		func(f *gearing.WearFinding) *gearing.FindingKind { return &f.Kind }),
	text(Field{Table: "finding", Key: "degree", Flag: "degree", Kind: Choice, Doc: "of tooth shape the first three, of the rest the last two", Sample: `"pointed"`,
		Choices: []string{gearing.DegreeSymmetric, gearing.DegreePointed, gearing.DegreeHooked, gearing.DegreeSlight, gearing.DegreeBad}},
		func(f *gearing.WearFinding) *string { return &f.Degree }),
	wheels(Field{Table: "finding", Key: "cogs", Flag: "on-cogs", Doc: "cogs it was seen on; without it: all", Sample: "[11]"},
		func(f *gearing.WearFinding) *[]gearing.Teeth { return &f.Cogs }),
	yes(Field{Table: "finding", Key: "loaded", Flag: "loaded", Doc: "it happens under load", Sample: "false"},
		func(f *gearing.WearFinding) *bool { return &f.Loaded }),
	note("finding", func(f *gearing.WearFinding) *string { return &f.Note }),
}
