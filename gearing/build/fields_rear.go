package build

import "cagewise/gearing"

func rearFields() []Field {
	with := func(key, flag, doc, sample string, high float64) Field {
		return Field{Section: "rear_derailleur", Key: key, Flag: flag, Kind: Count, Unit: "teeth",
			Low: 1, High: high, Doc: doc, Sample: sample, Default: "not known; not checked"}
	}
	capacity := with("rated_capacity", "capacity", "ring difference plus cog difference, by its maker", "37", 90)
	capacity.Default = "taken as usual for the cage, with wide margins; without pulley_centres and class too, nothing is known of the cage"
	largest := with("largest_cog", "largest-cog", "largest cog, by its maker", "36", 80)
	largest.Default = "not checked; taken as usual for the cage, with wide margins"
	pulley := func(key, flag, doc string) Field {
		f := with(key, flag, doc, "11", 24)
		f.Low, f.AdviseLow, f.AdviseHigh, f.Default = 8, 10, 18, "typical for the class or the pulley centres: 11 teeth, with a wide cage 12 and 14"
		return f
	}
	return []Field{
		at(capacity, func(b *bike) *gearing.Teeth { return &b.Rear.RatedCapacity }),
		at(largest, func(b *bike) *gearing.Teeth { return &b.Rear.LargestCog }),
		at(with("smallest_cog", "smallest-cog", "smallest cog, by its maker", "11", 80),
			func(b *bike) *gearing.Teeth { return &b.Rear.SmallestCog }),
		at(with("least_largest_cog", "least-largest-cog", "the largest cog must be at least this, by its maker", "28", 80),
			func(b *bike) *gearing.Teeth { return &b.Rear.LeastLargestCog }),
		at(with("largest_ring_difference", "largest-ring-difference", "largest minus smallest ring, by its maker", "16", 60),
			func(b *bike) *gearing.Teeth { return &b.Rear.LargestRingStep }),
		at(Field{Section: "rear_derailleur", Key: "pulley_centres", Flag: "pulley-centres", Kind: Length, Unit: "mm",
			Low: 30, High: 150, AdviseLow: 45, AdviseHigh: 115,
			Doc:     "guide pulley bolt to tension pulley bolt",
			Default: "from the class or the rated capacity, with wide margins", Sample: "75"},
			func(b *bike) *gearing.MM { return &b.Rear.PulleyCentres }),
		at(pulley("guide_pulley", "guide-pulley", "teeth of the upper pulley"),
			func(b *bike) *gearing.Teeth { return &b.Rear.GuidePulleyTeeth }),
		at(pulley("tension_pulley", "tension-pulley", "teeth of the lower pulley"),
			func(b *bike) *gearing.Teeth { return &b.Rear.TensionPulleyTeeth }),
	}
}

const geometrySection = "rear_derailleur.geometry"

func geometryFields() []Field {
	length := func(key, doc, sample string, low, high float64) Field {
		return Field{Section: geometrySection, Key: key, Kind: Length, Unit: "mm",
			Low: low, High: high, Doc: doc, Sample: sample, Default: "typical for the pulley centres"}
	}
	ruler := func(key, doc, def, sample string, low float64) Field {
		f := length(key, doc, sample, low, 40)
		f.Default = def
		return f
	}
	extender := func(key, flag, doc, sample string) Field {
		f := ruler(key, doc, "no extender", sample, -40)
		f.Flag = flag
		return f
	}
	stop := func(key, flag, doc, sample, def string, low, high, adviseLow, adviseHigh float64) Field {
		return Field{Section: geometrySection, Key: key, Flag: flag, Kind: Number, Unit: "degrees",
			Low: low, High: high, AdviseLow: adviseLow, AdviseHigh: adviseHigh,
			Doc: doc, Sample: sample, Default: "assumed from the cage length, " + def}
	}
	return []Field{
		atText(Field{Section: geometrySection, Key: "class", Flag: "class", Kind: Choice,
			Choices: []string{"short", "medium", "long", "wide"},
			Doc:     "typical geometry to start from", Default: "by the pulley centres, and wide by a rated cog of 42 teeth or more", Sample: `"medium"`},
			func(b *bike) *string { return &b.Rear.Geometry.Class }),
		at(length("hanger_behind", "hanger bolt behind the axle", "9", -20, 60),
			func(b *bike) *gearing.MM { return &b.Rear.Geometry.HangerBehind }),
		at(length("hanger_below", "hanger bolt below the axle", "28", 5, 90),
			func(b *bike) *gearing.MM { return &b.Rear.Geometry.HangerBelow }),
		at(length("pivot_small_x", "cage pivot ahead of the axle, on the smallest cog", "12", -80, 80),
			func(b *bike) *gearing.MM { return &b.Rear.Geometry.PivotSmallX }),
		at(length("pivot_small_y", "cage pivot above the axle (below: negative), on the smallest cog", "-71", -200, -10),
			func(b *bike) *gearing.MM { return &b.Rear.Geometry.PivotSmallY }),
		at(length("pivot_large_x", "cage pivot ahead of the axle, on the largest cog", "29", -80, 120),
			func(b *bike) *gearing.MM { return &b.Rear.Geometry.PivotLargeX }),
		at(length("pivot_large_y", "cage pivot above the axle (below: negative), on the largest cog", "-109", -250, -10),
			func(b *bike) *gearing.MM { return &b.Rear.Geometry.PivotLargeY }),
		at(length("pivot_to_guide", "cage pivot to guide pulley centre", "9.4", 0.1, 80),
			func(b *bike) *gearing.MM { return &b.Rear.Geometry.PivotToGuide }),
		at(length("pivot_to_tension", "cage pivot to tension pulley centre", "70.7", 10, 200),
			func(b *bike) *gearing.MM { return &b.Rear.Geometry.PivotToTension }),
		atText(Field{Section: geometrySection, Key: "pivot_side", Kind: Choice, Choices: []string{"ahead", "behind"},
			Doc:     "side of the pulley line on which the cage pivot lies, tension pulley hanging down",
			Default: "ahead", Sample: `"ahead"`},
			func(b *bike) *string { return &b.Rear.Geometry.PivotSide }),
		at(stop("cage_stop_rear", "cage-stop-rear", "direction guide to tension pulley at the rear stop, from straight ahead, counter-clockwise", "-200", "+-14 degrees", -270, -60, -240, -120),
			func(b *bike) *gearing.Degrees { return &b.Rear.Geometry.CageStopRear }),
		at(stop("cage_stop_forward", "cage-stop-forward", "the same at the forward stop", "-15", "+-15 degrees", -120, 90, -60, 75),
			func(b *bike) *gearing.Degrees { return &b.Rear.Geometry.CageStopForward }),
		at(Field{Section: geometrySection, Key: "screw_range", Flag: "screw-range", Kind: Number, Unit: "degrees",
			Low: 0, High: 40, Doc: "how far the B-screw turns the body, either way", Sample: "12", Default: "12 degrees"},
			func(b *bike) *gearing.Degrees { return &b.Rear.Geometry.ScrewRange }),
		at(Field{Section: geometrySection, Key: "target_gap", Flag: "target-gap", Kind: Length, Unit: "mm",
			Low: 1, High: 40, AdviseLow: 4, AdviseHigh: 20,
			Doc: "pulley gap to set on the smallest ring and largest cog", Default: "6 mm; 10 mm for a largest cog of 44 teeth or more", Sample: "6"},
			func(b *bike) *gearing.MM { return &b.Rear.Geometry.TargetGap }),
		at(ruler("pivot_error", "standard error of the pivot positions, as a fitting leaves it", "2 mm when measured, more when typical", "1.2", 0.1),
			func(b *bike) *gearing.MM { return &b.Rear.Geometry.PivotError }),
		at(ruler("cage_error", "standard error of the cage pivot's place in the cage", "by the sides of the cage", "0.8", 0.1),
			func(b *bike) *gearing.MM { return &b.Rear.Geometry.CageError }),
		at(extender("extender_behind", "extender-behind", "how far a hanger extender moves the hanger bolt back", "4"),
			func(b *bike) *gearing.MM { return &b.Rear.Geometry.ExtenderBehind }),
		at(extender("extender_below", "extender-below", "how far a hanger extender moves the hanger bolt down", "22"),
			func(b *bike) *gearing.MM { return &b.Rear.Geometry.ExtenderBelow }),
		at(length("plate_height", "half height of a chain plate, for the chain touching itself", "8.6", 3, 15),
			func(b *bike) *gearing.MM { return &b.Rear.Geometry.PlateHeight }),
		at(Field{Section: geometrySection, Key: "spring_preload", Kind: Number, Unit: "N mm", Low: 0, High: 20000,
			Doc: "cage spring moment at the rear stop", Default: "900, typical", Sample: "800"},
			func(b *bike) *float64 { return &b.Rear.Geometry.SpringPreload }),
		at(Field{Section: geometrySection, Key: "spring_rate", Kind: Number, Unit: "N mm/degree", Low: 0, High: 500,
			Doc: "growth of the cage spring moment a degree of forward swing", Default: "5, typical", Sample: "5"},
			func(b *bike) *float64 { return &b.Rear.Geometry.SpringRate }),
		at(Field{Section: geometrySection, Key: "mount_preload", Kind: Number, Unit: "N mm", Low: 0, High: 20000,
			Doc: "moment of a sprung mounting pivot with the body at its reference angle", Default: "the mounting pivot is not sprung", Sample: "1500"},
			func(b *bike) *float64 { return &b.Rear.Geometry.MountPreload }),
		at(Field{Section: geometrySection, Key: "mount_rate", Kind: Number, Unit: "N mm/degree", Low: 0, High: 500,
			Doc: "growth of that moment a degree of forward swing", Default: "0", Sample: "20"},
			func(b *bike) *float64 { return &b.Rear.Geometry.MountRate }),
		at(Field{Section: geometrySection, Key: "clutch_torque", Flag: "clutch-torque", Kind: Number, Unit: "N mm", Low: 0, High: 20000,
			Doc: "friction of the clutch about the cage pivot", Default: "0, no clutch", Sample: "5000"},
			func(b *bike) *float64 { return &b.Rear.Geometry.ClutchTorque }),
	}
}
