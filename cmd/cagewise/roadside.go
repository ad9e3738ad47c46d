package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/pflag"

	"cagewise/gearing"
	"cagewise/sim"
)

func roadsideCommand() command {
	return command{
		name: "roadside", args: "[BUILD FILE] [flags]", summary: "a few pitches are missing: which gears are forbidden, as a card",
		about: "The chain is the one owned (chain.pitches, --chain), or else the recommended one, less --missing. Needs the pulley centres.",
		examples: []example{
			{"roadside tour.toml --pulley-centres 76 --missing 4", "which gears are left when two link pairs are lost"},
		},
		define: func(flags *pflag.FlagSet) func(*call) (int, error) {
			out := addTextFlags(flags, "text, json, csv or markdown")
			addRulerUnitsFlag(flags)
			missing := flags.Int("missing", 2, "pitches taken out of the chain, 0 to 60")
			buildFlags(flags)
			return func(c *call) (int, error) { return c.roadside(out, *missing, flags.Changed("missing")) }
		},
	}
}

// roadsideReport is the card.
type roadsideReport struct {
	Build   buildSummary `json:"build"`
	Missing int          `json:"missing_pitches"`
	sim.Card
	// Whole is the count before pitches went missing, Owned tells that the
	// build named it; otherwise it is the recommended one.
	Whole     int           `json:"whole_pitches"`
	Owned     bool          `json:"owned"`
	Knowledge sim.Knowledge `json:"derailleur_knowledge"`
	Cautions  []string      `json:"cautions"`

	assumed bool // nobody said how many pitches an owned chain has lost
}

// roadside judges a chain that has lost pitches; said tells that the rider said
// how many.
func (c *call) roadside(out outputFlags, missing int, said bool) (int, error) {
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
	whole, owned := b.Chain.Pitches, b.Chain.Pitches > 0
	if !owned {
		var ok bool
		if whole, _, ok = r.Recommended(); !ok {
			return 0, errors.New("roadside: no chain length is without a dangerous gear to begin with; give yours with --chain")
		}
	}
	card, err := r.Roadside(whole, missing)
	if err != nil {
		return 0, fmt.Errorf("--missing: %w", err)
	}
	report := roadsideReport{
		Build: summarise(b), Missing: missing, Card: card, Whole: whole, Owned: owned,
		Knowledge: r.Derailleur.Knowledge, Cautions: roadsideCautions, assumed: owned && !said,
	}
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
	from := "the recommended"
	if r.Owned {
		from = "your"
	}
	p.section(fmt.Sprintf("Chain of %s", p.units.Chain(gearing.Pitches(r.Pitches))))
	p.para("%s taken out of %s %d.", pitches(r.Missing), from, r.Whole)
	if r.assumed {
		p.para("Nobody said how many are missing: with %d pitches on the bike as it stands, say --missing 0.", r.Whole)
	}
	r.writeGears(p, "NEVER", r.Never, "The chain is too short there, or the pulley runs into the cog: it locks the pedals or tears the derailleur off.")
	r.writeGears(p, "doubtful", r.Doubtful, "Leave them alone: within the margins they may be as bad.")
	r.writeGears(p, "slack", r.Slack, "The chain may drop.")
	r.writeGears(p, "ride", r.Free, "")
	switch {
	case len(r.Free) == 0:
		p.para("No gear is free: walk, or put pitches back in. Rests on %s.", r.Knowledge)
	case len(r.Never)+len(r.Doubtful) > 0:
		p.para("%s Turn the cranks by hand through the gears you mean to ride first. Rests on %s.", r.advice(), r.Knowledge)
	default:
		p.para("No gear is forbidden. Turn the cranks by hand through the gears first. Rests on %s.", r.Knowledge)
	}
	p.section("Caution")
	for _, c := range r.Cautions {
		p.item("", "%s", c)
	}
}

// roadsideCautions close the card; there is no largest ring and cog to try.
var roadsideCautions = []string{
	"Computed from your numbers, to get you home: replace the chain there. Keep your hands clear when you turn the cranks.",
	"One tired shift into a forbidden gear is enough to lock the pedals and throw you.",
	"The parts' makers, local rules and a qualified mechanic have the last word.",
}

// writeGears lists gears under a mark, a line a ring.
func (r roadsideReport) writeGears(p *page, mark string, gears []gearing.GearID, words string) {
	for i, ring := range r.Build.Rings {
		ring = r.Build.Rings[len(r.Build.Rings)-1-i] // the largest first: it is the dangerous one
		var list []gearing.GearID
		for _, g := range gears {
			if g.Ring == ring {
				list = append(list, g)
			}
		}
		if len(list) > 0 {
			p.item(mark, "%s", strings.TrimSpace(gearList(list)+". "+words))
			words = ""
		}
	}
}

// advice says how to keep out of the forbidden gears. A stop screw keeps the
// chain off cogs on every ring alike; one ring may be all that is safe.
func (r roadsideReport) advice() string {
	for _, ring := range r.Build.Rings {
		if all := r.on(ring, r.Never) + r.on(ring, r.Doubtful); all == 0 && len(r.Build.Rings) > 1 {
			return fmt.Sprintf("Nothing is forbidden on the ring of %d: stay on it and tie off the front shifter.", ring)
		}
	}
	return "A slip of the thumb is enough: set the stop screw or the cable so that the rear shifter cannot reach the largest cog you name here, on any ring."
}

func (r roadsideReport) on(ring gearing.Teeth, gears []gearing.GearID) int {
	n := 0
	for _, g := range gears {
		if g.Ring == ring {
			n++
		}
	}
	return n
}

// csvTable is one row a gear.
func (r roadsideReport) csvTable() *table {
	t := &table{cols: []column{{key: "gear"}, {key: "use"}}}
	for _, l := range []struct {
		use   string
		gears []gearing.GearID
	}{{"never", r.Never}, {"doubtful", r.Doubtful}, {"slack", r.Slack}, {"ride", r.Free}} {
		for _, g := range l.gears {
			t.add(g.String(), l.use)
		}
	}
	return t
}
