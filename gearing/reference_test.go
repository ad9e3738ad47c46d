package gearing_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"cagewise/gearing"
)

// row is one line of a published table; every table has a source column.
type row map[string]string

func readTable(t *testing.T, name string) []row {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	rows := make([]row, 0, len(records))
	for _, rec := range records[1:] {
		r := row{}
		for i, key := range records[0] {
			r[key] = rec[i]
		}
		rows = append(rows, r)
	}
	return rows
}

func (r row) num(t *testing.T, key string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[key], 64)
	if err != nil {
		t.Fatalf("column %s: %v (%s)", key, err, r["source"])
	}
	return v
}

func (r row) teeth(t *testing.T, key string) gearing.Teeth { return gearing.Teeth(r.num(t, key)) }

// check compares with a printed value: within half the printed step, or one and
// a half where the table says that its last printed digit is off by one. The
// tables judged values rounded to four decimals, hence the slack of 1e-4. A
// print that the table itself marks NO must really be off: nothing is passed
// over in silence.
func (r row) check(t *testing.T, what string, got, printed, step float64, agrees string) {
	t.Helper()
	tolerance := step/2 + 1e-4
	switch agrees {
	case "last digit":
		tolerance += step
	case "NO":
		if math.Abs(got-printed) <= tolerance {
			t.Errorf("%s: got %.6g, printed %.6g: marked as a misprint but agrees (%s)", what, got, printed, r["source"])
		}
		return
	}
	if !(math.Abs(got-printed) <= tolerance) {
		t.Errorf("%s: got %.6g, printed %.6g within %.2g (%s)", what, got, printed, tolerance, r["source"])
	}
}

// The published tables below each name their source in their own column.

func TestPitchDiameters25p4(t *testing.T) {
	for _, r := range readTable(t, "pitch_diameter_25p4.csv") {
		n := r.teeth(t, "teeth")
		got := 2 * gearing.PitchRadius(n, gearing.MM(r.num(t, "pitch_mm")))
		r.check(t, r["teeth"]+" teeth", float64(got), r.num(t, "printed_pitch_diameter_mm"), r.num(t, "printed_step"), r["agrees_within_half_step"])
	}
}

func TestSprocketInchCatalogue(t *testing.T) {
	// in; 40 and 80: testdata/chain_dimensions.csv, larger ones: ANSI B29.1, from memory
	roller := map[string]float64{"No. 40": 0.3125, "No. 80": 0.625, "No. 100": 0.75, "No. 120": 0.875, "No. 140": 1, "No. 160": 1.125}
	calipers := 0
	for _, r := range readTable(t, "sprocket_inch_catalogue.csv") {
		n, pitch := r.teeth(t, "teeth"), gearing.Inches(r.num(t, "pitch_in")).MM()
		name := r["series"] + " " + r["teeth"]
		if r["printed_pitch_diameter_in"] != "" {
			d := (2 * gearing.PitchRadius(n, pitch)).Inches()
			r.check(t, name+" pitch diameter", float64(d), r.num(t, "printed_pitch_diameter_in"), r.num(t, "pd_step"), r["pd_agrees"])
		}
		d1, known := roller[strings.TrimSuffix(r["series"], " (taper bush page)")]
		if !known {
			t.Fatalf("%s: no roller diameter for the series", name)
		}
		if od := r["printed_outside_diameter_in"]; od != "" && r["od_agrees"] != "NO" {
			lo, hi := gearing.TipDiameters(n, pitch, gearing.Inches(d1).MM())
			half := gearing.Inches(r.num(t, "od_step") / 2)
			if v := gearing.Inches(r.num(t, "printed_outside_diameter_in")); v < lo.Inches()-half || v > hi.Inches()+half {
				t.Errorf("%s: printed outside diameter %v in not in [%.3f, %.3f] (%s)", name, v, float64(lo.Inches()), float64(hi.Inches()), r["source"])
			}
		}
		if r["printed_caliper_diameter_in"] == "" {
			continue
		}
		caliper := gearing.CaliperDiameter(n, pitch, gearing.Inches(d1).MM()).Inches()
		r.check(t, name+" caliper diameter", float64(caliper), r.num(t, "printed_caliper_diameter_in"), r.num(t, "pd_step"), r["caliper_agrees"])
		calipers++
	}
	if calipers < 20 {
		t.Errorf("only %d caliper diameters checked", calipers)
	}
}

// Outside diameters belong to the rollers named and are tested as a window.
func TestSprocketMetric(t *testing.T) {
	for _, r := range readTable(t, "sprocket_metric.csv") {
		n, pitch, roller := r.teeth(t, "teeth"), gearing.MM(r.num(t, "pitch_mm")), gearing.MM(r.num(t, "roller_mm"))
		name := r["chain"] + " " + r["teeth"]
		r.check(t, name, float64(2*gearing.PitchRadius(n, pitch)), r.num(t, "printed_pitch_diameter_mm"), r.num(t, "pd_step"), r["pd_agrees"])
		lo, hi := gearing.TipDiameters(n, pitch, roller)
		od := gearing.MM(r.num(t, "printed_outside_diameter_mm"))
		if half := gearing.MM(r.num(t, "od_step") / 2); od < lo-half || od > hi+half {
			t.Errorf("%s: printed outside diameter %v not in [%.3f, %.3f] (%s)", name, od, float64(lo), float64(hi), r["source"])
		}
		r.check(t, name+" least tip", float64(lo), r.num(t, "computed_ISO606_tip_min"), 0.001, "yes")
		r.check(t, name+" largest tip", float64(hi), r.num(t, "computed_ISO606_tip_max"), 0.001, "yes")
	}
}

func TestSprocketWorked(t *testing.T) {
	checked := 0
	for _, r := range readTable(t, "sprocket_worked.csv") {
		if r["quantity"] != "pitch_diameter" {
			continue // tooth width and side radius: not computed here
		}
		var pitch float64
		var n int
		unit := gearing.MM(1)
		for _, field := range strings.Fields(strings.ReplaceAll(r["inputs"], ",", " ")) {
			switch key, val, _ := strings.Cut(field, "="); key {
			case "p":
				pitch, _ = strconv.ParseFloat(val, 64)
			case "z":
				n, _ = strconv.Atoi(val)
			case "in":
				unit = gearing.MMPerInch
			}
		}
		got := 2 * gearing.PitchRadius(gearing.Teeth(n), gearing.MM(pitch)*unit) / unit
		r.check(t, r["inputs"], float64(got), r.num(t, "printed"), r.num(t, "printed_step"), r["agrees"])
		checked++
	}
	if checked != 5 {
		t.Errorf("checked %d rows, want 5", checked)
	}
}

func TestHandbookChainLengths(t *testing.T) {
	for _, r := range readTable(t, "chain_length.csv") {
		large, small := r.teeth(t, "teeth_large"), r.teeth(t, "teeth_small")
		pitch := gearing.MM(leadingNumber(t, r["pitch_mm_or_stated"]))
		if strings.HasSuffix(r["pitch_mm_or_stated"], "in") {
			pitch *= gearing.MMPerInch
		}
		got := handbookValue(t, r, large, small, pitch)
		r.check(t, r["quantity"]+" "+r["source"], got, r.num(t, "printed"), r.num(t, "printed_step"), r["agrees"])
	}
}

func handbookValue(t *testing.T, r row, large, small gearing.Teeth, pitch gearing.MM) float64 {
	t.Helper()
	switch r["quantity"] {
	case "length_approx":
		return float64(gearing.HandbookLength(large, small, centrePitches(t, r, pitch)))
	case "centre_inverse":
		c, err := gearing.HandbookCentre(large, small, gearing.Pitches(r.num(t, "links_in")))
		if err != nil {
			t.Fatal(err)
		}
		if r["unit_out"] == "mm" {
			return float64(c) * float64(pitch)
		}
		return float64(c)
	case "wrap_small_deg", "wrap_large_deg":
		// The loop works at 12.7 mm; the wrap depends on C/p alone.
		c := centrePitches(t, r, pitch).MM()
		loop, err := gearing.NewLoop(large, small, c)
		if err != nil {
			t.Fatal(err)
		}
		if r["quantity"] == "wrap_small_deg" {
			return float64(loop.WrapCog)
		}
		return float64(loop.WrapRing)
	}
	t.Fatalf("unknown quantity %q", r["quantity"])
	return 0
}

func centrePitches(t *testing.T, r row, pitch gearing.MM) gearing.Pitches {
	t.Helper()
	v := leadingNumber(t, r["centre_distance_in"])
	switch {
	case strings.HasSuffix(r["centre_distance_in"], "p"):
		return gearing.Pitches(v)
	case strings.HasSuffix(r["centre_distance_in"], "in"):
		return gearing.Pitches(gearing.Inches(v).MM() / pitch)
	default:
		return gearing.Pitches(gearing.MM(v) / pitch)
	}
}

func leadingNumber(t *testing.T, s string) float64 {
	t.Helper()
	head, _, _ := strings.Cut(s, " ")
	v, err := strconv.ParseFloat(head, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestDrivetrainDimensions(t *testing.T) {
	// 10 cogs, axle-end width 130, gap 3, thickness 1.6, spacing 3.95: the
	// inputs column of the table.
	lines := gearing.Lines{AxleEndWidth: 130, AxleFaceGap: 3, CogThickness: 1.6, CogSpacing: 3.95}
	for _, r := range readTable(t, "drivetrain_dims_worked.csv") {
		got, what := 0.0, r["quantity"]
		switch what {
		case "cog_offset_from_centre_mm":
			_, rest, _ := strings.Cut(r["inputs"], "cog ")
			got = float64(lines.CogOffset(10 - int(leadingNumber(t, rest))))
		case "cassette_width_mm":
			got = float64(lines.CassetteWidth(10))
		case "ring_midway_cogs_6_7_mm":
			got = float64(lines.CogOffset(10-6)+lines.CogOffset(10-7)) / 2
		case "front_chainline_mm": // seat tube 30 mm, tube to teeth 27.5 mm
			got = float64(gearing.FrontChainLine(30, 27.5))
		case "rear_chainline_mm": // OLD 120, lock face to teeth 17.5
			got = float64(gearing.RearChainLine(120, 17.5))
		case "required_capacity_teeth":
			got = float64(neededCapacity(t, r["inputs"]))
		default:
			t.Fatalf("unknown quantity %q", what)
		}
		r.check(t, what+" "+r["inputs"], got, r.num(t, "printed"), r.num(t, "printed_step"), r["agrees"])
	}
}

// neededCapacity reads "rings 53-39, cogs 28-11".
func neededCapacity(t *testing.T, inputs string) gearing.Teeth {
	t.Helper()
	var n [4]gearing.Teeth
	clean := strings.NewReplacer("rings ", "", ", cogs ", "-").Replace(inputs)
	for i, s := range strings.Split(clean, "-") {
		n[i] = gearing.Teeth(leadingNumber(t, s))
	}
	return gearing.CapacityNeeded([]gearing.Teeth{n[1], n[0]}, []gearing.Teeth{n[3], n[2]})
}

// Roll-outs were measured on loaded tyres: the nominal rule agrees within 1 %,
// the radius rows within 2 %. Never test for equality.
func TestTyreRollOuts(t *testing.T) {
	for _, r := range readTable(t, "tyre_rollout.csv") {
		w := gearing.Wheel{BeadSeat: gearing.MM(r.num(t, "bead_seat_diameter_mm")), Section: gearing.MM(r.num(t, "nominal_section_mm"))}
		got, within := float64(w.NominalCircumference()), 0.01
		if r["quantity"] == "radius_mm" {
			got, within = got/(2*math.Pi), 0.02
		}
		if printed := r.num(t, "printed"); math.Abs(got/printed-1) > within {
			t.Errorf("%s: rule %.1f, printed %.1f, not within %.0f %% (%s)", r["quantity"], got, printed, 100*within, r["source"])
		}
	}
}

// Trade dimensions by count of cogs: the defaults must be the table's.
func TestTradeDefaults(t *testing.T) {
	checked := 0
	for _, r := range readTable(t, "trade_dims.csv") {
		count, ok := strings.CutSuffix(r["applies_to"], "-speed")
		cogs, err := strconv.Atoi(count)
		if !ok || err != nil {
			continue
		}
		l := gearing.Lines{}.WithDefaults(1, cogs)
		var got gearing.MM
		switch r["quantity"] {
		case "cog_pitch_mm":
			got = l.CogSpacing
		case "cog_thickness_mm":
			got = l.CogThickness
		case "cassette_stack_mm":
			got = l.CassetteWidth(cogs)
		case "chain_outer_width_mm (over pin)":
			got = l.ChainWidth
		}
		lo, hi := printedRange(t, r["value"])
		if r["quantity"] == "cassette_stack_mm" {
			lo, hi = lo-0.1, hi+0.1 // stacks are printed to 0.1 and for one maker's tolerances
		}
		if float64(got) < lo-1e-9 || float64(got) > hi+1e-9 {
			t.Errorf("%s %s: default %.3f not in [%g, %g] (%s)", r["quantity"], r["applies_to"], float64(got), lo, hi, r["certainty"])
		}
		checked++
	}
	if checked < 20 {
		t.Errorf("only %d rows checked", checked)
	}
}

// printedRange reads "3.5 to 3.65", "5.9 (to 6.2)" or "4.8".
func printedRange(t *testing.T, s string) (lo, hi float64) {
	t.Helper()
	lo = leadingNumber(t, s)
	_, rest, ok := strings.Cut(s, "to ")
	if !ok {
		return lo, lo
	}
	return lo, leadingNumber(t, strings.TrimRight(rest, ")"))
}

// The chain's own dimensions that the package takes as constants.
func TestChainDimensions(t *testing.T) {
	found := false
	for _, r := range readTable(t, "chain_dimensions.csv") {
		if strings.HasPrefix(r["chain"], "bicycle") && r["quantity"] == "roller_diameter_mm" {
			found = true
			r.check(t, r["chain"], float64(gearing.RollerDiameter), r.num(t, "value"), r.num(t, "step_as_printed"), "yes")
		}
	}
	if !found {
		t.Error("no roller diameter in the table")
	}
}
