package main

import (
	"fmt"
	"slices"
	"strings"

	"cagewise/gearing"
	"cagewise/sim/wear"
)

// Verdicts on a rhythm in a word.
const (
	wordLikely   = "LIKELY"
	wordSeveral  = "SEVERAL PARTS"
	wordNoPart   = "NO PART"
	wordWhich    = "WHICH GEAR"
	wordRhythms  = "RHYTHMS"
	mostNamedFit = 6
)

func (r faultReport) verdictWords() (word, sentence string) {
	first := r.Gears[0]
	switch {
	case !r.Heard:
		return wordRhythms, fmt.Sprintf("What repeats how often in %s; count the crank turns over several clicks and give them with --every.", first.GearID)
	case len(r.Gears) > 1:
		return wordWhich, fmt.Sprintf("What %s crank turns (+- %s) mean depends on the gear: see below, and name the one you were in with --gear.", num(first.Turns, 2), num(first.Error, 2))
	}
	counted := fmt.Sprintf("you counted %s +- %s", num(first.Turns, 2), num(first.Error, 2))
	switch len(first.Suspects) {
	case 0:
		return wordNoPart, fmt.Sprintf("Nothing repeats like that in %s; %s.", first.GearID, counted)
	case 1:
		s := first.Suspects[0]
		return wordLikely, fmt.Sprintf("%s: every %s crank turns in %s; %s.", sentenceStart(s.Name()), num(s.Turns, 2), first.GearID, counted)
	}
	return wordSeveral, fmt.Sprintf("%s in %s; %s. %s", suspectNames(first.Suspects), first.GearID, counted, apartWords(first))
}

func sentenceStart(s string) string { return strings.TrimSuffix(sentence(s), ".") }

func suspectNames(list []wear.Suspect) string {
	var names []string
	for _, s := range list[:min(len(list), mostNamedFit)] {
		names = append(names, fmt.Sprintf("%s (every %s)", s.Name(), num(s.Turns, 2)))
	}
	return "These fit: " + strings.Join(names, "; ")
}

func apartWords(r wear.FaultReport) string {
	if !r.HasApart {
		return "No other gear tells them apart: use the checks below."
	}
	return fmt.Sprintf("Try %s: it tells them apart.", r.Apart.GearID)
}

func (r faultReport) titleText() string { return r.Build.heading() + ": a click in rhythm" }

func (r faultReport) write(p *page) {
	p.headline(yellow, r.word, r.Verdict)
	p.para("Chain of %s, %s; %s.", p.units.Chain(gearing.Pitches(r.Pitches)), r.From, r.pulleyWords())
	if len(r.Gears) > 1 {
		r.writeByPart(p)
	} else {
		writeFault(p, r.Gears[0])
	}
	p.section("Caution")
	for _, c := range r.Cautions {
		p.item("", "%s", c)
	}
}

// pulleyWords tell pulleys that were given from those taken to be usual.
func (r faultReport) pulleyWords() string {
	switch {
	case r.GuideTaken && r.TensionTaken:
		return fmt.Sprintf("pulleys taken as %d and %d teeth, as none were given", r.Guide, r.Tension)
	case r.GuideTaken:
		return fmt.Sprintf("guide pulley taken as %d teeth, tension pulley of %d", r.Guide, r.Tension)
	case r.TensionTaken:
		return fmt.Sprintf("guide pulley of %d teeth, tension pulley taken as %d", r.Guide, r.Tension)
	}
	return fmt.Sprintf("pulleys of %d and %d teeth", r.Guide, r.Tension)
}

func writeFault(p *page, r wear.FaultReport) {
	if len(r.Suspects) > 0 {
		p.section("Parts that fit, the nearest first")
		t := &table{cols: []column{{head: "part", left: true}, {head: "every", unit: "turns"}, {head: "off by", unit: "errors"}}}
		for _, s := range r.Suspects {
			t.add(s.Name(), num(s.Turns, 2), num(s.Off, 1))
		}
		p.grid(t)
		for _, s := range firstOfPart(r.Suspects) {
			p.item("", "%s. Heard: %s. To tell: %s.", sentenceStart(string(s.Part)), s.Shows, s.Check)
		}
	}
	if r.HasApart {
		p.section(fmt.Sprintf("The gear that tells them apart: %s", r.Apart.GearID))
		t := &table{cols: []column{{head: "part", left: true}, {head: "every", unit: "turns"}}}
		for _, a := range r.Apart.Rhythms {
			turns := num(a.Turns, 2)
			if a.Gone {
				turns = "gone"
			}
			t.add(a.Name(), turns)
		}
		p.grid(t)
	}
	p.section(fmt.Sprintf("All rhythms in %s", r.GearID))
	p.grid(rhythmsTable(r.All))
	p.para("In crank turns: pitches of the chain, or teeth of cog or pulley, over teeth of the ring. A tooth of an odd wheel meets inner and outer plates by turns, so it may show every other turn alone.")
	for _, n := range r.Notes {
		p.item("", "%s", sentence(n))
	}
}

// firstOfPart leaves out the second rhythm of a part.
func firstOfPart(list []wear.Suspect) []wear.Suspect {
	var first []wear.Suspect
	for _, s := range list {
		if !slices.ContainsFunc(first, func(f wear.Suspect) bool { return f.Part == s.Part }) {
			first = append(first, s)
		}
	}
	return first
}

func rhythmsTable(all []wear.Rhythm) *table {
	t := &table{cols: []column{{head: "every", unit: "turns"}, {head: "part", left: true}}}
	for _, r := range all {
		t.add(num(r.Turns, 2), r.Name())
	}
	return t
}

// writeByPart lists the gears in which each part fits.
func (r faultReport) writeByPart(p *page) {
	p.section("Parts that fit, and the gears they fit in")
	var parts []wear.FaultPart
	gears := map[wear.FaultPart][]gearing.GearID{}
	for _, g := range r.Gears {
		for _, s := range firstOfPart(g.Suspects) {
			if gears[s.Part] == nil {
				parts = append(parts, s.Part)
			}
			gears[s.Part] = append(gears[s.Part], g.GearID)
		}
	}
	for _, part := range parts {
		p.item("", "%s: %s.", sentenceStart(string(part)), r.gearWords(gears[part]))
	}
	if len(parts) == 0 {
		p.para("Nothing repeats like that in any gear: without a steady rhythm look at indexing, hanger, freehub, cable, or a worn cog that skips under load.")
	}
}

// gearWords lists gears, a ring with all its cogs as one.
func (r faultReport) gearWords(gears []gearing.GearID) string {
	var words []string
	for _, ring := range slices.Backward(r.Build.Rings) {
		var on []gearing.GearID
		for _, g := range gears {
			if g.Ring == ring {
				on = append(on, g)
			}
		}
		switch {
		case len(on) == len(r.Build.Cogs) && len(on) > 1:
			words = append(words, fmt.Sprintf("ring %d with any cog", ring))
		case len(on) > 0:
			words = append(words, gearList(on))
		}
	}
	return strings.Join(words, "; ")
}

// csvTable is one row a gear and rhythm.
func (r faultReport) csvTable() *table {
	t := keys("gear", "part", "crank_turns", "every_other_turn", "fits", "off_in_errors", "formula", "shows_in", "check")
	for _, g := range r.Gears {
		for _, x := range g.All {
			off, fits := "", false
			for _, s := range g.Suspects {
				if s.Part == x.Part && s.EveryOther == x.EveryOther {
					off, fits = num(s.Off, 2), true
				}
			}
			t.add(g.GearID.String(), string(x.Part), num(x.Turns, 4), fmt.Sprint(x.EveryOther), fmt.Sprint(fits), off, x.Formula, x.Shows, x.Check)
		}
	}
	return t
}
