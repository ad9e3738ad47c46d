package build

import (
	"slices"

	"cagewise/gearing"
)

// bike shortens the accessors below.
type bike = gearing.Build

// fields is built once and never changed.
var fields = func() []*Field {
	all := slices.Concat(topFields(), frameFields(), suspensionFields(), wheelFields(), ringFields(), cogFields(),
		chainFields(), rearFields(), geometryFields(), frontFields(), riderFields())
	out := make([]*Field, len(all))
	for i := range all {
		out[i] = &all[i]
	}
	return out
}()

func topFields() []Field {
	return []Field{
		atText(Field{Key: "name", Flag: "name", Kind: Text, Doc: "title of tables and charts",
			Default: "the tooth counts", Sample: `"my build"`, Essential: true},
			func(b *bike) *string { return &b.Name }),
		atText(Field{Key: "note", Kind: Text, Doc: "one line about the build",
			Default: "none", Sample: `"invented numbers, replace them with yours"`, Essential: true},
			func(b *bike) *string { return &b.Note }),
	}
}

func frameFields() []Field {
	return []Field{
		at(Field{Section: "frame", Key: "chainstay", Flag: "chainstay", Kind: Length, Unit: "mm",
			Low: 250, High: 1200, AdviseLow: 390, AdviseHigh: 560,
			Doc:     "crank centre to rear axle centre, at the forward end of the dropout",
			Default: "not known; chain lengths ask for it", Sample: "430", Essential: true},
			func(b *bike) *gearing.MM { return &b.Frame.Chainstay }),
		at(Field{Section: "frame", Key: "bottom_bracket_drop", Flag: "bottom-bracket-drop", Kind: Length, Unit: "mm",
			Low: -100, High: 150, AdviseLow: -30, AdviseHigh: 95, Centimetres: [2]float64{4, 9},
			Doc:     "how far the crank centre lies below the axle line",
			Default: "70 mm", Sample: "70"},
			func(b *bike) *gearing.MM { return &b.Frame.BottomBracketDrop }).or(value{num: 70}),
		at(Field{Section: "frame", Key: "dropout_range", Flag: "dropout-range", Kind: Length, Unit: "mm",
			Low: 0, High: 60, AdviseLow: 0, AdviseHigh: 40,
			Doc:     "how far the axle can move back in a horizontal dropout",
			Default: "0 mm, a fixed axle", Sample: "0"},
			func(b *bike) *gearing.MM { return &b.Frame.DropoutRange }),
		at(Field{Section: "frame", Key: "axle_end_width", Flag: "axle-end-width", Kind: Length, Unit: "mm",
			Low: 100, High: 220, AdviseLow: 110, AdviseHigh: 197,
			Doc:     "between the frame's rear axle faces",
			Default: "135 mm", Sample: "135"},
			func(b *bike) *gearing.MM { return &b.Lines.AxleEndWidth }),
	}
}

func suspensionFields() []Field {
	stays := Field{Section: "suspension", Key: "chainstays", Kind: Series, Unit: "mm",
		Low: 250, High: 1200, AdviseLow: 390, AdviseHigh: 580,
		Doc:     "crank centre to rear axle centre over the travel, frame.chainstay being the unloaded bike's",
		Default: "a rigid rear end", Sample: "[432, 437, 441]"}
	stays.put = func(b *bike, v value) {
		b.Frame.Suspension.Chainstays = nil
		for _, x := range v.list {
			b.Frame.Suspension.Chainstays = append(b.Frame.Suspension.Chainstays, gearing.MM(x))
		}
	}
	stays.read = func(b *bike) value {
		var v value
		for _, x := range b.Frame.Suspension.Chainstays {
			v.list = append(v.list, float64(x))
		}
		return v
	}
	length := func(key, doc, def, sample string, low, high float64) Field {
		return Field{Section: "suspension", Key: key, Kind: Length, Unit: "mm",
			Low: low, High: high, Doc: doc, Default: def, Sample: sample}
	}
	return []Field{
		stays,
		at(length("travel", "how far the rear axle rises, for a swing arm on one main pivot", "no swing arm", "140", 0, 300),
			func(b *bike) *gearing.MM { return &b.Frame.Suspension.Travel }),
		at(length("pivot_ahead", "main pivot ahead of the crank centre", "0, over the crank", "12", -200, 200),
			func(b *bike) *gearing.MM { return &b.Frame.Suspension.PivotAhead }),
		at(length("pivot_above", "main pivot above the crank centre", "0, level with the crank", "35", -100, 300),
			func(b *bike) *gearing.MM { return &b.Frame.Suspension.PivotAbove }),
	}
}

func wheelFields() []Field {
	tyre := Field{Section: "wheel", Key: "tyre", Flag: "tyre", Kind: Tyre, Unit: "mm",
		Doc:     "ETRTO marking on the tyre's side, section and bead seat in mm",
		Default: "37-622", Sample: `"42-622"`, Essential: true}
	tyre.put = func(b *bike, v value) {
		b.Wheel.Section, b.Wheel.BeadSeat = gearing.MM(v.list[0]), gearing.MM(v.list[1])
	}
	tyre.read = func(b *bike) value {
		return value{list: []float64{float64(b.Wheel.Section), float64(b.Wheel.BeadSeat)}}
	}
	return []Field{
		tyre.or(value{list: []float64{37, 622}}),
		at(Field{Section: "wheel", Key: "load_allowance", Flag: "load-allowance", Kind: Number, Unit: "%",
			Low: 0, High: 5, AdviseLow: 0, AdviseHigh: 3,
			Doc:     "taken off the nominal circumference for the loaded tyre",
			Default: "1 %", Sample: "1"},
			func(b *bike) *gearing.Percent { return &b.Wheel.LoadAllowance }).or(value{num: 1}),
		at(Field{Section: "wheel", Key: "roll_out", Flag: "roll-out", Kind: Length, Unit: "mm",
			Low: 700, High: 3000, AdviseLow: 1200, AdviseHigh: 2500,
			Doc:     "distance of one wheel turn, measured with the rider on the bike; overrides the marking",
			Default: "computed from tyre and load_allowance", Sample: "2174"},
			func(b *bike) *gearing.MM { return &b.Wheel.MeasuredRollOut }),
	}
}

func ringFields() []Field {
	return []Field{
		atWheels(Field{Section: "rings", Key: "teeth", Flag: "rings", Kind: Wheels, Unit: "teeth",
			Low: float64(gearing.MinTeeth), High: float64(gearing.MaxTeeth), AdviseLow: 18, AdviseHigh: 62,
			Doc:     "teeth of the chainrings, in any order",
			Default: "none; every command asks for it", Sample: "[46, 30]", Essential: true},
			func(b *bike) *[]gearing.Teeth { return &b.Rings }),
		at(Field{Section: "rings", Key: "chain_line", Flag: "chain-line", Kind: Length, Unit: "mm",
			Low: 20, High: 90, AdviseLow: 38, AdviseHigh: 62,
			Doc:     "frame's middle to the middle of the ring set",
			Default: "by the number of rings and the axle", Sample: "47.5"},
			func(b *bike) *gearing.MM { return &b.Lines.FrontChainLine }),
		at(Field{Section: "rings", Key: "spacing", Flag: "ring-spacing", Kind: Length, Unit: "mm",
			Low: 2, High: 20, AdviseLow: 4, AdviseHigh: 9,
			Doc:     "between the middles of neighbouring rings",
			Default: "5 mm", Sample: "5"},
			func(b *bike) *gearing.MM { return &b.Lines.RingSpacing }),
		at(Field{Section: "rings", Key: "thickness", Flag: "ring-thickness", Kind: Length, Unit: "mm",
			Low: 1, High: 5, AdviseLow: 1.5, AdviseHigh: 3.2,
			Doc:     "of the ring at its teeth",
			Default: "2 mm", Sample: "2"},
			func(b *bike) *gearing.MM { return &b.Lines.RingThickness }),
	}
}

func cogFields() []Field {
	return []Field{
		atWheels(Field{Section: "cogs", Key: "teeth", Flag: "cogs", Kind: Wheels, Unit: "teeth",
			Low: float64(gearing.MinTeeth), High: float64(gearing.MaxTeeth), AdviseLow: 9, AdviseHigh: 52,
			Doc:     "teeth of the cogs, in any order",
			Default: "none; every command asks for it", Sample: `"11-13-15-17-19-21-24-28-32-36"`, Essential: true},
			func(b *bike) *[]gearing.Teeth { return &b.Cogs }),
		at(Field{Section: "cogs", Key: "spacing", Flag: "cog-spacing", Kind: Length, Unit: "mm",
			Low: 2, High: 12, AdviseLow: 3.4, AdviseHigh: 5.6,
			Doc:     "between the middles of neighbouring cogs",
			Default: "by the number of cogs", Sample: "3.95"},
			func(b *bike) *gearing.MM { return &b.Lines.CogSpacing }),
		at(Field{Section: "cogs", Key: "thickness", Flag: "cog-thickness", Kind: Length, Unit: "mm",
			Low: 1, High: 4, AdviseLow: 1.4, AdviseHigh: 2.4,
			Doc:     "of the cogs at their teeth",
			Default: "by the number of cogs", Sample: "1.6"},
			func(b *bike) *gearing.MM { return &b.Lines.CogThickness }),
		at(Field{Section: "cogs", Key: "axle_face_gap", Flag: "axle-face-gap", Kind: Length, Unit: "mm",
			Low: 0.5, High: 40, AdviseLow: 2, AdviseHigh: 12,
			Doc:     "axle face to the outer side of the smallest cog",
			Default: "3 mm, 6.5 mm for through axles", Sample: "3"},
			func(b *bike) *gearing.MM { return &b.Lines.AxleFaceGap }),
	}
}

func chainFields() []Field {
	offset := Field{Section: "chain", Key: "offset_link", Flag: "offset-link", Kind: Switch,
		Doc: "an offset link allows odd counts", Default: "false", Sample: "false"}
	offset.put = func(b *bike, v value) { b.Chain.OffsetLink = v.on }
	offset.read = func(b *bike) value { return value{on: b.Chain.OffsetLink} }
	return []Field{
		at(Field{Section: "chain", Key: "pitches", Flag: "chain", Kind: Count, Unit: "pitches",
			Low: 40, High: 300, AdviseLow: 84, AdviseHigh: 150,
			Doc:     "count of the chain already owned, as on its box: every inner and every outer link is one pitch of 12.7 mm",
			Default: "none owned, one is to be cut", Sample: "114"},
			func(b *bike) *int { return &b.Chain.Pitches }),
		at(Field{Section: "chain", Key: "elongation", Flag: "elongation", Kind: Number, Unit: "%",
			Low: 0, High: 5, AdviseLow: 0, AdviseHigh: 1,
			Doc:     "of the owned chain, by wear",
			Default: "0 %, a new chain", Sample: "0.3"},
			func(b *bike) *gearing.Percent { return &b.Chain.Elongation }),
		offset,
		at(Field{Section: "chain", Key: "width", Flag: "chain-width", Kind: Length, Unit: "mm",
			Low: 3, High: 15, AdviseLow: 5, AdviseHigh: 8.6,
			Doc:     "over the pins",
			Default: "by the number of cogs", Sample: "5.9"},
			func(b *bike) *gearing.MM { return &b.Lines.ChainWidth }),
	}
}

func frontFields() []Field {
	teeth := Field{Section: "front_derailleur", Kind: Count, Unit: "teeth", Low: 1, High: 60, Default: "not known; not checked"}
	with := func(key, flag, doc, sample string) Field {
		f := teeth
		f.Key, f.Flag, f.Doc, f.Sample = key, flag, doc, sample
		return f
	}
	return []Field{
		at(with("rated_capacity", "front-capacity", "largest minus smallest ring, by its maker", "16"),
			func(b *bike) *gearing.Teeth { return &b.Front.RatedCapacity }),
		at(with("largest_ring", "front-largest-ring", "largest ring, by its maker", "50"),
			func(b *bike) *gearing.Teeth { return &b.Front.LargestRing }),
		at(with("least_ring_step", "front-least-ring-step", "least difference of the two largest rings, by its maker", "10"),
			func(b *bike) *gearing.Teeth { return &b.Front.LeastRingStep }),
	}
}

func riderFields() []Field {
	cadence := Field{Section: "rider", Key: "cadence", Flag: "cadence", Kind: Band, Unit: "rpm",
		Low: 20, High: 200, AdviseLow: 40, AdviseHigh: 130,
		Doc:     "lowest and highest comfortable cadence",
		Default: "60 and 90 rpm", Sample: "[60, 90]"}
	cadence.put = func(b *bike, v value) {
		b.Rider.CadenceLow, b.Rider.CadenceHigh = v.list[0], v.list[len(v.list)-1]
	}
	cadence.read = func(b *bike) value { return value{list: []float64{b.Rider.CadenceLow, b.Rider.CadenceHigh}} }
	return []Field{cadence.or(value{list: []float64{gearing.DefaultCadenceLow, gearing.DefaultCadenceHigh}})}
}
