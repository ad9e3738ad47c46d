package main

import (
	"slices"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

// buildSummary tells in every output which build it is about.
type buildSummary struct {
	Name      string          `json:"name"`
	Note      string          `json:"note"`
	Rings     []gearing.Teeth `json:"rings_teeth"`
	Cogs      []gearing.Teeth `json:"cogs_teeth"`
	Chainstay gearing.MM      `json:"chainstay_mm"`
	RollOut   gearing.Metres  `json:"roll_out_m"`

	elongation            gearing.Percent // of the chain owned
	rearStop, forwardStop bool            // which cage stops are known
}

func summarise(b gearing.Build) buildSummary {
	return buildSummary{
		Name: b.Name, Note: b.Note, Rings: b.Rings, Cogs: b.Cogs,
		Chainstay: b.Frame.Chainstay, RollOut: b.Wheel.RollOut(), elongation: b.Chain.Elongation,
		rearStop: b.Rear.Geometry.CageStopRear != 0, forwardStop: b.Rear.Geometry.CageStopForward != 0,
	}
}

// heading is the title of tables: the name and the tooth counts.
func (s buildSummary) heading() string {
	d := drivetrain(gearing.Build{Rings: s.Rings, Cogs: s.Cogs})
	if s.Name == "" {
		return d
	}
	return s.Name + ": " + d
}

// defaultsOf keeps the defaults that bear on a command.
func defaultsOf(all []build.Default, keys ...string) []build.Default {
	kept := []build.Default{}
	for _, d := range all {
		if slices.Contains(keys, d.Key) {
			kept = append(kept, d)
		}
	}
	return kept
}

// writeDefaults tells what was assumed.
func writeDefaults(p *page, defaults []build.Default) {
	if len(defaults) == 0 {
		return
	}
	p.section("Assumed, as you did not say")
	text := ""
	for i, d := range defaults {
		if i > 0 {
			text += ", "
		}
		text += d.Key + " " + d.Value
	}
	p.para("%s. `cagewise help keys` explains them.", text)
}
