package plot

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"cagewise/gearing"
)

// SpeedBands shows for every gear the speeds from the first to the last cadence
// of its table as a bar, ring by ring, the highest gear on top. Lost gears are
// hollow and no part of the range in the heading; a gear that another ring has
// too says which.
type SpeedBands struct {
	Table     gearing.Table // of two cadences or more
	CruiseKmH float64       // the speed that is marked, km/h; 0: none
	// LostBy says in words what decides Gear.Lost; empty: the rated capacity.
	LostBy string
	Name   string // heading; empty: "Speed of each gear"
	// Units are those of the speeds that are shown; metric, when not said.
	Units gearing.Units
}

// Title is the heading.
func (b SpeedBands) Title() string {
	if strings.TrimSpace(b.Name) == "" {
		return "Speed of each gear"
	}
	return b.Name
}

// Describe says what the chart shows.
func (b SpeedBands) Describe() string {
	s := fmt.Sprintf("Speeds of %s in %s. %s.", count(len(b.Table.Gears), "gear"), b.Units.SpeedUnit(), strings.Join(b.facts(), "; "))
	for i := range b.Table.Gears {
		g := &b.Table.Gears[i]
		low, high := b.band(i)
		s += fmt.Sprintf(" %s %s to %s.", bandName(g), fixed(low, 1), fixed(high, 1))
	}
	return s
}

// Size is the default page in mm.
func (b SpeedBands) Size() (wMM, hMM float64) { return 160, b.heightAt(160) }

// heightAt implements follower.
func (b SpeedBands) heightAt(wMM float64) float64 {
	return allowed((15 + 1.18*float64(len(b.Table.Gears))) * max(ladderText, ladderPerWidth*wMM))
}

// cadences are the ends of the cadence band, rpm.
func (b SpeedBands) cadences() (low, high float64) {
	c := b.Table.Cadences
	return c[0], c[len(c)-1]
}

// band is the speeds of gear i, in the unit that is shown.
func (b SpeedBands) band(i int) (low, high float64) {
	v := b.Table.Gears[i].SpeedsKmH
	return b.Units.Speed(v[0]), b.Units.Speed(v[len(v)-1])
}

// cruise is the speed that is marked, in the unit that is shown.
func (b SpeedBands) cruise() float64 { return b.Units.Speed(b.CruiseKmH) }

func (b SpeedBands) cruiseSpeed() string { return speedIn(b.Units, b.CruiseKmH) }

// speedIn writes a speed with its unit: as it was given, or converted to a
// tenth.
func speedIn(u gearing.Units, kmh float64) string {
	if u == gearing.Metric {
		return plain(kmh) + " km/h"
	}
	return plain(math.Round(10*u.Speed(kmh))/10) + " " + u.SpeedUnit()
}

// facts are what the chart says in words.
func (b SpeedBands) facts() []string {
	low, high := b.cadences()
	list := []string{fmt.Sprintf("Bars from %s to %s rpm", plain(low), plain(high)), b.rangeWords()}
	if b.CruiseKmH > 0 {
		list = append(list, fmt.Sprintf("%s for %s", count(b.cruising(), "gear"), b.cruiseSpeed()))
	}
	return list
}

// rangeWords tell the speeds of all gears that are not lost.
func (b SpeedBands) rangeWords() string {
	foot, top, kept := math.Inf(1), 0.0, 0
	for i, g := range b.Table.Gears {
		if !g.Lost {
			low, high := b.band(i)
			foot, top, kept = min(foot, low), max(top, high), kept+1
		}
	}
	if kept == 0 {
		return "every gear is lost"
	}
	s := fmt.Sprintf("%s to %s %s in all", fixed(foot, 1), fixed(top, 1), b.Units.SpeedUnit())
	if kept < len(b.Table.Gears) {
		s += " but lost gears"
	}
	return s
}

// cruising counts the gears that are not lost and whose band holds the
// cruising speed.
func (b SpeedBands) cruising() int {
	n := 0
	for i, g := range b.Table.Gears {
		if !g.Lost && b.cruisesIn(i) {
			n++
		}
	}
	return n
}

// cruisesIn tells whether the band of gear i holds the cruising speed.
func (b SpeedBands) cruisesIn(i int) bool {
	low, high := b.band(i)
	return b.CruiseKmH > 0 && b.cruise() >= low && b.cruise() <= high
}

// cruiseWords are the cadence of gear i at the cruising speed, rpm; "" outside
// its band, and when it is lost.
func (b SpeedBands) cruiseWords(i int) string {
	if b.Table.Gears[i].Lost || !b.cruisesIn(i) {
		return ""
	}
	return fixed(b.CruiseKmH*1000/60/float64(b.Table.Gears[i].Development), 0)
}

// same names the gears of other rings that are duplicates of gear i; "" when
// there is none.
func (b SpeedBands) same(i int) string {
	var names []string
	for j, g := range b.Table.Gears {
		if g.Group == b.Table.Gears[i].Group && g.Ring != b.Table.Gears[i].Ring {
			names = append(names, bandName(&b.Table.Gears[j]))
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "= " + strings.Join(names, ", ")
}

// lostTo is what decides which gears are lost.
func (b SpeedBands) lostTo() string { return cmp.Or(b.LostBy, "the rated capacity") }

// bandName is the gear's name, in brackets when it is lost.
func bandName(g *gearing.Gear) string {
	if g.Lost {
		return "(" + g.Name() + ")"
	}
	return g.Name()
}

// mostKmH is the greatest speed a chart of speeds reads.
const mostKmH = 1e5

func (b SpeedBands) check() error {
	if err := checkTable(b.Table); err != nil {
		return fmt.Errorf("speed bands: %w", err)
	}
	n := len(b.Table.Cadences)
	if n < 2 {
		return fmt.Errorf("speed bands: %s; allowed 2 or more", count(n, "cadence"))
	}
	if low, high := b.cadences(); !(low > 0 && low < high) {
		return fmt.Errorf("speed bands: cadences from %v to %v rpm; allowed rising", low, high)
	}
	if !(b.CruiseKmH >= 0 && b.CruiseKmH <= 1000) {
		return fmt.Errorf("speed bands: a cruising speed of %v km/h; allowed 0 to 1000", b.CruiseKmH)
	}
	for i, g := range b.Table.Gears {
		if len(g.SpeedsKmH) != n {
			return fmt.Errorf("speed bands: %s has %d speeds for %d cadences", g.Name(), len(g.SpeedsKmH), n)
		}
		if low, high := b.band(i); !(low > 0 && low < high && high <= mostKmH) {
			return fmt.Errorf("speed bands: %s from %v to %v km/h", g.Name(), low, high)
		}
	}
	return nil
}
