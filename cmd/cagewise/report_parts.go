package main

import (
	"strings"

	"cagewise/gearing"
	"cagewise/plot"
	writeup "cagewise/plot/report"
)

// chapter is all about one build: what to do first, the reasons behind.
func (p *plan) chapter(i, n int) writeup.Chapter {
	c := writeup.Chapter{Title: p.label(i, n), Verdict: p.verdict()}
	add := func(parts ...writeup.Part) { c.Parts = append(c.Parts, parts...) }
	_, parts := written(p.in.units, p.writeFirst)
	add(parts...)
	add(p.sideViews(i, n))
	add(p.simulated(i, n)...)
	add(p.geared(i, n)...)
	add(p.hilly(i, n)...)
	return c
}

// writeFirst is what the rider and the workshop need: gears to keep out of,
// parts and settings.
func (p *plan) writeFirst(w *page) {
	w.section("Keep out of these gears")
	p.keep.write(w)
	if p.fit != nil {
		p.fit.writeNext(w)
	}
	w.section("Shopping and settings")
	b := p.in.build.Build
	w.item("rings", "%s", ringsLargeFirst(b.Rings))
	w.item("cassette", "%s", cogList(b.Cogs))
	p.writeDerailleur(w, b)
	w.item("chain", "%s", p.chainWords())
	w.item("B-screw", "%s", p.screwWords())
}

func (p *plan) writeDerailleur(w *page, b gearing.Build) {
	var words []string
	for _, r := range []struct {
		n    gearing.Teeth
		what string
	}{{b.Rear.RatedCapacity, "rated capacity "}, {b.Rear.LargestCog, "rated largest cog "}} {
		if r.n > 0 {
			words = append(words, r.what+whole(r.n)+" teeth")
		}
	}
	if b.Rear.PulleyCentres > 0 {
		words = append(words, num(float64(b.Rear.PulleyCentres), 1)+" mm between the pulley bolts")
	}
	if len(words) == 0 {
		words = []string{"nothing is said of it"}
	}
	w.item("derailleur", "%s", strings.Join(words, ", "))
	if g := b.Rear.Geometry; g.ExtenderBehind != 0 || g.ExtenderBelow != 0 {
		w.item("extender", "hanger extender, %s mm behind and %s mm below", num(float64(g.ExtenderBehind), 1), num(float64(g.ExtenderBelow), 1))
	}
}

// chainWords say which chain goes on.
func (p *plan) chainWords() string {
	if p.fit == nil {
		return "its length " + p.fitMissing
	}
	return lengthSentence(&p.fit.Advice, p.in.units)
}

func (p *plan) screwWords() string {
	switch {
	case p.fit == nil:
		return "the gap it gives " + p.fitMissing
	case p.fit.Simulation == nil:
		return "the gap it gives " + p.fit.SimulationMissing
	}
	return p.fit.screwWords()
}

// sideViews are the picker and the three views that people ask for: largest
// ring and cog, smallest ring and cog, and the gear the B-screw is set in.
func (p *plan) sideViews(i, n int) writeup.Part {
	part := writeup.Part{Title: "Side views"}
	if p.study.Answer == nil {
		part.Text = "Not drawn: " + p.whyNot() + ".\n"
		return part
	}
	part.Views = p.views()
	b := p.in.build.Build
	for _, id := range []gearing.GearID{{Ring: b.LargestRing(), Cog: b.LargestCog()}, {Ring: b.SmallestRing(), Cog: b.SmallestCog()}, {Ring: b.SmallestRing(), Cog: b.LargestCog()}} {
		name := stem("side-"+id.String(), i, n)
		if at, ok := p.study.Rig.Index(id); ok && !hasPicture(part.Pictures, name) {
			if v, ok := p.view(at); ok {
				part.Pictures = append(part.Pictures, writeup.Picture{Name: name, Picture: v, HeightMM: sideHeight})
			}
		}
	}
	return part
}

// sideHeight leaves a side view no more height than it needs, mm.
const sideHeight = 70

func hasPicture(list []writeup.Picture, name string) bool {
	for _, p := range list {
		if p.Name == name {
			return true
		}
	}
	return false
}

// whyNot says what a simulation lacks.
func (p *plan) whyNot() string {
	if p.fit == nil {
		return p.fitMissing
	}
	return p.fit.SimulationMissing
}

// simulated is every gear, the window and the reasons.
func (p *plan) simulated(i, n int) []writeup.Part {
	if p.fit == nil {
		return []writeup.Part{{Title: "Derailleur and chain", Text: "Not computed: " + p.fitMissing + ".\n"}}
	}
	_, parts := written(p.in.units, func(w *page) {
		p.fit.writeSimulation(w)
		p.fit.writeRatings(w)
		p.fit.writeLengths(w)
		p.fit.writeOwned(w)
		p.fit.writeLines(w)
	})
	if p.study.Answer == nil {
		return parts
	}
	for k := range parts {
		switch title := parts[k].Title; {
		case strings.HasPrefix(title, "Every gear with"):
			parts[k].Pictures = append(parts[k].Pictures, writeup.Picture{Name: stem("sheet", i, n), Picture: p.sheet(), Wide: true})
		case strings.HasPrefix(title, "Window of chain"):
			parts[k].Pictures = append(parts[k].Pictures, writeup.Picture{Name: stem("window", i, n), Picture: p.window(), Wide: true})
		}
	}
	return parts
}

func (p *plan) sheet() plot.Picture {
	s := plot.NewContactSheet(p.study)
	s.Name = p.gears.Build.heading()
	return s
}

func (p *plan) window() plot.Picture {
	return plot.LengthWindow{Answer: p.study.Answer, Name: p.gears.Build.heading()}
}

// geared is the table of gears with its ladder.
func (p *plan) geared(i, n int) []writeup.Part {
	_, parts := written(p.in.units, func(w *page) {
		w.section("Gears")
		w.grid(p.gears.gearTable(starred, w.units))
		p.gears.writeSummary(w)
		p.gears.writeRings(w)
		p.gears.writeSequence(w)
	})
	parts[0].Pictures = []writeup.Picture{{Name: stem("ladder", i, n), Picture: ladderOf(p.in, p.study), Wide: true}}
	return parts
}

func (p *plan) hilly(i, n int) []writeup.Part {
	_, parts := written(p.in.units, p.climb.write)
	if p.hill != nil {
		parts[0].Pictures = []writeup.Picture{{Name: stem("climb", i, n), Picture: p.hill, Wide: true}}
	}
	return parts
}
