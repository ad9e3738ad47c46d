package main

import (
	"errors"
	"fmt"

	"github.com/spf13/pflag"

	"cagewise/gearing"
	"cagewise/sim"
)

func roadsideCommand() command {
	return command{
		name: "roadside", args: "[BUILD FILE] [flags]", summary: "a few pitches are missing: which gears are forbidden, as a card",
		about: "The chain is the one owned (chain.pitches, --chain), or else the recommended one, less --missing. Needs the pulley centres.",
		define: func(flags *pflag.FlagSet) func(*call) (int, error) {
			out := addOutputFlags(flags, "text, json, csv or markdown")
			missing := flags.Int("missing", 2, "pitches taken out of the chain, 0 to 60")
			buildFlags(flags)
			return func(c *call) (int, error) { return c.roadside(out, *missing) }
		},
	}
}

// roadsideReport is the card.
type roadsideReport struct {
	Build   buildSummary `json:"build"`
	Missing int          `json:"missing_pitches"`
	sim.Card
	Knowledge sim.Knowledge `json:"derailleur_knowledge"`
	Cautions  []string      `json:"cautions"`
}

func (c *call) roadside(out outputFlags, missing int) (int, error) {
	if err := within("missing", 0, 60, "pitches", float64(missing)); err != nil {
		return 0, err
	}
	in, err := c.load()
	if err != nil {
		return 0, err
	}
	b := in.build.Build
	r, err := sim.NewRig(b)
	switch {
	case errors.Is(err, gearing.ErrNoChainstay):
		return 0, errors.New("roadside needs the chainstay length: frame.chainstay or --chainstay")
	case errors.Is(err, sim.ErrNoGeometry):
		return 0, errors.New("roadside needs the distance between the pulley bolts: rear_derailleur.pulley_centres or --pulley-centres")
	case err != nil:
		return 0, err
	}
	whole := b.Chain.Pitches
	if whole == 0 {
		whole = r.Window().Recommended
	}
	card, err := r.Roadside(whole - missing)
	if err != nil {
		return 0, err
	}
	report := roadsideReport{Build: summarise(b), Missing: missing, Card: card, Knowledge: r.Derailleur.Knowledge, Cautions: cautions}
	if err := c.emit(out, in, report); err != nil {
		return 0, err
	}
	if len(card.Free) == 0 {
		return exitVerdict, nil
	}
	return exitFine, nil
}

func (r roadsideReport) titleText() string { return r.Build.heading() }

func (r roadsideReport) write(p *page) {
	p.section(fmt.Sprintf("Chain of %s, %s taken out", gearing.Pitches(r.Pitches), pitches(r.Missing)))
	if len(r.Never) > 0 {
		p.item("NEVER", "%s. The chain is too short there: it locks the pedals or tears the derailleur off.", gearList(r.Never))
	}
	if len(r.Slack) > 0 {
		p.item("slack", "%s. The chain may drop.", gearList(r.Slack))
	}
	p.item("ride", "%s.", listOrNone(r.Free))
	if len(r.Never) > 0 {
		p.para("A slip of the thumb is enough: set the stop screws or the cable so that the shifters cannot reach the forbidden gears, and turn the cranks by hand through the others first. Rests on %s.", r.Knowledge)
	} else {
		p.para("No gear is forbidden. Turn the cranks by hand through the gears first. Rests on %s.", r.Knowledge)
	}
	p.section("Caution")
	for _, c := range r.Cautions {
		p.item("", "%s", c)
	}
}

// csvTable is one row a gear.
func (r roadsideReport) csvTable() *table {
	t := &table{cols: []column{{key: "gear"}, {key: "use"}}}
	for _, l := range []struct {
		use   string
		gears []gearing.GearID
	}{{"never", r.Never}, {"slack", r.Slack}, {"ride", r.Free}} {
		for _, g := range l.gears {
			t.add(g.String(), l.use)
		}
	}
	return t
}
