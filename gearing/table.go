package gearing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Gear is one combination of a ring and a cog, with what follows from the
// teeth and the wheel.
type Gear struct {
	Ring        Teeth   `json:"ring_teeth"`
	Cog         Teeth   `json:"cog_teeth"`
	Ratio       float64 `json:"ratio"`          // ring teeth / cog teeth
	Development Metres  `json:"development_m"`  // metres a crank turn
	GearInches  Inches  `json:"gear_inches_in"` // ratio x wheel diameter
	// SpeedsKmH holds one speed in km/h for each cadence of the table.
	SpeedsKmH []float64 `json:"speeds_km_h"`
	// StepToLargerCog and StepToSmallerCog are the steps to the neighbours
	// on the cassette, in percent of the lower of the two gears; 0 at the
	// ends of the cassette.
	StepToLargerCog  Percent `json:"step_to_larger_cog_percent"`
	StepToSmallerCog Percent `json:"step_to_smaller_cog_percent"`
	// Group numbers the gears that are duplicates within Table.Tolerance,
	// from 0 for the lowest; gears of one group feel the same.
	Group int `json:"group"`
	// Lost tells that the derailleur's rated capacity does not cover this
	// gear (LostByRating). Always false when no rating is known.
	Lost bool `json:"lost"`

	RingIndex int `json:"-"` // index into Table.Rings
	CogIndex  int `json:"-"` // index into Table.Cogs
}

// Name is the gear as riders write it: 46x36.
func (g Gear) Name() string { return GearName(g.Ring, g.Cog) }

// GearName is ring x cog as riders write it: 46x36.
func GearName(ring, cog Teeth) string { return fmt.Sprintf("%dx%d", ring, cog) }

// Table is everything that tooth counts and a wheel say about a set of gears.
type Table struct {
	Rings    []Teeth   `json:"rings_teeth"`  // ascending
	Cogs     []Teeth   `json:"cogs_teeth"`   // ascending
	RollOut  Metres    `json:"roll_out_m"`   // metres a wheel turn
	Cadences []float64 `json:"cadences_rpm"` // crank turns a minute
	// Gears is ring by ring, the smallest ring first, and within a ring from
	// the largest cog (lowest gear) to the smallest.
	Gears []Gear `json:"gears"`
	// Order holds indices into Gears by rising development; equal
	// developments keep the smaller ring first.
	Order []int `json:"order"`
	// Range is highest over lowest development in percent: 400 means the
	// highest gear is four times the lowest.
	Range Percent `json:"range_percent"`
	// Steps are the steps between neighbouring cogs, from the largest cog.
	Steps []CogStep `json:"steps"`
	// LargestStep is the largest of Steps (the lower gear's where equal);
	// all zero for a single cog.
	LargestStep CogStep `json:"largest_step"`
	// Tolerance decides Group and Groups; WideTolerance is a second look.
	Tolerance     Percent `json:"tolerance_percent"`
	WideTolerance Percent `json:"wide_tolerance_percent"`
	Groups        int     `json:"distinct_gears"`      // number of groups at Tolerance
	WideGroups    int     `json:"distinct_gears_wide"` // number of groups at WideTolerance
}

// CogStep is the step between two neighbouring cogs.
type CogStep struct {
	From Teeth   `json:"from_teeth"` // larger cog
	To   Teeth   `json:"to_teeth"`   // smaller cog
	Size Percent `json:"step_percent"`
	// CadenceRPM is the cadence after a shift from To to From at the speed
	// ridden, when the last cadence of the table was ridden before.
	CadenceRPM float64 `json:"cadence_after_larger_cog_rpm"`
}

// TableOptions says what a Table is computed for. The zero value asks for the
// defaults.
type TableOptions struct {
	// Cadences in crank turns a minute, 1 to 8 values over 0 and at most
	// 300; empty: the rider's band.
	Cadences []float64
	// Tolerance within which two gears are duplicates; 0: 2 %.
	Tolerance Percent
	// WideTolerance is the second look; 0: 5 %.
	WideTolerance Percent
}

// Default tolerances: under 2 to 3 % two gears feel the same, under 5 %
// nobody can tell (common practice, no source).
const (
	DefaultTolerance     Percent = 2
	DefaultWideTolerance Percent = 5
)

// NewTable computes every gear of a build. It fails when the build does not
// pass Check or an option is out of range.
func NewTable(b Build, o TableOptions) (Table, error) {
	if err := b.Check(); err != nil {
		return Table{}, err
	}
	o, err := o.withDefaults(b.Rider)
	if err != nil {
		return Table{}, err
	}
	t := Table{
		Rings: slices.Clone(b.Rings), Cogs: slices.Clone(b.Cogs),
		RollOut: b.Wheel.RollOut(), Cadences: o.Cadences,
		Tolerance: o.Tolerance, WideTolerance: o.WideTolerance,
	}
	t.addGears(b)
	t.addSteps()
	t.addOrder()
	t.Groups = t.group(t.Tolerance, func(i, g int) { t.Gears[i].Group = g })
	t.WideGroups = t.group(t.WideTolerance, func(int, int) {})
	return t, nil
}

func (o TableOptions) withDefaults(r Rider) (TableOptions, error) {
	if len(o.Cadences) == 0 {
		o.Cadences = r.cadences()
	}
	if len(o.Cadences) > 8 {
		return o, fmt.Errorf("%d cadences; allowed at most 8", len(o.Cadences))
	}
	for _, c := range o.Cadences {
		if !(c > 0 && c <= 300) {
			return o, fmt.Errorf("cadence %v rpm; allowed over 0 to 300", c)
		}
	}
	o.Tolerance = orDefault(o.Tolerance, DefaultTolerance)
	o.WideTolerance = orDefault(o.WideTolerance, DefaultWideTolerance)
	if !(o.Tolerance > 0 && o.Tolerance <= 50) || !(o.WideTolerance > 0 && o.WideTolerance <= 50) {
		return o, fmt.Errorf("tolerances %v %% and %v %%; allowed over 0 to 50", o.Tolerance, o.WideTolerance)
	}
	return o, nil
}

// DefaultCadences is the comfortable band: 60 rpm still climbs well, 90 is
// common on the flat (common practice, no source).
const (
	DefaultCadenceLow  = 60.0
	DefaultCadenceHigh = 90.0
)

func (r Rider) cadences() []float64 {
	low, high := orDefault(r.CadenceLow, DefaultCadenceLow), orDefault(r.CadenceHigh, DefaultCadenceHigh)
	if low == high {
		return []float64{low}
	}
	return []float64{low, high}
}

func orDefault[T ~float64](v, def T) T {
	if v == 0 {
		return def
	}
	return v
}

func (t *Table) addGears(b Build) {
	n := len(t.Rings) * len(t.Cogs)
	t.Gears = make([]Gear, 0, n)
	speeds := make([]float64, n*len(t.Cadences)) // one block for all gears
	diameter := b.Wheel.Diameter()
	for i, ring := range t.Rings {
		for j := len(t.Cogs) - 1; j >= 0; j-- {
			cog := t.Cogs[j]
			ratio := float64(ring) / float64(cog)
			g := Gear{
				Ring: ring, Cog: cog, RingIndex: i, CogIndex: j, Ratio: ratio,
				Development: Metres(ratio) * t.RollOut,
				GearInches:  Inches(ratio) * diameter,
				SpeedsKmH:   speeds[:len(t.Cadences):len(t.Cadences)],
				Lost:        LostByRating(b, ring, cog),
			}
			speeds = speeds[len(t.Cadences):]
			for k, c := range t.Cadences {
				g.SpeedsKmH[k] = SpeedKmH(g.Development, c)
			}
			t.Gears = append(t.Gears, g)
		}
	}
	low, high := t.Gears[0], t.Gears[n-1]
	t.Range = Percent(100 * high.Ratio / low.Ratio)
}

// SpeedKmH is the speed in km/h at a development and a cadence in crank turns
// a minute.
func SpeedKmH(d Metres, cadence float64) float64 { return float64(d) * cadence * 60 / 1000 }

// StepPercent is the step between two gears or two wheels in percent of the
// smaller.
func StepPercent(small, large float64) Percent { return Percent(100 * (large/small - 1)) }

func (t *Table) addSteps() {
	last := t.Cadences[len(t.Cadences)-1]
	t.Steps = make([]CogStep, 0, len(t.Cogs)-1)
	for j := len(t.Cogs) - 1; j > 0; j-- {
		s := CogStep{From: t.Cogs[j], To: t.Cogs[j-1]}
		s.Size = StepPercent(float64(s.To), float64(s.From))
		s.CadenceRPM = last * float64(s.From) / float64(s.To)
		if s.Size > t.LargestStep.Size {
			t.LargestStep = s
		}
		t.Steps = append(t.Steps, s)
	}
	for i := range t.Gears {
		g := &t.Gears[i]
		if at := len(t.Cogs) - 1 - g.CogIndex; at < len(t.Steps) {
			g.StepToSmallerCog = t.Steps[at].Size
		}
		if at := len(t.Cogs) - 2 - g.CogIndex; at >= 0 {
			g.StepToLargerCog = t.Steps[at].Size
		}
	}
}

func (t *Table) addOrder() {
	t.Order = make([]int, len(t.Gears))
	for i := range t.Order {
		t.Order[i] = i
	}
	slices.SortStableFunc(t.Order, func(a, b int) int {
		return cmp.Compare(t.Gears[a].Ratio, t.Gears[b].Ratio)
	})
}

// group walks the gears upwards and opens a new group whenever a gear is more
// than tol over the lowest gear of the group, so no group is wider than tol.
func (t *Table) group(tol Percent, set func(gear, group int)) int {
	n, base := 0, math.Inf(-1)
	for _, i := range t.Order {
		if r := t.Gears[i].Ratio; r > base*(1+float64(tol)/100) || n == 0 {
			base = r
			n++
		}
		set(i, n-1)
	}
	return n
}

// Gear finds a gear by its teeth; ok is false when the table has no such gear.
func (t Table) Gear(ring, cog Teeth) (g Gear, ok bool) {
	i, okRing := slices.BinarySearch(t.Rings, ring)
	j, okCog := slices.BinarySearch(t.Cogs, cog)
	if !okRing || !okCog {
		return Gear{}, false
	}
	return t.Gears[t.index(i, j)], true
}

// index is the place in Gears of ring i and cog j.
func (t Table) index(i, j int) int { return i*len(t.Cogs) + len(t.Cogs) - 1 - j }

// Lowest and Highest are the gears with the least and the greatest
// development.
func (t Table) Lowest() Gear { return t.Gears[0] }

// Highest is the gear with the greatest development.
func (t Table) Highest() Gear { return t.Gears[len(t.Gears)-1] }
