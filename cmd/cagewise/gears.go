package main

import (
	"fmt"
	"strings"

	"github.com/spf13/pflag"

	"cagewise/gearing"
	"cagewise/gearing/build"
)

func gearsCommand() command {
	return command{
		name: "gears", args: "[BUILD FILE] [flags]", summary: "every gear, the steps, overlap and the order to shift in",
		about: "Two gears within the tolerance count as the same gear. Steps are in percent of the lower gear.",
		examples: []example{
			{"gears tour.toml", "every gear of the build, its speeds and the order to shift in"},
			{"gears --rings 46,30 --cogs 11-13-15-17-19-21-24-28-32-36 --tyre 40-622", "without a file"},
			{"gears tour.toml --speeds-at 60,75,90 --units imperial", "speeds at three cadences, in mph, and gear inches"},
		},
		define: func(flags *pflag.FlagSet) func(*call) (int, error) {
			out := addTextFlags(flags, "text, json, csv or markdown")
			speeds := flags.Float64Slice("speeds-at", nil, "cadences for the speeds, rpm, such as 60,75,90; default: the rider's band")
			tolerance := flags.Float64("tolerance", float64(gearing.DefaultTolerance), "gears this close are duplicates, %")
			addUnitsFlag(flags)
			wide := flags.Float64("wide-tolerance", float64(gearing.DefaultWideTolerance), "for a second look, %")
			buildFlags(flags)
			return func(c *call) (int, error) {
				in, err := c.load()
				if err != nil {
					return 0, err
				}
				for _, err := range []error{
					within("speeds-at", 1, 300, "rpm", *speeds...), within("tolerance", 0.1, 50, "%", *tolerance), within("wide-tolerance", 0.1, 50, "%", *wide),
				} {
					if err != nil {
						return 0, err
					}
				}
				in.table = gearing.TableOptions{
					Cadences: *speeds, Tolerance: gearing.Percent(*tolerance), WideTolerance: gearing.Percent(*wide),
				}
				r, err := newGearsReport(in)
				if err != nil {
					return 0, err
				}
				return exitFine, c.emit(out, in, r)
			}
		},
	}
}

// gearsDefaults are the keys whose defaults bear on the gears.
var gearsDefaults = []string{"wheel.tyre", "wheel.load_allowance", "rider.cadence"}

// gearsReport is what `cagewise gears` says, in every format.
type gearsReport struct {
	Build      buildSummary       `json:"build"`
	Table      gearing.Table      `json:"table"`
	LostBy     string             `json:"lost_by"` // what decides Gear.Lost
	Overlaps   []gearing.Overlap  `json:"overlaps"`
	Recoveries []gearing.Recovery `json:"recoveries"`
	Sequence   []gearing.Change   `json:"sequence"`
	HalfStep   *gearing.HalfStep  `json:"half_step,omitempty"`
	// Danger is the warning of a chain at hand that is dangerous; "" for none.
	Danger   string          `json:"owned_chain_danger"`
	Defaults []build.Default `json:"defaults"`
}

func newGearsReport(in input) (gearsReport, error) {
	s, err := in.study()
	if err != nil {
		return gearsReport{}, err
	}
	t := s.Table
	r := gearsReport{
		Build: summarise(in.build.Build), Table: t, LostBy: lostBy(s), Danger: ownedDanger(&s.Advice),
		Overlaps: listed(t.Overlaps()), Recoveries: listed(t.Recoveries()), Sequence: listed(t.Sequence()),
		Defaults: defaultsOf(in.defaults, gearsDefaults...),
	}
	if h, ok := t.HalfStep(); ok {
		r.HalfStep = &h
	}
	return r, nil
}

// gearTable is the table of all gears, in every format but JSON. In imperial
// units a development is told in gear inches alone.
func (r gearsReport) gearTable(name func(gearing.Gear) string, u gearing.Units) *table {
	t := &table{cols: []column{
		{key: "gear", head: "gear", left: true},
		{key: "ratio", head: "ratio"},
	}}
	if u == gearing.Metric {
		t.cols = append(t.cols, column{key: "development_m", head: "develop.", unit: "m"})
	}
	t.cols = append(t.cols, column{key: "gear_inches_in", head: "inches", unit: "in"})
	for _, c := range r.Table.Cadences {
		rpm := num(c, -1)
		t.cols = append(t.cols, column{key: "speed_at_" + rpm + "_rpm_km_h", head: "at " + rpm, unit: u.SpeedUnit()})
	}
	t.cols = append(t.cols,
		column{key: "step_to_larger_cog_percent", head: "step -", unit: "%"},
		column{key: "step_to_smaller_cog_percent", head: "step +", unit: "%"},
		column{key: "duplicate_of", head: "same as", left: true})
	for i, g := range r.Table.Gears {
		if i > 0 && g.Ring != r.Table.Gears[i-1].Ring {
			t.breakHere()
		}
		t.add(r.gearRow(g, name, u)...)
	}
	return t
}

func (r gearsReport) gearRow(g gearing.Gear, name func(gearing.Gear) string, u gearing.Units) []string {
	row := []string{name(g), num(g.Ratio, 3)}
	if u == gearing.Metric {
		row = append(row, num(float64(g.Development), 2))
	}
	row = append(row, num(float64(g.GearInches), 1))
	for _, s := range g.SpeedsKmH {
		row = append(row, num(u.Speed(s), 1))
	}
	return append(row, stepCell(g.StepToLargerCog), stepCell(g.StepToSmallerCog), r.note(g))
}

func stepCell(p gearing.Percent) string {
	if p == 0 {
		return "" // at the end of the cassette
	}
	return num(float64(p), 1)
}

// note names the duplicates of a gear.
func (r gearsReport) note(g gearing.Gear) string {
	var notes []string
	for _, i := range r.Table.Order {
		other := r.Table.Gears[i]
		if other.Group == g.Group && other.Name() != g.Name() {
			notes = append(notes, other.Name())
		}
	}
	return strings.Join(notes, " ")
}

// starred marks a lost gear; the summary explains the star.
func starred(g gearing.Gear) string {
	if g.Lost {
		return g.Name() + "*"
	}
	return g.Name()
}

func (r gearsReport) titleText() string { return r.Build.heading() }

// csvTable adds what programs want: the teeth as numbers, the group, the loss.
func (r gearsReport) csvTable() *table {
	t := r.gearTable(gearing.Gear.Name, gearing.Metric)
	t.cols = append(t.cols, column{key: "ring_teeth"}, column{key: "cog_teeth"}, column{key: "group"}, column{key: "lost"})
	for i, g := range r.Table.Gears {
		t.rows[i] = append(t.rows[i], whole(g.Ring), whole(g.Cog), whole(g.Group), fmt.Sprint(g.Lost))
	}
	return t
}

// write puts the report on a page.
func (r gearsReport) write(p *page) {
	p.section("Gears")
	p.grid(r.gearTable(starred, p.units))
	r.writeSummary(p)
	r.writeRings(p)
	r.writeSequence(p)
	if r.Danger != "" {
		p.section("Caution")
		p.item("", "%s", r.Danger)
	}
	writeDefaults(p, r.Defaults)
}

func (r gearsReport) writeSummary(p *page) {
	t := r.Table
	lost := 0
	for _, g := range t.Gears {
		if g.Lost {
			lost++
		}
	}
	p.section("In short")
	p.item("", "%s", rollOutWords(t, p.units))
	p.item("", "Range %s %%: the highest gear is %s times the lowest.", num(float64(t.Range), 0), num(float64(t.Range)/100, 2))
	p.item("", "%s; %d differ by more than %s %%, %d by more than %s %% (`same as` names them).",
		plural(len(t.Gears), "gear"), t.Groups, num(float64(t.Tolerance), 1), t.WideGroups, num(float64(t.WideTolerance), 1))
	if s := t.LargestStep; s.From > 0 {
		p.item("", "Largest step %s %% between the cogs %d and %d: shifting to the larger cog, %s rpm become %s at the same speed.",
			num(float64(s.Size), 1), s.To, s.From, num(t.Cadences[len(t.Cadences)-1], 0), num(s.CadenceRPM, 0))
	}
	if lost > 0 {
		p.item("", "Starred: %s lost to %s (see `cagewise fit`); range without them %s %%.", plural(lost, "gear"), r.LostBy, num(usableRange(t), 0))
	}
}

// rollOutWords tell what the wheel and the ends of the gears roll.
func rollOutWords(t gearing.Table, u gearing.Units) string {
	low, high := develops(u, t.Lowest().Development), develops(u, t.Highest().Development)
	if u == gearing.Imperial {
		return fmt.Sprintf("Roll-out %s ft a wheel turn; %s to %s gear inches.", num(u.RollOut(t.RollOut), 2), low, high)
	}
	return fmt.Sprintf("Roll-out %s m a wheel turn; development %s to %s m a crank turn.", num(float64(t.RollOut), 3), low, high)
}

// usableRange is the highest over the lowest gear that is not lost, percent; 0
// when none is left.
func usableRange(t gearing.Table) float64 {
	low, high := 0.0, 0.0
	for _, i := range t.Order {
		if g := t.Gears[i]; !g.Lost {
			if low == 0 {
				low = g.Ratio
			}
			high = g.Ratio
		}
	}
	if low == 0 {
		return 0
	}
	return 100 * high / low
}

func (r gearsReport) writeRings(p *page) {
	if len(r.Overlaps) == 0 {
		return
	}
	p.section("Between the rings")
	for i, o := range r.Overlaps {
		if o.Band >= 0 {
			low, high := r.shared(o)
			p.item("", "%d and %d overlap from %s to %s %s, a band of %s %%: %s on the %d and %s on the %d.",
				o.Larger, o.Smaller, develops(p.units, low), develops(p.units, high), p.units.DevelopmentUnit(), num(float64(o.Band), 0), plural(o.GearsSmaller, "gear"), o.Smaller, plural(o.GearsLarger, "gear"), o.Larger)
		} else {
			p.item("", "%d and %d leave a hole of %s %%.", o.Larger, o.Smaller, num(-float64(o.Band), 0))
		}
		p.item("", "%s", recoveryWords(r.Recoveries[i], r.Table.Cadences))
	}
	if h := r.HalfStep; h != nil {
		p.item("", "%s", halfStepWords(*h))
	}
}

// shared are the developments two rings both cover.
func (r gearsReport) shared(o gearing.Overlap) (low, high gearing.Metres) {
	for _, g := range r.Table.Gears {
		if g.Ring == o.Larger && g.CogIndex == len(r.Table.Cogs)-1 {
			low = g.Development
		}
		if g.Ring == o.Smaller && g.CogIndex == 0 {
			high = g.Development
		}
	}
	return low, high
}

func recoveryWords(r gearing.Recovery, cadences []float64) string {
	s := fmt.Sprintf("Front shift %d to %d: the gear drops %s %% (%s rpm become %s).",
		r.From, r.To, num(float64(r.Drop), 0), num(cadences[len(cadences)-1], 0), num(r.CadenceRPM, 0))
	switch {
	case len(r.Shifts) == 0:
		return s + " No cog puts you back."
	case r.Most == 0:
		return s + " No recovery shift is needed."
	case r.Fewest == r.Most:
		return s + fmt.Sprintf(" Recovery shift: %s smaller.", plural(r.Usual, "cog"))
	case r.Fewest == 0:
		return s + fmt.Sprintf(" Recovery shift: none or up to %s smaller.", plural(r.Most, "cog"))
	}
	return s + fmt.Sprintf(" Recovery shift: usually %s smaller (%d to %d).", plural(r.Usual, "cog"), r.Fewest, r.Most)
}

func halfStepWords(h gearing.HalfStep) string {
	name := "Half-step"
	if h.Granny {
		name = "Half-step plus a small ring"
	}
	return fmt.Sprintf("%s: %d/%d is %s %%, about half the mean cog step of %s %%; ridden in order, the gears of these rings step by %s to %s %%.",
		name, h.Rings[1], h.Rings[0], num(float64(h.RingStep), 1), num(float64(h.MeanCogStep), 1), num(float64(h.Smallest), 1), num(float64(h.Largest), 1))
}

func (r gearsReport) writeSequence(p *page) {
	if len(r.Sequence) == 0 {
		return
	}
	t := &table{cols: []column{
		{head: "gear", left: true}, wideDevelopColumn(p.units), {head: "step", unit: "%"},
		{head: "shift (+: larger ring, smaller cog)", left: true},
	}}
	row := func(i int, step, shift string) {
		g := r.Table.Gears[i]
		t.add(g.Name(), develops(p.units, g.Development), step, shift)
	}
	row(r.Sequence[0].From, "", "")
	double := 0
	for _, c := range r.Sequence {
		if c.Double() {
			double++
		}
		row(c.To, num(float64(c.Size), 1), shiftWords(c))
	}
	p.section("Different gears in order")
	p.grid(t)
	p.para("%s, %s of them with both levers.", plural(len(r.Sequence), "change"), whole(double))
}

func shiftWords(c gearing.Change) string {
	var parts []string
	if c.FrontShifts != 0 {
		parts = append(parts, fmt.Sprintf("front %+d", c.FrontShifts))
	}
	if c.RearShifts != 0 {
		parts = append(parts, fmt.Sprintf("rear %+d", c.RearShifts))
	}
	return strings.Join(parts, ", ")
}
