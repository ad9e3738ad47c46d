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
		about: "The chain is the one owned (chain.pitches, --chain), or else the length that `cagewise fit` names, less --missing. Where nothing is known of the derailleur's cage the bare loops tell: then only gears that are too short or tight are found. The card ends with the chain to buy. Exit status 1 when no gear is free.",
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
	// Gears are all gears with their chances; those are 0 where Judged is
	// false.
	Judged bool             `json:"judged"`
	Advice []sim.GearAdvice `json:"gears"`
	// Whole is the count before pitches went missing, Owned tells that the
	// build named it; otherwise it is the length to have.
	Whole int  `json:"whole_pitches"`
	Owned bool `json:"owned"`
	// Buy is the chain to buy at home.
	Buy       int           `json:"buy_pitches"`
	Knowledge sim.Knowledge `json:"derailleur_knowledge"`
	Cautions  []string      `json:"cautions"`

	assumed bool // nobody said how many pitches an owned chain has lost
	kept    []keptOut
	study   *sim.Study
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
	s, err := in.study()
	if err != nil {
		return 0, err
	}
	if s.Rated == nil {
		return 0, errors.New("roadside needs the chainstay length: frame.chainstay or --chainstay")
	}
	r := roadsideReport{
		Build: summarise(s.Build), Missing: missing, Whole: s.Build.Chain.Pitches, Owned: s.Advice.Owned, Buy: s.Advice.Length,
		Judged: s.Advice.Judged, Knowledge: s.Advice.Knowledge, Cautions: roadsideCautions, assumed: s.Advice.Owned && !said, study: s,
	}
	if !r.Owned {
		r.Whole = s.Advice.Length
	}
	if r.Whole == 0 {
		return 0, errors.New("roadside: no chain length closes this drivetrain to begin with; give yours with --chain")
	}
	if r.Card, err = shortened(s, r.Whole, missing); err != nil {
		return 0, fmt.Errorf("--missing: %w", err)
	}
	short := sim.Advice{Gears: r.Card.Gears, Judged: r.Judged}
	r.Advice, r.kept = r.Card.Gears, keepOut(&short)
	if err := c.emit(out, in, r); err != nil {
		return 0, err
	}
	if len(r.Free) == 0 {
		return exitVerdict, nil
	}
	return exitFine, nil
}

// shortened sorts the gears with a chain from which pitches are missing: by the
// cage, or where nothing is known of it by the bare loops.
func shortened(s *sim.Study, whole, missing int) (sim.Card, error) {
	if s.Rig != nil {
		return s.Rig.Roadside(whole, missing)
	}
	b := s.Build
	b.Chain.Pitches = whole - missing
	if n := b.Chain.Pitches; n < 3 || n%gearing.CountStep(b.Chain) != 0 {
		return sim.Card{}, fmt.Errorf("a chain of %d pitches does not close: links alternate; allowed: an even count of 4 or more, or an odd one with an offset link", n)
	}
	short, err := sim.NewStudy(b, gearing.TableOptions{})
	if err != nil {
		return sim.Card{}, err
	}
	return short.Advice.Card(), nil
}

func (r roadsideReport) titleText() string { return r.Build.heading() }

func (r roadsideReport) write(p *page) {
	from := "one of"
	if r.Owned {
		from = "your"
	}
	p.section(fmt.Sprintf("Chain of %s", p.units.Chain(gearing.Pitches(r.Pitches))))
	p.para("%s taken out of %s %d.", pitches(r.Missing), from, r.Whole)
	if r.assumed {
		p.para("Nobody said how many are missing: with %d pitches on the bike as it stands, say --missing 0.", r.Whole)
	}
	short := sim.Advice{Gears: r.Advice, Judged: r.Judged}
	for _, k := range r.kept {
		r.writeGears(p, k, &short)
	}
	r.writeGears(p, keptOut{mark: "ride", gears: r.Free}, &short)
	for _, words := range []string{doubtWords(&short), leftWords(&short)} {
		if words != "" {
			p.item("", "%s", words)
		}
	}
	basis := r.Knowledge.String()
	if r.study.Rig == nil {
		basis = "the bare loops: what the cage does is not known, so a gear that is named here is short, one that is not may still hang slack or hit the cog"
	}
	switch {
	case len(r.Free) == 0:
		p.para("No gear is free: walk, or put pitches back in. Rests on %s.", basis)
	case len(r.Never)+len(r.Doubtful) > 0:
		p.para("%s Turn the cranks by hand through the gears you mean to ride first. Rests on %s.", r.advice(), basis)
	default:
		p.para("No gear is forbidden. Turn the cranks by hand through the gears first. Rests on %s.", basis)
	}
	if r.Buy > 0 {
		p.section("At home")
		p.para("%s", r.buyWords(p.units))
	}
	p.section("Caution")
	for _, c := range r.Cautions {
		p.item("", "%s", c)
	}
}

// buyWords say which chain to buy.
func (r roadsideReport) buyWords(u gearing.Units) string {
	s := fmt.Sprintf("The chain to buy is one of %s.", u.Chain(gearing.Pitches(r.Buy)))
	switch a := &r.study.Advice; a.Order {
	case sim.Hang:
		return s + " Do not shorten it further until more is known: see `cagewise fit`."
	case sim.Replace:
		return s + fmt.Sprintf(" Yours of %d pitches was too short as a whole, or likely so.", r.Whole)
	}
	return s
}

// roadsideCautions close the card; there is no largest ring and cog to try.
var roadsideCautions = []string{
	"Computed from your numbers, to get you home: replace the chain there. Keep your hands clear when you turn the cranks.",
	"One tired shift into a forbidden gear is enough to lock the pedals and throw you.",
	"The parts' makers, local rules and a qualified mechanic have the last word.",
}

// writeGears lists gears under a mark, a line a ring.
func (r roadsideReport) writeGears(p *page, k keptOut, a *sim.Advice) {
	words := k.words
	for i, ring := range r.Build.Rings {
		ring = r.Build.Rings[len(r.Build.Rings)-1-i] // the largest first: it is the dangerous one
		on := k
		on.gears = nil
		for _, g := range k.gears {
			if g.Ring == ring {
				on.gears = append(on.gears, g)
			}
		}
		if len(on.gears) == 0 {
			continue
		}
		text := on.list(a) + "."
		if words != "" {
			text = on.list(a) + ": " + words + "."
		}
		p.item(k.mark, "%s", text)
		words = ""
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
	t := &table{cols: []column{{key: "gear"}, {key: "use"}, {key: "state"}, {key: "chance_of_danger"}, {key: "chance_of_slack"}}}
	states := map[gearing.GearID]*sim.GearAdvice{}
	for i := range r.Advice {
		states[r.Advice[i].GearID] = &r.Advice[i]
	}
	for _, l := range []struct {
		use   string
		gears []gearing.GearID
	}{{"never", r.Never}, {"doubtful", r.Doubtful}, {"tight", r.Tight}, {"slack", r.Slack}, {"ride", r.Free}} {
		for _, g := range l.gears {
			a := states[g]
			t.add(g.String(), l.use, a.State.String(), csvChance(r.Judged, a.Danger.Any), csvChance(r.Judged, a.Slack))
		}
	}
	return t
}
