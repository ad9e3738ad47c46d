package plot

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"cagewise/gearing"
	"cagewise/sim"
)

// GearMap shows one figure of every gear as a map: a row for each ring, the
// largest on top, a column for each cog, the largest on the left. Cells are
// shaded by value and say it; gears that fail or are in doubt are framed and bear
// the mark of their state, whatever the figure.
type GearMap struct {
	Rings, Cogs []gearing.Teeth // ascending
	// Values are ring by ring from the smallest, each from the largest cog,
	// as gearing.Table lists them; NaN: not known.
	Values []float64
	// Advice is the judgement of the build, its gears in the same order; nil: not
	// known.
	Advice *sim.Advice
	// Knowledge is what the values rest on; TeethOnly: not said.
	Knowledge sim.Knowledge
	// Notes are short marks for the gears in the same order; nil: none.
	Notes []string
	// NoteKey says in words what the notes mean; nil: nothing.
	NoteKey  []string
	Name     string // what is shown, and the heading
	Unit     string // of Values; may be empty
	Decimals int    // of the printed values, 0 to 6
}

// Title is the heading.
func (m GearMap) Title() string {
	if strings.TrimSpace(m.Name) == "" {
		return "Gear map"
	}
	return m.Name
}

// Describe says what the map shows.
func (m GearMap) Describe() string {
	s := fmt.Sprintf("Map of %s by ring and cog", count(len(m.Values), "gear"))
	if m.Unit != "" {
		s += " in " + m.Unit
	}
	s += ": " + strings.Join(m.facts(), "; ") + "."
	return s + judgement{m.Advice}.listing()
}

// told is what the judgement says of gear i; ok is false where there is none or
// nothing to mark.
func (m GearMap) told(i int) (t told, ok bool) {
	j := judgement{m.Advice}
	if !j.given() {
		return told{}, false
	}
	t = j.tell(i)
	return t, t.noted()
}

// Size is the default page in mm.
func (m GearMap) Size() (wMM, hMM float64) { return 160, m.heightAt(160) }

const mostDecimals = 6

func (m GearMap) check() error {
	n := len(m.Rings) * len(m.Cogs)
	switch {
	case n == 0 || len(m.Rings) > gearing.MaxRings || len(m.Cogs) > gearing.MaxCogs:
		return fmt.Errorf("gear map: %d rings and %d cogs; allowed 1 to %d and 1 to %d", len(m.Rings), len(m.Cogs), gearing.MaxRings, gearing.MaxCogs)
	case len(m.Values) != n:
		return fmt.Errorf("gear map: %d values for %d gears", len(m.Values), n)
	case len(m.Notes) != 0 && len(m.Notes) != n:
		return fmt.Errorf("gear map: %d notes for %d gears", len(m.Notes), n)
	case m.Decimals < 0 || m.Decimals > mostDecimals:
		return fmt.Errorf("gear map: %d decimals; allowed 0 to %d", m.Decimals, mostDecimals)
	}
	for _, v := range m.Values {
		if !math.IsNaN(v) && !finite(v/1e3) {
			return fmt.Errorf("gear map: a value of %v", v)
		}
	}
	if j := (judgement{m.Advice}); j.given() {
		return j.check("gear map", m.id, n)
	}
	return nil
}

func (m GearMap) id(i int) gearing.GearID {
	n := len(m.Cogs)
	return gearing.GearID{Ring: m.Rings[i/n], Cog: m.Cogs[n-1-i%n]}
}

// gear names gear i.
func (m GearMap) gear(i int) string { return m.id(i).String() }

// ends are the indices of the least and the greatest value; -1 when none is
// known.
func (m GearMap) ends() (low, high int) {
	low, high = -1, -1
	for i, v := range m.Values {
		if math.IsNaN(v) {
			continue
		}
		if low < 0 || v < m.Values[low] {
			low = i
		}
		if high < 0 || v > m.Values[high] {
			high = i
		}
	}
	return low, high
}

func (m GearMap) facts() []string {
	j := judgement{m.Advice}
	list := slices.Concat(basis(m.Knowledge), j.facts(), j.gearFacts())
	low, high := m.ends()
	if low < 0 {
		return append(list, "no value is known")
	}
	list = append(list, "lowest "+m.withUnit(low)+" ("+m.gear(low)+")", "highest "+m.withUnit(high)+" ("+m.gear(high)+")")
	return append(list, m.NoteKey...)
}

func (m GearMap) withUnit(i int) string {
	return strings.TrimSpace(m.words(i) + " " + m.Unit)
}

// words is what cell i says.
func (m GearMap) words(i int) string {
	if math.IsNaN(m.Values[i]) {
		return "–"
	}
	return fixed(m.Values[i], m.Decimals)
}

func (m GearMap) note(i int) string {
	if len(m.Notes) == 0 {
		return ""
	}
	return m.Notes[i]
}

// Shares of the shading colour at the lowest and the highest value. Lightness
// changes one way between them in every theme.
const leastShade, mostShade = 0.06, 0.9

// shade is the colour of a value; equal values all stand in the middle.
func (m GearMap) shade(t Theme, v float64) color.NRGBA {
	low, high := m.ends()
	share := 0.5
	if span := m.Values[high] - m.Values[low]; span > 0 {
		share = (v - m.Values[low]) / span
	}
	return t.tint(t.series(0), leastShade+share*(mostShade-leastShade))
}

// textOn is the colour, ink or background, that is read better on a shade.
func (t Theme) textOn(shade color.NRGBA) color.NRGBA {
	if contrastOf(shade, t.Ink) >= contrastOf(shade, t.Background) {
		return t.Ink
	}
	return t.Background
}

// contrastOf is the contrast of two colours by WCAG 2.1, 1 to 21.
func contrastOf(a, b color.NRGBA) float64 {
	la, lb := light(a), light(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

// light is the relative luminance of a colour by WCAG 2.1, 0 to 1.
func light(c color.NRGBA) float64 {
	part := func(v uint8) float64 {
		x := float64(v) / 255
		if x <= 0.03928 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	return 0.2126*part(c.R) + 0.7152*part(c.G) + 0.0722*part(c.B)
}
