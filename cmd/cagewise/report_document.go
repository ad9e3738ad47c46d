package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"cagewise/gearing/build"
	"cagewise/plot"
	writeup "cagewise/plot/report"
	"cagewise/sim"
)

// document finds everything once and puts it into chapters.
func (f reportFlags) document(c *call) (writeup.Document, error) {
	var plans []plan
	for _, path := range c.args {
		p, err := f.plan(c, path)
		if err != nil {
			return writeup.Document{}, err
		}
		plans = append(plans, p)
	}
	d := writeup.Document{Title: pageTitle(*f.title, plans)}
	if len(plans) == 1 {
		d.Note = plans[0].in.build.Build.Note
	}
	said := slices.Clone(cautions)
	for i := range plans {
		d.Chapters = append(d.Chapters, plans[i].chapter(i, len(plans)))
		said = append(said, plans[i].cautions()...)
	}
	for _, add := range []func(*call, *plan) (writeup.Chapter, error){f.comparison, f.ridden, f.worn} {
		chapter, err := add(c, &plans[0])
		if err != nil {
			return d, err
		}
		if chapter.Title != "" {
			d.Chapters = append(d.Chapters, chapter)
		}
	}
	for i := range d.Chapters {
		d.Chapters[i].Parts = f.takeCautions(d.Chapters[i].Parts, &said)
	}
	d.Chapters = append(d.Chapters, cautionChapter(said), f.howComputed(plans))
	return d, nil
}

// pageTitle is the heading asked for, or what the page is about.
func pageTitle(asked string, plans []plan) string {
	first := plans[0].in.build.Build
	switch {
	case asked != "":
		return asked
	case len(plans) > 1:
		return plural(len(plans), "build") + " side by side"
	case first.Name != "":
		return first.Name
	}
	return drivetrain(first)
}

// takeCautions moves the cautions of a chapter to those of the page, each once.
func (f reportFlags) takeCautions(parts []writeup.Part, said *[]string) []writeup.Part {
	return slices.DeleteFunc(parts, func(p writeup.Part) bool {
		if p.Title != "Caution" {
			return false
		}
		for line := range strings.Lines(p.Text) {
			text, ok := strings.CutPrefix(strings.TrimSpace(line), "- ")
			if ok && !slices.Contains(*said, text) {
				*said = append(*said, text)
			}
		}
		return true
	})
}

func cautionChapter(said []string) writeup.Chapter {
	var text strings.Builder
	for _, s := range said {
		fmt.Fprintf(&text, "- %s\n", s)
	}
	return writeup.Chapter{Title: "Caution", Parts: []writeup.Part{{Title: "Before you ride", Text: text.String()}}}
}

// comparison sets the builds and the swaps side by side.
func (f reportFlags) comparison(c *call, _ *plan) (writeup.Chapter, error) {
	if len(c.args)+len(*f.compare.swaps) < 2 {
		return writeup.Chapter{}, nil
	}
	_, r, err := f.compare.compare(c)
	if err != nil {
		return writeup.Chapter{}, err
	}
	chapter := writeup.Chapter{Title: r.titleText()}
	builds, parts := written(c.units, r.write)
	chapter.Parts = append(chapter.Parts, writeup.Part{
		Title: "The builds", Text: builds, Pictures: []writeup.Picture{{Name: "compare", Picture: plot.Comparison{Compared: r.Comparison, Units: c.units}, Wide: true}},
	})
	chapter.Parts = append(chapter.Parts, parts...)
	return chapter, nil
}

// ridden is what recorded rides show of the first build.
func (f reportFlags) ridden(c *call, p *plan) (writeup.Chapter, error) {
	if len(*f.rides) == 0 {
		return writeup.Chapter{}, nil
	}
	r, err := f.ride.report(c, p.in, *f.rides)
	if err != nil {
		return writeup.Chapter{}, err
	}
	p.usage = &r.Usage
	_, parts := written(c.units, r.write)
	return writeup.Chapter{Title: "Ridden: " + r.titleText(), Parts: parts}, nil
}

// howComputed names every input, given or assumed, and the way from them to
// the figures.
func (f reportFlags) howComputed(plans []plan) writeup.Chapter {
	chapter := writeup.Chapter{Title: "How it was computed"}
	for i, p := range plans {
		_, parts := written(p.in.units, func(w *page) {
			w.section("Input: " + p.label(i, len(plans)))
			w.para("The build file, %s, as it was read:", filepath.Base(p.in.path))
			w.gap()
			fmt.Fprintf(w, "```toml\n%s```\n", build.Format(p.in.build.Build))
			if len(p.in.defaults) > 0 {
				w.para("Not said, so assumed: %s.", defaultWords(p.in.defaults))
			}
		})
		chapter.Parts = append(chapter.Parts, parts...)
	}
	_, parts := written(plans[0].in.units, writeMethods)
	chapter.Parts = append(chapter.Parts, parts...)
	return chapter
}

func defaultWords(defaults []build.Default) string {
	words := make([]string, len(defaults))
	for i, d := range defaults {
		words[i] = d.Key + " " + d.Value
	}
	return strings.Join(words, ", ")
}

// writeMethods tells how the figures come about.
func writeMethods(p *page) {
	p.section("Method")
	p.item("", "Gears: development is ring over cog times the roll-out of the loaded wheel; steps are in percent of the lower gear.")
	p.item("", "The cage: in every gear the chain's path round ring, cog and both pulleys is laid as tangents and arcs, and the angle of the cage is found at which that path is as long as the chain. A gear locks when the chain is shorter than the shortest way round, is too short with less than %s pitch over it, tight with less than %s over the bare loop of ring and cog, and slack when no angle takes the chain up.", num(sim.LeastReserve, 0), num(sim.TightReserve, 0))
	p.item("", "The B-screw is set on the smallest ring and largest cog; the gap in every other gear follows from it.")
	p.item("", "Margins: figures behind +- are standard errors. Each input has one, of a ruler or of the invented geometry that stands in for it; they are carried to every reserve and gap. About one figure in three lies further off than its margin, one in twenty further than twice.")
	p.item("", "Chances: the build is laid out a hundred times and more, each time with other errors of the inputs; where the geometry is invented, with geometries weighted by how well they keep what the makers rate. A chance is the share of those in which it happens. Chances under 1 %% are not told apart.")
	p.item("", "The length: no gear tight with it, and of those the shortest whose chance of danger is next to the least. It is an order to cut only while hardly any danger is left.")
	p.item("", "One pitch of chain is 12.7 mm (%s is one). Pictures and tables show the same figures and compute none of their own.", p.units.Chain(2))
	p.para("Made with cagewise from the files named here; the same files give the same page.")
}
